package bot

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// boardLines is how many lines of each block a board shows in chat.
const boardLines = 5

// showBoard shows the boards of the latest session, of one part or of all: the first lines of each block.
func (b *Bot) showBoard(ctx context.Context, q requested, a *answer) error {
	if q.st.member.Held() {
		return say(a, textHeld)
	}
	if len(q.st.days) == 0 {
		return say(a, textNoSession)
	}
	d := q.st.days[0]
	asked := strings.ToUpper(strings.TrimSpace(q.r.Argument))
	if asked == boardWeek {
		return b.showWeek(ctx, q, a)
	}
	if asked != "" {
		p, ok := d.fitted.Sheet.Part(asked)
		switch {
		case !ok:
			return say(a, fmt.Sprintf(textNoPart, q.whose(), asked))
		case !p.IsScored():
			return say(a, fmt.Sprintf(textNotScored, asked))
		}
	}
	for _, p := range d.fitted.Sheet.Parts {
		if !p.IsScored() || asked != "" && asked != p.Letter {
			continue
		}
		page, err := b.boards().Page(ctx, d.date, p, leaderboard.Query{Limit: boardLines, Around: q.m.From, Units: q.st.member.Units,
			Joint: b.Club().JointRanks})
		if err != nil {
			return err
		}
		a.Standing = append(a.Standing, boardStanding(p.Letter, page, q.m.From)...)
	}
	if len(a.Standing) == 0 {
		return say(a, fmt.Sprintf(textEmptyBoard, dayName(d.date)))
	}
	return nil
}

// boardStanding is a page of a part's boards as lines of an answer: of each block the first lines, and those around the
// one who asks where theirs lies beyond.
func boardStanding(part string, page leaderboard.Page, who string) []standing {
	var out []standing
	for _, block := range page.Boards {
		out = append(out, standing{Head: fmt.Sprintf("%s, %s, %s (%d)", part, block.Division, versionWords(block.Version), block.Of)})
		for _, l := range block.Entries {
			out = append(out, lineStanding(l, block))
		}
		for i, l := range unseen(block, who) {
			s := lineStanding(l, block)
			if i == 0 {
				s.Head = textAround
			}
			out = append(out, s)
		}
	}
	return out
}

// unseen returns the lines around a member that are not among a block's first lines.
func unseen(block leaderboard.Block, who string) []leaderboard.Line {
	return slices.DeleteFunc(slices.Clone(block.Beyond(who)), func(l leaderboard.Line) bool {
		return slices.ContainsFunc(block.Entries, func(e leaderboard.Line) bool { return e.Member == l.Member })
	})
}

func lineStanding(l leaderboard.Line, block leaderboard.Block) standing {
	s := standing{Rank: int64(l.Rank), Member: l.Member, Show: l.Result + beside(l.Beside())}
	if l.Joint > 0 && block.Version == content.Scaled {
		s.Show += fmt.Sprintf(textJoint, ordinal(int64(l.Joint)))
	}
	return s
}

// hideMe takes the member off the boards; "no ranks" and "no scores" are told with the same word of the reader.
func (b *Bot) hideMe(ctx context.Context, q requested, a *answer) error {
	switch q.r.Argument {
	case "ranks":
		return b.ranks(ctx, q, a, false)
	case "scores":
		return b.scores(ctx, q, a, false)
	}
	return b.onBoards(ctx, q, a, roster.Patch{OnBoards: new(bool)}, textHidden)
}

// showMe is "show me" (stand on boards); "show" alone is today's session.
func (b *Bot) showMe(ctx context.Context, q requested, a *answer) error {
	switch {
	case q.r.Argument == "ranks":
		return b.ranks(ctx, q, a, true)
	case q.r.Argument == "scores":
		return b.scores(ctx, q, a, true)
	case !strings.Contains(strings.ToLower(q.r.Reply), "me"):
		return b.showToday(ctx, q, a)
	}
	on, off := true, false
	return b.onBoards(ctx, q, a, roster.Patch{OnBoards: &on, NoScores: &off}, textShown)
}

// ranks has ranks told, or left out of every answer.
func (b *Bot) ranks(ctx context.Context, q requested, a *answer, on bool) error {
	if off := !on; q.st.member.NoRanks != off && !q.patched() {
		return b.patch(ctx, q, a, roster.Patch{NoRanks: &off})
	}
	if on {
		return say(a, textRanks)
	}
	return say(a, textNoRanks)
}

// scores lets the member log that they were there without a score, and stand on no board, until they want scores again.
func (b *Bot) scores(ctx context.Context, q requested, a *answer, on bool) error {
	off := !on
	if on {
		if q.st.member.NoScores && !q.patched() {
			return b.patch(ctx, q, a, roster.Patch{NoScores: &off})
		}
		return say(a, textScores)
	}
	return b.onBoards(ctx, q, a, roster.Patch{OnBoards: &on, NoScores: &off}, textNoScores)
}

// onBoards makes a change of standing on boards, and stands what is logged where it belongs by then.
func (b *Bot) onBoards(ctx context.Context, q requested, a *answer, p roster.Patch, text string) error {
	m := q.st.member
	if (m.OnBoards != *p.OnBoards || p.NoScores != nil && m.NoScores != *p.NoScores) && !q.patched() {
		return b.patch(ctx, q, a, p)
	}
	moved, err := b.standsOff(ctx, q.m.From)
	if err != nil {
		return err
	}
	if moved {
		if err := b.restandMember(ctx, q.m.From, q.m.From, a.Said); err != nil {
			return err
		}
		return store.ErrStale
	}
	return say(a, text)
}

// standsOff reports whether some result of the member stands elsewhere than the profile says.
func (b *Bot) standsOff(ctx context.Context, id string) (bool, error) {
	records, err := b.ownRecords(ctx, id)
	if err != nil {
		return false, err
	}
	changes, err := b.restood(ctx, id, id, "", records)
	return len(changes) > 0, err
}

// ownRecords returns every result of a member that stands, by date, part and kind.
func (b *Bot) ownRecords(ctx context.Context, id string) ([]leaderboard.Record, error) {
	entries, err := b.ledger(ctx, id)
	if err != nil {
		return nil, err
	}
	return leaderboard.Current(entries), nil
}
