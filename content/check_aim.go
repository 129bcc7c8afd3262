package content

import "strings"

// aim warns of an aim that the part cannot be compared with, or that lies outside the estimate.
func (c *checker) aim(i int, p *Part) {
	at := spot{part: i, what: "aim"}
	a, ok := p.Intended()
	if !ok {
		if p.IsScored() {
			c.warn(at, p.Line, "the aim %s is no time, reps, rounds or load, so the morning cannot compare it", shown(p.Aim))
		}
		return
	}
	if !a.suits(*p) {
		c.warn(at, p.Line, "the aim %s is not what part %s is measured in; write for example aim: %s", shown(p.Aim), p.Letter, aimExample(*p))
		return
	}
	low, high, ok := expected(*p, a.Unit, c.lib)
	if ok && (a.High < low || a.Low > high) {
		unit := map[AimUnit]string{AimReps: " reps", AimRounds: " rounds"}[a.Unit]
		_, written, _ := readAim(p.Aim)
		text := Aim{a.Unit, low, high}.text(written)
		c.warn(at, p.Line, "the aim %s lies outside the estimate of %s%s", shown(p.Aim), strings.TrimSuffix(text, unit), unit)
	}
}

// suits reports whether an aim is of the measure that the part's result has.
func (a Aim) suits(p Part) bool {
	switch p.Kind() {
	case KindTime, KindHold:
		return a.Unit == AimTime
	case KindReps:
		return a.Unit == AimReps || a.Unit == AimRounds && p.Scheme == AMRAP
	case KindLoad:
		return a.Unit == AimLoad
	case KindDistance:
		return a.Unit == AimDistance
	}
	return true
}

func aimExample(p Part) string {
	switch p.Kind() {
	case KindTime:
		return "11:00-14:00"
	case KindHold:
		return "1:00-2:00"
	case KindLoad:
		return "40-60 kg"
	case KindDistance:
		return "2-2.4 km"
	}
	if p.Scheme == AMRAP {
		return "5-6 rounds"
	}
	return "60-80 reps"
}

// expected returns the estimate of a part in the measure of an aim; ok is false where there is none.
func expected(p Part, unit AimUnit, lib *Library) (low, high int64, ok bool) {
	switch {
	case unit == AimTime && p.ForTime():
		l, h := Estimate(p, lib)
		return l.Milliseconds(), h.Milliseconds(), h > 0
	case unit == AimRounds || unit == AimReps && p.Scheme == AMRAP:
		round := roundSpan(p, 0, lib)
		if p.Scheme != AMRAP || round.low <= 0 {
			return 0, 0, false
		}
		clock := p.Duration.Seconds()
		each := 1.0
		if unit == AimReps {
			each = float64(p.RepsARound())
		}
		return max(1, int64(clock/(round.high*tiringHigh)*each)), int64(clock/round.low*each) + 1, true
	case unit == AimReps && p.Scheme == Stations:
		for _, m := range p.Movements {
			rep, _, _ := paces(m, lib)
			work := p.Work.Seconds() * float64(max(p.Through, 1))
			low, high = low+int64(work/(rep.high*tiringHigh)), high+int64(work/rep.low)+1
		}
		return low, high, high > 0
	case unit == AimDistance && p.Scheme == Farthest && len(p.Movements) == 1:
		_, metre, _ := paces(p.Movements[0], lib)
		const ten = 10_000 // metres, in millimetres: nobody reckons finer
		clock := p.Duration.Seconds() * 1000
		return int64(clock/metre.high) / ten * ten, (int64(clock/metre.low)/ten + 1) * ten, true
	}
	return 0, 0, false
}
