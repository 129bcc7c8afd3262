package gateway

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"time"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// fakeClub is a whole club in memory: a number line, members and sheets. It is both the bot and the roster that a
// Server needs. All its people are invented.
type fakeClub struct {
	id string

	mu       sync.RWMutex
	n        int64
	lastPost int64
	facts    []bot.Fact
	mail     map[string][]bot.Post
	tops     map[string]int64
	said     map[string]map[string]bot.Post
	members  map[string]roster.Member
	tokens   map[string]string // token -> member
	invites  map[string]string // invite -> member, "" when used
	seen     map[string]int64
	received map[string]int64
	sheets   map[content.Date]bot.StoredSheet
	told     map[string]int64
	changed  []string
	hints    []chan bot.Hint
	renders  int
	afters   int

	down     bool          // the store is away
	noHints  bool          // hints get lost
	holdHear chan struct{} // when not nil, Hear waits for it
	inHear   chan struct{} // told when Hear waits
	joinKeys map[string]string
}

var errAway = errors.New("connection refused")

func newFake(id string) *fakeClub {
	return &fakeClub{id: id, n: 1000, mail: map[string][]bot.Post{}, tops: map[string]int64{}, said: map[string]map[string]bot.Post{},
		members: map[string]roster.Member{}, tokens: map[string]string{}, invites: map[string]string{}, seen: map[string]int64{}, received: map[string]int64{},
		sheets: map[content.Date]bot.StoredSheet{}, told: map[string]int64{}, joinKeys: map[string]string{}}
}

var (
	testDate   = content.Date{Year: 2026, Month: 11, Day: 25}
	testBucket = content.Bucket{Zone: "Etc/UTC", At: content.Clock{Hour: 6, Minute: 30}}
	testTime   = time.Date(2026, 11, 25, 6, 30, 0, 0, time.UTC)
)

// enrol adds a member who has joined and returns their token.
func (f *fakeClub) enrol(id string, role roster.Role, kit ...string) string {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.members[id] = roster.Member{ID: id, Name: "Invented " + id, Role: role, Zone: "Etc/UTC", SendAt: testBucket.At, Kit: kit,
		Buckets: []roster.DatedBucket{{From: testDate.AddDays(-30), Bucket: testBucket}}, JoinedN: 1, JoinedOn: testDate.AddDays(-30)}
	token := f.id + ".secret-of-" + id
	f.tokens[token] = id
	return token
}

func (f *fakeClub) set(do func()) {
	f.mu.Lock()
	defer f.mu.Unlock()
	do()
}

func (f *fakeClub) next(member string) int64 {
	f.n++
	if member != "" {
		f.tops[member] = f.n
	}
	return f.n
}

func (f *fakeClub) publish(h bot.Hint) {
	if f.noHints {
		return
	}
	for _, c := range f.hints {
		select {
		case c <- h:
		default:
		}
	}
}

// post writes a post to everybody's bucket.
func (f *fakeClub) post(text string) int64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	n := f.next("")
	f.lastPost = n
	f.facts = append(f.facts, bot.Fact{N: n, Kind: bot.SessionPost, Date: testDate, Bucket: testBucket, Version: "v1", At: testTime, Text: text})
	f.publish(bot.Hint{N: n})
	return n
}

// Bot.

func (f *fakeClub) Club() roster.Club {
	return roster.Club{ID: f.id, Name: "Lantern Hall Strength Club", Divisions: []string{"women"}}
}

func (f *fakeClub) Hear(ctx context.Context, m bot.Message) (bot.Heard, error) {
	f.mu.Lock()
	hold, in := f.holdHear, f.inHear
	f.mu.Unlock()
	if hold != nil {
		in <- struct{}{}
		select {
		case <-hold:
		case <-ctx.Done():
			return bot.Heard{}, ctx.Err()
		}
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.down {
		return bot.Heard{}, errAway
	}
	heard := bot.Heard{OldTop: f.tops[m.From], LastPost: f.lastPost}
	if had, ok := f.said[m.From][m.ID]; ok {
		if had.Said != m.Text {
			return bot.Heard{}, &bot.Problem{Code: bot.IDReused, Text: "used before"}
		}
		heard.Post, heard.Again = had, true
		return heard, nil
	}
	p := bot.Post{Cursor: f.next(m.From), Kind: bot.AnswerPost, At: testTime, Re: m.ID, Said: m.Text, Text: "heard " + m.Text}
	heard.Post = p
	if m.Text == "forget me" {
		delete(f.members, m.From)
		for t, id := range f.tokens {
			if id == m.From {
				delete(f.tokens, t)
			}
		}
		delete(f.mail, m.From)
		heard.OldTop = p.Cursor // the removal itself was a change
		return heard, nil
	}
	if f.said[m.From] == nil {
		f.said[m.From] = map[string]bot.Post{}
	}
	f.said[m.From][m.ID] = p
	f.mail[m.From] = append(f.mail[m.From], p)
	f.publish(bot.Hint{Member: m.From, N: p.Cursor})
	return heard, nil
}

func (f *fakeClub) Number(context.Context) (int64, int64, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.down {
		return 0, 0, errAway
	}
	return f.n, f.lastPost, nil
}

func (f *fakeClub) After(_ context.Context, member string, since int64) (bot.Backlog, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.afters++
	if f.down {
		return bot.Backlog{}, errAway
	}
	var out []bot.Post
	for _, p := range f.mail[member] {
		if p.Cursor > since {
			out = append(out, p)
		}
	}
	m := f.members[member]
	for _, x := range f.facts {
		if x.N > since && f.Concerns(m, x) {
			out = append(out, f.render(x, m.FitOn(x.Date)))
		}
	}
	slices.SortFunc(out, func(a, b bot.Post) int { return int(a.Cursor - b.Cursor) })
	return bot.Backlog{Posts: out, UpTo: f.n}, nil
}

func (f *fakeClub) PostsAfter(_ context.Context, n int64) ([]bot.Fact, int64, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.down {
		return nil, 0, errAway
	}
	var out []bot.Fact
	for _, x := range f.facts {
		if x.N > n {
			out = append(out, x)
		}
	}
	return out, f.n, nil
}

func (f *fakeClub) Tops(_ context.Context, members []string) ([]int64, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.down {
		return nil, errAway
	}
	out := make([]int64, len(members))
	for i, m := range members {
		out[i] = f.tops[m]
	}
	return out, nil
}

func (f *fakeClub) Concerns(m roster.Member, x bot.Fact) bool {
	return x.All && m.JoinedN < x.N || !x.All && m.BucketOn(x.Date) == x.Bucket
}

func (f *fakeClub) Render(_ context.Context, x bot.Fact, fit content.Fit) (bot.Post, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.renders++
	return f.render(x, fit), nil
}

func (f *fakeClub) render(x bot.Fact, fit content.Fit) bot.Post {
	return bot.Post{Cursor: x.N, Kind: x.Kind, At: x.At, Date: x.Date, Text: x.Text + " with " + strings.Join(fit.Kit, ",")}
}

func (f *fakeClub) Hints(ctx context.Context) <-chan bot.Hint {
	c := make(chan bot.Hint, 64)
	f.set(func() { f.hints = append(f.hints, c) })
	return c
}

func (f *fakeClub) Seen(_ context.Context, member string, cursor int64) error {
	f.set(func() { f.seen[member] = max(f.seen[member], cursor) })
	return nil
}

func (f *fakeClub) Received(member string, cursor int64) {
	f.set(func() { f.received[member] = max(f.received[member], cursor) })
}

func (f *fakeClub) PutSheet(_ context.Context, d content.Date, text []byte, o bot.PutOptions) (bot.PutResult, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	switch {
	case strings.HasPrefix(string(text), "broken"):
		return bot.PutResult{Errors: []content.Problem{{Line: 3, Column: 7, Message: "not a part"}}}, nil
	case strings.HasPrefix(string(text), "other kind") && !o.Force:
		return bot.PutResult{Conflict: []bot.PartConflict{{Part: "B", Was: content.KindReps, Now: content.KindTime, Results: 4}}}, nil
	}
	f.sheets[d] = bot.StoredSheet{Date: d, Text: string(text), Version: "v1", Draft: o.Draft}
	return bot.PutResult{}, nil
}

func (f *fakeClub) Sheet(_ context.Context, d content.Date) (bot.StoredSheet, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	s, ok := f.sheets[d]
	if !ok {
		return s, &bot.Problem{Code: "not_found", Text: "There is no sheet for that date."}
	}
	return s, nil
}

func (f *fakeClub) SheetDates(context.Context) ([]content.Date, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	var out []content.Date
	for d := range f.sheets {
		out = append(out, d)
	}
	return out, nil
}

func (f *fakeClub) Publish(ctx context.Context, d content.Date) error {
	s, err := f.Sheet(ctx, d)
	if err != nil {
		return err
	}
	f.set(func() { s.Draft = false; f.sheets[d] = s })
	return nil
}

func (f *fakeClub) SendNow(ctx context.Context, d content.Date) (bot.Sent, error) {
	if _, err := f.Sheet(ctx, d); err != nil {
		return bot.Sent{}, err
	}
	f.mu.Lock()
	had := len(f.facts) > 0
	f.mu.Unlock()
	if had {
		return bot.Sent{}, nil
	}
	f.post("session")
	return bot.Sent{Posts: 1, Members: 2}, nil
}

func (f *fakeClub) Board(_ context.Context, d content.Date, part string, q leaderboard.Query) (leaderboard.Page, error) {
	if part != "B" {
		return leaderboard.Page{}, &bot.Problem{Code: "not_found", Text: "There is no such part."}
	}
	line := leaderboard.Line{Rank: 1, Member: "ada", Name: "=Ada", Result: "14:32", Version: content.AsWritten}
	return leaderboard.Page{Date: d, Part: part, Kind: content.KindTime, Boards: []leaderboard.Block{
		{Division: q.Division, Version: content.AsWritten, Of: 1, Entries: []leaderboard.Line{line}}}}, nil
}

func (f *fakeClub) Explain(_ context.Context, d content.Date, part, member, _ string) (leaderboard.Explained, error) {
	if member != "ada" {
		return leaderboard.Explained{}, &bot.Problem{Code: "not_found", Text: "There is no result of theirs."}
	}
	return leaderboard.Explained{Date: d, Part: part, Member: member, Name: "=Ada", Result: "14:32", Credit: []string{}, Boards: []leaderboard.Standpoint{}}, nil
}

func (f *fakeClub) Standings(_ context.Context, q bot.StandingsQuery) (bot.Standings, error) {
	if q.Division != "women" {
		return bot.Standings{}, &bot.Problem{Code: "invalid", Text: "That is none of the club's divisions: they are women, men."}
	}
	row := func(rank int, id, name string) bot.StandingsLine {
		return bot.StandingsLine{Name: name, SeasonRow: leaderboard.SeasonRow{Rank: rank, Member: id, Total: leaderboard.WholePoints(rank),
			Scores: []leaderboard.SeasonScore{{Points: leaderboard.WholePoints(rank), Rule: "A4", Rank: int64(rank), Of: 2, Why: fmt.Sprintf("place %d of 2", rank)}}}}
	}
	return bot.Standings{From: q.From, To: q.To, Division: q.Division, Version: q.Version, Missed: "entries + 1 (A5.2)",
		Races: []leaderboard.Round{{Date: q.To, Part: "B"}}, Rows: []bot.StandingsLine{row(1, "ada", "=Ada"), row(2, "bo", "Bo")}}, nil
}

func (f *fakeClub) Results(_ context.Context, d content.Date) ([]bot.ResultRow, error) {
	row := func(id string) bot.ResultRow {
		return bot.ResultRow{Person: bot.Person{Member: id, Name: "Invented " + id}, Date: d, Part: "B", Show: "14:32", Marked: true}
	}
	return []bot.ResultRow{row("ada"), row("bo")}, nil
}

func (f *fakeClub) Correct(_ context.Context, by, id string, d content.Date, part, member, reply, why string) (bot.ResultRow, error) {
	if reply == "banana" {
		return bot.ResultRow{}, &bot.Problem{Code: "invalid", Text: "That is not a result of part B."}
	}
	return bot.ResultRow{Person: bot.Person{Member: member}, Date: d, Part: part, Show: reply}, nil
}

func (f *fakeClub) RemoveResult(context.Context, string, string, content.Date, string, string, string) error {
	return nil
}

func (f *fakeClub) Report(_ context.Context, d content.Date) (bot.Report, error) {
	return bot.Report{Date: d, Title: "Carry the lantern"}, nil
}

func (f *fakeClub) Questions(context.Context) ([]bot.Question, error) { return nil, nil }

func (f *fakeClub) Tell(_ context.Context, by, id, member, text string) (int64, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if n, ok := f.told[id]; ok {
		return n, nil
	}
	n := f.next(member)
	f.told[id] = n
	f.mail[member] = append(f.mail[member], bot.Post{Cursor: n, Kind: bot.CoachPost, At: testTime, Text: text})
	f.publish(bot.Hint{Member: member, N: n})
	return n, nil
}

func (f *fakeClub) Rebuild(context.Context) ([]string, error) { return nil, nil }

// Roster.

func (f *fakeClub) Authenticate(_ context.Context, token string) (roster.Member, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if !strings.HasPrefix(token, f.id+".") {
		return roster.Member{}, roster.ErrOtherClub
	}
	id, ok := f.tokens[token]
	if !ok {
		return roster.Member{}, roster.ErrUnknownToken
	}
	return f.members[id], nil
}

func (f *fakeClub) Join(_ context.Context, _ time.Time, invite, key string) (roster.Member, string, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	id, ok := f.invites[invite]
	if !ok {
		return roster.Member{}, "", roster.ErrUnknownInvite
	}
	if used, again := f.joinKeys[invite]; again && (used != key || key == "") {
		return roster.Member{}, "", roster.ErrUsedInvite
	}
	f.joinKeys[invite] = key
	token := f.id + ".joined-" + key + invite
	f.tokens[token] = id
	return f.members[id], token, nil
}

func (f *fakeClub) Refresh(context.Context) ([]string, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	out := f.changed
	f.changed = nil
	return out, nil
}

func (f *fakeClub) Get(id string) (roster.Member, bool) {
	f.mu.RLock()
	defer f.mu.RUnlock()
	m, ok := f.members[id]
	return m, ok
}

func (f *fakeClub) All() []roster.Member {
	f.mu.Lock()
	defer f.mu.Unlock()
	var out []roster.Member
	for _, m := range f.members {
		out = append(out, m)
	}
	slices.SortFunc(out, func(a, b roster.Member) int { return strings.Compare(a.ID, b.ID) })
	return out
}

func (f *fakeClub) Add(_ context.Context, _ time.Time, list []roster.NewMember, _ string) ([]roster.Invited, error) {
	var out []roster.Invited
	for i, m := range list {
		id := fmt.Sprintf("new%d", i)
		invite := f.id + ".invite-" + id
		f.set(func() {
			f.members[id] = roster.Member{ID: id, Name: m.Name, Role: roster.RoleMember}
			f.invites[invite] = id
		})
		out = append(out, roster.Invited{ID: id, Name: m.Name, Invite: invite, Link: "/#join=" + invite})
	}
	return out, nil
}

func (f *fakeClub) Update(_ context.Context, _ time.Time, id string, p roster.Patch) (roster.Member, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	m := f.members[id]
	if p.Name != nil {
		m.Name = *p.Name
	}
	if p.Kit != nil {
		m.Kit = *p.Kit
	}
	f.members[id] = m
	return m, nil
}

func (f *fakeClub) Remove(_ context.Context, _ time.Time, id string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	m := f.members[id]
	m.RemovedOn = testDate
	f.members[id] = m
	f.revokeLocked(id)
	return nil
}

func (f *fakeClub) revokeLocked(id string) {
	for t, of := range f.tokens {
		if of == id {
			delete(f.tokens, t)
		}
	}
}

func (f *fakeClub) NewInvite(_ context.Context, _ time.Time, id string, revoke bool) (roster.Invited, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if revoke {
		f.revokeLocked(id)
	}
	invite := f.id + ".again-" + id
	f.invites[invite] = id
	return roster.Invited{ID: id, Name: f.members[id].Name, Invite: invite, Link: "/#join=" + invite}, nil
}

type fakeArchive struct {
	text string
	err  error
}

func (a fakeArchive) Export(_ context.Context, w io.Writer) error {
	if _, err := io.WriteString(w, a.text); err != nil {
		return err
	}
	return a.err
}

func (a fakeArchive) Import(context.Context, io.Reader) error { return a.err }
