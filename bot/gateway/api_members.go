package gateway

import (
	"crypto/rand"
	"errors"
	"net/http"
	"strings"
	"time"

	"tallybell/bot/roster"
	"tallybell/content"
)

type (
	joinRequest struct {
		Invite string `json:"invite"`
		Key    string `json:"key,omitempty"`
	}
	joinAnswer struct {
		Member memberName `json:"member"`
		Token  string     `json:"token"`
	}
	inviteRequest struct {
		Revoke bool `json:"revoke,omitempty"` // ends the member's old tokens
	}
	messageRequest struct {
		Text string `json:"text"`
	}
	messageAnswer struct {
		Cursor string `json:"cursor"`
	}
	// memberView is a profile with what follows from it.
	memberView struct {
		roster.Member
		Joined bool `json:"joined"`
		Paused bool `json:"paused"`
	}
)

func (s *Server) view(m roster.Member) memberView {
	zone, err := content.LoadZone(m.Zone)
	if err != nil {
		zone = time.UTC
	}
	return memberView{m, m.Joined(), m.PausedOn(content.DateOf(s.now().In(zone)))}
}

// join uses an invite. The token also goes into a cookie, for the page.
func (s *Server) join(w http.ResponseWriter, r *http.Request, _ caller) error {
	if err := s.checkOrigin(r, false); err != nil {
		return err
	}
	from := addressKey(clientAddress(r, s.o.TrustedProxies))
	if !s.guesses.left(from, s.now()) {
		return tooMany(s.o.Limits.Guesses.Every)
	}
	var q joinRequest
	if err := s.readJSON(w, r, &q); err != nil {
		return err
	}
	if strings.TrimSpace(q.Invite) == "" {
		return refuse(http.StatusUnprocessableEntity, "\"invite\" is missing: send what follows #join= in the link.")
	}
	c, ok := s.clubs[roster.ClubOf(q.Invite)]
	if !ok {
		s.guesses.take(from, s.now())
		return asProblem(roster.ErrUnknownInvite)
	}
	m, token, err := c.Roster.Join(r.Context(), s.now(), q.Invite, q.Key)
	if err != nil {
		if errors.Is(err, roster.ErrUnknownInvite) || errors.Is(err, roster.ErrUsedInvite) {
			s.guesses.take(from, s.now())
		}
		return err
	}
	s.signIn(w, r, c.id, token, m.Role)
	return writeJSON(w, joinAnswer{memberName{m.ID, m.Name}, token})
}

func (s *Server) addMembers(w http.ResponseWriter, r *http.Request, who caller) error {
	var list []roster.NewMember
	if err := s.readJSON(w, r, &list); err != nil {
		return err
	}
	if len(list) == 0 {
		return refuse(http.StatusUnprocessableEntity, "The list is empty: send at least one member, for example [{\"name\":\"Iris\"}].")
	}
	added, err := who.club.Roster.Add(r.Context(), s.now(), list, r.Header.Get("Idempotency-Key"))
	if err != nil {
		return err
	}
	return writeJSON(w, added)
}

func (s *Server) listMembers(w http.ResponseWriter, r *http.Request, who caller) error {
	all := who.club.Roster.All()
	out := make([]memberView, 0, len(all))
	for _, m := range all {
		out = append(out, s.view(m))
	}
	return writeJSON(w, out)
}

// present returns the member in the path, who has not left.
func present(who caller, id string) (roster.Member, error) {
	m, ok := who.club.Roster.Get(id)
	if !ok || m.Removed() {
		return roster.Member{}, roster.ErrNoMember
	}
	return m, nil
}

func (s *Server) getMember(w http.ResponseWriter, r *http.Request, who caller) error {
	m, err := present(who, r.PathValue("id"))
	if err != nil {
		return err
	}
	return writeJSON(w, s.view(m))
}

func (s *Server) patchMember(w http.ResponseWriter, r *http.Request, who caller) error {
	var p roster.Patch
	if err := s.readJSON(w, r, &p); err != nil {
		return err
	}
	if _, err := present(who, r.PathValue("id")); err != nil {
		return err
	}
	m, err := who.club.Roster.Update(r.Context(), s.now(), r.PathValue("id"), p)
	if err != nil {
		return err
	}
	return writeJSON(w, s.view(m))
}

// removeMember takes a member out of the club; with forget=1 everything of theirs goes, on their request, also when they
// were removed before.
func (s *Server) removeMember(w http.ResponseWriter, r *http.Request, who caller) error {
	id := r.PathValue("id")
	if forget, err := flag(r, "forget"); err != nil {
		return err
	} else if forget {
		return s.forgetMember(w, r, who, id)
	}
	if _, err := present(who, id); err != nil {
		return err
	}
	if err := who.club.Roster.Remove(r.Context(), s.now(), id); err != nil {
		return err
	}
	who.club.hub.forget(id)
	return noContent(w)
}

func (s *Server) newInvite(w http.ResponseWriter, r *http.Request, who caller) error {
	var q inviteRequest
	if r.ContentLength != 0 {
		if err := s.readJSON(w, r, &q); err != nil {
			return err
		}
	}
	if asked, err := flag(r, "revoke"); err != nil {
		return err
	} else if asked {
		q.Revoke = true
	}
	id := r.PathValue("id")
	if _, err := present(who, id); err != nil {
		return err
	}
	inv, err := who.club.Roster.NewInvite(r.Context(), s.now(), id, q.Revoke)
	if err != nil {
		return err
	}
	if q.Revoke {
		who.club.hub.recheck(r.Context(), id)
	}
	return writeJSON(w, inv)
}

func (s *Server) tellMember(w http.ResponseWriter, r *http.Request, who caller) error {
	var q messageRequest
	if err := s.readJSON(w, r, &q); err != nil {
		return err
	}
	if strings.TrimSpace(q.Text) == "" {
		return refuse(http.StatusUnprocessableEntity, "\"text\" is empty: write what the member should read.")
	}
	id := r.PathValue("id")
	if _, err := present(who, id); err != nil {
		return err
	}
	n, err := who.club.Bot.Tell(r.Context(), who.member.ID, requestID(r), id, q.Text)
	if err != nil {
		return err
	}
	who.club.hub.hint(id, n)
	return writeJSON(w, messageAnswer{cursorText(n)})
}

// requestID is what makes a repeat of a write harmless: the client's Idempotency-Key, or a fresh one.
func requestID(r *http.Request) string {
	if k := r.Header.Get("Idempotency-Key"); k != "" {
		return k
	}
	return rand.Text()
}
