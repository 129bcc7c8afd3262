package e2e

import (
	"fmt"
	"slices"
	"strings"
)

// checkConversation reads a member's conversation from its beginning: the session, then every answer once and in order.
func (s *storm) checkConversation(i int) {
	s.t.Helper()
	c := dial(s.t, s.coach.url, s.members[i].token, "0")
	defer c.conn.Close()
	if f := c.next(); f.Type != "welcome" {
		s.t.Fatalf("first frame %+v", f)
	}
	if f := c.next(); f.Kind != "session" || f.Date != today() {
		s.t.Errorf("the conversation of member %d begins with %+v", i, f)
	}
	last := ""
	for _, m := range s.said[i] {
		f := c.next()
		if f.Kind != "answer" || f.Re != m.id || f.Said != m.text || f.Cursor <= last || f.Cursor != m.answer.Cursor || f.Text != m.answer.Text {
			s.t.Fatalf("after %s comes\n%+v\nwant the answer to %s\n%+v", last, f, m.id, m.answer)
		}
		if want := m.part + ": " + m.show; m.part != "" && !strings.HasPrefix(f.Text, want) {
			s.t.Errorf("%q was answered %q, want %q", m.text, f.Text, want)
		}
		last = f.Cursor
	}
	// Nothing comes after the last answer: the next frame answers what is said now.
	c.send(`{"type":"say","id":"end","text":"see you tomorrow"}`)
	if f := c.next(); f.Re != "end" || f.Cursor <= last {
		s.t.Errorf("after the last answer comes %+v", f)
	}
}

// checkBoards compares a part's boards with ranks worked out here from what was typed.
func (s *storm) checkBoards(part string) {
	s.t.Helper()
	type standing struct {
		told
		name string
	}
	stand := map[string][]standing{}
	for i, list := range s.said {
		now := told{}
		for _, m := range list {
			if m.part == part {
				version := m.version
				if strings.HasPrefix(m.text, "fix") {
					version = now.version
				}
				now = *m
				now.version = version
			}
		}
		block := map[bool]string{true: "women ", false: "men "}[s.women[i]] + now.version
		stand[block] = append(stand[block], standing{now, s.members[i].Name})
	}
	want := map[string][]string{}
	for block, list := range stand {
		for _, a := range list {
			rank := 1
			for _, b := range list {
				if b.better > a.better {
					rank++
				}
			}
			want[block] = append(want[block], fmt.Sprintf("%02d %s %s", rank, a.name, a.show))
		}
		slices.Sort(want[block])
	}
	var page boardPage
	s.coach.want(200, "GET", "/api/boards/"+today()+"/"+part, nil, &page)
	got := map[string][]string{}
	for _, b := range page.Boards {
		key, last := b.Division+" "+b.Version, 0
		for _, e := range b.Entries {
			if e.Rank < last {
				s.t.Errorf("%s %s: rank %d is listed after %d", part, key, e.Rank, last)
			}
			last = e.Rank
			got[key] = append(got[key], fmt.Sprintf("%02d %s %s", e.Rank, e.Name, e.Result))
		}
		slices.Sort(got[key])
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		s.t.Errorf("boards of %s:\n%v\nwant\n%v", part, got, want)
	}
}
