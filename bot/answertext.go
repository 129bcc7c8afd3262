package bot

import (
	"encoding/json"
	"fmt"
	"strings"

	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// rankFloor is how many must stand on a board before a rank is told in words.
const rankFloor = 4

// spoken renders the text of an answer. ranks are those of the mail entry, one a division of each logged result in
// order; name looks up a member's name; told is false for members who want no ranks.
func (a answer) spoken(ranks []store.Rank, past []string, told bool, name func(id string) string) string {
	var lines []string
	say := func(s string) {
		if s != "" {
			lines = append(lines, s)
		}
	}
	if a.Care == "stop" {
		say(textWarning)
		if len(a.Logged) > 0 {
			say(textKept)
		}
	}
	say(a.Words)
	next := 0
	for i, l := range a.Logged {
		own, joint, after := l.ranked(ranks, next)
		next = after
		line := l.spoken(own, joint, told && a.Care == "")
		if i < len(past) && past[i] != "" {
			line += " " + past[i]
		}
		if l.Best {
			line += " " + textBest
		}
		say(line)
	}
	for _, l := range a.Scrapped {
		say(fmt.Sprintf("%s: %s is taken away.", l.Part, l.Show))
	}
	for _, p := range a.Closed {
		say(fmt.Sprintf("%s: results for %s are closed now. Ask your coach if it should still count.", p, dayName(a.Date)))
	}
	if a.Effort != nil {
		say(fmt.Sprintf("Effort for the session: %s.", number(*a.Effort)))
	}
	for _, l := range a.Lines {
		say(l)
	}
	for _, l := range a.Standing {
		say(l.Head)
		say(l.spoken(name))
	}
	if a.Care == "check" {
		say(careText(a.CareAbout))
	}
	if a.Passed {
		say(textPassed)
	} else if a.Noted && a.Care == "" {
		say(textNoted)
	}
	asking := a.Open != nil && !a.Open.Carried && !a.Open.quiet() && a.Care != "stop"
	if asking {
		say(a.Open.spoken())
	}
	if n := len(a.Logged); n > 0 && !asking && a.Care != "stop" && a.By == "" {
		last := a.Logged[n-1]
		say(mend(last.Part, last.Result.Kind))
	}
	if len(lines) == 0 && a.Kind == AnswerPost && !a.Noted {
		say(textUnread)
	}
	return strings.Join(lines, "\n")
}

// spoken is one line of a board or a list; "" for who was forgotten: they are told nowhere.
func (s standing) spoken(name func(id string) string) string {
	who := name(s.Member)
	switch {
	case s.Member == "", who == "":
		return ""
	case s.Rank == 0 && s.Show == "":
		return who
	case s.Rank == 0:
		return who + ": " + s.Show
	case s.Show == "":
		return fmt.Sprintf("%d. %s", s.Rank, who)
	}
	return fmt.Sprintf("%d. %s, %s", s.Rank, who, s.Show)
}

// spoken is one line of confirmation: the reading, its rank, and what it replaced.
func (l logged) spoken(ranks, joint []store.Rank, told bool) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s", l.Part, l.Show)
	if v := versionWords(l.Result.Version); v != "" {
		b.WriteString(", " + v)
	}
	b.WriteString(beside(l.Way))
	if l.Result.Effort != nil {
		b.WriteString(", effort " + number(*l.Result.Effort))
	}
	if !l.Date.IsZero() {
		b.WriteString(", for " + dayName(l.Date))
	}
	b.WriteString(".")
	if told {
		for i, r := range ranks {
			if r.Of >= rankFloor && i < len(l.Divisions) {
				fmt.Fprintf(&b, " %s of %d %s %s", ordinal(r.Rank), r.Of, l.Divisions[i], versionWords(l.Result.Version))
				if i < len(joint) {
					fmt.Fprintf(&b, textJointOf, ordinal(joint[i].Rank), joint[i].Of)
				}
				b.WriteString(".")
			}
		}
	}
	if l.Replaced != "" && l.Replaced != l.Show {
		b.WriteString(" It replaces " + l.Replaced + ".")
	}
	if l.Late {
		b.WriteString(" Counted, marked late.")
	}
	return b.String()
}

// beside shows the way done behind a result.
func beside(way string) string {
	if way == "" {
		return ""
	}
	return " (" + way + ")"
}

// spoken asks the question with its numbered options.
func (q question) spoken() string {
	if q.quiet() {
		return ""
	}
	text := q.words()
	if q.About == "version" && len(q.Parts) > 1 && q.Text == "" {
		text = strings.Join(q.Parts, ", ") + ": as written, or scaled?"
	}
	switch {
	case q.About == "plausible" || len(q.Options) == 0:
		return text
	case len(q.Options) == 1 && q.About == "value":
		return text + " Reply 1 for " + q.Options[0] + ", or send it again."
	}
	return text + " " + options(q.shown())
}

// words is the question without its options.
func (q question) words() string {
	if q.Text != "" {
		return q.Text
	}
	return askText(ask{Part: q.Part, About: q.About})
}

func number(f float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", f), ".0") }

// answerCard is what a richer page gets beside the text.
type answerCard struct {
	Logged []cardLine `json:"logged"`
	Asks   []ask      `json:"asks"`
	Care   string     `json:"care,omitempty"`
	Ask    *cardAsk   `json:"ask,omitempty"`
}

// cardAsk is the question that is open, with texts that answer it.
type cardAsk struct {
	Text    string   `json:"text"`
	Options []string `json:"options"`
	Labels  []string `json:"labels,omitempty"` // how the options are shown, one each; absent: as they are
}

// card returns the question as a page shows it, nil for what is not offered as such.
func (q question) card() *cardAsk {
	if q.About == aboutSettled {
		return nil
	}
	return &cardAsk{Text: q.words(), Options: nonNil(q.Options), Labels: q.Labels}
}

type cardLine struct {
	Part    string          `json:"part"`
	Date    string          `json:"date,omitempty"`
	Kind    content.Kind    `json:"kind"`
	Result  string          `json:"result"`
	Version content.Version `json:"version"`
	Ranks   []cardRank      `json:"ranks"`
}

type cardRank struct {
	Division string          `json:"division"`
	Version  content.Version `json:"version"`
	Rank     int64           `json:"rank"`
	Of       int64           `json:"of"`
}

// card returns the JSON card of an answer, nil when it has nothing logged, asked or cared about.
func (a answer) card(ranks []store.Rank, told bool) json.RawMessage {
	asking := a.Open != nil && !a.Open.Carried && a.Care != "stop"
	if len(a.Logged) == 0 && len(a.Asks) == 0 && a.Care == "" && !asking {
		return nil
	}
	c := answerCard{Logged: []cardLine{}, Asks: []ask{}, Care: a.Care}
	next := 0
	for _, l := range a.Logged {
		line := cardLine{Part: l.Part, Date: l.Date.String(), Kind: l.Result.Kind, Result: l.Show, Version: l.Result.Version,
			Ranks: []cardRank{}}
		own, joint, after := l.ranked(ranks, next)
		next = after
		for i, r := range own {
			if !told || a.Care != "" {
				break
			}
			line.Ranks = append(line.Ranks, cardRank{l.Divisions[i], l.Result.Version, r.Rank, r.Of})
			if i < len(joint) {
				line.Ranks = append(line.Ranks, cardRank{l.Divisions[i], leaderboard.All, joint[i].Rank, joint[i].Of})
			}
		}
		c.Logged = append(c.Logged, line)
	}
	c.Asks = append(c.Asks, a.Asks...)
	if asking {
		c.Ask = a.Open.card()
	}
	b, err := json.Marshal(c)
	if err != nil {
		return nil // not reached: the card holds strings and numbers only
	}
	return b
}
