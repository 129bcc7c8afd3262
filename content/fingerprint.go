package content

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
)

// Fingerprint names a piece, so that it is found again weeks later whatever its letter: the same scheme, movements,
// amounts, loads, rests and cap. What is said about it (aim, note, cues, cautions, easier ways) does not matter. Parts
// that rank nobody (sets, quality, every) are the same piece when their movements are, since sets and reps are meant
// to grow. 16 hexadecimal digits.
func (p Part) Fingerprint() string {
	var b strings.Builder
	if p.Kind() == KindDone {
		for _, m := range p.Movements {
			b.WriteString(m.Name + "\n")
		}
	} else {
		p.Letter, p.Aim, p.Note, p.Optional, p.Scoring = "A", "", "", false, ""
		b.WriteString(partText(p) + "\n")
		for _, m := range p.Movements {
			m.Words = ""
			b.WriteString(movementText(m) + "\n")
		}
	}
	sum := sha256.Sum256([]byte(b.String()))
	return hex.EncodeToString(sum[:8])
}

// PieceName says in one line what a piece is, for a heading: "5 rounds for time: 16 air squat, 12 push-up". Of
// parts that rank nobody it is the movements alone, as their fingerprint is.
func (p Part) PieceName() string {
	var ms []string
	for _, m := range p.Movements {
		m.Words = ""
		if p.Kind() == KindDone {
			ms = append(ms, m.Name)
		} else {
			ms = append(ms, movementText(m))
		}
	}
	if p.Kind() == KindDone {
		return strings.Join(ms, ", ")
	}
	return schemeText(p) + ": " + strings.Join(ms, ", ")
}
