package bot

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"tallybell/bot/reply"
	"tallybell/content"
)

// heard is a message as read in the light of the open question.
type heard struct {
	reading reply.Reading
	logAt   time.Time // when the result was first said
	settled bool
	insist  bool
}

// read reads a message: a bare number picks an option of the open question, a fresh reply is read as such, and what is
// neither is tried as the missing piece.
func read(st *state, text string, in reply.Input, at time.Time) heard {
	open := st.openAll(at)
	if h, ok := readQuiet(open, text, in); ok {
		h.logAt = at
		return h
	}
	if takesBackPain(st, text, at) {
		return heard{reading: reply.Reading{Reply: text, Care: reply.CareNone, Command: requestNoPain}, logAt: at}
	}
	if len(open) == 0 || open[0].quiet() {
		return heard{reading: st.read(text, in), logAt: at}
	}
	q := &open[0]
	asked := time.UnixMilli(q.At)
	if choice, ok := q.choice(text); ok {
		if h, ok := q.take(choice, text, in); ok {
			h.logAt, h.settled = asked, true
			return h
		}
	}
	r := st.read(text, in)
	if q.Part != "" && len(r.Results) == 1 && r.Results[0].Part != q.Part && r.Results[0].Kind != "" && r.Command == "" {
		// A value without a label, right after a question: it is the missing piece if it can be. The confirmation repeats
		// the part.
		if h, ok := q.piece(text, in); ok {
			h.logAt, h.settled = asked, true
			h.reading.Reply = text
			return h
		}
	}
	if len(r.Results) > 0 || r.Command != "" || r.Question || r.Care != "none" {
		h := heard{reading: r, logAt: at}
		if q.Part != "" && len(r.Results) == 1 && r.Results[0].Part == q.Part && r.Results[0].Kind != "" {
			h.logAt, h.settled = asked, true
		}
		return h
	}
	if h, ok := q.piece(text, in); ok {
		h.logAt, h.settled = asked, true
		h.reading.Reply = text
		return h
	}
	return heard{reading: r, logAt: at}
}

// readQuiet takes the word that an offer waits for, and the number that another device sends to a question which is
// settled by now.
func readQuiet(open []question, text string, in reply.Input) (heard, bool) {
	for _, q := range open {
		switch {
		case q.About == aboutKeep && isWord(text, "always", "keep it", "keep"):
			return q.take(q.Options[0], text, in)
		case q.About == aboutSettled && open[0].quiet():
			if _, ok := q.choice(text); ok && bareNumber(text) {
				return heard{reading: reply.Reading{Reply: text, Care: reply.CareNone, Command: requestSettled}}, true
			}
		}
	}
	return heard{}, false
}

// longestWord is how many bytes a text has at most that is looked at as a word or two.
const longestWord = 64

// isWord reports whether a text is one of those words, case and marks around it ignored.
func isWord(text string, words ...string) bool {
	if len(text) > longestWord {
		return false
	}
	t := strings.ToLower(strings.Join(strings.Fields(strings.Trim(text, " .,!?")), " "))
	return slices.Contains(words, t)
}

func bareNumber(text string) bool {
	_, err := strconv.Atoi(strings.Trim(strings.TrimSpace(text), ".)!"))
	return err == nil
}

// read reads a text that answers nothing. For who logs no scores a bare done is enough for a scored part.
func (s *state) read(text string, in reply.Input) reply.Reading {
	r := reply.Read(text, in)
	if !s.member.NoScores || !slices.ContainsFunc(r.Asks, func(a reply.Ask) bool { return a.About == reply.AboutValue }) {
		return r
	}
	if without := reply.Read(strings.TrimRight(strings.TrimSpace(text), ".!")+", no score", in); len(without.Asks) == 0 && len(without.Results) > 0 {
		without.Reply = text
		return without
	}
	return r
}

// choice returns the option that a bare number, a yes or a thumb stands for, or that is typed out.
func (q *question) choice(text string) (string, bool) {
	t := strings.ToLower(strings.Trim(strings.TrimSpace(text), ".)!"))
	if n, err := strconv.Atoi(t); err == nil {
		if n >= 1 && n <= len(q.Options) {
			return q.Options[n-1], true
		}
		return "", false
	}
	if q.About == "plausible" || len(q.Options) == 1 {
		switch t {
		case "yes", "y", "yep", "yeah", "correct", "right", "👍", "✅", "✓":
			return q.Options[0], len(q.Options) > 0
		}
	}
	if q.About == aboutStop && isUnwell(text) {
		return optionUnwell, true
	}
	for i, o := range q.Options {
		if strings.EqualFold(o, t) {
			return o, true
		}
		if len(q.Labels) == len(q.Options) {
			label := strings.ToLower(q.Labels[i])
			if bare, _, _ := strings.Cut(label, " ("); t == bare || t == strings.TrimRight(label, ")") {
				return o, true
			}
		}
	}
	return "", false
}

// take reads an option as if it had been typed.
func (q *question) take(option, text string, in reply.Input) (heard, bool) {
	switch {
	case q.About == "version" && len(q.Parts) > 0:
		v := versionWord(option)
		if v == "" {
			return heard{}, false
		}
		r := reply.Reading{Reply: text, Care: "none"}
		for _, p := range q.Parts {
			pr := reply.PartResult{Part: p}
			pr.Version = v
			r.Results = append(r.Results, pr)
		}
		return heard{reading: r}, true
	case q.About == "plausible":
		in.Insist = true
		r := reply.Read(q.Said, in)
		r.Results = slices.DeleteFunc(r.Results, func(p reply.PartResult) bool { return q.Part != "" && p.Part != q.Part })
		r.Reply, r.Note, r.Care, r.Question, r.Effort = text, "", "none", false, nil
		r.Asks = slices.DeleteFunc(r.Asks, func(a reply.Ask) bool { return a.Part != q.Part || a.About == "plausible" })
		return heard{reading: r, insist: true}, len(r.Results) > 0
	}
	if q.About == aboutStop && option == optionUnwell {
		return heard{reading: reply.Reading{Reply: text, Care: reply.CareStop, Note: text}}, true
	}
	r := reply.Read(option, in)
	return heard{reading: r}, len(r.Results) > 0 || r.Command != ""
}

// piece tries text as the missing piece of what was asked.
func (q *question) piece(text string, in reply.Input) (heard, bool) {
	word := strings.TrimSpace(text)
	if q.About == aboutSwap {
		return q.namedWay(text, in)
	}
	if q.About == "part" {
		for _, o := range q.Options {
			if label, _, ok := strings.Cut(o, " "); ok && strings.EqualFold(label, strings.Trim(word, ".)")) {
				r := reply.Read(o, in)
				return heard{reading: r}, len(r.Results) > 0
			}
		}
	}
	for _, o := range q.Options {
		if strings.HasSuffix(strings.ToLower(o), " "+strings.ToLower(word)) {
			if h, ok := q.take(o, text, in); ok {
				return h, true
			}
		}
	}
	if q.Part == "" {
		return heard{}, false
	}
	tries := []string{q.Part + " " + word}
	if q.About == "progress" {
		tries = append(tries, q.Part+" capped "+word)
	}
	for _, t := range tries {
		if r := reply.Read(t, in); len(r.Results) == 1 && r.Results[0].Part == q.Part && r.Results[0].Kind != content.KindDone {
			return heard{reading: r}, true
		}
	}
	return heard{}, false
}

// versionWord returns the version that a bare option names.
func versionWord(s string) content.Version {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "as written":
		return content.AsWritten
	case "scaled":
		return content.Scaled
	}
	return ""
}
