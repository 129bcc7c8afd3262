package gateway

import (
	"errors"
	"net/http"
	"slices"
	"strings"

	"tallybell/bot/roster"
	"tallybell/bot/web"
	"tallybell/content"
)

// person shows what decides how sessions reach one member, to be changed.
func (d *desk) person(w http.ResponseWriter, r *http.Request, who caller) error {
	m, err := present(who, r.PathValue("id"))
	if err != nil {
		return err
	}
	v := d.personView(r, who, m)
	if err := d.fillPast(r.Context(), &v, who, m); err != nil {
		return err
	}
	d.sent(d.pages.PersonFit(w, v))
	return nil
}

func (d *desk) personView(r *http.Request, who caller, m roster.Member) web.PersonFit {
	v := web.PersonFit{Shell: d.shell(r, who, "members", m.Name), ID: m.ID, Name: m.Name, Kit: kitText(m), Level: m.Level,
		Levels: strings.Join(pairs(m.Levels, ": "), "; "), Wrong: map[string][]string{}}
	for _, l := range content.Limits() {
		v.Limits = append(v.Limits, web.Tick{Name: l, On: slices.Contains(m.Limits, l)})
	}
	for _, k := range library(who.club).Kits() {
		v.Known = append(v.Known, k.Name)
	}
	return v
}

func kitText(m roster.Member) string {
	if len(m.Kit) == 0 && m.KitTold {
		return noKit
	}
	return strings.Join(m.Kit, ", ")
}

// changePerson changes kit, level and limits of a member. What is wrong is told beside its field, and nothing that was
// typed is lost.
func (d *desk) changePerson(w http.ResponseWriter, r *http.Request, who caller) error {
	m, err := present(who, r.PathValue("id"))
	if err != nil {
		return err
	}
	if err := r.ParseForm(); err != nil {
		return refuse(http.StatusBadRequest, "The form could not be read whole; nothing was changed. Send it again.")
	}
	kit, level, limits := strings.TrimSpace(r.PostFormValue("kit")), strings.TrimSpace(r.PostFormValue("level")), listOf(r.PostForm["limits"])
	v := d.personView(r, who, m)
	v.Kit, v.Level = kit, level
	for i := range v.Limits {
		v.Limits[i].On = slices.Contains(limits, v.Limits[i].Name)
	}
	patch := roster.Patch{}
	switch names := listOf([]string{kit}); {
	case strings.EqualFold(kit, noKit):
		patch.Kit = &[]string{}
	case slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, noKit) }):
		v.Wrong["kit"] = append(v.Wrong["kit"], noneStandsAlone)
	case len(names) > 0:
		patch.Kit = &names
	case m.KitTold || len(m.Kit) > 0:
		v.Wrong["kit"] = append(v.Wrong["kit"], "is empty: write none where there is no kit")
	}
	if level != m.Level { // an unchanged level leaves a newcomer one
		patch.Level = &level
	}
	if !slices.Equal(slices.Sorted(slices.Values(limits)), slices.Sorted(slices.Values(m.Limits))) {
		patch.Limits = &limits
	}
	if len(v.Wrong) == 0 {
		_, err = who.club.Roster.Update(r.Context(), d.now(), m.ID, patch)
	}
	var invalid roster.InvalidError
	switch {
	case errors.As(err, &invalid):
		for _, p := range invalid {
			v.Wrong[p.Field] = append(v.Wrong[p.Field], p.Message)
		}
	case err != nil:
		p := asProblem(err)
		d.note(r, p)
		v.Problem = p.Detail
	}
	if len(v.Wrong) > 0 {
		v.Problem = "Nothing was changed. What to mend is told beside its field."
	}
	if v.Problem != "" {
		d.sent(d.pages.PersonFit(w, v))
		return nil
	}
	http.Redirect(w, r, "/coach/members/"+m.ID+"?done=fitted", http.StatusSeeOther)
	return nil
}
