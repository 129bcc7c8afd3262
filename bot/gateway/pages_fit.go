package gateway

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"tallybell/bot/roster"
	"tallybell/bot/web"
	"tallybell/content"
)

// maxFits bounds how many fits are told apart on the page of a sheet, and maxNamed how many names stand beside one.
const (
	maxFits    = 200
	maxNamed   = 12
	maxOffered = 500  // names offered while one is typed
	maxAsked   = 2000 // characters of what a preview is asked for
)

// noKit is what is written where a member has no kit at all.
const noKit = "none"

// noneStandsAlone is said where "none" stands among kit.
const noneStandsAlone = "write none alone, or list the kit"

// noFitTail ends the reason of a line that has no fit; on the coach's page it would tell them to ask themselves.
const noFitTail = ": ask your coach"

// fitAsked reads for whom a preview is wanted: a member by name or id, or kit, level and limits. Without any of them
// the session is shown as written. What is not known is told in the view, with a suggestion.
func fitAsked(c *club, date content.Date, q url.Values) (content.Fit, web.ReadAs) {
	given := func(name string) string { return clip(strings.TrimSpace(q.Get(name)), maxAsked) }
	v := web.ReadAs{Member: given("member"), Kit: given("kit"), Level: given("level")}
	asked := listOf([]string{clip(strings.Join(q["limits"], ","), maxAsked)})
	for _, l := range content.Limits() {
		on := slices.ContainsFunc(asked, func(a string) bool { return strings.EqualFold(a, l) })
		v.Limits = append(v.Limits, web.Tick{Name: l, On: on})
	}
	if v.Member != "" {
		m, wrong := memberNamed(c, v.Member)
		if wrong != "" {
			v.Problems = append(v.Problems, wrong)
			return content.Fit{}, v
		}
		v.Who = m.Name
		return m.FitOn(date), v
	}
	f := content.Fit{}
	f.Kit, f.KitKnown, v.Problems = kitAsked(library(c), v.Kit)
	levels := []string{content.LevelEasier, content.LevelAsWritten, content.LevelHarder}
	switch level := strings.ToLower(strings.ReplaceAll(v.Level, "_", " ")); {
	case level == "" || level == content.LevelAsWritten:
	case slices.Contains(levels, level):
		f.Level = level
	default:
		v.Problems = append(v.Problems, unknownWord("level", v.Level, levels))
	}
	for _, a := range asked {
		i := slices.IndexFunc(content.Limits(), func(l string) bool { return strings.EqualFold(a, l) })
		if i < 0 {
			v.Problems = append(v.Problems, unknownWord("limit", a, content.Limits()))
			continue
		}
		f.Limits = append(f.Limits, content.Limits()[i])
	}
	slices.Sort(f.Limits)
	f.Limits = slices.Compact(f.Limits)
	if f.KitKnown || f.Level != "" || len(f.Limits) > 0 {
		v.Who = "a member: " + fitWords(f)
	}
	return f, v
}

// kitAsked reads kit that is separated by commas; "none" is no kit at all, and "" is kit that was never told.
func kitAsked(lib *content.Library, text string) (kit []string, known bool, wrong []string) {
	if strings.EqualFold(text, noKit) {
		return nil, true, nil
	}
	for _, name := range listOf([]string{text}) {
		if k, ok := lib.FindKit(name); ok {
			kit = append(kit, k)
			continue
		}
		if strings.EqualFold(name, noKit) {
			wrong = append(wrong, noneStandsAlone)
			continue
		}
		said := quote(name) + " is no kit that is known"
		if near := lib.SuggestKit(name, 3); len(near) > 0 {
			said += ": did you mean " + strings.Join(near, " or ") + "?"
		}
		wrong = append(wrong, said)
	}
	slices.Sort(kit)
	return slices.Compact(kit), len(kit) > 0, wrong
}

// listOf splits at commas, for values that are given once or several times.
func listOf(values []string) []string {
	var out []string
	for _, v := range values {
		for _, w := range strings.Split(v, ",") {
			if w = strings.Join(strings.Fields(w), " "); w != "" {
				out = append(out, w)
			}
		}
	}
	return out
}

func unknownWord(what, word string, all []string) string {
	best, at := "", 4
	for _, a := range all {
		if d := content.EditDistance(strings.ToLower(clip(word, 40)), a); d < at {
			best, at = a, d
		}
	}
	if best != "" {
		return fmt.Sprintf("%s is no %s: did you mean %s?", quote(word), what, best)
	}
	return fmt.Sprintf("%s is no %s: choose among %s", quote(word), what, strings.Join(all, ", "))
}

// clip cuts text to a number of characters.
func clip(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n])
	}
	return s
}

// receivers lists the members who may receive sessions.
func receivers(c *club) []roster.Member {
	return slices.DeleteFunc(c.Roster.All(), func(m roster.Member) bool { return m.Removed() || m.Role == roster.RoleCoach })
}

// labels gives each member a name to choose them by: their name, with the id where several have it.
func labels(ms []roster.Member) []string {
	times := map[string]int{}
	for _, m := range ms {
		times[strings.ToLower(m.Name)]++
	}
	out := make([]string, len(ms))
	for i, m := range ms {
		if out[i] = m.Name; times[strings.ToLower(m.Name)] > 1 {
			out[i] += " (" + m.ID + ")"
		}
	}
	return out
}

// memberNamed finds a member by label, name or id, and tells which one may be meant when nobody is called so.
func memberNamed(c *club, asked string) (roster.Member, string) {
	ms := receivers(c)
	names := labels(ms)
	for i, m := range ms {
		if m.ID == asked || strings.EqualFold(names[i], asked) {
			return m, ""
		}
	}
	best, at := "", 4
	for i, m := range ms[:min(len(ms), maxOffered)] {
		if d := content.EditDistance(strings.ToLower(clip(asked, 80)), strings.ToLower(m.Name)); d < at {
			best, at = names[i], d
		}
	}
	switch {
	case at == 0:
		return roster.Member{}, "Several members are called " + quote(asked) + ": write the id as well, for example " + best + "."
	case best != "":
		return roster.Member{}, "No member is called " + quote(asked) + ": did you mean " + best + "?"
	}
	return roster.Member{}, "No member is called " + quote(asked) + "."
}

// whoGetsWhat tells the fits among the members apart, those of most members first, with what each changes. The
// movements that somebody has no way of doing come with their names.
func whoGetsWhat(c *club, date content.Date, s content.Session, lib *content.Library) web.Fits {
	ms := receivers(c)
	names := labels(ms)
	type alike struct {
		fit     content.Fit
		members []int
	}
	byKey := map[string]*alike{}
	var all []*alike
	for i, m := range ms {
		fit := m.FitOn(date)
		key := fit.Key()
		a, ok := byKey[key]
		if !ok {
			a = &alike{fit: fit}
			byKey[key] = a
			all = append(all, a)
		}
		a.members = append(a.members, i)
	}
	slices.SortStableFunc(all, func(a, b *alike) int { return len(b.members) - len(a.members) })
	v := web.Fits{Members: len(ms), More: max(0, len(all)-maxFits)}
	for _, a := range all[:min(len(all), maxFits)] {
		g := web.FitGroup{Count: len(a.members), Fit: fitWords(a.fit), Read: ms[a.members[0]].ID, ReadName: names[a.members[0]],
			Names: []string{}, Changes: []web.FitChange{}}
		for _, i := range a.members[:min(len(a.members), maxNamed)] {
			g.Names = append(g.Names, names[i])
		}
		fs := content.Fitted(s, a.fit, lib)
		for _, change := range fs.Changes {
			g.Changes = addChange(g.Changes, change)
			if change.NoFit {
				for _, i := range a.members {
					v.NoFit = addNoFit(v.NoFit, change, ms[i].Name)
				}
			}
		}
		v.Groups = append(v.Groups, g)
	}
	return v
}

// addChange adds what fitting did to the line of its part.
func addChange(list []web.FitChange, c content.Changed) []web.FitChange {
	why := strings.TrimSuffix(c.Why, noFitTail)
	switch {
	case c.NoFit:
		why = "no fit for " + c.Was + " (" + why + ")"
	case c.LeaveOut:
		why = c.Was + " left out (" + strings.TrimSuffix(why, ": leave this out") + ")"
	case c.Was == c.Now:
		why = c.Was + ", " + why
	}
	if c.Eased {
		why += ", scaled"
	}
	if n := len(list); n > 0 && list[n-1].Part == c.Part {
		list[n-1].What = append(list[n-1].What, why)
		return list
	}
	return append(list, web.FitChange{Part: c.Part, What: []string{why}})
}

func addNoFit(list []web.NoFit, c content.Changed, name string) []web.NoFit {
	i := slices.IndexFunc(list, func(n web.NoFit) bool { return n.Part == c.Part && n.Movement == c.Was })
	if i < 0 {
		return append(list, web.NoFit{Part: c.Part, Movement: c.Was, Members: []string{name}})
	}
	list[i].Members = append(list[i].Members, name)
	return list
}

// fitWords says a fit in a line: kit, level, limits and own choices.
func fitWords(f content.Fit) string {
	kit := strings.Join(f.Kit, ", ")
	switch {
	case kit == "" && f.KitKnown:
		kit = "no kit"
	case kit == "":
		kit = "kit not told"
	}
	words := []string{kit}
	if f.Level != "" {
		words = append(words, "level "+f.Level)
	}
	words = append(words, pairs(f.Levels, ": ")...)
	words = append(words, f.Limits...)
	words = append(words, pairs(f.Swaps, " as ")...)
	if f.Units != "" {
		words = append(words, f.Units)
	}
	return strings.Join(words, "; ")
}

func pairs(m map[string]string, between string) []string {
	var out []string
	for k, v := range m {
		out = append(out, k+between+v)
	}
	slices.Sort(out)
	return out
}
