package reply

import (
	"strings"

	"tallybell/content"
)

// longestCommand is how many words a command may have.
const longestCommand = 64

// command reads a reply that is a command as a whole; case and punctuation are ignored. A command word inside a sentence
// is talk.
func (r *reader) command() bool {
	var words []string
	var at [longestCommand]int
	for k := range r.ts {
		t := &r.ts[k]
		switch t.kind {
		case lineToken, punctToken, emojiToken:
			continue
		case tickToken:
			return false
		}
		if len(words) == longestCommand || len(words) == 0 && !commandStarts[t.s] {
			return false
		}
		at[len(words)] = k
		words = append(words, t.s)
	}
	for len(words) > 1 && (words[len(words)-1] == "please" || words[len(words)-1] == "thanks" || words[len(words)-1] == "pls") {
		words = words[:len(words)-1]
	}
	if len(words) == 0 {
		return false
	}
	if len(words) > 2 && words[0] == "i" && words[1] == "am" {
		at[1] = at[0]
		copy(at[:], at[1:])
		words = append([]string{"i'm"}, words[2:]...)
	}
	for _, read := range [...]func(r *reader, words []string, at []int) bool{(*reader).plainCommand, (*reader).scrapCommand, (*reader).awayCommand, (*reader).settingCommand} {
		if read(r, words, at[:len(words)]) {
			return true
		}
	}
	return false
}

// commandStarts are the words that a command begins with; read only.
var commandStarts = func() map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields("today show board leaderboard me kit my level limits swap short hide away pause resume stop help scrap delete remove data forget can't cant cannot i i'm im ill sick easier harder not no ranks scores resting off") {
		out[w] = true
	}
	return out
}()

func (r *reader) plainCommand(words []string, at []int) bool {
	name, argument := "", ""
	switch strings.Join(words, " ") {
	case "today", "show", "board", "me", "kit", "level", "limits", "swap", "short", "hide", "away", "pause", "resume", "stop", "help", "data", "forget":
		name = words[0]
	case "leaderboard":
		name = "board"
	case "show me":
		name = "show"
	case "hide me":
		name = "hide"
	case "forget me", "forget me please":
		name = "forget"
	case "forget me for good", "forget for good":
		name, argument = "forget", "for good"
	case "no ranks", "no rank", "hide ranks", "no more ranks":
		name, argument = "hide", "ranks"
	case "no scores", "hide scores", "no more scores":
		name, argument = "hide", "scores"
	case "ranks", "show ranks", "show me ranks":
		name, argument = "show", "ranks"
	case "scores", "show scores":
		name, argument = "show", "scores"
	case "help me":
		name = "help"
	case "pause me":
		name = "pause"
	case "my kit":
		name = "kit"
	case "no kit", "i have no kit":
		name, argument = "kit", "none"
	case "no limits", "i have no limits":
		name, argument = "limits", "none"
	case "i'm back", "im back":
		name = "resume"
	case "my level":
		name = "level"
	case "my limits":
		name = "limits"
	case "my data":
		name = "data"
	case "short day", "short version", "short session", "short today":
		name = "short"
	case "can't today", "cant today", "cannot today", "i can't today", "i cant today", "can't make it today", "cant make it today", "can't train today", "cant train today", "not today", "can't do today", "cant do today",
		"ill", "sick", "i'm ill", "im ill", "i'm sick", "im sick", "ill today", "sick today", "i'm ill today", "im ill today", "i'm sick today", "im sick today", "i'm away", "im away", "away today",
		"can't train", "cant train", "i can't train", "i cant train", "i can't do today", "i cant do today", "no training today", "off today", "resting today", "no time today":
		name = "away"
	default:
		return false
	}
	r.out.Command, r.out.Argument = name, argument
	return true
}

// scrapCommand reads "scrap D", "delete D", "remove my D": the part is named in the only result.
func (r *reader) scrapCommand(words []string, at []int) bool {
	if words[0] != "scrap" && words[0] != "delete" && words[0] != "remove" {
		return false
	}
	rest := words[1:]
	for len(rest) > 0 && (rest[0] == "my" || rest[0] == "part" || rest[0] == "the") {
		rest = rest[1:]
	}
	for n := len(rest); n > 1 && (rest[n-1] == "result" || rest[n-1] == "score" || rest[n-1] == "time"); n-- {
		rest = rest[:n-1]
	}
	parts := r.in.Session.Session.Parts
	day := r.posted().day
	if n := len(rest); n == 2 {
		if d, ok := r.dayBack(rest[1]); ok {
			rest, day = rest[:1], d
		} else if d, ok := r.dayBack(strings.TrimSuffix(rest[0], "'s")); ok {
			rest, day = rest[1:], d
		}
	}
	if len(rest) == 1 && len(rest[0]) == 1 {
		for k := range parts {
			if strings.EqualFold(parts[k].Letter, rest[0]) {
				r.out.Command = "scrap"
				r.out.Results = append(r.out.Results, PartResult{Part: parts[k].Letter, Day: day})
				return true
			}
		}
	}
	if words[0] == "scrap" && (len(rest) == 0 || len(rest) == 1 && (rest[0] == "that" || rest[0] == "it" || len(rest[0]) == 1)) {
		r.out.Command = "scrap"
		texts := []string{}
		for k := range parts {
			texts = append(texts, "scrap "+parts[k].Letter)
		}
		r.out.Asks = append(r.out.Asks, Ask{About: AboutPart, Suggest: texts})
		return true
	}
	return false
}

// dayBack reads a weekday, yesterday or today as the day it names, "" when today.
func (r *reader) dayBack(word string) (string, bool) {
	if classOf(word)&clDay == 0 || word == "tomorrow" || word == "tonight" || strings.HasSuffix(word, "'s") {
		return "", false
	}
	b := builder{ts: []token{{kind: wordToken, s: word, class: clDay}}, today: r.in.Today}
	b.dayWord(0)
	d := r.told(&b.out[0])
	return d.day, d.bad == ""
}

// awayCommand reads "away till monday", "can't until 2027-02-05", "pause until monday".
func (r *reader) awayCommand(words []string, at []int) bool {
	name, rest := "away", words[1:]
	switch {
	case words[0] == "pause":
		name = "pause"
	case words[0] == "away", words[0] == "ill", words[0] == "sick":
	case len(words) > 2 && (words[0] == "i'm" || words[0] == "im") && (words[1] == "away" || words[1] == "ill" || words[1] == "sick"):
		rest = words[2:]
	case len(words) > 2 && words[0] == "i" && (words[1] == "can't" || words[1] == "cant"):
		rest = words[2:]
	case words[0] == "can't" || words[0] == "cant" || words[0] == "cannot":
	default:
		return false
	}
	if len(rest) > 0 && rest[0] == "me" && name == "pause" {
		rest = rest[1:]
	}
	for len(rest) > 0 && (rest[0] == "today" || rest[0] == "training" || rest[0] == "train" || rest[0] == "again") {
		rest = rest[1:]
	}
	if len(rest) < 2 || rest[0] != "till" && rest[0] != "until" && rest[0] != "til" && rest[0] != "to" && rest[0] != "up" {
		return false
	}
	until, ok := r.dateAhead(rest[1:])
	if !ok {
		return false
	}
	r.out.Command, r.out.Until = name, until.String()
	return true
}

// dateAhead reads a day after today: a weekday (the next one), tomorrow, or an ISO date.
func (r *reader) dateAhead(words []string) (content.Date, bool) {
	for len(words) > 1 && (words[0] == "next" || words[0] == "the" || words[0] == "on") {
		words = words[1:]
	}
	switch {
	case len(words) == 1 && words[0] == "tomorrow":
		return r.in.Today.AddDays(1), true
	case len(words) == 1 && classOf(words[0])&clDay != 0 && words[0] != "today" && words[0] != "yesterday" && words[0] != "tonight" && !strings.HasSuffix(words[0], "'s"):
		ahead := (weekday(words[0]) - int(r.in.Today.Weekday()) + 7) % 7
		if ahead == 0 {
			ahead = 7
		}
		return r.in.Today.AddDays(ahead), true
	case len(words) == 3:
		d, err := content.ParseDate(strings.Join(words, "-"))
		return d, err == nil && !d.Before(r.in.Today)
	}
	return content.Date{}, false
}

// settingCommand reads commands with words behind them: "kit: backpack, towel", "kit + towel", "level: easier",
// "easier push-up", "swap push-up for incline push-up", "board D", "limits: no jumping". The words behind stand in
// Argument as they were typed; of kit and limits with a + that stands before them.
func (r *reader) settingCommand(words []string, at []int) bool {
	if words[0] == "my" && len(words) > 2 && (words[1] == "kit" || words[1] == "limits" || words[1] == "level") {
		words, at = words[1:], at[1:]
	}
	if len(words) < 2 {
		return false
	}
	rest := r.argument(at[1], at[len(words)-1])
	colon := r.signAfter(at[0], ":=")
	name := words[0]
	ok := false
	switch name {
	case "kit":
		if r.signAfter(at[0], "+") {
			rest, colon = "+ "+rest, true
		}
		ok = colon || r.isKitList(words[1:], rest)
	case "level":
		ok = colon || len(words) <= 5 && hasWord(words[1:], "easier", "harder", "written", "normal")
	case "limits":
		if r.signAfter(at[0], "+") {
			rest, colon = "+ "+rest, true
		}
		ok = colon || hasWord(words[1:2], "no", "none", "quiet", "low", "small", "not", "add", "remove")
	case "swap":
		ok = colon || r.isSwap(rest)
	case "board", "leaderboard":
		name = "board"
		ok = len(words) == 2 && (len(words[1]) == 1 && words[1] >= "a" && words[1] <= "z" || words[1] == "week")
	case "easier", "harder":
		ok = len(words) <= 8 && (r.isMovement(rest) || r.isNearMovement(rest))
		name, rest = "level", name+" "+rest
	case "short", "away", "pause", "hide":
		return false
	}
	if ok {
		r.out.Command, r.out.Argument = name, rest
	}
	return ok
}

func hasWord(words []string, list ...string) bool {
	for _, w := range words {
		if oneOf(w, list) {
			return true
		}
	}
	return false
}
