package content

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// exactClock returns how long a part takes where its scheme fixes that, else 0.
func exactClock(p Part, lib *Library) time.Duration {
	switch p.Scheme {
	case AMRAP, Every, Farthest, Stations:
		low, _ := Estimate(p, lib)
		return low
	}
	return 0
}

// Text returns the session as plain text that reads in any chat on a phone: short lines, no tables. It says all that
// the card says; cautions stand in full below the movement they belong to.
func Text(fs FittedSession, lib *Library) string {
	c := NewCard(fs, lib)
	var t textWriter
	t.head(c)
	if c.Rest {
		return t.String()
	}
	t.section("WARM-UP", c.WarmUp)
	for _, p := range c.Parts {
		t.part(p)
	}
	t.section("COOL-DOWN", c.CoolDown)
	if len(c.Words) > 0 {
		t.gap()
		t.line("IN WORDS")
		for _, w := range c.Words {
			t.line("%s: %s (%s)", capital(w.Name), w.OneRep, strings.Join(w.Cues, "; "))
		}
	}
	return t.String()
}

// textWriter gathers lines; a gap is one empty line between two blocks.
type textWriter struct{ b strings.Builder }

func (t *textWriter) String() string { return t.b.String() }

func (t *textWriter) line(format string, args ...any) {
	fmt.Fprintf(&t.b, format, args...)
	t.b.WriteByte('\n')
}

func (t *textWriter) gap() {
	if t.b.Len() > 0 {
		t.b.WriteByte('\n')
	}
}

// told writes a line only if there is something to tell.
func (t *textWriter) told(before, what string) {
	if what != "" {
		t.line("%s%s", before, what)
	}
}

func (t *textWriter) head(c Card) {
	t.line("%s", strings.ToUpper(c.Title))
	t.told("", c.Day)
	t.told("", c.Programme)
	t.told("Focus: ", c.Focus)
	t.told("Level: ", c.Level)
	t.told("Effort: ", c.Effort)
	if c.Rest {
		t.gap()
		t.line("Rest day.")
		t.told("", c.About)
		t.told("", c.Note)
		return
	}
	if c.NoKit {
		t.line("You need: nothing")
	}
	t.told("You need: ", strings.Join(c.Kit, ", "))
	for _, k := range c.KitCares {
		for _, care := range k.Cares {
			t.line("  %s: %s", k.Label, care)
		}
	}
	switch {
	case c.Length != "":
		t.line("Time: up to %s", c.Length)
	case c.Estimate != "":
		t.line("Time: about %s", c.Estimate)
	}
	if c.About != "" || c.Note != "" {
		t.gap()
	}
	t.told("", c.About)
	t.told("Note: ", c.Note)
	if c.Choose != "" || c.Short != "" {
		t.gap()
	}
	t.told("Your choice: ", c.Choose)
	if c.Short != "" {
		t.line("Short of time today: do %s", c.Short)
	}
}

func (t *textWriter) section(title string, ms []CardMovement) {
	if len(ms) == 0 {
		return
	}
	t.gap()
	t.line("%s", title)
	for _, m := range ms {
		t.movement("•", m)
	}
}

func (t *textWriter) part(p CardPart) {
	t.gap()
	t.line("PART %s", p.Letter)
	t.line("%s", p.Scheme)
	t.told("", p.Choice)
	t.told("", p.Short)
	t.told("Cap: ", p.Cap)
	for _, s := range p.Settings {
		t.line("%s", s)
	}
	t.told("Aim: ", p.Aim)
	t.told("Note: ", p.Note)
	t.told("", p.EasedSays)
	for i, m := range p.Movements {
		mark := "•"
		if len(p.Movements) > 1 {
			mark = fmt.Sprintf("%d)", i+1)
		}
		t.movement(mark, m)
	}
	if p.Reply == "" {
		return
	}
	reply := p.Reply
	if strings.HasSuffix(reply, " scaled") {
		reply += " (or: as written)"
	}
	t.line("Reply like: %s", reply)
	t.told("Out of time: ", p.Unfinished)
}

func (t *textWriter) movement(mark string, m CardMovement) {
	if m.Clock != "" {
		mark += " " + m.Clock + ":"
	}
	switch why := strings.Join(m.Why, "; "); {
	case m.LeaveOut:
		if why != "" {
			why = " (" + why + ")"
		}
		t.line("%s Leave out: %s%s", mark, m.Text, why)
		return
	case m.NoFit:
		t.line("%s No fit: %s", mark, m.Text)
	default:
		t.line("%s %s", mark, m.Text)
	}
	why := m.Why
	if m.Counts != "" {
		why = append(slices.Clone(why), m.Counts)
	}
	if len(why) > 0 {
		t.line("  (%s)", strings.Join(why, "; "))
	}
	t.told("  Load: ", m.Load)
	t.told("  Tempo: ", m.Tempo)
	t.told("  ", m.Reserve)
	t.cautions("  ", m.Cautions, m.Test)
	if m.Coached { // the library's cues stand below, in words
		for _, cue := range m.Cues {
			t.line("  Think: %s", cue)
		}
	}
	for _, w := range m.Ways {
		t.line("  %s: %s", w.Label, w.Text)
		t.told("    Load: ", w.Load)
		t.told("    Tempo: ", w.Tempo)
		t.cautions("    ", w.Cautions, w.Test)
	}
	for _, link := range m.Links {
		t.line("  Watch: %s", link)
	}
}

// cautions writes every caution in full.
func (t *textWriter) cautions(indent string, cautions []string, test string) {
	for _, care := range cautions {
		t.line("%sTake care: %s", indent, care)
	}
	t.told(indent+"Test first: ", test)
}
