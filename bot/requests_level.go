package bot

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tallybell/bot/roster"
	"tallybell/content"
)

// everydayPatterns are the patterns of movement as members name them, with the short form first.
var everydayPatterns = []struct {
	pattern content.Pattern
	words   []string
}{
	{content.PatternSquat, []string{"squat", "squats", "squatting"}},
	{content.PatternSplit, []string{"split", "lunge", "lunges", "splits", "step", "steps", "single leg", "single-leg"}},
	{content.PatternHinge, []string{"hinge", "hinges", "deadlift", "deadlifts"}},
	{content.PatternBridge, []string{"bridge", "bridges", "leg curl", "leg curls"}},
	{content.PatternPush, []string{"push", "pushes", "pushing", "level push"}},
	{content.PatternOverhead, []string{"overhead", "overhead push", "press", "pressing", "presses"}},
	{content.PatternRow, []string{"row", "rows", "rowing"}},
	{content.PatternPull, []string{"pull", "pulls", "pulling", "pull from above"}},
	{content.PatternBrace, []string{"brace", "core", "plank", "planks", "bracing"}},
	{content.PatternTrunk, []string{"trunk", "sit", "twist", "twists"}},
	{content.PatternCarry, []string{"carry", "carries", "crawl", "crawls", "travel"}},
	{content.PatternJump, []string{"jump", "jumps", "jumping", "burst"}},
	{content.PatternSmall, []string{"small", "small muscles", "grip"}},
	{content.PatternMobility, []string{"mobility", "breath", "stretch", "stretches", "stretching"}},
}

// level tells the member's level, changes it over all or by pattern, or takes one movement a step down or up.
func (b *Bot) level(ctx context.Context, q requested, a *answer) error {
	arg := strings.ToLower(strings.TrimSpace(q.r.Argument))
	typed := strings.ToLower(strings.TrimSpace(q.r.Reply))
	for _, way := range []string{content.LevelEasier, content.LevelHarder} {
		if movement, ok := strings.CutPrefix(arg, way+" "); ok && strings.HasPrefix(typed, way) {
			return b.step(ctx, q, a, way, movement)
		}
	}
	m := q.st.member
	if arg == "" {
		_ = say(a, levelWords(m))
		return say(a, textLevelHow)
	}
	level, patterns, unknown := readLevel(arg)
	switch {
	case level == "":
		return say(a, textLevelHow)
	case unknown != "":
		return say(a, fmt.Sprintf(textUnknownKind, unknown)+" "+textLevelKinds+" "+textNothingChanged)
	}
	if p, changes := levelPatch(m, level, patterns); changes && !q.patched() {
		return b.patch(ctx, q, a, p)
	}
	_ = say(a, levelWords(m))
	return b.sayRefitted(ctx, q, a)
}

// readLevel reads "push and row: easier": a level and the patterns that it is for, none for all. unknown is the first
// word that is neither.
func readLevel(arg string) (level string, patterns []content.Pattern, unknown string) {
	arg = " " + strings.Join(strings.FieldsFunc(arg, func(r rune) bool { return strings.ContainsRune(" :,.=&+/", r) }), " ") + " "
	for _, l := range []struct{ words, level string }{
		{"easier", content.LevelEasier}, {"easy", content.LevelEasier}, {"harder", content.LevelHarder}, {"as written", content.LevelAsWritten},
		{"written", content.LevelAsWritten}, {"normal", content.LevelAsWritten},
	} {
		if rest := strings.Replace(arg, " "+l.words+" ", " ", 1); rest != arg {
			level, arg = l.level, rest
			break
		}
	}
	words := strings.Fields(arg)
	for len(words) > 0 {
		n := 0
		for _, p := range everydayPatterns {
			for _, w := range append(p.words, string(p.pattern)) {
				if k := len(strings.Fields(w)); k > n && k <= len(words) && strings.Join(words[:k], " ") == w {
					n = k
					patterns = append(patterns[:len(patterns):len(patterns)], p.pattern)
				}
			}
		}
		switch {
		case n > 0:
			words = words[n:]
		case slices.Contains([]string{"and", "for", "on", "in", "my", "all", "everything", "please"}, words[0]):
			words = words[1:]
		default:
			return level, nil, words[0]
		}
	}
	return level, patterns, ""
}

// levelPatch is the change of the profile that a level asks for; false when it says so already. Who is new has chosen
// their level from then on: for one kind alone, the rest stays as it was.
func levelPatch(m roster.Member, level string, patterns []content.Pattern) (roster.Patch, bool) {
	over := m.Level
	if over == "" {
		over = content.LevelAsWritten
		if m.Newcomer {
			over = content.LevelEasier
		}
	}
	if len(patterns) == 0 {
		over = level
	}
	levels := maps.Clone(m.Levels)
	if levels == nil {
		levels = map[string]string{}
	}
	for _, p := range patterns {
		levels[string(p)] = level
	}
	maps.DeleteFunc(levels, func(_, l string) bool { return l == over })
	changes := m.Newcomer || !maps.Equal(levels, m.Levels) || over != m.Level && !(over == content.LevelAsWritten && m.Level == "")
	return roster.Patch{Level: &over, Levels: &levels}, changes
}

func levelWords(m roster.Member) string {
	over := m.Level
	switch {
	case over == "" && m.Newcomer:
		over = textLevelNew
	case over == "":
		over = content.LevelAsWritten
	}
	text := textLevelIs + over
	for _, p := range everydayPatterns {
		if l, ok := m.Levels[string(p.pattern)]; ok {
			text += "; " + p.words[0] + ": " + l
		}
	}
	return text + "."
}
