package bot

import (
	"context"
	"slices"
	"strings"

	"tallybell/bot/roster"
	"tallybell/content"
)

// limits tells the member's limits, or changes them by a typed list. Nothing about why is asked or kept.
func (b *Bot) limits(ctx context.Context, q requested, a *answer) error {
	m := q.st.member
	if strings.TrimSpace(q.r.Argument) == "" {
		_ = say(a, limitWords(m))
		_ = say(a, textLimitsAre)
		return say(a, textLimitsHow)
	}
	l := readList(q.r.Argument, findLimit)
	if len(l.unknown) > 0 {
		return sayUnknown(q, a, "limits", l.unknown, suggestLimits)
	}
	if now := l.on(m.Limits); !slices.Equal(now, m.Limits) && !q.patched() {
		return b.patch(ctx, q, a, roster.Patch{Limits: &now})
	}
	_ = say(a, limitWords(m))
	if before, changed := q.before(); changed && len(before.Limits) > 0 {
		sayLine(a, differences(before.Limits, m.Limits))
	}
	return b.sayRefitted(ctx, q, a)
}

func limitWords(m roster.Member) string {
	if len(m.Limits) == 0 {
		return textNoLimits
	}
	return textLimitsTold + strings.Join(m.Limits, ", ") + ". " + textLimitsPrivate
}

// limitSpellings are everyday words for limits, which leave no doubt.
var limitSpellings = map[string]string{
	"no jumps": content.LimitNoJumping, "no jump": content.LimitNoJumping, "not jumping": content.LimitNoJumping, "no hopping": content.LimitNoJumping,
	"no impact": content.LimitNoJumping, "no noise": content.LimitQuiet, "quietly": content.LimitQuiet, "must be quiet": content.LimitQuiet,
	"low ceilings": content.LimitLowCeiling, "small space": content.LimitSmallFloor, "little space": content.LimitSmallFloor,
	"small room": content.LimitSmallFloor, "little room": content.LimitSmallFloor, "small floor space": content.LimitSmallFloor,
	"no pressing overhead": content.LimitNoOverhead, "not overhead": content.LimitNoOverhead, "nothing overhead": content.LimitNoOverhead,
	"no wrists": content.LimitNoWrists, "no weight on the wrists": content.LimitNoWrists, "no weight on my wrists": content.LimitNoWrists,
	"no load on wrists": content.LimitNoWrists, "not kneeling": content.LimitNoKneeling, "no knees on the floor": content.LimitNoKneeling,
	"no deep knees": content.LimitNoDeepKnee, "no deep knee bend": content.LimitNoDeepKnee, "no deep knee bends": content.LimitNoDeepKnee,
	"not on back": content.LimitNotOnBack, "not on my back": content.LimitNotOnBack, "not lying on the back": content.LimitNotOnBack,
	"no lying on the back": content.LimitNotOnBack, "no lying on my back": content.LimitNotOnBack, "no face down": content.LimitNotFaceDown,
	"not on my front": content.LimitNotFaceDown, "not upside down": content.LimitNoInversion, "no upside down": content.LimitNoInversion,
	"no inversions": content.LimitNoInversion, "no handstands": content.LimitNoInversion, "no maximal effort": content.LimitNoMaxEffort,
	"no maximum effort": content.LimitNoMaxEffort, "no max efforts": content.LimitNoMaxEffort, "no all-out": content.LimitNoMaxEffort,
}

func findLimit(s string) (string, bool) {
	s = strings.ToLower(strings.Join(strings.Fields(s), " "))
	if slices.Contains(content.Limits(), s) {
		return s, true
	}
	l, ok := limitSpellings[s]
	return l, ok
}

// limitHints are words that make a limit likely: it is asked, never taken.
var limitHints = []struct{ word, limit string }{
	{"neighbo", content.LimitQuiet}, {"nois", content.LimitQuiet}, {"baby", content.LimitQuiet}, {"loud", content.LimitQuiet},
	{"jump", content.LimitNoJumping}, {"hop", content.LimitNoJumping}, {"impact", content.LimitNoJumping},
	{"ceiling", content.LimitLowCeiling}, {"floor", content.LimitSmallFloor}, {"space", content.LimitSmallFloor}, {"room", content.LimitSmallFloor},
	{"overhead", content.LimitNoOverhead}, {"shoulder", content.LimitNoOverhead}, {"wrist", content.LimitNoWrists}, {"hand", content.LimitNoWrists},
	{"kneel", content.LimitNoKneeling}, {"knee", content.LimitNoDeepKnee}, {"squat", content.LimitNoDeepKnee}, {"back", content.LimitNotOnBack},
	{"face", content.LimitNotFaceDown}, {"front", content.LimitNotFaceDown}, {"belly", content.LimitNotFaceDown},
	{"upside", content.LimitNoInversion}, {"invert", content.LimitNoInversion}, {"max", content.LimitNoMaxEffort}, {"all out", content.LimitNoMaxEffort},
}

// suggestLimits returns the limits that an unknown one may mean, likeliest first.
func suggestLimits(typed string) []string {
	low := strings.ToLower(typed)
	var out []string
	for _, l := range content.Limits() {
		if 3*content.EditDistance(low, l) <= max(len(low), len(l)) {
			put(&out, l)
		}
	}
	for _, h := range limitHints {
		if strings.Contains(low, h.word) {
			put(&out, h.limit)
		}
	}
	return out[:min(len(out), 3)]
}
