package bot

import (
	"cmp"
	"slices"
	"strings"

	"tallybell/bot/roster"
	"tallybell/content"
)

// FitOf is one fit of a session and the members who receive it so.
type FitOf struct {
	Fit     content.FittedSession
	Members []string // ids, in the roster's order
}

// FitsFor returns a session as each distinct fit of the club's members, joined or invited, receives it on a date:
// what most receive first.
func (b *Bot) FitsFor(s content.Session, date content.Date) []FitOf {
	at := map[string]int{}
	var out []FitOf
	for _, m := range b.roster.All() {
		if m.Role != roster.RoleMember {
			continue
		}
		fit := m.FitOn(date)
		key := fit.Key()
		i, had := at[key]
		if !had {
			i = len(out)
			at[key] = i
			out = append(out, FitOf{Fit: content.Fitted(s, fit, b.library)})
		}
		out[i].Members = append(out[i].Members, m.ID)
	}
	slices.SortFunc(out, func(x, y FitOf) int {
		return cmp.Or(len(y.Members)-len(x.Members), cmp.Compare(x.Fit.Fit.Key(), y.Fit.Fit.Key()))
	})
	return out
}

// noFits returns the movements of a session that some members have no way of doing, in the sheet's order.
func (b *Bot) noFits(s content.Session, date content.Date) []NoFit {
	place := map[string]int{}
	for i, m := range b.roster.All() {
		place[m.ID] = i
	}
	type line struct{ part, movement string }
	of := map[line][]string{}
	for _, f := range b.FitsFor(s, date) {
		for _, c := range f.Fit.NoFits() {
			l := line{c.Part, c.Was}
			of[l] = append(of[l], f.Members...)
		}
	}
	out := []NoFit{}
	add := func(part string, moves []content.Movement) {
		for _, m := range moves {
			l := line{part, m.Name}
			members := of[l]
			if len(members) == 0 {
				continue
			}
			delete(of, l)
			slices.SortFunc(members, func(x, y string) int { return place[x] - place[y] })
			out = append(out, NoFit{Part: part, Movement: m.Name, Members: slices.Compact(members)})
		}
	}
	add(content.WarmUpPart, s.WarmUp)
	for _, p := range s.Parts {
		add(p.Letter, p.Movements)
	}
	add(content.CoolDownPart, s.CoolDown)
	return out
}

// wayOf names what a part was sent with in the place of its own movements, "" when it was sent as written, or eased:
// then its version says so.
func wayOf(f *content.FittedSession, part string) string {
	if f.Eased(part) {
		return ""
	}
	var names []string
	for _, c := range f.Changes {
		if c.Part == part && c.Now != c.Was && !c.NoFit && !slices.Contains(names, c.Now) {
			names = append(names, c.Now)
		}
	}
	return strings.Join(names, ", ")
}
