package bot

import (
	"slices"
	"time"

	"tallybell/bot/reply"
	"tallybell/bot/roster"
	"tallybell/content"
	"tallybell/leaderboard"
)

// change is one result that a decision logs, replaces or takes away.
type change struct {
	entry leaderboard.LedgerEntry
	old   *leaderboard.Record
	new   *leaderboard.Record
}

// outcome is what a decision comes to: nothing of it is written yet.
type outcome struct {
	answer    answer
	changes   []change
	notes     map[content.Date]dayNotes // days whose notes change
	hold      bool                      // a warning sign: no session or rank until the coach lifts it
	settlesIn bool                      // a newcomer no longer, once this is written
	request   string                    // a request that needs more than the state, done before the answer is written
}

// rules is what a decision takes from the club.
type rules struct {
	club roster.Club
}

// decide turns a reading into an outcome. It is pure: the same state, message and reading give the same outcome.
// at is when the message was said.
func (ru rules) decide(st *state, m Message, h heard, at time.Time) outcome {
	r := h.reading
	d := decision{rules: ru, st: st, m: m, at: at, logAt: h.logAt, settled: h.settled, insist: h.insist,
		out: outcome{answer: answer{Kind: AnswerPost, At: at.UnixMilli(), Said: m.Text}, notes: map[content.Date]dayNotes{}}}
	if len(st.days) > 0 {
		d.out.answer.Date = st.days[0].date
	}
	d.care(r)
	d.results(r)
	d.scrap(r)
	d.effort(r)
	d.keep(r)
	d.out.request = r.Command
	r.Asks = append(slices.Clone(r.Asks), d.doubts...)
	d.ask(r)
	return d.out
}

// decision is one decision under way.
type decision struct {
	rules
	st    *state
	m     Message
	at    time.Time
	logAt time.Time // when the result was first said: earlier than at when a question had to be asked
	out   outcome

	settled bool // the open question has its answer
	open    bool // the coach logs: no day is too long ago
	insist  bool // the member says yes to an implausible value

	doubts []reply.Ask // versions that have to be asked though they were told
}

func (d *decision) care(r reply.Reading) {
	switch r.Care {
	case "stop":
		d.out.answer.Care, d.out.hold = "stop", true
	case "check":
		d.out.answer.Care = "check"
	}
	d.out.answer.CareAbout, d.out.answer.CareMovement = r.CareAbout, r.CareMovement
}

// results logs each result of the reading, and settles versions.
func (d *decision) results(r reply.Reading) {
	for _, pr := range r.Results {
		switch {
		case r.Command == "scrap":
		case pr.Kind == "":
			d.settle(pr)
		default:
			d.log(pr)
		}
	}
}

// dayOf returns the index in the state's days of the day that a result is for.
func (d *decision) dayOf(pr reply.PartResult) int {
	if pr.Day == "" {
		if len(d.st.days) == 0 {
			return -1
		}
		return 0
	}
	date, err := content.ParseDate(pr.Day)
	if err != nil {
		return -1
	}
	return d.st.on(date)
}

func (d *decision) log(pr reply.PartResult) {
	i := d.dayOf(pr)
	if i < 0 {
		d.closed(pr)
		return
	}
	dy := d.st.days[i]
	today := d.st.today(d.at)
	if !d.open && today.DaysSince(dy.date) > d.club.LateDays {
		d.closed(pr)
		return
	}
	sheet, ok := dy.fitted.Sheet.Part(pr.Part)
	fitted, ok2 := dy.fitted.Session.Part(pr.Part)
	if !ok || !ok2 {
		return // the reader reads against this session: a part that it has not is never given
	}
	res := pr.Result
	var old *leaderboard.Record
	var first int64
	if o, had := dy.records[pr.Part]; had {
		old, first = &o, o.First
		if pr.Correction && res.Version == "" {
			res.Version = o.Result.Version
		}
		if res.Effort == nil {
			res.Effort = o.Result.Effort
		}
		if res.Kind == content.KindDone && o.Kind == res.Kind && len(res.SetReps) == 0 && res.LoadG == 0 {
			res.SetReps, res.LoadG = o.Result.SetReps, o.Result.LoadG // "all done" takes nothing away
		}
	}
	rec := leaderboard.NewRecord(d.st.member.ID, dy.date, *sheet, *fitted, res, first, d.logAt, d.divisions(dy.date))
	rec.At = d.at.UnixMilli()
	if first == 0 {
		rec.At = d.logAt.UnixMilli()
	}
	rec.Late = today.DaysSince(dy.date) > 0
	rec.Marked = d.insist
	rec.Way, rec.Eased = wayOf(dy.fitted, pr.Part), dy.fitted.Eased(pr.Part)
	kind := leaderboard.Logged
	if old != nil {
		kind = leaderboard.Replaced
		if pr.Correction {
			kind = leaderboard.Corrected
		}
	}
	d.put(i, kind, old, &rec)
}

// put records a change of one result and the line of the answer about it.
func (d *decision) put(i int, kind leaderboard.Happened, old, rec *leaderboard.Record) {
	dy := d.st.days[i]
	if at := slices.IndexFunc(d.out.changes, func(c change) bool { return c.new != nil && c.new.Field() == rec.Field() }); at >= 0 {
		// The same part twice in one message: the later is the correction, and one change tells it.
		old = d.out.changes[at].old
		d.out.changes = slices.Delete(d.out.changes, at, at+1)
		d.out.answer.Logged = slices.DeleteFunc(d.out.answer.Logged, func(l logged) bool { return l.Part == rec.Part })
	}
	sheet, _ := dy.fitted.Sheet.Part(rec.Part)
	l := logged{Part: rec.Part, Result: rec.Result, Show: leaderboard.ShowIn(*sheet, rec.Result, d.st.member.Units),
		Way: rec.Way, Piece: rec.Piece, Late: rec.Late, Marked: rec.Marked}
	if dy.date != d.st.today(d.at) {
		l.Date = dy.date
	}
	if old != nil && old.Result.Version == rec.Result.Version {
		l.Replaced = leaderboard.ShowIn(*sheet, old.Result, d.st.member.Units)
	}
	l.Joint = d.club.JointRanks && len(rec.Places()) > 0
	for _, p := range rec.Places() {
		l.Divisions = append(l.Divisions, p.Board.Division)
	}
	d.out.answer.Logged = append(d.out.answer.Logged, l)
	d.out.changes = append(d.out.changes, change{old: old, new: rec,
		entry: leaderboard.LedgerEntry{Kind: kind, Who: d.who(), At: d.at.UnixMilli(), ID: d.m.ID, Old: old, New: rec}})
}

func (d *decision) who() string { return d.m.From }

// divisions are the boards that the member stands on for a date: none before they chose to.
func (d *decision) divisions(date content.Date) []string {
	return divisionsOf(d.club, d.st.member, date)
}

func divisionsOf(club roster.Club, m roster.Member, date content.Date) []string {
	if !m.OnBoards {
		return nil
	}
	return leaderboard.Divisions(club.AllDivisions(), m.Division, m.BirthYear, date)
}

func (d *decision) closed(pr reply.PartResult) {
	if date, err := content.ParseDate(pr.Day); err == nil {
		d.out.answer.Date = date
	}
	d.out.answer.Closed = append(d.out.answer.Closed, pr.Part)
}

// settle gives a version to the results that wait for one, or to the last result.
func (d *decision) settle(pr reply.PartResult) {
	if pr.Version == "" {
		return
	}
	targets := d.st.waiting()
	if pr.Part != "" {
		targets = slices.DeleteFunc(targets, func(r leaderboard.Record) bool { return r.Part != pr.Part })
		if len(targets) == 0 {
			if i := d.dayOf(pr); i >= 0 {
				if r, ok := d.st.days[i].records[pr.Part]; ok {
					targets = append(targets, r)
				}
			}
		}
	} else if len(targets) > 0 {
		newest := targets[0].Date
		targets = slices.DeleteFunc(targets, func(r leaderboard.Record) bool { return r.Date != newest })
	} else if last, ok := d.st.last(); ok {
		targets = append(targets, last)
	}
	for _, old := range targets {
		rec := old
		rec.Result.Version = pr.Version
		rec.Divisions = d.divisions(old.Date)
		if old.Eased && old.Result.Version == content.Scaled && pr.Version == content.AsWritten {
			rec.Result.Version = ""
			d.doubts = append(d.doubts, reply.Ask{Part: old.Part, About: reply.AboutVersion})
		}
		kind := leaderboard.Corrected
		if old.Result.Version == pr.Version {
			kind = leaderboard.Replaced
		}
		d.put(d.st.on(old.Date), kind, &old, &rec)
	}
	if q := d.st.openAt(d.at); q != nil && q.About == "version" && len(targets) > 0 && len(d.doubts) == 0 {
		d.settled = true
	}
}

// scrap takes results away.
func (d *decision) scrap(r reply.Reading) {
	if r.Command != "scrap" || len(r.Results) == 0 {
		return
	}
	pr := r.Results[0]
	i := d.dayOf(pr)
	if i < 0 {
		return
	}
	old, ok := d.st.days[i].records[pr.Part]
	if !ok {
		d.out.answer.Lines = append(d.out.answer.Lines, "There is no result of yours for "+pr.Part+" to take away.")
		return
	}
	sheet, _ := d.st.days[i].fitted.Sheet.Part(pr.Part)
	d.out.answer.Scrapped = append(d.out.answer.Scrapped, logged{Part: pr.Part, Result: old.Result,
		Show: leaderboard.ShowIn(*sheet, old.Result, d.st.member.Units)})
	d.out.changes = append(d.out.changes, change{old: &old,
		entry: leaderboard.LedgerEntry{Kind: leaderboard.Removed, Who: d.who(), At: d.at.UnixMilli(), ID: d.m.ID, Old: &old}})
}

// effort keeps the effort of the whole session.
func (d *decision) effort(r reply.Reading) {
	if r.Effort == nil || len(d.st.days) == 0 {
		return
	}
	d.out.answer.Effort = r.Effort
	n := d.notesOf(0)
	n.Effort = r.Effort
	d.out.notes[d.st.days[0].date] = n
}

func (d *decision) notesOf(i int) dayNotes {
	dy := d.st.days[i]
	if n, ok := d.out.notes[dy.date]; ok {
		return n
	}
	n := dy.notes
	n.Member = d.st.member.ID
	return n
}

// keep leaves the remaining words, pain and questions for the coach.
func (d *decision) keep(r reply.Reading) {
	if r.Note == "" && !r.Question && d.out.answer.Care == "" {
		return
	}
	if r.Command != "" && r.Command != "scrap" && d.out.answer.Care == "" {
		return
	}
	d.out.answer.Noted, d.out.answer.Passed = r.Note != "", r.Question
	n := note{ID: d.m.ID, At: d.at.UnixMilli(), Said: d.m.Text, Note: r.Note, Care: d.out.answer.Care, About: r.CareAbout, Question: r.Question}
	if len(d.st.days) == 0 {
		date := d.st.today(d.at)
		kept := d.st.loose
		kept.Member = d.st.member.ID
		d.out.notes[date] = kept.with(n)
		return
	}
	d.out.notes[d.st.days[0].date] = d.notesOf(0).with(n)
}
