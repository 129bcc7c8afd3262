package content

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// sayClock writes a duration as a member reads it: M:SS, or H:MM:SS from an hour on when it is not whole minutes.
func sayClock(d time.Duration) string {
	s := int64(d / time.Second)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// sayMinutes writes a length in whole minutes.
func sayMinutes(d time.Duration) string {
	return strconv.FormatInt(int64((d+30*time.Second)/time.Minute), 10) + " min"
}

// sayDate writes a date as "Mon 1 Feb 2027", "" for none.
func sayDate(d Date) string {
	if d.IsZero() {
		return ""
	}
	return d.noon().Format("Mon 2 Jan 2006")
}

// sayScheme writes what is to be done in a part, in whole words.
func sayScheme(p Part) string {
	several := len(p.Movements) > 1
	switch p.Scheme {
	case Sets:
		switch {
		case several && p.Order == Each:
			return sayCount(p.Sets, "set") + " of each: all sets of one movement, then the next"
		case several:
			return sayCount(p.Sets, "set") + " in turn: one of each, then rest"
		}
		return sayCount(p.Sets, "set")
	case Quality:
		return "For quality: slow and clean, no clock"
	case Stations:
		s := fmt.Sprintf("%s of %s, as many reps as you can", sayCount(p.Stations, "station"), sayClock(p.Work))
		if p.Through > 1 {
			s += ", " + strconv.Itoa(p.Through) + " times through"
		}
		return s
	case Rounds:
		if p.Rounds == 1 {
			return "For time: once through, as fast as you can do it well"
		}
		return sayCount(p.Rounds, "round") + " for time"
	case Ladder:
		return sayRungs(p.Rungs) + " for time"
	case AMRAP:
		return "As many rounds and reps as you can in " + sayClock(p.Duration)
	case Every:
		return sayEvery(p, several)
	case Heaviest:
		return "Work up to your heaviest set of " + strconv.Itoa(p.SetReps)
	case MostReps:
		return "Most reps in one unbroken set"
	case LongestHold:
		return "Longest hold, one try"
	case Farthest:
		return "As far as you can in " + sayClock(p.Duration)
	}
	return string(p.Scheme)
}

func sayEvery(p Part, several bool) string {
	s := "Every minute for " + sayClock(p.Duration)
	turn := "minute"
	if p.Interval != time.Minute {
		s, turn = fmt.Sprintf("Every %s for %s", sayClock(p.Interval), sayClock(p.Duration)), "turn"
	}
	switch {
	case several && p.Order == Together:
		return s + ": all of it each " + turn
	case several:
		return s + ": one movement a " + turn + ", in turn"
	}
	return s
}

func sayRungs(rungs []int) string {
	words := make([]string, len(rungs))
	for i, r := range rungs {
		words[i] = strconv.Itoa(r)
	}
	return strings.Join(words, "-")
}

// sayCount writes "1 round", "4 rounds".
func sayCount(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// saySettings writes the settings of a part other than its cap, a phrase each.
func saySettings(p Part) []string {
	var out []string
	if p.OwnPace {
		out = append(out, "At your own pace")
	}
	if p.RestBetween > 0 {
		out = append(out, "Rest "+sayClock(p.RestBetween)+" between movements")
	}
	if p.RestAfter > 0 {
		out = append(out, "Rest "+sayClock(p.RestAfter)+" after each turn through")
	}
	if p.Rest > 0 {
		after := map[Scheme]string{Stations: "station", Rounds: "round", Ladder: "rung", Sets: "set", Heaviest: "set"}[p.Scheme]
		switch {
		case after == "":
			after = "turn"
		case p.Scheme == Sets && len(p.Movements) > 1 && p.Order != Each:
			after = "turn through"
		}
		out = append(out, "Rest "+sayClock(p.Rest)+" after each "+after)
	}
	if p.Scheme == Every {
		out = append(out, "Whatever is left of the time is rest")
	}
	if p.Scheme == Stations {
		out = append(out, sayStationsClock(p)...)
	}
	if p.Optional {
		out = append(out, "Optional: leave it out if you like")
	}
	return out
}

// sayStationsClock tells when each time through begins and how long it all takes.
func sayStationsClock(p Part) []string {
	round := time.Duration(len(p.Movements)) * (p.Work + p.Rest)
	total := time.Duration(max(p.Through, 1)) * round
	var out []string
	switch {
	case p.Through > 6:
		out = append(out, "A new time through begins every "+sayClock(round))
	case p.Through > 1:
		var at []string
		for i := 1; i < p.Through; i++ {
			at = append(at, sayClock(time.Duration(i)*round))
		}
		out = append(out, "The next times through begin at "+strings.Join(at, ", "))
		if p.Through == 2 {
			out[0] = "The second time through begins at " + at[0]
		}
	}
	return append(out, "Clock: "+sayClock(total)+" in all")
}

// sayTempo spells out a tempo: down, still, up, still. Other shapes stay as they are written.
func sayTempo(tempo string) string {
	figures := splitList(tempo, "-")
	if len(figures) < 3 || len(figures) > 4 {
		return tempo
	}
	words := []string{"down", "still", "up", "still"}
	var out []string
	for i, f := range figures {
		switch {
		case f == "0":
			if i == 0 || i == 2 {
				out = append(out, words[i])
			}
		case f == "X" || f == "x":
			out = append(out, "fast "+words[i])
		default:
			out = append(out, f+" s "+words[i])
		}
	}
	return tempo + " (" + strings.Join(out, ", ") + ")"
}

// sayReserve tells when to stop a set with N in reserve.
func sayReserve(n int) string {
	switch n {
	case 0:
		return "Go on until no good rep is left"
	case 1:
		return "Stop with 1 good rep left"
	}
	return fmt.Sprintf("Stop with %d good reps left", n)
}

// sayLoad tells what a movement is loaded with; a stated load is the least that counts as written. A weight that the
// coach wrote in another unit than the member's (kg or lb, "" for kg) is also told in theirs, rounded up to a tenth.
func sayLoad(l Load, units string) string {
	switch {
	case l.Percent > 0 && l.Kit != "":
		return fmt.Sprintf("%s, %d%% of your load in %s", l.Kit, l.Percent, l.Of)
	case l.Percent > 0:
		return fmt.Sprintf("%d%% of your load in %s", l.Percent, l.Of)
	case l.Grams > 0 && l.Kit != "":
		return l.Kit + ", " + sayWeight(l) + alsoIn(l, units) + " or more"
	case l.Grams > 0:
		return sayWeight(l) + alsoIn(l, units) + " or more"
	}
	return l.Kit
}

// alsoIn writes a load in the member's unit, in brackets, if it is not the one written; never less than what is asked.
func alsoIn(l Load, units string) string {
	switch {
	case units == "lb" && l.Unit != "lb":
		return " (" + sayDecimal(math.Ceil(float64(l.Grams)/gramsAPound*10)/10) + " lb)"
	case units == "kg" && l.Unit == "lb":
		return " (" + sayDecimal(math.Ceil(float64(l.Grams)/1000*10)/10) + " kg)"
	}
	return ""
}

// gramsAPound is exact: 1 lb = 0.45359237 kg by definition of 1959.
const gramsAPound = 453.59237

// sayWeight writes grams in the unit that the coach wrote, to two decimals at most.
func sayWeight(l Load) string {
	if l.Unit == "lb" {
		return sayDecimal(float64(l.Grams)/gramsAPound) + " lb"
	}
	return sayDecimal(float64(l.Grams)/1000) + " kg"
}

// sayDecimal writes a number with up to two decimals, without trailing noughts.
func sayDecimal(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

// sayQuantity writes low, or low to high, of an amount's unit: "12", "8-12", "0:30", "200 m".
func sayQuantity(a Amount, low, high int64) string {
	switch a.Kind {
	case AmountTime:
		return sayTimeRange(low, high)
	case AmountDistance:
		unit, size := a.Unit, map[string]float64{"km": 1e6, "mi": 1609344, "yd": 914.4}[a.Unit]
		if size == 0 {
			unit, size = "m", 1000
		}
		return sayNumbers(sayDecimal(float64(low)/size), sayDecimal(float64(high)/size)) + " " + unit
	case AmountCalories:
		return sayNumbers(strconv.FormatInt(low, 10), strconv.FormatInt(high, 10)) + " cal"
	}
	return sayNumbers(strconv.FormatInt(low, 10), strconv.FormatInt(high, 10))
}

func sayNumbers(low, high string) string {
	if low == high {
		return low
	}
	return low + "-" + high
}

// sayTimeRange writes milliseconds as a clock, with decimals only where there are some.
func sayTimeRange(low, high int64) string {
	one := func(ms int64) string {
		s := sayClock(time.Duration(ms) * time.Millisecond)
		if ms%1000 != 0 {
			s += strings.TrimRight(fmt.Sprintf(".%03d", ms%1000), "0")
		}
		return s
	}
	return sayNumbers(one(low), one(max(low, high)))
}
