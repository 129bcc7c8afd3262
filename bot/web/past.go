package web

import "net/http"

// Past is what somebody has done, on their own page and on the coach's.
type Past struct {
	Pieces []Piece   // done more than once
	Days   []PastDay // latest first
	Older  []PastDay // folded
}

// Piece is a piece that was done more than once.
type Piece struct {
	Name    string
	Chart   *Chart // nil where there is nothing to draw
	Results []PastResult
}

// PastDay is one date with results.
type PastDay struct {
	DateText string
	Session  string
	Results  []PastResult
}

// PastResult is one result of the past.
type PastResult struct {
	DateText string
	Part     string
	Show     string
	Version  string
	Way      string
	Effort   string
	Change   string // since the last time of the same piece and version
	Best     bool
	Late     bool
	Eased    bool // for the coach alone, as is Marked
	Marked   bool
}

// HeavySet is the heaviest set of a movement.
type HeavySet struct {
	Movement string
	Set      string // "60 kg × 8"
	DateText string
	Estimate string // "74.5 to 76 kg"; "" where none is given
}

// LoadWeek is a week of training load, as text; what has no meaning is "n/a".
type LoadWeek struct {
	Dates                       string
	Sum, Mean, Monotony, Strain string
	Untold                      string
	Daily                       string // the loads of its days
}

// Results is a member's own page of results.
type Results struct {
	Club    string
	Title   string
	Problem string
	Past    Past
}

// Results writes a member's own page of results; with a problem the status is 401.
func (p *Pages) Results(w http.ResponseWriter, v Results) error {
	status := http.StatusOK
	if v.Problem != "" {
		status = http.StatusUnauthorized
	}
	return p.write(w, status, "results", v)
}
