package main

import (
	"fmt"
	"slices"
	"strings"

	"tallybell/content"
)

// patternWords are the everyday words for a movement pattern, the one that help names first.
var patternWords = []struct {
	pattern content.Pattern
	words   []string
}{
	{content.PatternSquat, []string{"squat"}},
	{content.PatternSplit, []string{"split", "lunge", "step", "single leg"}},
	{content.PatternHinge, []string{"hinge"}},
	{content.PatternBridge, []string{"bridge", "leg curl"}},
	{content.PatternPush, []string{"push"}},
	{content.PatternOverhead, []string{"overhead"}},
	{content.PatternRow, []string{"row"}},
	{content.PatternPull, []string{"pull"}},
	{content.PatternBrace, []string{"brace"}},
	{content.PatternTrunk, []string{"trunk"}},
	{content.PatternCarry, []string{"carry", "crawl"}},
	{content.PatternJump, []string{"jump", "burst"}},
	{content.PatternSmall, []string{"small", "grip"}},
	{content.PatternMobility, []string{"mobility", "breath"}},
}

// levelsNamed reads "easier, row=harder": the level of all patterns, "" for as written, and those of single ones.
func levelsNamed(text string) (level string, levels map[string]string, err error) {
	told := false
	for _, piece := range pieces(withoutCommas(text)) {
		name, value, one := strings.Cut(strings.ReplaceAll(piece, ":", "="), "=")
		if !one {
			if told {
				return "", nil, fmt.Errorf("%q is a second level for everything: write PATTERN=LEVEL for one pattern, such as row=harder", piece)
			}
			told = true
			if level, err = levelNamed(piece); err != nil {
				return "", nil, err
			}
			continue
		}
		p, err := patternNamed(name)
		if err != nil {
			return "", nil, err
		}
		if levels[string(p)] != "" {
			return "", nil, fmt.Errorf("%s is told twice", plainWords(name))
		}
		l, err := levelNamed(value)
		if err != nil {
			return "", nil, err
		}
		if levels == nil {
			levels = map[string]string{}
		}
		levels[string(p)] = l
	}
	if level == content.LevelAsWritten {
		level = "" // the same fit, so the same key
	}
	return level, levels, nil
}

func levelNamed(s string) (string, error) {
	all := []string{content.LevelEasier, content.LevelAsWritten, content.LevelHarder}
	word := plainWords(s)
	if slices.Contains(all, word) {
		return word, nil
	}
	return "", fmt.Errorf("%q is not a level: %s", strings.TrimSpace(s), nearTo(word, all))
}

// patternNamed finds a pattern by its whole name or an everyday word for it.
func patternNamed(s string) (content.Pattern, error) {
	word := plainWords(s)
	var short []string
	for _, p := range patternWords {
		if word == string(p.pattern) || slices.Contains(p.words, word) || slices.Contains(p.words, strings.TrimSuffix(word, "s")) {
			return p.pattern, nil
		}
		short = append(short, p.words[0])
	}
	return "", fmt.Errorf("%q is not a movement pattern: %s", strings.TrimSpace(s), nearTo(word, short))
}

// withoutCommas puts its everyday word for a pattern whose name has a comma in it.
func withoutCommas(text string) string {
	text = strings.ToLower(text)
	for _, p := range patternWords {
		if name := string(p.pattern); strings.Contains(name, ",") {
			text = strings.ReplaceAll(text, name, p.words[0])
		}
	}
	return text
}
