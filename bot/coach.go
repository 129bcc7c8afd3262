package bot

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard/store"
)

const textCoachHelp = "What you can type here:\n" +
	"a whole sheet (it is checked, shown and kept as a draft)\n" +
	"publish, or send (tomorrow's draft; today's session now)\n" +
	"say … (a word to all members)\n" +
	"tell NAME: … (to one of them)\n" +
	"fix NAME D 14:23 because … · scrap NAME D because …\n" +
	"lift NAME (after a warning sign, once you two have spoken)\n" +
	"board, board D, board yesterday D, board week\n" +
	"standings 2027-01-01 2027-01-31 (a division may stand behind)\n" +
	"morning · who is missing · questions\n" +
	"A day may stand after the word, as 2027-02-01. Everything else is on your page."

// coachFunc does what a coach's word asks for. It may be done again for the same message and then changes nothing more.
type coachFunc func(b *Bot, ctx context.Context, q coached, a *answer) error

// coachWords are what a coach can type, by the first word.
var coachWords = map[string]coachFunc{
	"say":       (*Bot).sayToAll,
	"send":      (*Bot).sendSession,
	"publish":   (*Bot).publishDraft,
	"tell":      (*Bot).tellMember,
	"fix":       (*Bot).fixMember,
	"correct":   (*Bot).fixMember,
	"scrap":     (*Bot).scrapMember,
	"remove":    (*Bot).scrapMember,
	"lift":      (*Bot).liftMember,
	"board":     (*Bot).coachBoard,
	"boards":    (*Bot).coachBoard,
	"standings": (*Bot).coachStandings,
	"who":       (*Bot).tellMissing,
	"missing":   (*Bot).tellMissing,
	"questions": (*Bot).tellQuestions,
	"morning":   (*Bot).tellMorning,
	"report":    (*Bot).tellMorning,
}

// coachOutcome answers what the coach types in chat. Each thing is once-only by the message's id or by its nature, so
// a repeat does nothing twice.
func (b *Bot) coachOutcome(ctx context.Context, st *state, m Message, now time.Time) (outcome, error) {
	out := outcome{answer: answer{Kind: AnswerPost, At: now.UnixMilli(), Said: m.Text}}
	text := strings.TrimSpace(m.Text)
	if isSheet(text) {
		return out, b.takeSheet(ctx, m.Text, st.today(now), &out.answer)
	}
	word, rest, _ := strings.Cut(text, " ")
	if i := strings.IndexAny(word, ":\n"); i > 0 {
		word, rest = text[:i], text[i+1:]
	}
	do, ok := coachWords[strings.ToLower(strings.TrimRight(word, ",.?!"))]
	if !ok {
		return out, say(&out.answer, textCoachHelp)
	}
	return out, do(b, ctx, coached{m: m, rest: strings.TrimSpace(rest), today: st.today(now), now: now}, &out.answer)
}

func (b *Bot) sayToAll(ctx context.Context, q coached, a *answer) error {
	words, now := q.rest, q.now
	if words == "" {
		return say(a, "Say what? Write: say … and your words.")
	}
	fact, err := json.Marshal(postFact{Kind: CoachPost, At: now.UnixMilli(), Text: words})
	if err != nil {
		return fmt.Errorf("word to all: %w", err)
	}
	if _, _, err := b.post(ctx, now, store.Post{Date: content.DateOf(now.UTC()).String(), OnceID: "say:" + q.m.ID, Bucket: "*", Fact: fact}); err != nil {
		return err
	}
	return say(a, "Said to all.")
}

func (b *Bot) tellMissing(ctx context.Context, q coached, a *answer) error {
	d := q.today
	if words := strings.Fields(strings.Trim(q.rest, "?")); len(words) > 0 {
		if day, wrong := coachDate(words[len(words)-1], d); wrong == "" {
			d = day
		}
	}
	r, err := b.whoCame(ctx, d)
	if p := asProblem(err); p != nil {
		return say(a, p.Text)
	}
	if err != nil {
		return err
	}
	if len(r.Missing) == 0 {
		return say(a, "Nobody is missing for "+dayName(d)+".")
	}
	_ = say(a, fmt.Sprintf("Not heard from for %s: %d", dayName(d), len(r.Missing)))
	for i, p := range r.Missing {
		a.Standing = append(a.Standing, standing{Rank: int64(i + 1), Member: p.Member})
	}
	return nil
}

// tellQuestions lists what members asked and nobody has answered; the words are looked up on reading, since they go when
// a member is forgotten.
func (b *Bot) tellQuestions(ctx context.Context, _ coached, a *answer) error {
	qs, err := b.Questions(ctx)
	if err != nil {
		return err
	}
	if len(qs) == 0 {
		return say(a, "No question waits for you.")
	}
	_ = say(a, fmt.Sprintf("%d waiting. Answer with: tell NAME: your words.", len(qs)))
	for i, x := range qs {
		if i == maxTold {
			a.Standing = append(a.Standing, standing{Head: fmt.Sprintf("and %d more on your page", len(qs)-i)})
			break
		}
		a.Standing = append(a.Standing, standing{Member: x.Member, Show: x.Said})
	}
	return nil
}

func asProblem(err error) *Problem {
	var p *Problem
	if errors.As(err, &p) {
		return p
	}
	return nil
}

// hold keeps sessions and ranks from a member after a warning sign, until the coach lifts it.
func (b *Bot) hold(ctx context.Context, id string, now time.Time) error {
	on := true
	if _, err := b.roster.Update(ctx, now, id, roster.Patch{Held: &on}); err != nil {
		return fmt.Errorf("holding a member: %w", err)
	}
	return nil
}

// passOn tells the coach's conversation at once that somebody hurts or asks; the page shows it too. It is once-only by
// the member's message, and a failure is logged: the words themselves are safe in the day's notes.
func (b *Bot) passOn(m Message, st *state, out outcome, now time.Time) {
	if out.answer.Care == "" && !out.answer.Passed {
		return
	}
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	for _, c := range b.roster.All() {
		if c.Role != roster.RoleCoach {
			continue
		}
		if err := b.notify(ctx, c.ID, passedID(m.From, m.ID), answer{Kind: NoticePost, At: now.UnixMilli(),
			Words: coachNotice(out.answer), Standing: []standing{{Member: m.From, Show: m.Text}}, By: st.member.ID}, now); err != nil {
			b.log.Error().Err(err).Msg("the coach's conversation was not told; the day's notes hold it")
		}
	}
}

func coachNotice(a answer) string {
	switch a.Care {
	case "stop":
		return "A member wrote of a warning sign" + careMovement(a.CareMovement) + ". Their next session waits until you lift it: on your page, or reply lift and their name. They wrote:"
	case "check":
		return careNotice(a.CareAbout, a.CareMovement)
	}
	return "A member asks:"
}

// notify puts a fact into somebody's mail, once by its id.
func (b *Bot) notify(ctx context.Context, id, once string, a answer, now time.Time) error {
	for range attempts {
		got, err := b.club.State(ctx, id)
		if err != nil {
			return err
		}
		if got.Last != nil {
			if was, err := readAnswer(got.Last.Fact); err == nil {
				a.Open = was.Open
			}
		}
		said, err := b.club.Say(ctx, now, store.Utterance{Member: id, Top: got.Top, ID: once, Digest: digest(once), Fact: a.bytes()})
		if err != nil {
			return err
		}
		b.states.drop(id)
		if said.Outcome != store.Stale {
			b.hint(Hint{Member: id, N: said.N})
			return nil
		}
	}
	return fmt.Errorf("telling %s: %w", once, store.ErrStale)
}
