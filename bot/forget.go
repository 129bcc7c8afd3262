package bot

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tallybell/bot/roster"
	"tallybell/leaderboard/store"
)

// Forget removes everything of a member, here or gone: profile, ledger, results, notes, places on boards, tokens, their
// conversation, what of their words was passed to the coaches, and their line in what others were shown of boards. What
// remains is what coaches typed themselves, backups, and counts. n is the number of the change: above 0 they are gone,
// and an error then tells what is still to be cleaned. It is safe to repeat.
func (b *Bot) Forget(ctx context.Context, id string) (n int64, err error) {
	m, ok := b.roster.Get(id)
	if !ok || m.Role != roster.RoleMember {
		return 0, &Problem{Code: "not_found", Text: "There is no such member."}
	}
	// First of all what stands with others: whoever is gone cannot ask again if that is cut short.
	if err := b.forgetElsewhere(ctx, id); err != nil {
		return 0, err
	}
	if n, err = b.club.Forget(ctx, b.clock.Now(), id); err != nil {
		return n, fmt.Errorf("forgetting a member: %w", err)
	}
	b.states.drop(id)
	b.marks.forget(id)
	err = errors.Join(b.roster.Forgotten(ctx, id), b.forgetElsewhere(ctx, id), b.club.Compact(ctx)) // others may have been shown them meanwhile
	b.hint(Hint{Member: id, N: n})
	return n, err
}

// forgetElsewhere takes a member out of everybody else's conversation.
func (b *Bot) forgetElsewhere(ctx context.Context, id string) error {
	people, err := b.club.Members(ctx)
	if err != nil {
		return err
	}
	delete(people, id)
	touched := map[string]bool{}
	err = b.club.EachMail(ctx, slices.Sorted(maps.Keys(people)), func(m string, e store.MailEntry) bool {
		touched[m] = touched[m] || strings.Contains(e.ID, id) || bytes.Contains(e.Fact, []byte(id))
		return !touched[m]
	})
	if err != nil {
		return err
	}
	for _, m := range slices.Sorted(maps.Keys(touched)) {
		if !touched[m] {
			continue
		}
		_, err := b.club.RewriteMail(ctx, b.clock.Now(), m, func(e store.MailEntry) ([]byte, bool) { return without(id, e) })
		if err != nil {
			return err
		}
		b.states.drop(m)
	}
	return nil
}

// without is an entry of somebody's mail as it reads once a member is forgotten; false when nothing of it is left.
func without(id string, e store.MailEntry) ([]byte, bool) {
	a, err := readAnswer(e.Fact)
	if err != nil {
		return e.Fact, true
	}
	if a.Kind == NoticePost && a.By == id || strings.HasPrefix(e.ID, passedID(id, "")) {
		return nil, false
	}
	if !a.names(id) {
		return e.Fact, true
	}
	var kept []standing
	for _, s := range a.Standing {
		switch {
		case s.Member != id:
			kept = append(kept, s)
		case s.Head != "":
			kept = append(kept, standing{Head: s.Head})
		}
	}
	a.Standing = kept
	return a.bytes(), true
}

// names reports whether a line of the answer is about the member.
func (a answer) names(member string) bool {
	return slices.ContainsFunc(a.Standing, func(s standing) bool { return s.Member == member })
}

// passedID is the once-only name of a notice to a coach about a member's message.
func passedID(member, id string) string {
	if id == "" {
		return "from:" + member + ":"
	}
	return "from:" + member + ":" + digest(id)
}
