package content

import (
	"slices"
	"strings"
)

// cardMovements makes the lines of a part or section, each with what fitting did to it.
func (f FittedSession) cardMovements(part string, p Part, moves []Movement, lib *Library) []CardMovement {
	var out []CardMovement
	for i, m := range moves {
		change := f.changed(part, i)
		if change.LeaveOut {
			out = append(out, f.leftOutMovement(part, p, i, change, lib))
			continue
		}
		cm := f.cardMovement(m, p, lib)
		cm.Clock = sayWhen(p, i)
		if change.Why != "" {
			cm.Why = []string{change.Why}
		}
		if cm.NoFit = change.NoFit; cm.NoFit && change.Why == "" {
			cm.Why = []string{"nothing here fits your kit: ask your coach"}
		}
		if p.Letter != "" && change.Was != change.Now && !change.NoFit && change.Why != "" && !f.Eased(part) {
			cm.Counts = "counts as written"
			if p.IsScored() {
				cm.Counts += ", with the way shown beside your result"
			}
		}
		out = append(out, cm)
	}
	return out
}

// leftOutMovement is a line that a limit left nothing of: its name as the coach wrote it, the reason, and what to do
// instead.
func (f FittedSession) leftOutMovement(part string, p Part, i int, c Changed, lib *Library) CardMovement {
	m := f.written(part, i)
	e, _ := lib.Find(m.Name)
	cm := CardMovement{Name: m.Name, LeaveOut: true, Clock: sayWhen(p, i), Text: sayName(m, countsReps(p, e))}
	if why := strings.TrimSuffix(c.Why, leaveThisOut); why != "" {
		cm.Why = append(cm.Why, why)
	}
	switch {
	case p.Scheme == Stations:
		cm.Why = append(cm.Why, "rest here and write 0 for it")
	case p.Scheme == Every && cm.Clock != "":
		cm.Why = append(cm.Why, "rest in its turn")
	}
	return cm
}

// written returns a line as the coach wrote it.
func (f FittedSession) written(part string, i int) Movement {
	moves := f.Sheet.WarmUp
	switch part {
	case WarmUpPart:
	case CoolDownPart:
		moves = f.Sheet.CoolDown
	default:
		moves = nil
		if p, ok := f.Sheet.Part(part); ok {
			moves = p.Movements
		}
	}
	if i < len(moves) {
		return moves[i]
	}
	return Movement{Name: f.changed(part, i).Was}
}

// countsReps reports whether an amount that is left out counts reps.
func countsReps(p Part, e *Entry) bool {
	if e != nil && e.Hold() {
		return false
	}
	return p.ForTime() || p.Scheme == Stations || p.Scheme == MostReps || p.Scheme == AMRAP
}

// leaveThisOut ends the reason of what is left out; the line says it already.
const leaveThisOut = ": leave this out"

func (f FittedSession) cardMovement(m Movement, p Part, lib *Library) CardMovement {
	e, _ := lib.Find(m.Name)
	counted := countsReps(p, e)
	cm := CardMovement{Text: sayLine(m, e, counted), Amount: sayAmount(m.Amount), Name: m.Name, Sides: saySides(m, e),
		Load: sayLoad(m.Load, f.Fit.Units), Words: m.Words, Cues: m.Cues, Links: m.Watches}
	if m.Amount.Kind == AmountMax && e != nil && e.Hold() {
		cm.Amount = maxHold
	}
	if p.Scheme == Ladder {
		cm.Text = ladderLine(m, p, e)
	}
	if p.Scheme == Stations && e != nil && e.Hold() {
		cm.Text += " (count the seconds)"
	}
	if m.Tempo != "" {
		cm.Tempo = sayTempo(m.Tempo)
	}
	if m.HasReserve {
		cm.Reserve = sayReserve(m.Reserve)
	}
	cm.Cautions, cm.Coached = once(m.Cares), len(m.Cues) > 0
	if e != nil {
		cm.Pattern, cm.OneRep, cm.Test = e.Pattern, e.Rep, e.Test
		cm.Cautions = once(append(slices.Clone(m.Cares), e.Cautions...))
		if len(cm.Cues) == 0 {
			cm.Cues = e.Cues
		}
	}
	for _, w := range m.Ways {
		cm.Ways = append(cm.Ways, f.cardWay(w, m, counted, lib))
	}
	return cm
}

// ladderLine writes a movement of a ladder: one without a count takes each rung's.
func ladderLine(m Movement, p Part, e *Entry) string {
	if m.Amount.Kind != AmountNone {
		return sayLine(m, e, true) + ", in every round"
	}
	line := sayRungs(p.Rungs) + " " + plural(m.Name)
	if m.Words != "" {
		line += ", " + m.Words
	}
	if e != nil && e.Sides == OneSide {
		line += ", half of them each side"
	}
	return line
}

func (f FittedSession) cardWay(w Way, under Movement, counted bool, lib *Library) CardWay {
	m := w.Movement
	e, _ := lib.Find(m.Name)
	if m.Amount.Kind == AmountNone && under.Amount.Kind == AmountReps {
		counted = e == nil || !e.Hold()
	}
	cw := CardWay{Kind: w.Kind, Label: sayWay(w), Text: sayPlain(m, e, counted), Load: sayLoad(m.Load, f.Fit.Units)}
	if m.Tempo != "" {
		cw.Tempo = sayTempo(m.Tempo)
	}
	if e != nil {
		cw.Cautions, cw.Test = e.Cautions, e.Test
	}
	return cw
}
