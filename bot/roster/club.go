package roster

import (
	"slices"
	"strings"
	"time"

	"tallybell/content"
)

// Club is how one club is run: what its club file says, with defaults for what it leaves out.
type Club struct {
	ID           string           // a to z, 0 to 9 and -, up to 32
	Name         string           // shown to members
	Coach        string           // the first coach's name
	Zone         string           // IANA name, for members who set none and for the coach's dates
	SendAt       content.Clock    // default send time
	EveningLimit content.Clock    // late sessions go out at once until then, silently after
	ReportAt     content.Clock    // when the coach's report goes out
	RemindAt     content.Clock    // when reminders go out to members who want one
	SummaryOn    time.Weekday     // when weekly summaries go out, an hour after the reminders
	NoSummary    bool             // none do
	Divisions    []string         // in the club's order; no ':' or braces
	AgeBands     []string         // "50+" or "40-49", from the youngest on
	JointRanks   bool             // chat and pages also tell the rank among as written and scaled together
	Discards     Discards         // of standings
	MissedCame   bool             // a day that was missed counts those who came + 1 (A5.3), not entries + 1 (A5.2)
	JointBoards  bool             // standings follow the board of everyone, not that of each result's version
	LateDays     int              // late results count for so many days
	Attention    Attention        // what the coach's attention list goes by
	HealthDays   int              // words about health are deleted after so many days
	PublicURL    string           // where links lead; not in the club file
	Movements    *content.Library // with the club's own movements and kit; not in the club file, nil is the built-in one
}

// Library returns the movements and kit that the club knows.
func (c Club) Library() *content.Library {
	if c.Movements != nil {
		return c.Movements
	}
	return content.Builtin()
}

// DefaultClub is a club of which only the id is known.
func DefaultClub(id string) Club {
	return Club{
		ID: id, Name: id, Coach: "Coach", Zone: "UTC",
		SendAt:       content.Clock{Hour: 6, Minute: 30},
		EveningLimit: content.Clock{Hour: 20},
		ReportAt:     content.Clock{Hour: 7},
		RemindAt:     content.Clock{Hour: 18},
		Divisions:    []string{"women", "men", "open"},
		SummaryOn:    time.Sunday,
		Discards:     Discards{OneIn: 4},
		LateDays:     7,
		Attention:    DefaultAttention(),
		HealthDays:   defaultHealthDays,
	}
}

// SummaryAt is the local time of weekly summaries: an hour after the reminders, the same day.
func (c Club) SummaryAt() content.Clock {
	at := min(c.RemindAt.Minutes()+60, 23*60+59)
	return content.Clock{Hour: at / 60, Minute: at % 60}
}

// AllDivisions returns the chosen divisions and the age bands ("50+"), in the club's order.
func (c Club) AllDivisions() []string {
	return slices.Concat(c.Divisions, c.AgeBands)
}

// Equal reports whether two clubs are run alike.
func (c Club) Equal(d Club) bool {
	divisions, bands := slices.Equal(c.Divisions, d.Divisions), slices.Equal(c.AgeBands, d.AgeBands)
	return divisions && bands && c.ID == d.ID && c.Name == d.Name && c.Coach == d.Coach && c.Zone == d.Zone &&
		c.SendAt == d.SendAt && c.EveningLimit == d.EveningLimit && c.ReportAt == d.ReportAt && c.RemindAt == d.RemindAt &&
		c.SummaryOn == d.SummaryOn && c.NoSummary == d.NoSummary && c.JointRanks == d.JointRanks && c.Discards == d.Discards &&
		c.MissedCame == d.MissedCame && c.JointBoards == d.JointBoards && c.LateDays == d.LateDays &&
		c.Attention == d.Attention && c.HealthDays == d.HealthDays && c.PublicURL == d.PublicURL
}

// validClubID reports whether s is 1 to 32 of a to z, 0 to 9 and -.
func validClubID(s string) bool {
	outside := func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' }
	return s != "" && len(s) <= 32 && !strings.ContainsFunc(s, outside)
}
