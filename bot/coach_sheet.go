package bot

import (
	"context"
	"fmt"
	"strings"
	"time"

	"tallybell/content"
)

// maxTold bounds how many problems of a pasted sheet are told at once.
const maxTold = 20

// isSheet reports whether a coach's message is a pasted sheet: several lines, one of which begins the session or a part.
func isSheet(text string) bool {
	lines := strings.Split(text, "\n")
	if len(lines) < 2 {
		return false
	}
	for _, l := range lines {
		key, _, ok := strings.Cut(strings.ToLower(strings.TrimSpace(l)), ":")
		if ok && (key == "session" || key == "rest") {
			return true
		}
		if l = strings.TrimSpace(l); len(l) > 2 && l[0] >= 'A' && l[0] <= 'Z' && (l[1] == '.' || l[1] == ')') {
			return true
		}
	}
	return false
}

// takeSheet keeps a pasted sheet as the draft of its date (tomorrow's, if it has none) and shows it as members read it,
// or tells what is wrong with it; then nothing is kept.
func (b *Bot) takeSheet(ctx context.Context, text string, today content.Date, a *answer) error {
	date := today.AddDays(1)
	s, problems := content.Read(b.library, date.String()+".txt", []byte(text))
	if !s.Date.IsZero() && s.Date != date {
		date = s.Date
		s, problems = content.Read(b.library, date.String()+".txt", []byte(text))
	} else if told, ok := dateOf(text); ok && told != date {
		date = told
		s, problems = content.Read(b.library, date.String()+".txt", []byte(text))
	}
	errs := content.Errors(problems)
	for i, p := range append(errs, content.Warnings(problems)...) {
		if i == maxTold {
			_ = say(a, fmt.Sprintf("and %d more", len(problems)-i))
			break
		}
		_ = say(a, "line "+p.In("")[1:])
	}
	if len(errs) > 0 {
		return say(a, "Nothing is kept. Mend these and paste the sheet again.")
	}
	res, err := b.PutSheet(ctx, date, []byte(text), PutOptions{Draft: true})
	if p := asProblem(err); p != nil {
		return say(a, p.Text)
	}
	if err != nil {
		return err
	}
	for _, n := range res.NoFit {
		a.Standing = append(a.Standing, standing{Head: fmt.Sprintf("%s: no way to do %s for", n.Part, n.Movement)})
		for _, id := range n.Members {
			a.Standing = append(a.Standing, standing{Member: id})
		}
	}
	_ = say(a, content.Text(content.Unfitted(s), b.library))
	word := date.String()
	_ = say(a, fmt.Sprintf("Kept as a draft for %s. Reply: publish %s (it goes out at each member's send time), or: send %s (now).", dayName(date), word, word))
	return nil
}

// dateOf returns the date that a sheet's own date line tells.
func dateOf(text string) (content.Date, bool) {
	for _, l := range strings.Split(text, "\n") {
		key, value, ok := strings.Cut(l, ":")
		if ok && strings.EqualFold(strings.TrimSpace(key), "date") {
			d, err := content.ParseDate(strings.TrimSpace(value))
			return d, err == nil
		}
	}
	return content.Date{}, false
}

// coachDate reads the day that a coach's command is about; none is the day given.
func coachDate(word string, none content.Date) (content.Date, string) {
	word = strings.ToLower(strings.TrimSpace(word))
	switch word {
	case "":
		return none, ""
	case "today", "yesterday", "tomorrow":
		return none.AddDays(map[string]int{"today": 0, "yesterday": -1, "tomorrow": 1}[word]), ""
	}
	d, err := content.ParseDate(word)
	if err != nil {
		return d, fmt.Sprintf("%q is no day. Write it as 2027-02-01, or today, tomorrow, yesterday.", word)
	}
	return d, ""
}

func (b *Bot) publishDraft(ctx context.Context, q coached, a *answer) error {
	date, problem := coachDate(q.rest, q.today.AddDays(1))
	if problem != "" {
		return say(a, problem)
	}
	if err := b.Publish(ctx, date); err != nil {
		return tellOr(a, err)
	}
	return say(a, "Published: the session of "+dayName(date)+" goes out to each member at their send time.")
}

// sendSession publishes a draft where there is one and sends the session now.
func (b *Bot) sendSession(ctx context.Context, q coached, a *answer) error {
	date, problem := coachDate(q.rest, q.today)
	if problem != "" {
		return say(a, problem)
	}
	if stored, err := b.Sheet(ctx, date); err == nil && stored.Draft {
		if err := b.Publish(ctx, date); err != nil {
			return tellOr(a, err)
		}
	}
	sent, err := b.SendNow(ctx, date)
	if err != nil {
		return tellOr(a, err)
	}
	return say(a, fmt.Sprintf("%s: sent to %s now. Whoever had it before is not sent it again.", dayName(date), members(sent.Members)))
}

func members(n int) string {
	if n == 1 {
		return "1 member"
	}
	return fmt.Sprintf("%d members", n)
}

// tellOr says what a Problem says; any other error is passed on.
func tellOr(a *answer, err error) error {
	if p := asProblem(err); p != nil {
		return say(a, p.Text)
	}
	return err
}

// coached is one thing that the coach typed.
type coached struct {
	m     Message
	rest  string // after the command's word
	today content.Date
	now   time.Time
}
