package gateway

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"tallybell/bot"
	"tallybell/bot/roster"
	"tallybell/bot/web"
	"tallybell/content"
)

// yesterday is what the coach opens with the first coffee.
func (d *desk) yesterday(w http.ResponseWriter, r *http.Request, who caller) error {
	return d.showDay(w, r, who, d.today(who.club).AddDays(-1))
}

// pickDay sends the browser to the date that was picked.
func (d *desk) pickDay(w http.ResponseWriter, r *http.Request, who caller) error {
	date, err := pageDate(r.URL.Query().Get("date"))
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/coach/day/"+date.String(), http.StatusSeeOther)
	return nil
}

func (d *desk) morning(w http.ResponseWriter, r *http.Request, who caller) error {
	date, err := pathDate(r)
	if err != nil {
		return err
	}
	return d.showDay(w, r, who, date)
}

func (d *desk) showDay(w http.ResponseWriter, r *http.Request, who caller, date content.Date) error {
	rep, err := who.club.Bot.Report(r.Context(), date)
	if err != nil && !isNotFound(err) {
		return err
	}
	v := web.Morning{Shell: d.shell(r, who, "morning", "Morning of "+date.String()), Date: date.String(), DateText: dayText(date),
		Yesterday: d.today(who.club).AddDays(-1).String(), Before: date.AddDays(-1).String(), After: date.AddDays(1).String(),
		Session: rep.Title, Rest: rep.Rest, Sent: rep.Sent, Received: len(rep.Received), Opened: len(rep.Opened),
		Missing: people(rep.Missing), Paused: people(rep.Paused), Waiting: people(rep.Waiting)}
	d.fillDay(&v, who.club, rep)
	if v.Boards, err = d.boards(r, who.club, date); err != nil {
		return err
	}
	d.sent(d.pages.Morning(w, v))
	return nil
}

func isNotFound(err error) bool {
	var p *bot.Problem
	return errors.As(err, &p) && p.Code == "not_found"
}

// fillDay turns a report into what the page shows: warning signs before other pain.
func (d *desk) fillDay(v *web.Morning, c *club, rep bot.Report) {
	for _, stop := range []bool{true, false} {
		for _, x := range rep.Concerns {
			if (x.Care == "stop") == stop {
				v.Concerns = append(v.Concerns, web.Concern{Person: person(x.Person), Warning: stop, Said: x.Said,
					At: d.when(c, x.At), Held: x.Held, Date: v.Date, FormID: formID()})
			}
		}
	}
	for _, q := range rep.Questions {
		v.Questions = append(v.Questions, web.Question{Person: person(q.Person), ID: q.ID, Said: q.Said, At: d.when(c, q.At), Date: v.Date, FormID: formID()})
	}
	v.Attention = attentionView(rep.Attention)
	for _, a := range rep.Answered {
		day := web.Attendance{Person: person(a.Person), Note: a.Note}
		for _, row := range a.Results {
			day.Results = append(day.Results, resultView(row))
		}
		v.Answered = append(v.Answered, day)
	}
}

func person(p bot.Person) web.Person {
	return web.Person{ID: p.Member, Name: p.Name, Division: p.Division}
}

func people(ps []bot.Person) []web.Person {
	out := make([]web.Person, 0, len(ps))
	for _, p := range ps {
		out = append(out, person(p))
	}
	return out
}

func resultView(row bot.ResultRow) web.Result {
	v := web.Result{Person: person(row.Person), Date: row.Date.String(), Part: row.Part, Show: row.Show, Version: versionText(row.Result.Version),
		Late: row.Late, Marked: row.Marked, OnBoard: row.OnBoard || row.Result.Kind == content.KindDone, FormID: formID()}
	if v.Version == "" && row.Result.Kind != content.KindDone {
		v.Version = "version not told"
	}
	if e := row.Result.Effort; e != nil {
		v.Effort = strconv.FormatFloat(*e, 'f', -1, 64)
	}
	return v
}

func versionText(v content.Version) string { return strings.ReplaceAll(string(v), "_", " ") }

// tell puts the coach's words into a member's conversation.
func (d *desk) tell(w http.ResponseWriter, r *http.Request, who caller) error {
	text := strings.TrimSpace(plainLines(r.PostFormValue("text")))
	if text == "" {
		return refuse(http.StatusUnprocessableEntity, "There is nothing to send: write what the member should read.")
	}
	m, err := present(who, r.PostFormValue("member"))
	if err != nil {
		return err
	}
	n, err := who.club.Bot.Tell(r.Context(), who.member.ID, givenID(r), m.ID, text)
	if err != nil {
		return err
	}
	who.club.hub.hint(m.ID, n)
	d.back(w, r, "told")
	return nil
}

// lift lets sessions and ranks reach a member again whom a warning sign held.
func (d *desk) lift(w http.ResponseWriter, r *http.Request, who caller) error {
	m, err := present(who, r.PostFormValue("member"))
	if err != nil {
		return err
	}
	held := false
	if _, err := who.club.Roster.Update(r.Context(), d.now(), m.ID, roster.Patch{Held: &held}); err != nil {
		return err
	}
	d.back(w, r, "lifted")
	return nil
}

// mendResult corrects or removes a result, with a reason.
func (d *desk) mendResult(w http.ResponseWriter, r *http.Request, who caller) error {
	date, err := pageDate(r.PostFormValue("date"))
	if err != nil {
		return err
	}
	part, member, why := r.PostFormValue("part"), r.PostFormValue("member"), strings.TrimSpace(r.PostFormValue("why"))
	if why == "" {
		return refuse(http.StatusUnprocessableEntity, "Say why: the member reads it, and the ledger keeps it.")
	}
	// A form is sent once for each of its buttons: correcting and then removing are two things.
	do := r.PostFormValue("do")
	id := givenID(r) + "-" + do
	done := "corrected"
	switch do {
	case "correct":
		reply := strings.TrimSpace(r.PostFormValue("reply"))
		if reply == "" {
			return refuse(http.StatusUnprocessableEntity, "Say what the result should be, as a member would type it: 14:32 scaled.")
		}
		_, err = who.club.Bot.Correct(r.Context(), who.member.ID, id, date, part, member, reply, why)
	case "remove":
		done = "removed"
		err = who.club.Bot.RemoveResult(r.Context(), who.member.ID, id, date, part, member, why)
	default:
		err = refuse(http.StatusUnprocessableEntity, "Nothing was asked for: press Correct or Remove.")
	}
	if err != nil {
		return err
	}
	d.back(w, r, done)
	return nil
}

// back sends the browser to the day it came from.
func (d *desk) back(w http.ResponseWriter, r *http.Request, done string) {
	to := "/coach"
	if date, err := content.ParseDate(r.PostFormValue("date")); err == nil {
		to = "/coach/day/" + date.String()
	}
	http.Redirect(w, r, to+"?done="+done, http.StatusSeeOther)
}

// givenID is the id that the form came with.
func givenID(r *http.Request) string {
	if id := r.PostFormValue("id"); id != "" && len(id) <= 48 {
		return id
	}
	return formID()
}

// plainLines undoes the line ends that forms are sent with.
func plainLines(s string) string { return strings.ReplaceAll(s, "\r\n", "\n") }
