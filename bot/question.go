package bot

import (
	"slices"
	"strings"
	"time"

	"tallybell/bot/reply"
	"tallybell/leaderboard"
)

// ask opens the first question that is left after a message: those of the message itself, then those that were open,
// unless the message settled them.
func (d *decision) ask(r reply.Reading) {
	queue := d.questions(r)
	fresh := len(queue) > 0
	for i, old := range d.st.openAll(d.at) {
		if !(i == 0 && d.settled) && old.overtaken(r.Command) {
			continue
		}
		if i == 0 && d.settled && !old.quiet() {
			queue = append(queue, question{About: aboutSettled, At: d.at.UnixMilli(), Options: old.Options, Carried: true})
			continue
		}
		if i == 0 || old.quiet() {
			old.Carried = !fresh || old.quiet() // asked again only after another question
		}
		queue = append(queue, old)
	}
	d.out.answer.Open = chained(slices.DeleteFunc(queue, d.answered))
}

// overtaken reports whether a request asks anew for what q offers: a list that was typed again, another swap.
func (q question) overtaken(command string) bool {
	switch q.About {
	case aboutMeant, aboutWhich, aboutSwap:
		return command != "" && len(q.Options) > 0 && strings.HasPrefix(strings.ToLower(q.Options[0]), command)
	}
	return false
}

// settledLife is how long after a question was settled another device may still answer it.
const settledLife = 2 * time.Minute

// openAll returns every question that is open, the one that was asked first; those that have run out are left out.
func (s *state) openAll(now time.Time) []question {
	return slices.DeleteFunc(s.open.chain(), func(q question) bool {
		life := questionLife
		if q.About == aboutSettled {
			life = settledLife
		}
		return now.Sub(time.UnixMilli(q.At)) > life
	})
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
			if text, labels := d.easedQuestion(a.Part); text != "" {
				q.Text, q.Labels = text, labels
				q.Parts, q.Options = []string{a.Part}, []string{"scaled", "as written"}
				break
			}
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
	if q.own() {
		return q.About == aboutStop && len(d.out.answer.Logged) > 0
	}
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

// easedQuestion asks which of the movements of an eased part was done, by name; "" when the part was sent as written.
func (d *decision) easedQuestion(part string) (text string, labels []string) {
	i := slices.IndexFunc(d.out.changes, func(c change) bool { return c.new != nil && c.new.Part == part })
	if i < 0 {
		return "", nil
	}
	i = d.st.on(d.out.changes[i].new.Date)
	if i < 0 {
		return "", nil
	}
	return easedWords(*d.st.days[i].fitted, part)
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
