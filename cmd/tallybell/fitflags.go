package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v3"

	"tallybell/content"
)

// fitHelp is what every command with these flags says about them in its description.
const fitHelp = `--kit, --level and --limits fit the session to a member; without any of them it is the sheet as written. Kit that is
not told is what the coach asks for; --kit none is no kit at all. A level stands for all patterns or for one:
--level "easier, row=harder". Patterns: squat, split, hinge, bridge, push, overhead, row, pull, brace, trunk, carry,
jump, small, mobility. Limits: no jumping, quiet, low ceiling, small floor, no overhead, no weight on wrists, no
kneeling, no deep knee, not on the back, not face down, no inversion, no max effort.`

// fitFlags are the flags that say whom a session is fitted to.
func fitFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "kit", Usage: "all the kit there is, `NAMES` parted by commas; none for none at all"},
		&cli.StringFlag{Name: "level", Usage: "easier, as written or harder, `LEVEL`s parted by commas; PATTERN=LEVEL for one pattern"},
		&cli.StringFlag{Name: "limits", Usage: "what must not be sent, `LIMITS` parted by commas: no jumping, quiet"},
	}
}

// fitTold reports whether a fit was asked for.
func fitTold(c *cli.Command) bool {
	return c.IsSet("kit") || strings.TrimSpace(c.String("level")) != "" || strings.TrimSpace(c.String("limits")) != ""
}

// fittedFrom returns the session as the member of the flags receives it: as written when none of them was given.
func fittedFrom(c *cli.Command, session content.Session, lib *content.Library) (content.FittedSession, error) {
	if !fitTold(c) {
		return content.Unfitted(session), nil
	}
	fit, err := fitFrom(c, lib)
	if err != nil {
		return content.FittedSession{}, err
	}
	return content.Fitted(session, fit, lib), nil
}

// fitFrom reads the flags. An error names the flag, what was not understood, and what is near to it.
func fitFrom(c *cli.Command, lib *content.Library) (content.Fit, error) {
	fit := content.Fit{KitKnown: c.IsSet("kit")}
	var err error
	if fit.Kit, err = kitNamed(c.String("kit"), lib); err != nil {
		return fit, fmt.Errorf("--kit: %w", err)
	}
	if fit.Level, fit.Levels, err = levelsNamed(c.String("level")); err != nil {
		return fit, fmt.Errorf("--level: %w", err)
	}
	if fit.Limits, err = limitsNamed(c.String("limits")); err != nil {
		return fit, fmt.Errorf("--limits: %w", err)
	}
	return fit, nil
}

// kitNamed returns the canonical names of kit, sorted, each once.
func kitNamed(text string, lib *content.Library) ([]string, error) {
	if isNone(text) {
		return nil, nil
	}
	var out []string
	for _, name := range pieces(text) {
		k, ok := lib.FindKit(name)
		switch {
		case ok:
			out = append(out, k)
		case isNone(name):
			return nil, fmt.Errorf("%q among other kit: name the kit, or write none alone", name)
		default:
			hint := ""
			if near := lib.SuggestKit(name, 3); len(near) > 0 {
				hint = ": did you mean " + strings.Join(near, " or ") + "?"
			}
			return nil, fmt.Errorf("%q is no kit that is known%s", name, hint)
		}
	}
	slices.Sort(out)
	return slices.Compact(out), nil
}

// isNone reports the words for nothing.
func isNone(s string) bool {
	switch plainWords(s) {
	case "", "none", "nothing", "no kit":
		return true
	}
	return false
}

// limitsNamed returns limits by their names, sorted, each once; "no" and "not" may be left out.
func limitsNamed(text string) ([]string, error) {
	if isNone(text) {
		return nil, nil
	}
	all := content.Limits()
	var out []string
	for _, name := range pieces(text) {
		word := plainWords(name)
		i := slices.IndexFunc(all, func(l string) bool { return l == word || l == "no "+word || l == "not "+word })
		if i < 0 {
			return nil, fmt.Errorf("%q is not a limit: %s", name, nearTo(word, all))
		}
		out = append(out, all[i])
	}
	slices.Sort(out)
	return slices.Compact(out), nil
}

// pieces parts a list at its commas; empty pieces are dropped.
func pieces(text string) []string {
	var out []string
	for _, s := range strings.Split(text, ",") {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// plainWords is text in lower case with one blank between its words; hyphens and underscores are blanks.
func plainWords(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return r == ' ' || r == '-' || r == '_' || r == '\t'
	}), " ")
}

// nearTo says which of the list's words is like s, or else all of them.
func nearTo(s string, list []string) string {
	best, off := "", 1+max(2, len(s)/3)
	for _, w := range list {
		if len(s) > 40 {
			break
		}
		d := content.EditDistance(s, w)
		if strings.Contains(w, s) || strings.Contains(s, w) {
			d = 1
		}
		if d < off && d < len(w) {
			best, off = w, d
		}
	}
	if best != "" {
		return "did you mean " + best + "?"
	}
	return "want " + strings.Join(list[:len(list)-1], ", ") + " or " + list[len(list)-1]
}
