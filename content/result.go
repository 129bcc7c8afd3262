package content

// Kind is the kind of a result.
type Kind string

// Kinds of result.
const (
	KindTime     Kind = "time"
	KindReps     Kind = "reps"
	KindLoad     Kind = "load"
	KindHold     Kind = "hold"
	KindDistance Kind = "distance"
	KindDone     Kind = "done"
)

// Version tells whether a result was done as written or scaled; empty means not told.
type Version string

// Versions of a result.
const (
	AsWritten Version = "as_written"
	Scaled    Version = "scaled"
)

// Result is what a member did in one part. Pointers are nil for what does not apply, so that its JSON is the shape
// of the reading: finished, reps, rounds and extra print even when false or 0.
type Result struct {
	Kind       Kind     `json:"kind"`
	Finished   *bool    `json:"finished,omitempty"`    // time only
	TimeMS     int64    `json:"time_ms,omitempty"`     // finished time, or hold, milliseconds
	Reps       *int64   `json:"reps,omitempty"`        // totals; completed reps of an unfinished piece
	Rounds     *int64   `json:"rounds,omitempty"`      // AMRAP: full rounds
	Extra      *int64   `json:"extra,omitempty"`       // AMRAP: reps beyond the full rounds
	Counts     []int64  `json:"counts,omitempty"`      // stations: as typed, first time through first
	SplitsMS   []int64  `json:"splits_ms,omitempty"`   // laps, milliseconds
	LoadG      int64    `json:"load_g,omitempty"`      // grams used
	SetReps    []int64  `json:"set_reps,omitempty"`    // strength sets
	DistanceMM int64    `json:"distance_mm,omitempty"` // millimetres
	Version    Version  `json:"version"`
	Effort     *float64 `json:"effort,omitempty"` // 1 to 10, halves allowed
}

// IsFinished reports whether the result is a finished time.
func (r Result) IsFinished() bool { return r.Finished != nil && *r.Finished }

// RepCount returns the reps, 0 when there are none.
func (r Result) RepCount() int64 {
	if r.Reps == nil {
		return 0
	}
	return *r.Reps
}
