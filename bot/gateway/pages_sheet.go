package gateway

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"

	"tallybell/bot"
	"tallybell/bot/web"
	"tallybell/content"
)

// maxRemarks bounds how many of a sheet's problems are told at once.
const maxRemarks = 200

// pickSheet goes to the sheet that is written next: the date that was picked, or tomorrow's.
func (d *desk) pickSheet(w http.ResponseWriter, r *http.Request, who caller) error {
	date := d.today(who.club).AddDays(1)
	if picked := r.URL.Query().Get("date"); picked != "" {
		var err error
		if date, err = pageDate(picked); err != nil {
			return err
		}
	}
	http.Redirect(w, r, "/coach/sheet/"+date.String(), http.StatusSeeOther)
	return nil
}

func (d *desk) editor(w http.ResponseWriter, r *http.Request, who caller) error {
	date, err := pathDate(r)
	if err != nil {
		return err
	}
	v := d.editorView(r, who, date)
	stored, err := who.club.Bot.Sheet(r.Context(), date)
	switch {
	case err == nil:
		v.Stored, v.Text, v.Draft, v.Sent, v.Version = true, stored.Text, stored.Draft, stored.Sent, stored.Version
		v.Checked = d.read(who.club, date, stored.Text, r.URL.Query())
		v.NoFit = v.Checked.Fits.NoFit
	case !isNotFound(err):
		return err
	default:
		_, v.Checked.As = fitAsked(who.club, date, r.URL.Query())
	}
	d.sent(d.pages.Editor(w, http.StatusOK, v))
	return nil
}

func (d *desk) editorView(r *http.Request, who caller, date content.Date) web.Editor {
	v := web.Editor{Shell: d.shell(r, who, "sheet", "Sheet of "+date.String()), Date: date.String(), DateText: dayText(date),
		Before: date.AddDays(-1).String(), After: date.AddDays(1).String()}
	names := labels(receivers(who.club))
	v.Names = names[:min(len(names), maxOffered)]
	for _, k := range library(who.club).Kits() {
		v.Known = append(v.Known, k.Name)
	}
	return v
}

// read checks a sheet without storing it. as says for whom it is shown: member, or kit, level and limits.
func (d *desk) read(c *club, date content.Date, text string, as url.Values) web.Checked {
	lib := library(c)
	s, problems := content.Read(lib, date.String()+".txt", []byte(text))
	var v web.Checked
	for _, p := range problems {
		v.Problems = append(v.Problems, web.Problem{Line: p.Line, Column: p.Column, Message: p.Message, Warning: p.Warning})
	}
	v.Errors, v.Warnings = web.Tally(v.Problems)
	v.Problems = v.Problems[:min(len(v.Problems), maxRemarks)]
	var fit content.Fit
	fit, v.As = fitAsked(c, date, as)
	if v.Errors > 0 {
		return v
	}
	v.Preview = content.Text(content.Fitted(s, fit, lib), lib)
	if !s.Rest {
		v.Length = lengthText(s, lib)
		v.Fits = whoGetsWhat(c, date, s, lib)
	}
	return v
}

// lengthText tells how long a session takes as it is written, beside what the sheet says.
func lengthText(s content.Session, lib *content.Library) string {
	low, high := content.EstimateSession(s, lib)
	minutes := func(d time.Duration) int { return int(d.Round(time.Minute) / time.Minute) }
	text := fmt.Sprintf("About %d to %d min", minutes(low), minutes(high))
	if minutes(low) == minutes(high) {
		text = fmt.Sprintf("About %d min", minutes(low))
	}
	if s.Length > 0 {
		text += fmt.Sprintf("; the sheet says up to %d", minutes(s.Length))
	}
	return text + "."
}

// checkSheet answers the editor as its sheet is typed.
func (d *desk) checkSheet(w http.ResponseWriter, r *http.Request, who caller) error {
	date, err := pageDate(r.URL.Query().Get("date"))
	if err != nil {
		return err
	}
	text, err := io.ReadAll(r.Body)
	if err != nil {
		var big *http.MaxBytesError
		if errors.As(err, &big) {
			return refuse(http.StatusRequestEntityTooLarge, "The sheet is larger than %d bytes.", big.Limit)
		}
		return refuse(http.StatusBadRequest, "The sheet did not arrive whole. Send it again.")
	}
	found := d.read(who.club, date, string(text), r.URL.Query())
	if found.Problems == nil {
		found.Problems = []web.Problem{}
	}
	b, err := json.Marshal(struct {
		web.Checked
		Verdict string `json:"verdict"`
	}{found, found.Verdict()})
	if err != nil {
		return fault(err)
	}
	web.Harden(w.Header())
	w.Header().Set("Content-Type", "application/json")
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write(b)
	return nil
}

// storeSheet does what the pressed button says: check, keep as a draft, publish, or publish and send now. The page that
// answers shows what was typed, whatever came of it.
func (d *desk) storeSheet(w http.ResponseWriter, r *http.Request, who caller) error {
	date, err := pathDate(r)
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return refuse(http.StatusRequestEntityTooLarge, "The form could not be read whole; nothing was stored. A sheet has at most 256 KiB.")
	}
	v := d.editorView(r, who, date)
	v.Text = plainLines(r.PostFormValue("text"))
	v.Checked = d.read(who.club, date, v.Text, r.PostForm)
	v.NoFit = v.Checked.Fits.NoFit
	code := http.StatusOK
	switch do := r.PostFormValue("do"); do {
	case "check", "":
	case "draft", "publish", "send":
		if code, err = d.put(r, who, date, do, &v); err != nil {
			// What was typed must not be lost with the page.
			p := asProblem(err)
			d.note(r, p)
			code, v.Problem = p.Status, p.Detail
		}
	default:
		return refuse(http.StatusUnprocessableEntity, "%s is not one of the sheet's buttons.", quote(do))
	}
	if stored, err := who.club.Bot.Sheet(r.Context(), date); err == nil {
		v.Stored, v.Draft, v.Sent, v.Version = true, stored.Draft, stored.Sent, stored.Version
	}
	d.sent(d.pages.Editor(w, code, v))
	return nil
}

// put stores the sheet and tells in the view what came of it.
func (d *desk) put(r *http.Request, who caller, date content.Date, do string, v *web.Editor) (int, error) {
	o := bot.PutOptions{Draft: do == "draft", Force: r.PostFormValue("force") == "1"}
	res, err := who.club.Bot.PutSheet(r.Context(), date, []byte(v.Text), o)
	if err != nil {
		return 0, err
	}
	if len(res.Errors) > 0 {
		v.Problem = "The sheet has errors and was not stored. They are told at their lines."
		return http.StatusUnprocessableEntity, nil
	}
	for _, c := range res.Conflict {
		v.Conflict = append(v.Conflict, conflictText(c))
	}
	if len(res.Conflict) > 0 {
		return http.StatusConflict, nil
	}
	if len(res.NoFit) > 0 {
		v.NoFit = nil
	}
	for _, n := range res.NoFit {
		v.NoFit = append(v.NoFit, web.NoFit{Part: n.Part, Movement: n.Movement, Members: names(who, n.Members)})
	}
	switch do {
	case "draft":
		v.Notice = "Stored as a draft. It is not sent until you publish it."
	case "publish":
		v.Notice = "Published. It goes out to each member at their send time."
	case "send":
		sent, err := who.club.Bot.SendNow(r.Context(), date)
		if err != nil {
			return 0, err
		}
		v.Notice = fmt.Sprintf("Published and sent to %s who had not had it.", counted(sent.Members, "member"))
	}
	return http.StatusOK, nil
}

func conflictText(c bot.PartConflict) string {
	what := "be gone"
	if c.Now != "" {
		what = "be logged as " + string(c.Now)
	}
	return fmt.Sprintf("Part %s has %s logged as %s and would %s.", c.Part, counted(c.Results, "result"), c.Was, what)
}

// names returns the names of members by their ids; what is no id is taken for a name.
func names(who caller, ids []string) []string {
	out := make([]string, 0, len(ids))
	for _, id := range ids {
		if m, ok := who.club.Roster.Get(id); ok {
			id = m.Name
		}
		out = append(out, strings.TrimSpace(id))
	}
	return out
}
