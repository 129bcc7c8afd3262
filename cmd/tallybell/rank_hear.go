package main

import (
	"slices"

	"tallybell/bot/reply"
	"tallybell/content"
)

// rankedMember is what later lines of a member may speak about.
type rankedMember struct {
	last    string                // part of the last result
	untold  map[string]bool       // parts whose result waits for its version
	waiting map[*unreadReply]bool // replies that are unread for want of a version alone
}

// unreadReply is a reply with a question open.
type unreadReply struct {
	Name    string      `json:"name"`
	Reply   string      `json:"reply"`
	Asks    []reply.Ask `json:"asks"`
	settled bool
}

// hear reads one reply and does what it says about the part.
func (r *ranking) hear(m *rankedMember, name, division, said string) {
	reading := r.read(said)
	asks := []reply.Ask{}
	for _, a := range reading.Asks {
		if a.Part == "" || a.Part == r.part.Letter {
			asks = append(asks, a)
		}
	}
	for _, res := range reading.Results {
		switch {
		case res.Day != "" && res.Day != r.date:
		case reading.Command == "scrap":
			r.scrap(m, name, division, res)
		case res.Kind == "":
			asks = append(asks, r.version(m, name, division, res)...)
		default:
			asks = append(asks, r.result(m, name, division, res, asks)...)
		}
	}
	if len(asks) == 0 {
		return
	}
	u := &unreadReply{Name: name, Reply: said, Asks: asks}
	r.unread = append(r.unread, u)
	if !slices.ContainsFunc(asks, func(a reply.Ask) bool { return a.About != "version" }) && m.untold[r.part.Letter] {
		m.waiting[u] = true
	}
}

// settle forgets the replies that wait for nothing but a version: it is told, or their result is gone.
func (r *ranking) settle(m *rankedMember) {
	for u := range m.waiting {
		u.settled = true
	}
	clear(m.waiting)
}

func (r *ranking) scrap(m *rankedMember, name, division string, res reply.PartResult) {
	delete(m.untold, res.Part)
	if res.Part == r.part.Letter {
		r.tally.Remove(name, division)
		r.settle(m)
	}
}

// version is a word about the version alone: it settles the results that wait for one, else it corrects the last.
func (r *ranking) version(m *rankedMember, name, division string, res reply.PartResult) []reply.Ask {
	part := r.part.Letter
	switch {
	case res.Version == "" || res.Part != "" && res.Part != part:
		return nil
	case res.Part == "" && !m.untold[part] && (len(m.untold) > 0 || m.last != "" && m.last != part):
		clear(m.untold) // it speaks about another part
		return nil
	}
	if res.Part == "" {
		clear(m.untold)
	}
	delete(m.untold, part)
	if !r.tally.Version(name, division, res.Version) {
		return []reply.Ask{{Part: part, About: "value", Suggest: []string{}}}
	}
	r.settle(m)
	return nil
}

// result logs a result of the part, and returns what has to be asked about it beyond the asks of its reading.
func (r *ranking) result(m *rankedMember, name, division string, res reply.PartResult, asks []reply.Ask) []reply.Ask {
	m.last = res.Part
	untold := res.Version == "" && res.Kind != content.KindDone
	if res.Part != r.part.Letter {
		if untold && !res.Correction {
			m.untold[res.Part] = true
		} else if !untold {
			delete(m.untold, res.Part)
		}
		return nil
	}
	if res.Correction && untold {
		if r.tally.Correct(name, division, res.Result) != "" || m.untold[res.Part] {
			return nil // it has the version of what it corrects, or the question about that is open already
		}
	} else {
		r.tally.Set(name, division, res.Result)
	}
	r.settle(m)
	if !untold {
		delete(m.untold, res.Part)
		return nil
	}
	m.untold[res.Part] = true
	if slices.ContainsFunc(asks, func(a reply.Ask) bool { return a.About == "version" }) {
		return nil
	}
	return []reply.Ask{{Part: res.Part, About: "version", Suggest: []string{res.Part + " as written", res.Part + " scaled"}}}
}
