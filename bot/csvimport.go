package bot

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
	"tallybell/leaderboard/store"
)

// Imported is what came of a table of results from elsewhere. Problems and warnings say where in the table.
type Imported struct {
	Rows      int               `json:"rows"`      // results in the table, each counted once
	Written   int               `json:"written"`   // results that were entered
	Unchanged int               `json:"unchanged"` // entered before, or the same stood already
	Problems  []content.Problem `json:"problems"`  // lines that were not read
	Warnings  []content.Problem `json:"warnings"`  // lines that were read, with something to know
}

// WhyImported is the reason that the ledger keeps with a result from elsewhere.
const WhyImported = "imported"

// ImportResults enters results from a table (CSV: date, part, name or id, result, version) as if the members had typed
// them to the session of that date, each read for certain or not at all. With a problem anywhere nothing is entered,
// unless partial is set. A line is entered once: a second import of it changes nothing, also when the result was
// corrected since. by is the coach; the members are told how many results were entered.
func (b *Bot) ImportResults(ctx context.Context, by string, table []byte, partial bool) (Imported, error) {
	rows, problems := readResults(table)
	im := &intake{b: b, by: by, now: b.clock.Now(), sheets: map[content.Date]*content.Session{},
		out: Imported{Problems: problems, Warnings: []content.Problem{}}}
	im.meet()
	plans, err := im.sort(ctx, rows)
	if err != nil {
		return Imported{}, err
	}
	members := slices.Sorted(maps.Keys(plans))
	for _, m := range members { // everything is read before anything is written
		if plans[m], err = im.read(ctx, m, plans[m]); err != nil {
			return Imported{}, err
		}
	}
	if len(im.out.Problems) == 0 || partial {
		for _, m := range members {
			if err := im.enter(ctx, m, plans[m]); err != nil {
				return Imported{}, b.problem(err)
			}
		}
	}
	im.out.Problems = inOrder(im.out.Problems)
	im.out.Warnings = inOrder(im.out.Warnings)
	return im.out, nil
}

func inOrder(ps []content.Problem) []content.Problem {
	if ps == nil {
		return []content.Problem{}
	}
	slices.SortStableFunc(ps, func(x, y content.Problem) int { return cmp.Or(x.Line-y.Line, x.Column-y.Column) })
	return ps
}

// intake is one table being entered.
type intake struct {
	b      *Bot
	by     string
	now    time.Time
	named  map[string][]string // name -> ids
	sheets map[content.Date]*content.Session
	out    Imported
}

// given is one line of the table, as far as it is understood.
type given struct {
	row     csvRow
	date    content.Date
	part    string
	member  string
	result  string // as typed, the version behind it
	version content.Version
}

// id names the line by what it says, so that the same line is known again.
func (g given) id() string {
	return "csv:" + digest(strings.Join([]string{g.date.String(), g.part, g.member, g.result, string(g.version)}, "\x00"))
}

func (im *intake) wrong(p content.Problem) { im.out.Problems = append(im.out.Problems, p) }

func (im *intake) warn(p content.Problem) {
	p.Warning = true
	im.out.Warnings = append(im.out.Warnings, p)
}

// meet learns the members' names.
func (im *intake) meet() {
	im.named = map[string][]string{}
	for _, m := range im.b.roster.All() {
		if m.Role == roster.RoleMember {
			im.named[m.Name] = append(im.named[m.Name], m.ID)
		}
	}
}

// sort reads everything of the lines but their results, and puts them by member.
func (im *intake) sort(ctx context.Context, rows []csvRow) (map[string][]given, error) {
	out := map[string][]given{}
	type slot struct {
		date         content.Date
		part, member string
	}
	seen := map[slot]given{}
	for _, row := range rows {
		g, bad, err := im.understand(ctx, row)
		if err != nil {
			return nil, err
		}
		if bad != nil {
			im.wrong(*bad)
			continue
		}
		at := slot{g.date, g.part, g.member}
		before, twice := seen[at]
		switch {
		case !twice:
			seen[at] = g
			out[g.member] = append(out[g.member], g)
		case before.id() != g.id(): // a table of boards lists one result for each division
			im.wrong(row.wrong(colResult, "line %d tells another result of the same member for %s %s: keep one", before.row.line, g.date, g.part))
		}
	}
	return out, nil
}

// understand reads a line's date, part, member and version.
func (im *intake) understand(ctx context.Context, row csvRow) (given, *content.Problem, error) {
	g := given{row: row}
	refuse := func(col, format string, args ...any) (given, *content.Problem, error) {
		p := row.wrong(col, format, args...)
		return g, &p, nil
	}
	var err error
	if g.date, err = content.ParseDate(row.cells[colDate].text); err != nil {
		return refuse(colDate, "%v", err)
	}
	if g.date.DaysSince(content.DateOf(im.now.UTC())) > 1 {
		return refuse(colDate, "%s is still to come", g.date)
	}
	s, err := im.sheet(ctx, g.date)
	if p := asProblem(err); p != nil {
		return refuse(colDate, "there is no published sheet for %s to read a result against: put it in first", g.date)
	}
	if err != nil {
		return g, nil, err
	}
	g.part = strings.ToUpper(row.cells[colPart].text)
	if _, ok := s.Part(g.part); !ok {
		return refuse(colPart, "the session of %s has no part %q", g.date, row.cells[colPart].text)
	}
	var why string
	if g.member, why = im.whose(row); why != "" {
		col := colName
		if row.cells[colID].text != "" {
			col = colID
		}
		return refuse(col, "%s", why)
	}
	g.result = row.cells[colResult].text
	if g.result == "" {
		return refuse(colResult, "there is no result")
	}
	if len(g.result) > maxCell {
		return refuse(colResult, "a result of more than %d bytes", maxCell)
	}
	switch v := strings.ToLower(strings.ReplaceAll(row.cells[colVersion].text, "_", " ")); v {
	case "":
	case "as written":
		g.version = content.AsWritten
	case "scaled":
		g.version = content.Scaled
	default:
		return refuse(colVersion, "%q is not a version: write as_written or scaled, or nothing", row.cells[colVersion].text)
	}
	return g, nil, nil
}

// maxCell bounds the text of a result.
const maxCell = 200

func (im *intake) sheet(ctx context.Context, d content.Date) (*content.Session, error) {
	if s, ok := im.sheets[d]; ok && s != nil {
		return s, nil
	} else if ok {
		return nil, &Problem{Code: "not_found"}
	}
	s, err := im.b.Session(ctx, d)
	if err != nil {
		if asProblem(err) != nil {
			im.sheets[d] = nil
		}
		return nil, err
	}
	im.sheets[d] = &s
	return &s, nil
}

// whose finds the member of a line: by id where one is told, else by the whole name.
func (im *intake) whose(row csvRow) (id, why string) {
	name := row.cells[colName].text
	id = row.cells[colID].text
	if rest, ok := strings.CutPrefix(name, "#"); ok && id == "" {
		id = rest
	}
	if id = strings.TrimPrefix(id, "#"); id != "" {
		if m, ok := im.b.roster.Get(id); !ok || m.Removed() || m.Role != roster.RoleMember {
			return "", fmt.Sprintf("no member has the id %q", id)
		}
		return id, ""
	}
	switch ids := im.named[name]; len(ids) {
	case 0:
		if name == "" {
			return "", "no member is named"
		}
		return "", fmt.Sprintf("no member is named %q, to the letter", name)
	case 1:
		return ids[0], ""
	default:
		return "", fmt.Sprintf("%d members are named %q: write which in a column id, or here: #%s", len(ids), name, strings.Join(ids, " or #"))
	}
}

// mostDates bounds the sessions that one reading of a member's state covers.
const mostDates = 60

// read tells what of a member's lines cannot be read, and returns those that can and are not entered yet.
func (im *intake) read(ctx context.Context, member string, lines []given) ([]given, error) {
	slices.SortFunc(lines, func(x, y given) int { return cmp.Or(x.date.Compare(y.date), strings.Compare(x.part, y.part)) })
	entered, err := im.entered(ctx, member)
	if err != nil {
		return nil, err
	}
	var out []given
	for part := range slices.Chunk(lines, mostDates) {
		st, err := im.state(ctx, member, part)
		if err != nil {
			return nil, err
		}
		for _, g := range part {
			d := st.days[st.on(g.date)]
			pr, why := im.readOne(st, d, g)
			if why != "" {
				im.wrong(g.row.wrong(colResult, "%s", why))
				continue
			}
			im.out.Rows++
			old, had := d.records[g.part]
			if entered[g.id()] || had && same(old, pr) {
				im.out.Unchanged++
				continue
			}
			p, _ := d.fitted.Sheet.Part(g.part)
			switch {
			case had:
				im.warn(g.row.wrong(colResult, "takes the place of %s", leaderboard.ShowIn(*p, old.Result, st.member.Units)))
			case pr.Version == "" && p.IsScored():
				im.warn(g.row.wrong(colVersion, "no version is told: the result counts, and stands on no board until it is"))
			}
			out = append(out, g)
		}
	}
	return out, nil
}

// same reports whether a result stands already as it is read.
func same(old leaderboard.Record, pr reply.PartResult) bool {
	if old.Kind != pr.Kind || pr.Version != "" && old.Result.Version != pr.Version {
		return false
	}
	now := old
	now.Result, now.Credited = pr.Result, nil
	now.Result.Version = old.Result.Version
	was := old
	was.Credited = nil
	x, ok := was.Score()
	y, ok2 := now.Score()
	return ok && ok2 && x == y
}

// entered returns the ids of the lines that a member's ledger holds.
func (im *intake) entered(ctx context.Context, member string) (map[string]bool, error) {
	entries, err := im.b.ledger(ctx, member)
	if err != nil {
		return nil, err
	}
	out := map[string]bool{}
	for _, e := range entries {
		out[e.ID] = true
	}
	return out, nil
}

// state reads a member's state with the sessions of all the lines in it, latest first.
func (im *intake) state(ctx context.Context, member string, lines []given) (*state, error) {
	m, ok := im.b.roster.Get(member)
	if !ok || m.Removed() {
		return nil, &Problem{Code: "not_found", Text: "A member of the table has left meanwhile. Send it again."}
	}
	var sessions []Fact
	for _, g := range slices.Backward(lines) {
		if n := len(sessions); n > 0 && sessions[n-1].Date == g.date {
			continue
		}
		version, err := im.b.current(ctx, g.date)
		if err != nil {
			return nil, err
		}
		sessions = append(sessions, Fact{Kind: SessionPost, Date: g.date, Version: version})
	}
	st, err := im.b.readState(ctx, m, sessions, im.now)
	im.b.states.drop(member) // it holds other days than were posted to them
	return st, err
}

// readOne reads a line's result as the member's reply to the session of its date; why not, when it is not certain.
func (im *intake) readOne(st *state, d day, g given) (pr reply.PartResult, why string) {
	typed, total := shownTotal(g.result)
	if g.version != "" {
		typed += " " + strings.ReplaceAll(string(g.version), "_", " ")
	}
	in := reply.Input{Session: *d.fitted, Library: im.b.library, Units: st.member.Units, Today: d.date}
	for _, text := range []string{g.part + " " + typed, typed} {
		r := reply.Read(text, in)
		var doubt string
		if pr, doubt = certain(r, g.part); doubt != "" {
			why = cmp.Or(why, doubt) // with its letter is how it is most likely meant
			continue
		}
		if total >= 0 && (pr.Reps == nil || *pr.Reps != total) {
			return pr, fmt.Sprintf("%q does not come to %d reps in the sheet of %s", g.result, total, d.date)
		}
		pr.Day = d.date.String()
		if g.version != "" {
			pr.Version = g.version
		} else if d.fitted.Eased(g.part) {
			pr.Version = toldVersion(text, g.part, d, in)
		}
		return pr, ""
	}
	return pr, fmt.Sprintf("%q %s", g.result, why)
}

// shownTotal takes apart what a table of ours shows of rounds: "4 rounds + 7 (103 reps)". total is -1 when none is told.
func shownTotal(result string) (typed string, total int64) {
	head, tail, ok := strings.Cut(result, " (")
	figures, ok2 := strings.CutSuffix(tail, " reps)")
	n, err := strconv.ParseInt(figures, 10, 64)
	if !ok || !ok2 || err != nil || n < 0 {
		return result, -1
	}
	return head, n
}

// certain returns the one result of a reading; why not, when there is a doubt or anything beside it.
func certain(r reply.Reading, part string) (pr reply.PartResult, why string) {
	for _, a := range r.Asks {
		switch a.About {
		case reply.AboutVersion:
		case reply.AboutPlausible:
			return pr, "is hardly possible for part " + part + ": enter it by hand if it is right"
		default:
			return pr, "cannot be read for certain as a result of part " + part + ": write it as a member would"
		}
	}
	switch {
	case len(r.Results) != 1 || r.Results[0].Part != part || r.Results[0].Kind == "" || r.Command != "":
		return pr, "cannot be read as a result of part " + part + ": write it as a member would"
	case r.Care != reply.CareNone || r.Note != "" || r.Question:
		return pr, "holds words beside the result: take them out"
	case r.Results[0].Day != "":
		return pr, "tells a day of its own: the date column tells it"
	}
	return r.Results[0], ""
}

// enter writes a member's lines, some of them at a time by one script.
func (im *intake) enter(ctx context.Context, member string, lines []given) error {
	for part := range slices.Chunk(lines, mostDates) {
		if err := im.enterSome(ctx, member, part); err != nil {
			return err
		}
	}
	return nil
}

func (im *intake) enterSome(ctx context.Context, member string, lines []given) error {
	for range attempts {
		done, stale, err := im.enterOnce(ctx, member, lines)
		if err != nil {
			return err
		}
		if !stale {
			im.out.Written += done
			im.out.Unchanged += len(lines) - done
			return nil
		}
	}
	return &Problem{Code: NotSaved, Text: "Not all was saved: a member was logging at the same moment. Send the table again: nothing is entered twice."}
}

func (im *intake) enterOnce(ctx context.Context, member string, lines []given) (done int, stale bool, err error) {
	b := im.b
	st, err := im.state(ctx, member, lines)
	if err != nil {
		return 0, false, err
	}
	// Read after the state, whose number the script holds the write against: what is entered meanwhile makes it stale.
	entered, err := im.entered(ctx, member)
	if err != nil {
		return 0, false, err
	}
	d := decision{rules: rules{club: b.Club()}, st: st, at: im.now, logAt: im.now, open: true,
		out: outcome{answer: answer{Kind: NoticePost, At: im.now.UnixMilli(), By: im.by, Why: WhyImported}}}
	var ids []string
	for _, g := range lines {
		pr, why := im.readOne(st, st.days[st.on(g.date)], g)
		if why != "" || entered[g.id()] {
			continue
		}
		pr.Correction = true
		had := len(d.out.changes)
		d.m = Message{From: im.by, ID: g.id(), Text: g.result}
		d.log(pr)
		if len(d.out.changes) == had {
			continue
		}
		c := &d.out.changes[had]
		c.entry.Why, c.new.Late = WhyImported, false // when it was told first is not known
		ids = append(ids, g.id())
	}
	if len(ids) == 0 {
		return 0, false, nil
	}
	d.out.answer.Logged = nil // a notice of many results, which tells no ranks
	d.out.answer.Words = fmt.Sprintf(textEntered, countOf(len(ids), "result"))
	if d.out.settlesIn, err = b.settlesIn(ctx, st, d.out); err != nil {
		return 0, false, err
	}
	if d.out.settlesIn {
		d.out.answer.Lines = append(d.out.answer.Lines, textAsWritten)
	}
	said, err := im.write(ctx, st, member, strings.Join(ids, " "), d.out)
	if err != nil || said.Outcome == store.Stale {
		return 0, said.Outcome == store.Stale, err
	}
	if d.out.settlesIn {
		err = b.settleIn(ctx, st, im.now)
	}
	return len(ids), false, err
}

const textEntered = "Your coach has entered %s of yours from another list. Reply: me, to see your last days; a wrong one is put right like any other."

func countOf(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// write makes the changes by one script, under an id of all the lines.
func (im *intake) write(ctx context.Context, st *state, member, id string, out outcome) (store.Said, error) {
	out.answer.Open = st.openAt(im.now)
	u, err := utterance(st, Message{From: member, ID: coachID(id), Text: id}, out)
	if err != nil {
		return store.Said{}, err
	}
	said, err := im.b.club.Say(ctx, im.now, u)
	im.b.states.drop(member)
	if err == nil && said.Outcome == store.Done {
		im.b.hint(Hint{Member: member, N: said.N})
	}
	return said, err
}
