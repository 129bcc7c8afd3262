package bot

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// ownDays is how many days of own results "me" shows.
const ownDays = 14

// showOwn shows the member's own results of the last days, latest day first, and their settings in one line.
func (b *Bot) showOwn(ctx context.Context, q requested, a *answer) error {
	records, err := b.ownRecords(ctx, q.m.From)
	if err != nil {
		return err
	}
	today := q.st.today(q.now)
	records = slices.DeleteFunc(records, func(r leaderboard.Record) bool { return today.DaysSince(r.Date) >= ownDays })
	if len(records) == 0 {
		_ = say(a, fmt.Sprintf(textNothingLogged, ownDays))
		return say(a, settingsWords(q.st.member))
	}
	lines, err := b.resultLines(ctx, q.st.member, records)
	if err != nil {
		return err
	}
	a.Lines = append(a.Lines, lines...)
	if url := strings.TrimSuffix(b.Club().PublicURL, "/"); url != "" {
		_ = say(a, fmt.Sprintf(textAllResults, url+"/me/results"))
	}
	return say(a, settingsWords(q.st.member))
}

// resultLines writes results, latest day first, with a line for each day.
func (b *Bot) resultLines(ctx context.Context, m roster.Member, records []leaderboard.Record) ([]string, error) {
	records = slices.Clone(records)
	slices.SortStableFunc(records, func(x, y leaderboard.Record) int { return y.Date.Compare(x.Date) })
	var lines []string
	var day content.Date
	var sheet content.Session
	for _, r := range records {
		if r.Date != day {
			var err error
			if sheet, err = b.Session(ctx, r.Date); err != nil && asProblem(err) == nil {
				return nil, err
			}
			day = r.Date
			lines = append(lines, dayName(day))
		}
		p := content.Part{}
		if found, ok := sheet.Part(r.Part); ok {
			p = *found
		}
		line := r.Part + ": " + leaderboard.ShowIn(p, r.Result, m.Units)
		if v := versionWords(r.Result.Version); v != "" {
			line += ", " + v
		}
		lines = append(lines, line)
	}
	return lines, nil
}

// settingsWords tells a member's settings in one line. Limits are counted, not named: the line is often shown around.
func settingsWords(m roster.Member) string {
	parts := []string{"level " + levelShort(m), "kit " + kitShort(m), "limits " + countWords(len(m.Limits)), unitsOf(m)}
	switch {
	case m.NoScores:
		parts = append(parts, "no scores")
	case m.OnBoards:
		parts = append(parts, "on the boards")
	default:
		parts = append(parts, "off the boards")
	}
	if m.NoRanks {
		parts = append(parts, "no ranks")
	}
	return "You: " + strings.Join(parts, " · ") + " · sessions at " + m.SendAt.String()
}

func levelShort(m roster.Member) string {
	s := strings.TrimSuffix(strings.TrimPrefix(levelWords(m), textLevelIs), ".")
	s, _, _ = strings.Cut(s, ",")
	return s
}

func kitShort(m roster.Member) string {
	switch {
	case len(m.Kit) > 0:
		return strings.Join(m.Kit, ", ")
	case m.KitTold:
		return "none"
	}
	return "not told"
}

func countWords(n int) string {
	if n == 0 {
		return "none"
	}
	return fmt.Sprint(n)
}

func unitsOf(m roster.Member) string {
	if m.Units == "" {
		return "kg"
	}
	return m.Units
}

// How much of a member's data one answer tells.
const (
	dataResults = 20
	dataNotes   = 10
)

// showData tells everything that is kept about the member: profile, results, notes.
func (b *Bot) showData(ctx context.Context, q requested, a *answer) error {
	_ = say(a, "What is kept about you")
	a.Lines = append(a.Lines, profileLines(q.st.member, q.st.today(q.now))...)
	records, err := b.ownRecords(ctx, q.m.From)
	if err != nil {
		return err
	}
	slices.SortStableFunc(records, func(x, y leaderboard.Record) int { return y.Date.Compare(x.Date) })
	_ = say(a, fmt.Sprintf("\nResults (%d)", len(records)))
	lines, err := b.resultLines(ctx, q.st.member, records[:min(len(records), dataResults)])
	if err != nil {
		return err
	}
	a.Lines = append(a.Lines, lines...)
	b.sayMore(a, len(records)-dataResults)
	notes, err := b.ownNotes(ctx, q.m.From)
	if err != nil {
		return err
	}
	_ = say(a, fmt.Sprintf("\nNotes for your coach (%d)", len(notes)))
	for _, n := range notes[:min(len(notes), dataNotes)] {
		_ = say(a, dayName(q.st.today(time.UnixMilli(n.At)))+": "+noteLine(n))
	}
	b.sayMore(a, len(notes)-dataNotes)
	if b.Club().PublicURL != "" && len(records) <= dataResults && len(notes) <= dataNotes {
		_ = say(a, "\n"+fmt.Sprintf(textDataWhere, strings.TrimSuffix(b.Club().PublicURL, "/")))
	}
	return say(a, "\n"+textDataRest)
}

// sayMore tells how much more there is, and where.
func (b *Bot) sayMore(a *answer, n int) {
	if n > 0 {
		_ = say(a, fmt.Sprintf("… and %d more. "+textDataWhere, n, strings.TrimSuffix(b.Club().PublicURL, "/")))
	}
}

// profileLines tells a profile, a line for each thing that is kept.
func profileLines(m roster.Member, today content.Date) []string {
	lines := []string{"Name: " + m.Name}
	tell := func(what, value string) {
		if value != "" {
			lines = append(lines, what+": "+value)
		}
	}
	tell("Division", m.Division)
	if m.BirthYear > 0 {
		tell("Birth year", fmt.Sprint(m.BirthYear))
	}
	tell("Sessions at", m.SendAt.String()+", "+m.Zone)
	tell("Kit", kitShort(m))
	tell("Level", levelShort(m))
	tell("Limits", strings.Join(m.Limits, ", "))
	for _, s := range m.Swaps {
		when := "always"
		if !s.On.IsZero() {
			when = s.On.String()
		}
		tell("Your choice", fmt.Sprintf("%s for %s (%s)", s.Way, s.Movement, when))
	}
	tell("Units", unitsOf(m))
	tell("Usual version", versionWords(m.Usual))
	for _, s := range []struct {
		on   bool
		text string
	}{{m.OnBoards, "On the boards"}, {!m.OnBoards, "Off the boards"}, {m.NoRanks, "Told no ranks"}, {m.NoScores, "Logs no scores"},
		{m.Remind, "Reminded in the evening"}, {m.Held(), "Held since a warning sign, until your coach lifts it"}, {m.PausedOn(today), "Paused"}} {
		if s.on {
			lines = append(lines, s.text)
		}
	}
	if m.Joined() {
		tell("Joined", m.JoinedOn.String())
	}
	return lines
}

func noteLine(n note) string {
	line := n.Said
	switch {
	case n.Misread:
		line += " (marked as misread)"
	case n.Care != "":
		line += " (told to your coach as a matter of health)"
	case n.Kind == noteAway:
		line += " (excused)"
	}
	return line
}

// notesFor reads what a member wrote on some dates.
func (b *Bot) notesFor(ctx context.Context, member string, dates []content.Date) (map[content.Date]dayNotes, error) {
	fields := make([]store.Field, len(dates))
	for i, d := range dates {
		fields[i] = notesField(d, member)
	}
	raw, err := b.club.ResultsOf(ctx, fields)
	if err != nil {
		return nil, err
	}
	out := map[content.Date]dayNotes{}
	for f, v := range raw {
		d, err := content.ParseDate(f.Date)
		if err != nil {
			return nil, fmt.Errorf("stored notes: %w", err)
		}
		var n dayNotes
		if err := json.Unmarshal(v, &n); err != nil {
			return nil, fmt.Errorf("notes of %s: %w", f.Date, err)
		}
		out[d] = n
	}
	return out, nil
}

// ownNotes returns every note that a member wrote, latest first.
func (b *Bot) ownNotes(ctx context.Context, member string) ([]note, error) {
	dates, err := b.resultDates(ctx)
	if err != nil {
		return nil, err
	}
	days, err := b.notesFor(ctx, member, dates)
	if err != nil {
		return nil, err
	}
	var out []note
	for _, d := range days {
		out = append(out, d.Notes...)
	}
	slices.SortFunc(out, func(x, y note) int {
		if x.At != y.At {
			return int(y.At - x.At)
		}
		return strings.Compare(x.ID, y.ID)
	})
	return out, nil
}
