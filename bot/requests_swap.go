package bot

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
)

// mostWays is how many ways of a movement are offered at a time.
const mostWays = 6

// swap asks which way to do a movement of the session last posted, takes one that was named, or takes a choice back.
func (b *Bot) swap(ctx context.Context, q requested, a *answer) error {
	if q.st.member.Held() || len(q.st.days) == 0 || q.st.days[0].fitted.Sheet.Rest {
		return b.showToday(ctx, q, a)
	}
	w := readSwap(q.r.Argument, *q.st.days[0].fitted, b.library)
	movement, ok := b.oneMovement(q, a, "swap", w)
	if !ok {
		return nil
	}
	ways := b.ways(q, movement)
	switch {
	case w.back:
		return b.swapBack(ctx, q, a, movement)
	case w.way == "" && len(ways) == 0:
		return say(a, fmt.Sprintf(textNoOtherWay, content.Plural(movement)))
	case w.way == "":
		return b.askWay(q, a, movement, ways, w.always)
	}
	way, ok := b.namedAmong(q, movement, ways, w.way)
	if !ok {
		_ = say(a, fmt.Sprintf(textNotAWay, upperFirst(w.way), content.Plural(movement)))
		if len(ways) == 0 {
			return say(a, textCoachCanHelp)
		}
		return b.askWay(q, a, movement, ways, w.always)
	}
	on := q.date()
	if w.always {
		on = content.Date{}
	}
	return b.choose(ctx, q, a, roster.Swap{Movement: movement, Way: way, On: on})
}

// oneMovement returns the sheet's movement that was meant. When it is none or several, the answer says so.
func (b *Bot) oneMovement(q requested, a *answer, command string, w typedSwap) (string, bool) {
	fs := *q.st.days[0].fitted
	switch len(w.found) {
	case 1:
		return w.found[0], true
	case 0:
		names := []string{}
		for _, p := range placesOf(fs) {
			put(&names, p.sent)
		}
		if near, ok := nearestOf(w.movement, fs); ok {
			a.ask(question{About: aboutMeant, At: q.now.UnixMilli(), Said: q.m.Text, Text: fmt.Sprintf(textNoSuch, q.whose(), w.movement) + " " + textDidYouMean,
				Options: []string{command + " " + near + w.tail}})
			return "", false
		}
		if w.movement == "" {
			_ = say(a, fmt.Sprintf(textWhichMovement, q.whose(), strings.Join(names, ", "), names[0]))
			return "", false
		}
		_ = say(a, fmt.Sprintf(textNoSuch+" "+textItHas, q.whose(), w.movement, strings.Join(names, ", ")))
		return "", false
	}
	ask := question{About: aboutWhich, At: q.now.UnixMilli(), Said: q.m.Text, Text: textWhichOne}
	for _, name := range w.found[:min(len(w.found), mostWays)] {
		ask.Options = append(ask.Options, strings.TrimSpace(command+" "+name+w.tail))
		ask.Labels = append(ask.Labels, content.Plural(name))
	}
	a.ask(ask)
	return "", false
}

// ways lists how a movement of the sheet can be done by the member, of all the places where it stands.
func (b *Bot) ways(q requested, movement string) []content.Choice {
	fs := *q.st.days[0].fitted
	var out []content.Choice
	for _, p := range placesOf(fs) {
		if p.movement != movement {
			continue
		}
		for _, c := range content.Choices(fs.Sheet, fs.Fit, p.part, p.index, b.library) {
			if !slices.ContainsFunc(out, func(o content.Choice) bool { return o.Name == c.Name }) {
				out = append(out, c)
			}
		}
	}
	return out
}

func (b *Bot) askWay(q requested, a *answer, movement string, ways []content.Choice, always bool) error {
	ask := question{About: aboutSwap, At: q.now.UnixMilli(), Said: q.m.Text,
		Text: fmt.Sprintf(textInstead, content.Plural(q.sent(movement)), q.onDay())}
	tail := ""
	if always {
		tail = " always"
	}
	for _, c := range ways[:min(len(ways), mostWays)] {
		ask.Options = append(ask.Options, "swap "+movement+" for "+c.Name+tail)
		ask.Labels = append(ask.Labels, wayLabel(c))
	}
	a.ask(ask)
	return nil
}

func wayLabel(c content.Choice) string {
	if c.Eased {
		return content.Plural(c.Name) + " (scaled)"
	}
	return content.Plural(c.Name)
}

// namedWay reads the plain name of one of the ways that a question offers.
func (q *question) namedWay(text string, in reply.Input) (heard, bool) {
	e, ok := in.Library.Find(strings.Trim(strings.TrimSpace(text), ".!"))
	if !ok {
		return heard{}, false
	}
	for _, o := range q.Options {
		if strings.HasSuffix(strings.TrimSuffix(o, " always"), " for "+e.Name) {
			return q.take(o, text, in)
		}
	}
	return heard{}, false
}

// namedAmong finds a typed way among those that can be done, or the one that is sent already.
func (b *Bot) namedAmong(q requested, movement string, ways []content.Choice, typed string) (string, bool) {
	names := []string{q.sent(movement)}
	for _, c := range ways {
		names = append(names, c.Name)
	}
	if e, ok := b.library.Find(typed); ok && slices.Contains(names, e.Name) {
		return e.Name, true
	}
	var told []string
	for _, name := range names {
		if tells(typed, name) {
			told = append(told, name)
		}
	}
	if len(told) == 1 {
		return told[0], true
	}
	return "", false
}

// sent names what the member is sent for a movement of the sheet, where it stands first.
func (q requested) sent(movement string) string {
	for _, p := range placesOf(*q.st.days[0].fitted) {
		if p.movement == movement {
			return p.sent
		}
	}
	return movement
}

// onDay is "today", or the day of the session last posted.
func (q requested) onDay() string {
	if d := q.date(); d != q.st.today(q.now) {
		return fmt.Sprintf(textOnDay, dayName(d))
	}
	return textToday
}

// choose keeps a member's choice and tells what it comes to.
func (b *Bot) choose(ctx context.Context, q requested, a *answer, s roster.Swap) error {
	kept := q.st.member.Swaps
	i := slices.IndexFunc(kept, func(o roster.Swap) bool { return o.Movement == s.Movement && o.On == s.On })
	other := slices.ContainsFunc(kept, func(o roster.Swap) bool { return o.Movement == s.Movement && o.On == q.date() && o.Way != s.Way })
	switch {
	case i >= 0 && kept[i].Way == s.Way && !other:
	case q.patched() && i >= 0:
		s = kept[i] // another device has chosen since
	case !q.patched():
		next := slices.DeleteFunc(slices.Clone(kept), func(o roster.Swap) bool {
			return o.Movement == s.Movement && (o.On == s.On || s.On.IsZero() && o.On == q.date())
		})
		next = append(next, s)
		return b.patch(ctx, q, a, roster.Patch{Swaps: &next})
	}
	a.drop(aboutSwap)
	a.drop(aboutWhich)
	when, was, way := q.onDay(), content.Plural(s.Movement), content.Plural(s.Way)
	if s.On.IsZero() {
		a.drop(aboutKeep)
		when = textFromNow
	}
	if s.Way == s.Movement {
		_ = say(a, fmt.Sprintf(textAsTheCoach, upperFirst(when), was))
	} else {
		_ = say(a, fmt.Sprintf(textChosen, upperFirst(when), was, way))
	}
	b.sayChosen(q, a, s)
	if s.On.IsZero() {
		return say(a, fmt.Sprintf(textUndo, s.Movement))
	}
	_ = say(a, textKeep)
	a.ask(question{About: aboutKeep, At: q.now.UnixMilli(), Said: q.m.Text, Text: textKeepShort,
		Options: []string{"swap " + s.Movement + " for " + s.Way + " always"}, Labels: []string{"always"}})
	return nil
}

// sayChosen tells where a choice counts as scaled, where it could not be taken, and the cautions that come with it.
func (b *Bot) sayChosen(q requested, a *answer, s roster.Swap) {
	fs := *q.st.days[0].fitted
	card := content.NewCard(fs, b.library)
	var eased, other, cares []string
	lettered := 0
	for _, p := range placesOf(fs) {
		switch {
		case p.movement != s.Movement:
			continue
		case p.sent != s.Way:
			put(&other, p.part)
			continue
		case p.lettered():
			lettered++
			if p.eased {
				put(&eased, p.part)
			}
		}
		if m, ok := cardAt(card, p); ok {
			for _, c := range m.Cautions {
				put(&cares, "Take care: "+c)
			}
			if m.Test != "" {
				put(&cares, "Test first: "+m.Test)
			}
		}
	}
	switch {
	case lettered == 0:
	case len(eased) == 0:
		_ = say(a, textCountsWritten)
	default:
		_ = say(a, fmt.Sprintf(textCountsScaled, listed(eased)))
	}
	if len(other) > 0 {
		_ = say(a, fmt.Sprintf(textNotThere, listed(other)))
	}
	for _, c := range cares {
		_ = say(a, c)
	}
}

// swapBack takes the member's choices for a movement away.
func (b *Bot) swapBack(ctx context.Context, q requested, a *answer, movement string) error {
	mine := func(s roster.Swap) bool { return s.Movement == movement && (s.On.IsZero() || s.On == q.date()) }
	if slices.ContainsFunc(q.st.member.Swaps, mine) {
		// Swaps of days gone by stay in the profile unless they are told anew, so that their sessions read as they were.
		next := slices.DeleteFunc(slices.Clone(q.st.member.Swaps), mine)
		if q.date().Before(q.st.today(q.now)) {
			next = append(next, roster.Swap{Movement: movement, Way: movement, On: q.date()})
		}
		if !q.patched() {
			return b.patch(ctx, q, a, roster.Patch{Swaps: &next})
		}
	}
	if !q.patched() {
		return say(a, fmt.Sprintf(textNoChoice, content.Plural(movement)))
	}
	a.drop(aboutKeep)
	var now []string
	for _, p := range placesOf(*q.st.days[0].fitted) {
		if p.movement == movement {
			put(&now, content.Plural(p.sent))
		}
	}
	return say(a, fmt.Sprintf(textChoiceGone, upperFirst(q.onDay()), listed(now)))
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
