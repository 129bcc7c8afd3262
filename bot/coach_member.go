package bot

import (
	"context"
	"fmt"
	"strings"

	"tallybell/bot/roster"
	"tallybell/content"
)

// tellMember puts a private word into one member's conversation; questions that they have open are answered by it.
func (b *Bot) tellMember(ctx context.Context, q coached, a *answer) error {
	m, words, problem := b.whom(q.rest)
	switch {
	case problem != nil:
		return problem.tell(a)
	case words == "":
		return say(a, "Tell them what? Write: tell NAME: your words.")
	}
	if _, err := b.Tell(ctx, q.m.From, q.m.ID, m.ID, words); err != nil {
		return tellOr(a, err)
	}
	a.Standing = append(a.Standing, standing{Head: "Told, for them alone:", Member: m.ID})
	return nil
}

// fixMember corrects a member's result: "fix NAME D 14:23 because …", with a day before the part if not today's.
func (b *Bot) fixMember(ctx context.Context, q coached, a *answer) error {
	f, problem := b.readFix(q)
	if problem != nil {
		return problem.tell(a)
	}
	if f.value == "" {
		return say(a, fmt.Sprintf("To what? Write: fix NAME %s and the right result, because and why.", f.part))
	}
	row, err := b.Correct(ctx, q.m.From, q.m.ID, f.date, f.part, f.member.ID, f.value, f.why)
	if err != nil {
		return tellOr(a, err)
	}
	show := row.Part + " is now " + row.Show
	if v := versionWords(row.Result.Version); v != "" {
		show += ", " + v
	}
	a.Standing = append(a.Standing, standing{Head: "Corrected, and they have been told:", Member: f.member.ID, Show: show})
	return nil
}

// scrapMember takes a member's result away: "scrap NAME D because …".
func (b *Bot) scrapMember(ctx context.Context, q coached, a *answer) error {
	f, problem := b.readFix(q)
	if problem != nil {
		return problem.tell(a)
	}
	if err := b.RemoveResult(ctx, q.m.From, q.m.ID, f.date, f.part, f.member.ID, f.why); err != nil {
		return tellOr(a, err)
	}
	a.Standing = append(a.Standing, standing{Head: "Taken away, and they have been told:", Member: f.member.ID, Show: "part " + f.part})
	return nil
}

// fixing is what a coach's correction says.
type fixing struct {
	member     roster.Member
	date       content.Date
	part       string
	value, why string
}

// readFix reads NAME [DAY] PART [VALUE] because WHY.
func (b *Bot) readFix(q coached) (f fixing, problem *unclear) {
	var rest string
	if f.member, rest, problem = b.whom(q.rest); problem != nil {
		return f, problem
	}
	f.date = q.today
	if day, after, _ := strings.Cut(rest, " "); len(day) > 1 {
		if d, wrong := coachDate(day, q.today); wrong == "" {
			f.date, rest = d, strings.TrimSpace(after)
		}
	}
	i := strings.Index(strings.ToLower(rest), "because")
	if i < 0 {
		return f, &unclear{text: "Why? The member is told. Write: fix NAME D 14:23 because and the reason."}
	}
	f.why = strings.TrimSpace(strings.TrimLeft(rest[i+len("because"):], " :,"))
	if f.why == "" {
		return f, &unclear{text: "Why? The member is told: write the reason after because."}
	}
	part, value, _ := strings.Cut(strings.TrimSpace(strings.TrimRight(rest[:i], " ,;")), " ")
	f.part, f.value = strings.ToUpper(strings.TrimRight(part, ":.)")), strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(value), "to "))
	if len(f.part) != 1 || f.part[0] < 'A' || f.part[0] > 'Z' {
		return f, &unclear{text: "Which part? Write its letter after the name: fix NAME D 14:23 because and the reason."}
	}
	return f, nil
}

// liftMember lets sessions and ranks reach a member again whom a warning sign held.
func (b *Bot) liftMember(ctx context.Context, q coached, a *answer) error {
	m, _, problem := b.whom(q.rest)
	if problem != nil {
		return problem.tell(a)
	}
	if !m.Held() {
		a.Standing = append(a.Standing, standing{Head: "Nothing is held from them:", Member: m.ID})
		return nil
	}
	off := false
	if _, err := b.roster.Update(ctx, q.now, m.ID, roster.Patch{Held: &off}); err != nil {
		return fmt.Errorf("lifting a member: %w", err)
	}
	b.states.drop(m.ID)
	a.Standing = append(a.Standing, standing{Head: "Lifted: their next session comes as usual.", Member: m.ID})
	return nil
}
