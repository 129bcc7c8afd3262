package content

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// exampleReply returns how a member could answer a part, and how if the cap stopped them ("" where there is no such
// thing). The figures fit the part as it was sent: below its cap, no faster than anybody moves, a count for each
// station, with 0 for one that is left out.
func (f FittedSession) exampleReply(p Part, lib *Library) (finished, unfinished string) {
	if !p.IsScored() {
		return p.Letter + " done", ""
	}
	version := " as written"
	for _, m := range p.Movements {
		for _, w := range m.Ways {
			if w.Kind == Easier {
				version = " scaled"
			}
		}
	}
	if f.Eased(p.Letter) {
		version = ""
	}
	finished = p.Letter + " " + f.exampleValue(p, lib) + version
	if p.ForTime() && p.Cap > 0 {
		unfinished = p.Letter + " capped, " + exampleProgress(p) + version
	}
	return finished, unfinished
}

// exampleValue is a likely result of a scored part, as one would type it.
func (f FittedSession) exampleValue(p Part, lib *Library) string {
	switch p.Scheme {
	case Rounds, Ladder:
		return sayClock(exampleTime(p))
	case AMRAP:
		return exampleRounds(p)
	case Stations:
		return f.exampleCounts(p, lib)
	case Heaviest:
		if f.Fit.Units == "lb" {
			return "95 lb"
		}
		return "42.5 kg"
	case MostReps:
		return "18 reps"
	case LongestHold:
		return "1:35"
	case Farthest:
		return exampleDistance(p)
	}
	return "done"
}

// exampleTime lies nine tenths of the way to the cap, or at 14:32 without one.
func exampleTime(p Part) time.Duration {
	at := 14*time.Minute + 32*time.Second
	if p.Cap > 0 && at >= p.Cap {
		at = (p.Cap * 9 / 10).Truncate(time.Second)
	}
	return max(at, time.Second)
}

// exampleRounds is about 15 reps a minute.
func exampleRounds(p Part) string {
	a := max(p.RepsARound(), 1)
	rounds := max(int64(p.Duration.Minutes()*15)/a, 1)
	if extra := min(12, a-1); extra > 0 {
		return fmt.Sprintf("%d+%d", rounds, extra)
	}
	return fmt.Sprintf("%d rounds", rounds)
}

// exampleCounts is one count a station and time through, seconds for a hold, or a total where that would be a long list.
func (f FittedSession) exampleCounts(p Part, lib *Library) string {
	n := max(p.Stations, 1) * max(p.Through, 1)
	total := 0
	counts := make([]string, n)
	for i := range n {
		c := max(1, int([]float64{21, 18, 15, 24}[i%4]*p.Work.Minutes()))
		if k := i % max(p.Stations, 1); k < len(p.Movements) {
			if e, ok := lib.Find(p.Movements[k].Name); ok && e.Hold() {
				c = max(1, int(p.Work.Seconds()*3/4))
			}
			if f.changed(p.Letter, k).LeaveOut {
				c = 0
			}
		}
		total += c
		counts[i] = strconv.Itoa(c)
	}
	if n > 8 {
		return strconv.Itoa(total)
	}
	return strings.Join(counts, "/")
}

// exampleProgress is two rounds and a bit, or as much as the piece has.
func exampleProgress(p Part) string {
	a, total := p.RepsARound(), p.TotalReps()
	if p.Scheme == Rounds && p.Rounds > 2 && a > 1 {
		return fmt.Sprintf("2 rounds and %d", min(14, a-1))
	}
	return fmt.Sprintf("%d reps", max(1, total*3/4))
}

// exampleDistance is two and a half metres a second.
func exampleDistance(p Part) string {
	metres := p.Duration.Seconds() * 2.5
	if metres >= 1000 {
		return strconv.FormatFloat(metres/1000, 'f', 1, 64) + " km"
	}
	return strconv.Itoa(max(1, int(metres))) + " m"
}
