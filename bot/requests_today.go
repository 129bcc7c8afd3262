package bot

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tallybell/content"
)

// showToday shows the session last posted to the member; the sheet's version is kept, the text rendered from it.
func (b *Bot) showToday(_ context.Context, q requested, a *answer) error {
	switch {
	case q.st.member.Held():
		return say(a, textHeld)
	case len(q.st.days) == 0:
		return say(a, textNoSession)
	}
	return say(a, content.Text(*q.st.days[0].fitted, b.library))
}

// showShort shows the parts that the coach keeps for a short day, with the warm-up and the cool-down.
func (b *Bot) showShort(ctx context.Context, q requested, a *answer) error {
	if q.st.member.Held() || len(q.st.days) == 0 {
		return b.showToday(ctx, q, a)
	}
	fs := *q.st.days[0].fitted
	short := fs.Session.Short
	switch {
	case fs.Session.Rest:
		return b.showToday(ctx, q, a)
	case len(short) == 0:
		return say(a, textNoShort)
	}
	fs.Session.Parts = slices.DeleteFunc(slices.Clone(fs.Session.Parts), func(p content.Part) bool { return !slices.Contains(short, p.Letter) })
	fs.Session.Length, fs.Session.Choose, fs.Session.Short = 0, nil, nil
	fs.Sheet.Kit = nil // it is for all parts; what these need is listed without it
	_ = say(a, fmt.Sprintf(textShort, strings.Join(short, " and ")))
	return say(a, content.Text(fs, b.library))
}
