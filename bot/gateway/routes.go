package gateway

import (
	"net/http"
	"time"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/leaderboard"
)

// access tells who may make a call.
type access int

const (
	open       access = iota // anybody
	forMembers               // members and coaches
	forCoaches
)

// route is one call: how it is served, and how it is described in /openapi.json.
type route struct {
	method, path string
	access       access
	summary      string
	params       []param // of the query and the header
	body         any     // a value of the JSON body's type; plainText for a sheet; nil for none
	answer       any     // a value of the JSON answer's type; plainText; nil for 204
	also         []int   // refusals of its own, besides those that every call shares
	handle       func(s *Server, w http.ResponseWriter, r *http.Request, who caller) error
}

// param describes a parameter of the query or the header.
type param struct {
	in, name, about string
	values          []string // when only these are allowed
}

// plainText stands for a body or an answer that is not JSON.
type plainText string

var idempotency = param{in: "header", name: "Idempotency-Key", about: "Made by the client; the same key with the same request is done once."}

func (s *Server) table() []route {
	return []route{
		{method: "GET", path: "/chat", access: forMembers, summary: "The conversation, a WebSocket: described by /asyncapi.json", params: []param{
			{in: "query", name: "since", about: "The cursor of the last post that was read; without it the last 14 days come."}, asParam},
			also: []int{400, 426, 429, 503}, handle: (*Server).chat},

		{method: "POST", path: "/api/join", access: open, summary: "Use an invite", body: joinRequest{}, answer: joinAnswer{}, also: []int{404, 409, 422, 429}, handle: (*Server).join},
		{method: "GET", path: "/api/me", access: forMembers, summary: "Your own settings", answer: memberView{}, handle: (*Server).me},
		{method: "GET", path: "/api/me/history", access: forMembers, summary: "Your own results, and the pieces that came again", answer: bot.History{}, handle: (*Server).myHistory},
		{method: "GET", path: "/api/me/data", access: forMembers, summary: "Everything that is kept about you", answer: ownData{}, handle: (*Server).myData},

		{method: "POST", path: "/api/members", access: forCoaches, summary: "Add members: all or none", params: []param{idempotency}, body: []roster.NewMember{}, answer: []roster.Invited{}, also: []int{422}, handle: (*Server).addMembers},
		{method: "GET", path: "/api/members", access: forCoaches, summary: "List members", answer: []memberView{}, handle: (*Server).listMembers},
		{method: "GET", path: "/api/members/{id}", access: forCoaches, summary: "One member", answer: memberView{}, also: []int{404}, handle: (*Server).getMember},
		{method: "PATCH", path: "/api/members/{id}", access: forCoaches, summary: "Change a member's settings; an empty value takes the club's default back", body: roster.Patch{}, answer: memberView{}, also: []int{404, 422}, handle: (*Server).patchMember},
		{method: "DELETE", path: "/api/members/{id}", access: forCoaches, summary: "Remove a member: links end, the name stays beside old results", params: []param{
			{in: "query", name: "forget", about: "1 forgets the member, as they asked: profile, results, notes, conversation, places on boards.", values: []string{"0", "1"}}},
			also: []int{404, 409}, handle: (*Server).removeMember},
		{method: "GET", path: "/api/members/{id}/data", access: forCoaches, summary: "Everything that is kept about a member, for them", answer: ownData{}, also: []int{404}, handle: (*Server).memberData},
		{method: "POST", path: "/api/members/{id}/invites", access: forCoaches, summary: "A new invite, for a lost phone", body: inviteRequest{}, answer: roster.Invited{}, also: []int{404}, handle: (*Server).newInvite},
		{method: "GET", path: "/api/members/{id}/history", access: forCoaches, summary: "A member's results, and the pieces that came again", answer: bot.History{}, also: []int{404}, handle: (*Server).historyOf},
		{method: "GET", path: "/api/members/{id}/load", access: forCoaches, summary: "A member's training load of four weeks: a description, no prediction", answer: bot.Loads{}, also: []int{404}, handle: (*Server).loadOf},
		{method: "POST", path: "/api/members/{id}/messages", access: forCoaches, summary: "A private word to a member", params: []param{idempotency}, body: messageRequest{}, answer: messageAnswer{}, also: []int{404, 409, 422}, handle: (*Server).tellMember},

		{method: "GET", path: "/api/sessions", access: forCoaches, summary: "The dates that have a sheet", answer: sessionList{}, handle: (*Server).listSessions},
		{method: "PUT", path: "/api/sessions/{date}", access: forCoaches, summary: "Check and store a sheet", params: []param{
			{in: "query", name: "draft", about: "1 keeps it from being sent until it is published.", values: []string{"0", "1"}},
			{in: "query", name: "force", about: "1 replaces a sheet even where a part with results changes its kind.", values: []string{"0", "1"}}},
			body: plainText(""), answer: putAnswer{}, also: []int{409, 422}, handle: (*Server).putSession},
		{method: "GET", path: "/api/sessions/{date}", access: forMembers, summary: "The sheet (coach), or your own session as it was sent to you (member)", answer: plainText(""), params: []param{acceptJSON}, also: []int{404}, handle: (*Server).getSession},
		{method: "POST", path: "/api/sessions/{date}/publish", access: forCoaches, summary: "A draft becomes due", also: []int{404, 409}, handle: (*Server).publishSession},
		{method: "POST", path: "/api/sessions/{date}/send", access: forCoaches, summary: "Send now to all who have not had it", answer: bot.Sent{}, also: []int{404, 409}, handle: (*Server).sendSession},

		{method: "GET", path: "/api/boards/{date}/{part}", access: forMembers, summary: "The boards of a part", params: boardParams, answer: leaderboard.Page{}, also: []int{404, 422}, handle: (*Server).board},
		{method: "GET", path: "/api/boards/{date}/{part}/{member}", access: forCoaches, summary: "Why a member's result stands where it stands", params: unitsParam, answer: leaderboard.Explained{}, also: []int{404, 422}, handle: (*Server).explain},
		{method: "GET", path: "/api/standings", access: forMembers, summary: "The standings of a division over several days, by low points", params: standingsParams, answer: bot.Standings{}, also: []int{422}, handle: (*Server).standings},
		{method: "GET", path: "/api/results/{date}", access: forMembers, summary: "Results of a date: all of them (coach), your own (member)", answer: []bot.ResultRow{}, handle: (*Server).results},
		{method: "POST", path: "/api/results", access: forCoaches, summary: "Enter results from elsewhere: a table (CSV) of date, part, name or id, result, version", params: []param{
			{in: "query", name: "partial", about: "1 enters what can be read, though other lines cannot.", values: []string{"0", "1"}}},
			body: plainText(""), answer: bot.Imported{}, also: []int{413, 422}, handle: (*Server).importResults},
		{method: "PATCH", path: "/api/results/{date}/{part}/{member}", access: forCoaches, summary: "Correct a result", params: []param{idempotency}, body: correction{}, answer: bot.ResultRow{}, also: []int{404, 409, 422}, handle: (*Server).correct},
		{method: "DELETE", path: "/api/results/{date}/{part}/{member}", access: forCoaches, summary: "Remove a result", params: []param{
			{in: "query", name: "why", about: "Kept with the removal; needed."}, idempotency}, also: []int{404, 409, 422}, handle: (*Server).removeResult},

		{method: "GET", path: "/api/reports/{date}", access: forCoaches, summary: "The morning report", answer: bot.Report{}, also: []int{404}, handle: (*Server).reportOf},
		{method: "GET", path: "/api/questions", access: forCoaches, summary: "What members asked and nobody has answered", answer: []bot.Question{}, handle: (*Server).questions},
		{method: "POST", path: "/api/rebuild", access: forCoaches, summary: "Boards from the ledgers, and what differed", answer: rebuildAnswer{}, handle: (*Server).rebuild},
		{method: "GET", path: "/api/export", access: forCoaches, summary: "The whole club as JSON Lines", answer: plainText(""), also: []int{501}, handle: (*Server).export},
		{method: "POST", path: "/api/import", access: forCoaches, summary: "Read an export into a club that does not exist yet", body: plainText(""), also: []int{409, 422, 501}, handle: (*Server).importClub},

		{method: "GET", path: "/healthz", access: open, summary: "Alive", answer: plainText(""), handle: (*Server).healthz},
		{method: "GET", path: "/readyz", access: open, summary: "Stores reachable, and whether they are persistent", answer: readiness{}, also: []int{503}, handle: (*Server).readyz},
		{method: "GET", path: "/metrics", access: open, summary: "Counts and times in the Prometheus text format", answer: plainText(""), handle: (*Server).metricsText},
		{method: "GET", path: "/openapi.json", access: open, summary: "This description", answer: map[string]any{}, handle: (*Server).openAPI},
		{method: "GET", path: "/asyncapi.json", access: open, summary: "The description of the chat (AsyncAPI 3)", answer: map[string]any{}, handle: (*Server).asyncAPI},
	}
}

var (
	acceptJSON = param{in: "header", name: "Accept", about: "application/json for an object instead of plain text."}
	asParam    = param{in: "query", name: "as", about: "Which of a browser's two cookies to use, when it has a member's and a coach's.", values: []string{"member", "coach"}}
)

// routes builds the handler of everything.
func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	for _, rt := range s.table() {
		mux.Handle(rt.method+" "+rt.path, s.serve(rt))
	}
	s.mountPages(mux)
	return s.wrap(mux)
}

// serve proves who calls, checks rate and origin, and turns errors into problem documents.
func (s *Server) serve(rt route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		who, err := s.admit(rt, r)
		if err == nil {
			err = rt.handle(s, w, r, who)
		}
		if err != nil {
			s.refuse(w, r, err)
		}
	})
}

func (s *Server) admit(rt route, r *http.Request) (caller, error) {
	if rt.access == open {
		return caller{}, nil
	}
	first := roster.RoleMember
	if rt.access == forCoaches {
		first = roster.RoleCoach
	}
	who, err := s.authenticate(r, first)
	if err != nil {
		return caller{}, err
	}
	if who.cookie && !isRead(r.Method) {
		if err := s.checkOrigin(r, true); err != nil {
			return caller{}, err
		}
	}
	if who.isCoach() {
		return who, nil
	}
	if rt.access == forCoaches {
		return caller{}, refuse(http.StatusForbidden, "This is for coaches. A member's token reads their own session, results, settings and data, and the boards.")
	}
	if !s.api.take(who.club.id+"/"+who.member.ID, time.Now()) {
		return caller{}, tooMany(time.Second)
	}
	return who, nil
}
