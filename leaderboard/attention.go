package leaderboard

import (
	"cmp"
	"slices"

	"tallybell/content"
)

// Rule names one rule of the attention list.
type Rule string

// The rules, in the order of the list: who hurts and who waits for an answer, then who is quiet, then the rest.
const (
	RuleHurt      Rule = "hurt"        // wrote of pain, of their health or of a warning sign
	RuleIncident  Rule = "incident"    // told of a mishap
	RuleQuestion  Rule = "question"    // asked, and nobody has answered
	RuleQuiet     Rule = "quiet"       // no result for some scheduled days
	RuleNewcomer  Rule = "newcomer"    // new, and no first reply
	RuleOutOfTime Rule = "out_of_time" // out of time running, at the same level
	RuleLight     Rule = "light"       // as written with little effort
	RuleFastest   Rule = "fastest"     // among the first of a board of some size, running
	RuleMarked    Rule = "marked"      // a result that was insisted on though implausible
	RuleLoad      Rule = "load"        // a week's load well above the weeks before
)

// Thresholds are the numbers that the rules go by. A rule whose number is 0 is left out.
type Thresholds struct {
	HurtDays     int     // a mention of pain or of a mishap is listed for so many days
	QuietDays    int     // scheduled days without a result
	NewcomerDays int     // days since the first session without a reply
	OutOfTime    int     // times running
	LightEffort  float64 // this effort or less,
	LightTimes   int     // so many times
	FastestIn    int     // 5 is the first fifth
	FastestOf    int     // of at least so many on the board,
	FastestTimes int     // so many times running
	MarkedDays   int     // a marked result is listed for so many days
	LoadPercent  int     // a week's load more than so many percent above the mean of three weeks before
}

// FollowedDays is how many days, the report's own the last, the rules look at: a week and the three before it.
const FollowedDays = 28

// freshDays is for how many days results that have nothing newer behind them are still told of.
const freshDays = 7

// Followed is what the rules look at of one member. Nothing in it is inferred about a body: it is what they typed.
type Followed struct {
	Member, Name string
	Away         bool         // they pause or have left: nobody is missed
	Held         bool         // since a warning sign
	Joined       content.Date // zero before
	Hurt         []Mention    // not taken back
	Asked        []content.Date
	Days         []Day // latest first, at most FollowedDays, none twice
}

// Mention is one mention of pain or the like.
type Mention struct {
	Date   content.Date
	Stop   bool // a warning sign
	Mishap bool // a fall, a slip, kit that gave way
}

// Day is one date of one member.
type Day struct {
	Date    content.Date
	Sent    bool // a session went out to them, and no rest day
	Over    bool // the day has passed: no answer is a missing one
	Excused bool
	Heard   bool // a result, or words
	Results []Outcome
	Effort  *float64 // see DayEffort
	Load    *float64 // see DayLoad; nil where they trained and told no effort, and on days of rest
}

// Outcome is one result as the rules see it.
type Outcome struct {
	Record *Record
	Part   *content.Part // as the coach wrote it; nil when the sheet is gone
	Places []Standing    // the boards it stands on
}

// Standing is a place on one board.
type Standing struct {
	Division string
	Rank, Of int64
}

// Notice is one line of the attention list.
type Notice struct {
	Member  string `json:"member"`
	Name    string `json:"name"`
	Rule    Rule   `json:"rule"`
	Reason  string `json:"reason"`          // "no result for 3 scheduled days"
	Because string `json:"because"`         // the numbers and dates behind it
	Offer   string `json:"offer,omitempty"` // what the coach may do; the bot never does it

	urgent bool
}

// rules are tried in the order of the list.
var rules = []struct {
	rule  Rule
	fires func(f *Followed, t Thresholds, on content.Date) (Notice, bool)
}{
	{RuleHurt, hurt}, {RuleIncident, incident}, {RuleQuestion, question}, {RuleQuiet, quiet}, {RuleNewcomer, newcomer}, {RuleOutOfTime, outOfTime},
	{RuleLight, light}, {RuleFastest, fastest}, {RuleMarked, marked}, {RuleLoad, loaded},
}

// Attention returns who deserves the coach's eye on a date, each with the reason: by rule, then warning signs first,
// then by name and member. The same people in any order give the same list.
func Attention(people []Followed, t Thresholds, on content.Date) []Notice {
	out := []Notice{}
	for _, r := range rules {
		start := len(out)
		for i := range people {
			if n, ok := r.fires(&people[i], t, on); ok {
				n.Member, n.Name, n.Rule = people[i].Member, people[i].Name, r.rule
				out = append(out, n)
			}
		}
		slices.SortFunc(out[start:], func(a, b Notice) int {
			return cmp.Or(-compareBool(a.urgent, b.urgent), cmp.Compare(a.Name, b.Name), cmp.Compare(a.Member, b.Member))
		})
	}
	return out
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}
