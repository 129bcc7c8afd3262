package content

import (
	"fmt"
	"strings"
)

// lookalikes pairs letters of other scripts with the Latin letter that they are mistaken for.
const lookalikes = "АAВBСCЕEНHІIЈJКKМMОOРPЅSТTХXУYаaсcеeоoрpхxуyіiјjѕsԁdһhΑAΒBΕEΖZΗHΙIΚKΜMΝNΟOΡPΤTΥYΧXοoνvιi"

// latin returns the Latin letter or plain digit that r looks like, if it is of another script or width.
func latin(r rune) (rune, bool) {
	if r < 0x80 {
		return r, false
	}
	if r >= 0xff01 && r <= 0xff5e {
		return r - 0xff01 + '!', true
	}
	if l, is := latinOf[r]; is {
		return l, true
	}
	return r, false
}

// latinOf is the pairs of lookalikes, the stranger first.
var latinOf = func() map[rune]rune {
	of := map[rune]rune{}
	rs := []rune(lookalikes)
	for i := 0; i < len(rs); i += 2 {
		of[rs[i]] = rs[i+1]
	}
	return of
}()

// latinised returns s with look-alike letters replaced, and the first of them; found is false when there is none.
func latinised(s string) (plain string, first rune, found bool) {
	plain = strings.Map(func(r rune) rune {
		l, is := latin(r)
		if is && !found {
			first, found = r, true
		}
		return l
	}, s)
	return plain, first, found
}

// mixesLetters reports whether a word holds plain Latin letters beside letters of another script that look Latin. A
// word that is wholly of another script is a word of another language, and nobody's slip.
func mixesLetters(s string) bool {
	for _, w := range strings.Fields(s) {
		ascii := strings.ContainsFunc(w, func(r rune) bool { return 'a' <= r|0x20 && r|0x20 <= 'z' })
		if _, _, odd := latinised(w); ascii && odd {
			return true
		}
	}
	return false
}

// lookalikeHint tells that a word holds a letter of another script, or returns "".
func lookalikeHint(s string) string {
	_, r, found := latinised(s)
	if !found {
		return ""
	}
	l, _ := latin(r)
	return fmt.Sprintf("; the letter %c in it is U+%04X, which only looks like %c", r, r, l)
}
