package gateway

import (
	"net/http"
	"strings"

	"tallybell/bot/roster"
	"tallybell/bot/web"
)

// maxNames bounds how many members one form may add.
const maxNames = 500

func (d *desk) members(w http.ResponseWriter, r *http.Request, who caller) error {
	d.sent(d.pages.Members(w, d.membersView(r, who)))
	return nil
}

func (d *desk) membersView(r *http.Request, who caller) web.Members {
	v := web.Members{Shell: d.shell(r, who, "members", "Members"), Divisions: who.club.Bot.Club().Divisions, FormID: formID()}
	for _, m := range who.club.Roster.All() {
		view := d.view(m)
		line := web.Member{Person: web.Person{ID: m.ID, Name: m.Name, Division: m.Division}, Coach: m.Role == roster.RoleCoach,
			Joined: view.Joined, Paused: view.Paused, OnBoards: m.OnBoards, Kit: kitText(m), Level: m.Level, Limits: strings.Join(m.Limits, ", ")}
		if m.Zone != "" {
			line.SendAt = m.SendAt.String() + ", " + m.Zone
		}
		v.Members = append(v.Members, line)
	}
	return v
}

// addPeople adds members, one name a line, and shows their links. The links are secrets and shown this once, so the
// page is the answer itself and nobody is sent on.
func (d *desk) addPeople(w http.ResponseWriter, r *http.Request, who caller) error {
	typed, division := plainLines(r.PostFormValue("names")), r.PostFormValue("division")
	var list []roster.NewMember
	for _, line := range strings.Split(typed, "\n") {
		if name := strings.TrimSpace(line); name != "" {
			list = append(list, roster.NewMember{Name: name, Division: division})
		}
	}
	err := error(nil)
	var added []roster.Invited
	switch {
	case len(list) == 0:
		err = refuse(http.StatusUnprocessableEntity, "Nobody was added: write a name on each line.")
	case len(list) > maxNames:
		err = refuse(http.StatusUnprocessableEntity, "Nobody was added: at most %d names at once.", maxNames)
	default:
		added, err = who.club.Roster.Add(r.Context(), d.now(), list, givenID(r))
	}
	v := d.membersView(r, who)
	if err != nil {
		p := asProblem(err)
		d.note(r, p)
		v.Problem, v.Names, v.Division = p.Detail, typed, division
	} else {
		v.Notice = "Added " + counted(len(added), "member") + "."
	}
	for _, a := range added {
		v.Invites = append(v.Invites, web.Invite{Name: a.Name, Link: d.link(r, a)})
	}
	d.sent(d.pages.Members(w, v))
	return nil
}

// inviteAgain makes a new link, for a lost phone or a link that went astray.
func (d *desk) inviteAgain(w http.ResponseWriter, r *http.Request, who caller) error {
	m, err := present(who, r.PathValue("id"))
	if err != nil {
		return err
	}
	revoke := r.PostFormValue("revoke") == "1"
	inv, err := who.club.Roster.NewInvite(r.Context(), d.now(), m.ID, revoke)
	if err != nil {
		return err
	}
	if revoke {
		who.club.hub.recheck(r.Context(), m.ID)
	}
	v := d.membersView(r, who)
	v.Notice = "A new link for " + m.Name + "."
	if revoke {
		v.Notice += " The old phone is signed out."
	}
	v.Invites = []web.Invite{{Name: m.Name, Link: d.link(r, inv)}}
	d.sent(d.pages.Members(w, v))
	return nil
}

// link is the roster's link, or one to the address that the browser itself used when no public one is known.
func (d *desk) link(r *http.Request, inv roster.Invited) string {
	if strings.Contains(inv.Link, "://") {
		return inv.Link
	}
	scheme := "http"
	if d.isHTTPS(r) {
		scheme = "https"
	}
	return scheme + "://" + r.Host + "/#join=" + inv.Invite
}
