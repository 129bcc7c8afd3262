package content

import (
	"strings"
	"time"
)

// easedWords are said at a part that was sent eased.
const easedWords = "Eased for you: counts as scaled"

func (f FittedSession) cardPart(p Part, lib *Library) CardPart {
	cp := CardPart{Letter: p.Letter, Scheme: sayScheme(p), Kind: p.Kind(), Scored: p.IsScored(), Optional: p.Optional,
		Settings: saySettings(p), Aim: p.Aim, Note: p.Note, Choice: sayChoice(p.Letter, f.Session.Choose), Movements: []CardMovement{}}
	if isOneOf(p.Letter, f.Session.Short) {
		cp.Short = "On a short day, do this part"
	}
	if p.Cap > 0 {
		cp.Cap, cp.CapMS = sayClock(p.Cap), p.Cap.Milliseconds()
	}
	if clock := exactClock(p, lib); clock > 0 {
		cp.Clock, cp.ClockMS = sayClock(clock), clock.Milliseconds()
	}
	cp.Movements = append(cp.Movements, f.cardMovements(p.Letter, p, p.Movements, lib)...)
	if f.leftOut(p) {
		cp.Settings = append(cp.Settings, "Leave this part out today: there is nothing to answer")
		return cp
	}
	if f.Eased(p.Letter) {
		cp.Eased, cp.EasedSays = true, easedWords
	}
	cp.Reply, cp.Unfinished = f.exampleReply(p, lib)
	return cp
}

// leftOut reports whether limits left nothing of a part.
func (f FittedSession) leftOut(p Part) bool {
	for i := range p.Movements {
		if !f.changed(p.Letter, i).LeaveOut {
			return false
		}
	}
	return len(p.Movements) > 0
}

// sayChoice tells what stands beside a part that may be chosen.
func sayChoice(letter string, choose []string) string {
	if !isOneOf(letter, choose) {
		return ""
	}
	var others []string
	for _, l := range choose {
		if l != letter {
			others = append(others, l)
		}
	}
	return "Your choice: this part or " + strings.Join(others, " or ")
}

// sayWhen tells when movement i of a part is done, where the clock tells: a station has its time, a movement that
// takes turns its minutes. Else "".
func sayWhen(p Part, i int) string {
	switch {
	case p.Scheme == Stations:
		at := time.Duration(i) * (p.Work + p.Rest)
		return sayClock(at) + "-" + sayClock(at+p.Work)
	case p.Scheme == Every && p.Order != Together && len(p.Movements) > 1:
		at, step := time.Duration(i)*p.Interval, time.Duration(len(p.Movements))*p.Interval
		if at+step >= p.Duration {
			return "At " + sayClock(at)
		}
		return "At " + sayClock(at) + ", then every " + sayClock(step)
	}
	return ""
}
