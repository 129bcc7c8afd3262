package gateway

import (
	"crypto/rand"
	"errors"
	"net/http"
	"strings"
	"time"

	"tallybell/bot/roster"
	"tallybell/bot/web"
	"tallybell/content"
)

// maxForm bounds what a form may send: a whole sheet, each of its characters written as up to three.
const maxForm = 1 << 20

// desk serves the pages: the member's conversation, and the coach's morning, sheets and members.
type desk struct {
	*Server
	pages *web.Pages
}

// mountPages adds the pages to the routes.
func (s *Server) mountPages(mux *http.ServeMux) {
	pages, err := web.New()
	if err != nil {
		s.o.Log.Error().Err(err).Msg("the pages cannot be served")
		return
	}
	d := &desk{s, pages}
	pages.Routes(mux)
	mux.HandleFunc("GET /{$}", d.member)
	mux.HandleFunc("GET /me/results", d.ownPast)
	mux.HandleFunc("GET /boards", d.memberBoards)
	mux.HandleFunc("GET /boards/{date}", d.memberBoards)
	mux.HandleFunc("POST /coach/enter", d.enter)
	for pattern, page := range map[string]coachPage{
		"GET /coach":                      d.yesterday,
		"GET /coach/day":                  d.pickDay,
		"GET /coach/day/{date}":           d.morning,
		"POST /coach/tell":                d.tell,
		"POST /coach/lift":                d.lift,
		"POST /coach/result":              d.mendResult,
		"GET /coach/sheet":                d.pickSheet,
		"GET /coach/sheet/{date}":         d.editor,
		"POST /coach/sheet/{date}":        d.storeSheet,
		"POST /coach/check":               d.checkSheet,
		"GET /coach/standings":            d.coachStandings,
		"GET /coach/standings.csv":        d.standingsTable,
		"GET /coach/members":              d.members,
		"POST /coach/members":             d.addPeople,
		"GET /coach/members/{id}":         d.person,
		"POST /coach/members/{id}":        d.changePerson,
		"POST /coach/members/{id}/invite": d.inviteAgain,
	} {
		mux.HandleFunc(pattern, d.forCoach(page))
	}
}

// coachPage serves one page to a coach who has proven to be one.
type coachPage func(w http.ResponseWriter, r *http.Request, who caller) error

// forCoach lets coaches in, shows the door to everybody else, and turns errors into a page that says them.
func (d *desk) forCoach(page coachPage) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		who, err := d.authenticate(r, roster.RoleCoach)
		if err == nil && !who.isCoach() {
			err = unauthorised("This browser belongs to a member. The coach's pages need a coach link.")
		}
		if err != nil {
			d.door(w, r, err)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, maxForm)
		if who.cookie && !isRead(r.Method) {
			err = d.checkOrigin(r, true)
		}
		if err == nil {
			err = page(w, r, who)
		}
		if err != nil {
			d.oops(w, r, who, err)
		}
	}
}

// member serves the conversation. The page itself is the same for everyone, so that a phone may keep it.
func (d *desk) member(w http.ResponseWriter, r *http.Request) {
	d.sent(d.pages.Member(w, web.MemberPage{Club: d.clubName(r)}))
}

// clubName names the club whose cookie the browser holds, or the only one there is.
func (d *desk) clubName(r *http.Request) string {
	for _, token := range cookieTokens(r, roster.RoleMember) {
		if c, ok := d.clubs[roster.ClubOf(token)]; ok {
			return nameOf(c)
		}
	}
	if len(d.clubs) == 1 {
		for _, c := range d.clubs {
			return nameOf(c)
		}
	}
	return "Tallybell"
}

func nameOf(c *club) string {
	if n := c.Bot.Club().Name; n != "" {
		return n
	}
	return c.id
}

func (d *desk) door(w http.ResponseWriter, r *http.Request, err error) {
	v := web.Door{Club: d.clubName(r)}
	if p := asProblem(err); p.Status != http.StatusUnauthorized || len(cookieTokens(r, roster.RoleCoach)) > 0 {
		v.Problem = p.Detail
		d.note(r, p)
	}
	d.sent(d.pages.Door(w, v))
}

// enter uses a coach link that was pasted, for browsers without a script.
func (d *desk) enter(w http.ResponseWriter, r *http.Request) {
	if err := d.useLink(w, r); err != nil {
		p := asProblem(err)
		d.note(r, p)
		d.sent(d.pages.Door(w, web.Door{Club: d.clubName(r), Problem: p.Detail}))
		return
	}
	http.Redirect(w, r, "/coach", http.StatusSeeOther)
}

func (d *desk) useLink(w http.ResponseWriter, r *http.Request) error {
	if err := d.checkOrigin(r, true); err != nil {
		return err
	}
	from := addressKey(clientAddress(r, d.o.TrustedProxies))
	if !d.guesses.left(from, d.now()) {
		return tooMany(d.o.Limits.Guesses.Every)
	}
	r.Body = http.MaxBytesReader(w, r.Body, maxForm)
	invite := strings.TrimSpace(r.PostFormValue("link"))
	if _, secret, ok := strings.Cut(invite, "#join="); ok {
		invite = secret
	}
	c, ok := d.clubs[roster.ClubOf(invite)]
	if !ok {
		d.guesses.take(from, d.now())
		return asProblem(roster.ErrUnknownInvite)
	}
	m, token, err := c.Roster.Join(r.Context(), d.now(), invite, "")
	if err != nil {
		if errors.Is(err, roster.ErrUnknownInvite) || errors.Is(err, roster.ErrUsedInvite) {
			d.guesses.take(from, d.now())
		}
		return err
	}
	d.signIn(w, r, c.id, token, m.Role)
	return nil
}

// oops says what went wrong on a page.
func (d *desk) oops(w http.ResponseWriter, r *http.Request, who caller, err error) {
	p := asProblem(err)
	d.note(r, p)
	v := web.Oops{Shell: d.shell(r, who, "", p.Title), Back: "/coach"}
	v.Problem = p.Detail
	for k, values := range p.header {
		w.Header()[k] = values
	}
	d.sent(d.pages.Oops(w, p.Status, v))
}

// note logs what is the operator's to mend.
func (d *desk) note(r *http.Request, p *problem) {
	if p.Status >= http.StatusInternalServerError {
		d.o.Log.Error().Err(p.cause).Str("route", r.Pattern).Int("status", p.Status).Msg("a page could not be made")
	}
}

// sent notes a page that could not be rendered or sent.
func (d *desk) sent(err error) {
	if err != nil {
		d.o.Log.Warn().Err(err).Msg("a page was not sent")
	}
}

// shell fills in what every coach's page shows.
func (d *desk) shell(r *http.Request, who caller, here, title string) web.Shell {
	s := web.Shell{Club: nameOf(who.club), Here: here, Title: title, Today: d.today(who.club).String(), Notice: notices[r.URL.Query().Get("done")]}
	if w := d.storeWarning(r.Context(), who.club); w != "" {
		s.Warnings = append(s.Warnings, w)
	}
	return s
}

// notices are what a page says after something was done and the browser was sent on.
var notices = map[string]string{
	"told":      "Your words are in the member's conversation.",
	"lifted":    "Sessions and ranks reach them again.",
	"corrected": "The result is corrected, and the member is told.",
	"removed":   "The result is removed, and the member is told.",
	"fitted":    "Changed. Sessions that go out from now on follow it.",
}

func (s *Server) zone(c *club) *time.Location {
	if zone, err := content.LoadZone(c.Bot.Club().Zone); err == nil {
		return zone
	}
	return time.UTC
}

// clubToday is the date that the club's clock shows.
func (s *Server) clubToday(c *club) content.Date { return content.DateOf(s.now().In(s.zone(c))) }

func (d *desk) today(c *club) content.Date { return d.clubToday(c) }

// dayText writes a date as a heading does.
func dayText(date content.Date) string {
	return time.Date(date.Year, date.Month, date.Day, 12, 0, 0, 0, time.UTC).Format("Monday 2 January 2006")
}

// when writes an instant as the club's clock shows it.
func (d *desk) when(c *club, at time.Time) string {
	if at.IsZero() {
		return ""
	}
	return at.In(d.zone(c)).Format("Mon 2 Jan, 15:04")
}

// pathDate is the date in a page's address.
func pathDate(r *http.Request) (content.Date, error) { return pageDate(r.PathValue("date")) }

func pageDate(text string) (content.Date, error) {
	date, err := content.ParseDate(text)
	if err != nil {
		return content.Date{}, refuse(http.StatusNotFound, "%s", sentence(err))
	}
	return date, nil
}

// formID makes a form's repetition harmless.
func formID() string { return rand.Text() }

// library returns the movements that the club's sheets may name.
func library(c *club) *content.Library {
	if own, ok := c.Bot.(interface{ Library() *content.Library }); ok {
		return own.Library()
	}
	return content.Builtin()
}
