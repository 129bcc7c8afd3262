package bot

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"tallybell/bot/reply"
	"tallybell/content"
	"tallybell/leaderboard"
)

// ask opens the first question that is left after a message: those of the message itself, then the one that was open,
// unless the message settled it.
func (d *decision) ask(r reply.Reading) {
	queue := d.questions(r)
	if q := d.st.openAt(d.at); q != nil {
		old := *q
		rest := old.Then
		old.Then, old.Carried = nil, len(queue) == 0 // asked again only after another question
		if !d.settled {
			queue = append(queue, old)
		}
		queue = append(queue, rest...)
	}
	queue = slices.DeleteFunc(queue, func(q question) bool { return d.answered(q) })
	if len(queue) == 0 {
		return
	}
	open := queue[0]
	open.Then = queue[1:]
	d.out.answer.Open = &open
}

// questions makes a question of each ask; asks about the versions of results logged now become one.
func (d *decision) questions(r reply.Reading) []question {
	var out []question
	version := -1
	for _, a := range r.Asks {
		d.out.answer.Asks = append(d.out.answer.Asks, ask{a.Part, a.About, nonNil(a.Suggest)})
		q := question{About: a.About, Part: a.Part, At: d.logAt.UnixMilli(), Said: d.m.Text, Options: a.Suggest, Date: d.out.answer.Date}
		switch {
		case a.About == "version" && d.isLogged(a.Part):
			if version >= 0 {
				out[version].Parts = append(out[version].Parts, a.Part)
				out[version].Part = ""
				continue
			}
			version = len(out)
			q.Parts, q.Options = []string{a.Part}, []string{"as written", "scaled"}
		case a.About == "plausible":
			q.Options = []string{"yes"}
		}
		out = append(out, q)
	}
	return out
}

// answered reports whether this message settled what q asks: by a result for its part, or by taking it away.
func (d *decision) answered(q question) bool {
	if q.About == "version" && len(q.Parts) > 0 {
		return !slices.ContainsFunc(q.Parts, func(p string) bool { return d.waits(p) })
	}
	if q.At == d.logAt.UnixMilli() && q.Said == d.m.Text {
		return false // asked by this very message
	}
	if q.Part == "" {
		return len(d.out.answer.Logged) > 0
	}
	return d.isLogged(q.Part) || slices.ContainsFunc(d.out.answer.Scrapped, func(l logged) bool { return l.Part == q.Part })
}

// waits reports whether the part's result, after this message, waits for its version.
func (d *decision) waits(part string) bool {
	for _, c := range d.out.changes {
		switch {
		case c.new != nil && c.new.Part == part:
			return c.new.Result.Version == ""
		case c.new == nil && c.old.Part == part:
			return false
		}
	}
	return slices.ContainsFunc(d.st.waiting(), func(r leaderboard.Record) bool { return r.Part == part })
}

func (d *decision) isLogged(part string) bool {
	return slices.ContainsFunc(d.out.answer.Logged, func(l logged) bool { return l.Part == part })
}

func nonNil(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}

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
	q := st.openAt(at)
	if q == nil {
		return heard{reading: reply.Read(text, in), logAt: at}
	}
	asked := time.UnixMilli(q.At)
	if choice, ok := q.choice(text); ok {
		if h, ok := q.take(choice, text, in); ok {
			h.logAt, h.settled = asked, true
			return h
		}
	}
	r := reply.Read(text, in)
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
	for _, o := range q.Options {
		if strings.EqualFold(o, t) {
			return o, true
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
	r := reply.Read(option, in)
	return heard{reading: r}, len(r.Results) > 0
}

// piece tries text as the missing piece of what was asked.
func (q *question) piece(text string, in reply.Input) (heard, bool) {
	word := strings.TrimSpace(text)
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
