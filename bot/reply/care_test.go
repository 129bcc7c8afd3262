package reply

import (
	"slices"
	"testing"
)

// What a care is due for, and the movement it happened at. Source: ours, from the contract's list of what has a sentence
// of its own and of what tells the coach the movement.
func TestWhatACareIsAbout(t *testing.T) {
	in := inputFor(t, "hall")
	for text, want := range map[string][]Matter{
		"knee hurts":                         {MatterPain},
		"felt dizzy, knee hurts":             {MatterWarning},
		"no dizziness today":                 {MatterWarning},
		"fell off the step":                  {MatterIncident},
		"the door opened":                    {MatterIncident},
		"fell and my wrist hurts":            {MatterIncident, MatterPain},
		"threw up":                           {MatterVomiting},
		"I'm pregnant":                       {MatterPregnancy},
		"gave birth in june":                 {MatterBirth},
		"knee operation on friday":           {MatterOperation},
		"bit of a fever":                     {MatterFever},
		"ear infection":                      {MatterInfection},
		"new medicine since monday":          {MatterMedicine},
		"fever and an infection, new meds":   {MatterFever, MatterInfection, MatterMedicine},
		"doctor told me to rest":             {MatterHealth},
		"D 14:32 rx":                         nil,
		"no knee pain":                       nil,
		"I'm pregnant and there is bleeding": {MatterWarning},
	} {
		if got := Read(text, in).CareAbout; !slices.Equal(got, want) {
			t.Errorf("%q: about %v, want %v", text, got, want)
		}
	}
	for text, want := range map[string]string{
		"fell during the step-overs":            "step-over",
		"slipped on the last lunge, D 14:32":    "lunge",
		"D 14:32 rx, towel snapped":             "push-up, lunge, step-over",
		"C 5+12 rx. slipped in D":               "push-up, lunge, step-over",
		"slipped in the climbers":               "mountain climber",
		"the chair tipped":                      "",
		"fell on squats. B 21 18 15 24":         "squat",
		"D 14:32 rx, felt strong":               "",
		"A done, fell off the chair at the end": "backpack row",
	} {
		if got := Read(text, in).CareMovement; got != want {
			t.Errorf("%q: at %q, want %q", text, got, want)
		}
	}
}
