package bot

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"tallybell/bot/roster"
	"tallybell/content"
)

// step takes a movement of the session one way down ("easier push-up") or up.
func (b *Bot) step(ctx context.Context, q requested, a *answer, level, typed string) error {
	if q.st.member.Held() || len(q.st.days) == 0 || q.st.days[0].fitted.Sheet.Rest {
		return b.showToday(ctx, q, a)
	}
	w := readSwap(typed, *q.st.days[0].fitted, b.library)
	movement, ok := b.oneMovement(q, a, level, w)
	if !ok {
		return nil
	}
	if s, ok := q.stepTaken(movement); ok {
		return b.choose(ctx, q, a, s)
	}
	way, ok := b.stepFrom(q, movement, level)
	if !ok {
		return say(a, fmt.Sprintf(textNoStep, level, content.Plural(q.sent(movement))))
	}
	s := roster.Swap{Movement: movement, Way: way, On: q.date(), By: q.m.ID}
	if w.always {
		s.On = content.Date{}
	}
	return b.choose(ctx, q, a, s)
}

// stepTaken returns the choice that this message has come to already, though its answer was not written; or, where
// another device has chosen since, the choice that stands.
func (q requested) stepTaken(movement string) (stands roster.Swap, ok bool) {
	for _, s := range q.st.member.Swaps {
		switch {
		case s.Movement != movement:
		case s.By == q.m.ID:
			return s, true
		case q.patched() && (s.On.IsZero() || s.On == q.date()):
			stands, ok = s, true
		}
	}
	return stands, ok
}

// stepFrom returns the next way down or up from what is sent, where the movement stands first. Down is the next that
// counts as scaled; up from a scaled way is the one before it; up from the line as written is the coach's harder line.
func (b *Bot) stepFrom(q requested, movement, level string) (string, bool) {
	fs := *q.st.days[0].fitted
	at := slices.IndexFunc(placesOf(fs), func(p place) bool { return p.movement == movement })
	if at < 0 {
		return "", false
	}
	p := placesOf(fs)[at]
	ways := content.Choices(fs.Sheet, fs.Fit, p.part, p.index, b.library)
	harder := harderLines(fs.Sheet, p)
	switch {
	case level == content.LevelEasier && slices.Contains(harder, p.sent):
		return p.movement, slices.ContainsFunc(ways, func(c content.Choice) bool { return c.Name == p.movement })
	case level == content.LevelEasier:
		for _, c := range ways {
			if c.Eased && (!p.eased || b.follows(fs, p, c, ways)) {
				return c.Name, true
			}
		}
	case !p.eased:
		for _, c := range ways {
			if slices.Contains(harder, c.Name) {
				return c.Name, true
			}
		}
	default:
		for _, c := range slices.Backward(ways) {
			if !slices.Contains(harder, c.Name) && !b.follows(fs, p, c, ways) {
				return c.Name, true
			}
		}
	}
	return "", false
}

// harderLines names the coach's harder lines below the movement of a place.
func harderLines(sheet content.Session, p place) []string {
	moves := sheet.WarmUp
	switch part, ok := sheet.Part(p.part); {
	case ok:
		moves = part.Movements
	case p.part == content.CoolDownPart:
		moves = sheet.CoolDown
	}
	var out []string
	for _, w := range moves[p.index].Ways {
		if w.Kind == content.Harder {
			out = append(out, w.Movement.Name)
		}
	}
	return out
}

// follows reports whether c stands behind what is sent on the ladder of ways. The list of ways leaves out what is sent,
// so it is looked up as it would be if another way were sent.
func (b *Bot) follows(fs content.FittedSession, p place, c content.Choice, ways []content.Choice) bool {
	for _, other := range ways {
		if other.Name == c.Name {
			continue
		}
		f := fs.Fit
		f.Swaps = maps.Clone(f.Swaps)
		if f.Swaps == nil {
			f.Swaps = map[string]string{}
		}
		f.Swaps[p.movement] = other.Name
		ladder := content.Choices(fs.Sheet, f, p.part, p.index, b.library)
		sent := slices.IndexFunc(ladder, func(x content.Choice) bool { return x.Name == p.sent })
		own := slices.IndexFunc(ladder, func(x content.Choice) bool { return x.Name == c.Name })
		if sent >= 0 && own >= 0 {
			return sent < own
		}
	}
	return c.Eased || !p.eased
}
