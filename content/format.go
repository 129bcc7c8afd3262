package content

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Format writes a session as a sheet in its plain canonical form: head, warm-up, parts, cool-down, with the coach's
// comments in their places. Parsing it gives an equal session.
func Format(s Session) []byte {
	lines := canonical(s)
	var b strings.Builder
	k := 0
	for i, l := range lines {
		if l.gap {
			b.WriteByte('\n')
		}
		for ; k < len(s.Comments) && s.Comments[k].Before <= i; k++ {
			comment(&b, s.Comments[k].Text)
		}
		b.WriteString(l.text)
		b.WriteByte('\n')
	}
	for ; k < len(s.Comments); k++ {
		comment(&b, s.Comments[k].Text)
	}
	return []byte(b.String())
}

func comment(b *strings.Builder, text string) {
	b.WriteByte('#')
	if text != "" && !strings.HasPrefix(text, "#") {
		b.WriteByte(' ')
	}
	b.WriteString(text)
	b.WriteByte('\n')
}

// canonLine is one line of the canonical form, with what it is of the session. A gap is a blank line before it.
type canonLine struct {
	text string
	gap  bool
	spot spot
}

// canonical returns the lines of the canonical form, without comments.
func canonical(s Session) []canonLine {
	lines := headLines(s)
	section := func(name string, at int, moves []Movement) {
		if len(moves) > 0 {
			lines = append(lines, canonLine{name, len(lines) > 0, spot{part: at, what: "head"}})
			lines = appendMovements(lines, at, moves)
		}
	}
	section("Warm-up:", warmUpSpot, s.WarmUp)
	for i, p := range s.Parts {
		lines = append(lines, canonLine{partText(p), len(lines) > 0, spot{part: i, what: "head"}})
		if p.Aim != "" {
			lines = append(lines, canonLine{"aim: " + p.Aim, false, spot{part: i, what: "aim"}})
		}
		if p.Note != "" {
			lines = append(lines, canonLine{"note: " + p.Note, false, spot{part: i, what: "note"}})
		}
		lines = appendMovements(lines, i, p.Movements)
	}
	section("Cool-down:", coolDownSpot, s.CoolDown)
	return lines
}

// headLines returns the lines of the head, in the order of headKeys.
func headLines(s Session) []canonLine {
	kit := ""
	if s.HasKit {
		if kit = strings.Join(s.Kit, ", "); kit == "" {
			kit = "none"
		}
	}
	rest, length := "", ""
	if s.Rest {
		rest = "yes"
	}
	if s.Length > 0 {
		length = lengthText(s.Length)
	}
	values := [...]string{s.Title, s.Date.String(), s.Programme, s.Focus, kit, length, s.About, s.Level, s.Note, s.Effort,
		strings.Join(s.Choose, " or "), strings.Join(s.Short, " and "), rest}
	lines := make([]canonLine, 0, 64)
	for i, v := range values {
		if v != "" {
			lines = append(lines, canonLine{headKeys[i] + ": " + v, false, spot{part: headSpot, what: headKeys[i]}})
		}
	}
	return lines
}

// lengthText writes 45 min, or M:SS where seconds are told.
func lengthText(d time.Duration) string {
	if d%time.Minute == 0 {
		return strconv.Itoa(int(d/time.Minute)) + " min"
	}
	return clockText(d)
}

func partText(p Part) string {
	text := append([]string{p.Letter + ". " + schemeText(p)}, settingTexts(p)...)
	return strings.Join(text, ", ")
}

// schemeText writes the scheme alone, in turn and each with it.
func schemeText(p Part) string {
	switch p.Scheme {
	case Sets:
		if p.Order != "" {
			return counted(p.Sets, "set") + " " + string(p.Order)
		}
		return counted(p.Sets, "set")
	case Quality:
		return "for quality"
	case Stations:
		return counted(p.Stations, "station") + " of " + clockText(p.Work) + ", max reps"
	case Rounds:
		if p.Rounds == 1 {
			return "for time"
		}
		return strconv.Itoa(p.Rounds) + " rounds for time"
	case Ladder:
		rungs := make([]string, len(p.Rungs))
		for i, r := range p.Rungs {
			rungs[i] = strconv.Itoa(r)
		}
		return strings.Join(rungs, "-") + " for time"
	case AMRAP:
		return "AMRAP " + clockText(p.Duration)
	case Every:
		text := "every " + clockText(p.Interval) + " for " + clockText(p.Duration)
		if p.Interval == time.Minute {
			text = "EMOM " + clockText(p.Duration)
		}
		if p.Order != "" {
			text += ", " + string(p.Order)
		}
		return text
	case Heaviest:
		return "heaviest " + strconv.Itoa(p.SetReps)
	case Farthest:
		return "farthest in " + clockText(p.Duration)
	}
	return string(p.Scheme) // most reps, longest hold
}

func settingTexts(p Part) []string {
	var out []string
	add := func(is bool, text string) {
		if is {
			out = append(out, text)
		}
	}
	add(p.Scheme == Stations && p.Through > 1, strconv.Itoa(p.Through)+" times through")
	add(p.OwnPace, "own pace")
	add(p.Rest > 0, "rest "+clockText(p.Rest))
	switch {
	case p.RestBetween > 0 && p.RestAfter > 0:
		add(true, "rest "+clockText(p.RestBetween)+" between, "+clockText(p.RestAfter)+" after")
	case p.RestBetween > 0:
		add(true, "rest "+clockText(p.RestBetween)+" between")
	case p.RestAfter > 0:
		add(true, "rest "+clockText(p.RestAfter)+" after")
	}
	add(p.Cap > 0, "cap "+clockText(p.Cap))
	add(p.Scoring != "", string(p.Scoring))
	add(p.Optional, "optional")
	return out
}

// appendMovements adds movements with the lines below them.
func appendMovements(lines []canonLine, part int, moves []Movement) []canonLine {
	for k, m := range moves {
		below := func(word, text string, what string, n int) {
			lines = append(lines, canonLine{"  " + word + ": " + text, false, spot{part: part, move: k, what: what, n: n}})
		}
		lines = append(lines, canonLine{movementText(m), false, spot{part: part, move: k, what: "move"}})
		for n, w := range m.Ways {
			word := string(w.Kind)
			if w.Kind == If {
				word += " " + w.Kit
			}
			below(word, movementText(w.Movement), "way", n)
		}
		for n, c := range m.Cues {
			below("cue", c, "cue", n)
		}
		for n, c := range m.Cares {
			below("care", c, "care", n)
		}
		for n, c := range m.Watches {
			below("watch", c, "watch", n)
		}
	}
	return lines
}

// movementText writes a movement's own line.
func movementText(m Movement) string {
	var b strings.Builder
	if m.Amount.Kind != AmountNone {
		b.WriteString(amountText(m.Amount))
		b.WriteByte(' ')
	}
	b.WriteString(m.Name)
	if m.PerSide > 0 {
		each := m.Amount
		each.Low, each.High = m.Amount.Low/2, m.Amount.High/2
		b.WriteString(", " + sideText(each) + " each side")
	}
	if t := loadText(m.Load); t != "" {
		b.WriteString(", " + t)
	}
	if m.Tempo != "" {
		b.WriteString(", tempo " + m.Tempo)
	}
	if m.HasReserve {
		fmt.Fprintf(&b, ", %d in reserve", m.Reserve)
	}
	if m.Words != "" {
		b.WriteString(", " + m.Words)
	}
	return b.String()
}

// amountText writes an amount: 12, 8-12, max, 30 s, 1:00, 200 m, 15 cal, 60% of A.
func amountText(a Amount) string {
	switch a.Kind {
	case AmountNone:
		return ""
	case AmountMax:
		return "max"
	case AmountPercent:
		return fmt.Sprintf("%d%% of %s", a.Low, a.Of)
	case AmountTime:
		if a.High < 60_000 {
			return fromTo(a, func(ms int64) string { return strconv.FormatInt(ms/1000, 10) }) + " s"
		}
		return sideText(a)
	case AmountDistance:
		unit := a.Unit
		if unit == "" {
			unit = "m"
		}
		return fromTo(a, func(mm int64) string { return decimalText(thousandthsOf(mm, unit)) }) + " " + unit
	case AmountCalories:
		return fromTo(a, func(n int64) string { return strconv.FormatInt(n, 10) }) + " cal"
	}
	return fromTo(a, func(n int64) string { return strconv.FormatInt(n, 10) })
}

// sideText writes the amount of one side: times always as M:SS.
func sideText(a Amount) string {
	if a.Kind != AmountTime {
		return amountText(a)
	}
	return fromTo(a, func(ms int64) string { return clockText(time.Duration(ms) * time.Millisecond) })
}

// fromTo writes a number, or a range from the lower to the higher.
func fromTo(a Amount, text func(int64) string) string {
	if a.High > a.Low {
		return text(a.Low) + "-" + text(a.High)
	}
	return text(a.Low)
}

func loadText(l Load) string {
	var parts []string
	if l.Kit != "" {
		parts = append(parts, l.Kit)
	}
	if l.Grams > 0 {
		unit := l.Unit
		if unit == "" {
			unit = "kg"
		}
		parts = append(parts, decimalText(loadThousandths(Load{Grams: l.Grams, Unit: unit}))+" "+unit)
	}
	if l.Percent > 0 {
		parts = append(parts, fmt.Sprintf("%d%% of %s", l.Percent, l.Of))
	}
	return strings.Join(parts, " ")
}
