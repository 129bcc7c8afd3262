package reply

import (
	"strings"

	"tallybell/content"
)

// hintAt returns the way that the words at atom i tell: knees, chair, incline, lighter, no pack, fewer; "" for none, and
// where the same word speaks of something else (knees that hurt, legs that felt lighter).
func (r *reader) hintAt(c *clause, i int) string {
	a, b, n := &r.as[i], r.at(i-1), r.at(i+1)
	if a.s == "no" && (n.word("pack") || n.word("backpack") || n.word("rucksack")) {
		return "no pack"
	}
	if a.class&clHint == 0 {
		return ""
	}
	switch a.s {
	case "knees":
		if b.word("on") || b.word("from") || (b.word("my") || b.word("the")) && (r.at(i-2).word("on") || r.at(i-2).word("from")) {
			break
		}
		if b.kind == aWord || n.kind == aWord && !n.is(clThanks) || n.kind == aHedge {
			return ""
		}
	case "lighter":
		if b.word("felt") || b.word("feel") || b.word("feeling") || b.word("feels") || b.word("was") || b.word("bit") || b.word("much") {
			return ""
		}
	case "chair", "fewer":
		if isPause(n) {
			return ""
		}
		if b.word("the") && a.s == "chair" && !r.at(i-2).word("with") && !r.at(i-2).word("on") && !r.at(i-2).word("from") && !r.at(i-2).word("to") {
			return ""
		}
	}
	return a.s
}

// fitsEasier reports whether one of the part's easier lines is what the hint tells.
func fitsEasier(p *content.Part, hint string) bool {
	for m := range p.Movements {
		own := &p.Movements[m]
		for w := range own.Ways {
			way := &own.Ways[w]
			if way.Kind == content.Easier && fitsWay(own, &way.Movement, hint) {
				return true
			}
		}
	}
	return false
}

func fitsWay(own, way *content.Movement, hint string) bool {
	text := strings.ToLower(way.Name + " " + way.Words + " " + way.Load.Kit)
	switch hint {
	case "knees":
		return strings.Contains(text, "knee") && !strings.Contains(strings.ToLower(own.Name), "knee")
	case "chair", "incline":
		return strings.Contains(text, hint)
	case "lighter":
		return way.Load.Grams > 0 && way.Load.Grams < own.Load.Grams || strings.Contains(text, "light")
	case "no pack":
		return isPack(own) && !isPack(way)
	case "fewer":
		return way.Amount.Kind == own.Amount.Kind && way.Amount.Kind != content.AmountNone && way.Amount.Low < own.Amount.Low
	}
	return false
}

func isPack(m *content.Movement) bool {
	return strings.Contains(m.Load.Kit, "pack") || strings.Contains(strings.ToLower(m.Name), "pack")
}

// writtenHas reports whether what the hint names belongs to the part as written, so that it tells nothing.
func writtenHas(p *content.Part, hint string) bool {
	if hint == "lighter" || hint == "fewer" {
		return false
	}
	if hint == "no pack" {
		for m := range p.Movements {
			if isPack(&p.Movements[m]) {
				return false
			}
		}
		return true
	}
	for m := range p.Movements {
		mv := &p.Movements[m]
		if strings.Contains(strings.ToLower(mv.Name+" "+mv.Words+" "+mv.Load.Kit), strings.TrimSuffix(hint, "s")) {
			return true
		}
	}
	return false
}

// isPause reports words of resting, of which fewer are no easier way.
func isPause(a *atom) bool {
	switch a.s {
	case "break", "breaks", "rest", "rests", "pause", "pauses", "stop", "stops", "mistakes", "excuses", "no-reps":
		return true
	}
	return false
}
