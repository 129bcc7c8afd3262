package leaderboard

import "math"

// SessionLoad is the load of one session in arbitrary units: effort, 1 to 10, times minutes. It is the session-RPE
// method of Foster et al., A new approach to monitoring exercise training, J Strength Cond Res 2001;15:109-115. Its
// limits: it rests on what somebody remembers of their effort and on minutes that are partly reckoned; it describes
// training, and is neither a measure of the body nor a prediction of injury.
func SessionLoad(effort, minutes float64) float64 { return effort * minutes }

// Share is one part of a day's training: its minutes, and the effort told for it, nil when none was.
type Share struct {
	Minutes float64
	Effort  *float64
}

// DayEffort returns the effort of a day: the one told for the whole session, else the mean of those told for its parts,
// weighted by their minutes. It is false when nothing was told. The weighting is ours; Foster 2001 asks once for the
// whole session.
func DayEffort(whole *float64, parts []Share) (float64, bool) {
	if whole != nil {
		return *whole, true
	}
	var sum, minutes float64
	for _, p := range parts {
		if p.Effort != nil && p.Minutes > 0 {
			sum, minutes = sum+*p.Effort*p.Minutes, minutes+p.Minutes
		}
	}
	return sum / max(minutes, math.SmallestNonzeroFloat64), minutes > 0
}

// DayLoad returns the load of a day (see SessionLoad), its effort (see DayEffort) over the minutes of all its parts. It
// is false when no effort was told: then the load is not known, which is not the same as none.
func DayLoad(whole *float64, parts []Share) (float64, bool) {
	effort, ok := DayEffort(whole, parts)
	if !ok {
		return 0, false
	}
	var minutes float64
	for _, p := range parts {
		minutes += p.Minutes
	}
	return SessionLoad(effort, minutes), true
}

// WeekLoad sums up daily loads. Monotony and Strain are nil where they are not defined, which is shown as "n/a".
type WeekLoad struct {
	Sum      float64  `json:"sum"`
	Mean     float64  `json:"mean"`     // a day, rest days counted as 0
	Monotony *float64 `json:"monotony"` // mean / SD of the daily loads
	Strain   *float64 `json:"strain"`   // sum x monotony
}

// WeekOf sums up daily loads, one a day with 0 for a day of rest; two sessions of a day are added before. Monotony and
// strain follow Foster, Monitoring training in athletes with reference to overtraining syndrome, Med Sci Sports Exerc
// 1998;30:1164-1168, which does not say which SD it takes: this is the population SD, over days. They are not defined
// for equal days (SD 0) or without days. They describe how even a week was; they do not predict injury or illness.
func WeekOf(days []float64) WeekLoad {
	var w WeekLoad
	if len(days) == 0 {
		return w
	}
	n := float64(len(days))
	even := true
	for _, d := range days {
		w.Sum += d
		even = even && d == days[0]
	}
	w.Mean = w.Sum / n
	if even { // asked of the days themselves: rounding may leave an SD that is almost 0
		return w
	}
	var squares float64
	for _, d := range days {
		squares += (d - w.Mean) * (d - w.Mean)
	}
	if monotony, strain := w.Mean/math.Sqrt(squares/n), 0.0; finite(monotony) {
		strain = w.Sum * monotony
		w.Monotony, w.Strain = &monotony, &strain
	}
	return w
}

func finite(x float64) bool { return !math.IsInf(x, 0) && !math.IsNaN(x) }

// Days of the short and the long smoothed mean as Williams et al. 2017 take them.
const (
	AcuteDays   = 7
	ChronicDays = 28
)

// Smoothed returns the exponentially weighted moving mean of daily loads over about n days, after the last of them:
// each day moves it by 2/(n+1) towards that day's load, and it begins with the first day's load, not with 0. After
// Williams, West, Cross and Stokes, Br J Sports Med 2017;51:209-210. It is false without days or with n below 1.
//
// It stands on no page. The ratio of a short mean to a long one has been offered as a warning of injury and does not
// hold as one: Impellizzeri et al., Sports Med 2021;51:581-592.
func Smoothed(days []float64, n int) (float64, bool) {
	if len(days) == 0 || n < 1 {
		return 0, false
	}
	lambda, mean := 2/float64(n+1), days[0]
	for _, d := range days[1:] {
		mean = d*lambda + (1-lambda)*mean
	}
	return mean, true
}
