package gateway

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"time"

	"tallybell/bot/roster"
)

// caller is who sent a request: a member of one club, proven by a token.
type caller struct {
	club   *club
	member roster.Member
	token  string
	cookie bool // the token came in a cookie, so writes need a matching Origin
}

func (c caller) isCoach() bool { return c.member.Role == roster.RoleCoach }

// A cookie is named after its club and role, so that the coach may have both pages open in one browser. Where both
// would do, the route decides which is looked at first; a request may say it itself with as=coach or as=member.
const cookiePrefix = "tallybell_"

func cookieName(clubID string, role roster.Role) string {
	if role == roster.RoleCoach {
		return cookiePrefix + clubID + "_coach"
	}
	return cookiePrefix + clubID
}

// signIn makes the browser keep the token.
func (s *Server) signIn(w http.ResponseWriter, r *http.Request, clubID, token string, role roster.Role) {
	http.SetCookie(w, &http.Cookie{
		Name: cookieName(clubID, role), Value: token, Path: "/", MaxAge: int((400 * 24 * time.Hour).Seconds()),
		HttpOnly: true, Secure: s.isHTTPS(r), SameSite: http.SameSiteStrictMode,
	})
}

// authenticate finds out who sent the request. first is the role whose cookie is looked at first.
func (s *Server) authenticate(r *http.Request, first roster.Role) (caller, error) {
	from := addressKey(clientAddress(r, s.o.TrustedProxies))
	if !s.guesses.left(from, s.now()) {
		return caller{}, tooMany(s.o.Limits.Guesses.Every)
	}
	if h := r.Header.Get("Authorization"); h != "" {
		scheme, token, _ := strings.Cut(h, " ")
		if !strings.EqualFold(scheme, "Bearer") || strings.TrimSpace(token) == "" {
			return caller{}, unauthorised("The Authorization header is not understood: send \"Authorization: Bearer CLUB.SECRET\".")
		}
		return s.holder(r.Context(), from, strings.TrimSpace(token), false)
	}
	var last error = unauthorised("This needs a token: send \"Authorization: Bearer CLUB.SECRET\", or open the page with your link first.")
	for _, token := range cookieTokens(r, first) {
		c, err := s.holder(r.Context(), from, token, true)
		if err == nil {
			return c, nil
		}
		last = err
	}
	return caller{}, last
}

// holder returns whose token it is. Its club is looked up by the token alone, and the secret in that club alone.
func (s *Server) holder(ctx context.Context, from, token string, cookie bool) (caller, error) {
	id, _, _ := strings.Cut(token, ".")
	c, ok := s.clubs[id]
	if !ok {
		s.guesses.take(from, s.now())
		return caller{}, unauthorised("This token is not known here. Ask your coach for a new link.")
	}
	m, err := c.Roster.Authenticate(ctx, token)
	switch {
	case err == nil:
		return caller{c, m, token, cookie}, nil
	case errors.Is(err, roster.ErrUnknownToken), errors.Is(err, roster.ErrOtherClub):
		s.guesses.take(from, s.now())
		return caller{}, asProblem(err)
	}
	return caller{}, away(err)
}

// cookieTokens returns the tokens in the request's cookies: those of the role first asked for come first, and of
// each role the one the browser got last.
func cookieTokens(r *http.Request, first roster.Role) []string {
	switch as := roster.Role(r.URL.Query().Get("as")); as {
	case roster.RoleCoach, roster.RoleMember:
		first = as
	}
	var same, other []string
	for _, c := range r.Cookies() {
		name, ours := strings.CutPrefix(c.Name, cookiePrefix)
		if !ours || c.Value == "" {
			continue
		}
		role := roster.RoleMember
		if strings.HasSuffix(name, "_coach") {
			role = roster.RoleCoach
		}
		if role == first {
			same = append([]string{c.Value}, same...)
		} else {
			other = append([]string{c.Value}, other...)
		}
	}
	return append(same, other...)
}

// checkOrigin refuses a request that another site may have made the browser send. strict wants an Origin, as browsers
// send one with every write; without it, what carries none is a program and carries its own token.
func (s *Server) checkOrigin(r *http.Request, strict bool) error {
	o := r.Header.Get("Origin")
	if o == "" && !strict || o != "" && s.sameOrigin(r) {
		return nil
	}
	return refuse(http.StatusForbidden, "The request does not come from this club's own page (its Origin is %s). Open the page again, or send a token in the Authorization header.", quote(o))
}

func isRead(method string) bool { return method == http.MethodGet || method == http.MethodHead }
