package content

// Fit is what decides how a session is rendered for a member: members with equal fits share one rendering.
type Fit struct {
	Kit    []string          // canonical kit names, sorted
	Level  string            // easier, as written, harder; "" is as written
	Levels map[string]string // by pattern, over Level
	Limits []string          // sorted
	Units  string            // kg or lb; "" is kg
}

// FittedSession is a session as one fit receives it.
type FittedSession struct {
	Session Session   // amounts and movements after fitting
	Sheet   Session   // as the coach wrote it
	Changes []Changed // what fitting did, in the sheet's order; empty when sent as written
}

// Changed tells one thing that fitting did to a movement, and why.
type Changed struct {
	Part     string // letter
	Movement int    // index in the part's Movements
	Was, Now string // movement names
	Eased    bool   // by an easier line: the part is scaled
	LeaveOut bool   // a limit left nothing
	NoFit    bool   // no kit and no stand-in: sent as written, marked
	Why      string
}

// Eased reports whether the part was sent eased, which makes its results scaled.
func (f FittedSession) Eased(letter string) bool {
	for _, c := range f.Changes {
		if c.Part == letter && c.Eased {
			return true
		}
	}
	return false
}
