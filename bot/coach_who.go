package bot

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tallybell/bot/roster"
	"tallybell/content"
)

// unclear says why a coach's words could not be acted on, with the people that could be meant: by id, so that their names
// are looked up on reading.
type unclear struct {
	text   string
	people []standing
}

func (u *unclear) tell(a *answer) error {
	a.Standing = append(a.Standing, u.people...)
	return say(a, u.text)
}

// whom finds the member that a coach's text begins with: by whole name, by first name where only one has it, or by id
// (#abc). rest is what follows, without a colon. When it is not one member, problem says what to type instead, and
// nobody is guessed.
func (b *Bot) whom(text string) (m roster.Member, rest string, problem *unclear) {
	text = strings.TrimSpace(text)
	if id, ok := strings.CutPrefix(text, "#"); ok {
		id, rest, _ = strings.Cut(id, " ")
		if m, ok := b.roster.Get(strings.TrimRight(id, ":,")); ok && m.Role == roster.RoleMember && !m.Removed() {
			return m, afterName(rest), nil
		}
		return m, "", &unclear{text: "There is no member with that id. The members page shows it."}
	}
	var found []roster.Member
	longest := 0
	for _, p := range b.roster.All() {
		if p.Role != roster.RoleMember {
			continue
		}
		first, _, _ := strings.Cut(p.Name, " ")
		n := max(namedBy(text, p.Name), namedBy(text, first))
		switch {
		case n > longest:
			longest, found = n, []roster.Member{p}
		case n > 0 && n == longest:
			found = append(found, p)
		}
	}
	switch len(found) {
	case 1:
		return found[0], afterName(text[longest:]), nil
	case 0:
		return m, "", b.nobody(text)
	}
	u := &unclear{text: "More than one member is called that. Write #id instead of the name:"}
	for _, p := range found {
		u.people = append(u.people, standing{Member: p.ID, Show: strings.TrimSuffix("#"+p.ID+", "+p.Division, ", ")})
	}
	return m, "", u
}

// namedBy returns how many bytes of text the name takes at its start, case ignored; 0 when the text begins otherwise
// or goes on in the same word.
func namedBy(text, name string) int {
	if name == "" || len(text) < len(name) || !strings.EqualFold(text[:len(name)], name) {
		return 0
	}
	if next, _ := utf8.DecodeRuneInString(text[len(name):]); unicode.IsLetter(next) || unicode.IsDigit(next) || next == '-' || next == '\'' {
		return 0
	}
	return len(name)
}

func afterName(s string) string {
	return strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(s), ":,"))
}

// nobody says that no member has such a name, with the nearest ones.
func (b *Bot) nobody(text string) *unclear {
	head, _, _ := strings.Cut(text, ":")
	words := strings.Fields(head)
	if len(words) == 0 {
		return &unclear{text: "Whom? Write a member's name, for example: tell NAME: your words."}
	}
	type near struct {
		member string
		far    int
	}
	var all []near
	for _, p := range b.roster.All() {
		if p.Role != roster.RoleMember {
			continue
		}
		far := 1 << 20
		for _, typed := range []string{words[0], strings.Join(words[:min(2, len(words))], " ")} {
			for _, name := range append(strings.Fields(p.Name), p.Name) {
				if d := content.EditDistance(strings.ToLower(typed), strings.ToLower(name)); 3*d <= len(typed) {
					far = min(far, d)
				}
			}
		}
		if far < 1<<20 {
			all = append(all, near{p.ID, far})
		}
	}
	slices.SortStableFunc(all, func(x, y near) int { return x.far - y.far })
	u := &unclear{text: fmt.Sprintf("No member is called %q. The members page has every name.", words[0])}
	if len(all) > 0 {
		u.text = fmt.Sprintf("No member is called %q. Did you mean:", words[0])
	}
	for _, n := range all[:min(3, len(all))] {
		u.people = append(u.people, standing{Member: n.member})
	}
	return u
}
