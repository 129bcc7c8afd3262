package bot

import (
	"context"
	"slices"
	"strings"

	"tallybell/bot/roster"
)

// kit tells the member's kit, or changes it by a typed list.
func (b *Bot) kit(ctx context.Context, q requested, a *answer) error {
	m := q.st.member
	if strings.TrimSpace(q.r.Argument) == "" {
		_ = say(a, kitWords(m))
		return say(a, textKitHow)
	}
	l := readList(q.r.Argument, b.library.FindKit)
	if len(l.unknown) > 0 {
		return sayUnknown(q, a, "kit", l.unknown, func(s string) []string { return b.library.SuggestKit(s, 3) })
	}
	now := l.on(m.Kit)
	untold := !m.KitTold && (l.none || len(l.names) > 0 || len(l.drop) > 0)
	if (untold || !slices.Equal(now, m.Kit)) && !q.patched() {
		return b.patch(ctx, q, a, roster.Patch{Kit: &now})
	}
	_ = say(a, kitWords(m))
	if before, changed := q.before(); changed && len(before.Kit) > 0 {
		sayLine(a, differences(before.Kit, m.Kit))
	}
	return b.sayRefitted(ctx, q, a)
}

func sayLine(a *answer, line string) {
	if line != "" {
		_ = say(a, line)
	}
}

func kitWords(m roster.Member) string {
	switch {
	case len(m.Kit) > 0:
		return textKitIs + strings.Join(m.Kit, ", ") + "."
	case m.KitTold:
		return textKitNone
	}
	return textKitNotTold
}
