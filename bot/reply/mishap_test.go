package reply

import "testing"

func TestMishap(t *testing.T) {
	for text, want := range map[string]bool{
		"the chair tipped over":              true,
		"D 14:32 scaled, slipped on the mat": true,
		"The door opened while I was rowing": true,
		"left knee a bit sore":               false,
		"I have not fallen":                  false,
		"fell asleep at nine":                false,
		"felt sick":                          false,
		"":                                   false,
	} {
		if got := Mishap(text); got != want {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
		if want && Read(text, Input{}).Care != CareCheck {
			t.Errorf("%q is a mishap, but asks for no check", text)
		}
	}
}
