package web

import (
	"fmt"
	"math"
	"strings"
)

// Point is one result on a chart. The shape tells as written, scaled, unfinished and other results apart; so do the
// words in its title and the table beside the chart.
type Point struct {
	Day   int     // on any line of days
	Date  string  // "Mon 1 Feb 2027"
	Short string  // "1 Feb"
	Value float64 // in the unit of the measure; not read of an unfinished piece
	Shape Shape
	Words string // "14:32, as written"
}

// Shape is how a point is drawn.
type Shape string

// Shapes: a filled disc, an open square, a cross in a band of its own, an open disc.
const (
	Written    Shape = "written"
	ScaledTo   Shape = "scaled"
	Unfinished Shape = "unfinished"
	Plain      Shape = "plain"
)

// legends say each shape in words.
var legends = []struct {
	shape Shape
	words string
}{{Written, "as written"}, {ScaledTo, "scaled"}, {Unfinished, "not finished"}, {Plain, "done"}}

// Measure is what the upward axis of a chart shows.
type Measure struct {
	Name  string               // "time"
	Reads string               // "lower is faster"
	Steps []float64            // what its marks may be apart, ascending; beyond the last, its doubles
	Label func(float64) string // a mark in words
}

// Chart is a drawn chart: places in a picture 360 wide.
type Chart struct {
	ID           string // distinct on its page
	Title, About string // for screen readers
	Measure      string // with how it reads
	From         string // where the axis begins, said when that is not zero
	Height       int
	Left, Right  float64 // edges of the field
	Top, Bottom  float64
	Ticks        []ChartTick
	Days         []ChartTick
	Lines        []ChartLine
	Dots         []ChartDot
	Keys         []ChartKey
	Band         float64 // height of the line for what was not finished, 0 when there is none
}

// ChartTick is a mark of an axis.
type ChartTick struct {
	At     float64
	Text   string
	Anchor string // start, middle or end
}

// ChartLine joins results of one version.
type ChartLine struct {
	Shape  Shape
	Points string
}

// ChartDot is one drawn result.
type ChartDot struct {
	X, Y  float64
	Shape Shape
	Title string
}

// ChartKey says one shape in words.
type ChartKey struct {
	Shape Shape
	Words string
}

// The field of a chart, in the units of its picture.
const (
	chartWidth  = 360.0
	chartHeight = 230
	chartLeft   = 74.0
	chartRight  = chartWidth - 14
	chartTop    = 14.0
	chartBottom = chartHeight - 30.0
	chartBand   = 30.0
)

// DrawChart places points, in the order of their days, of which there are at least two. The axis begins at zero unless
// that would press all results into a third of the field or less; then it begins just below the lowest, and says so.
func DrawChart(id, title string, m Measure, points []Point) Chart {
	c := Chart{ID: id, Title: title, Measure: m.Name + ", " + m.Reads, Height: chartHeight, Left: chartLeft, Right: chartRight,
		Top: chartTop, Bottom: chartBottom}
	low, high, any := math.Inf(1), math.Inf(-1), false
	for _, p := range points {
		if p.Shape == Unfinished {
			c.Band = chartTop + chartBand/2
			continue
		}
		low, high, any = min(low, p.Value), max(high, p.Value), true
	}
	if c.Band > 0 {
		c.Top += chartBand
	}
	if !any {
		low, high = 0, 0
	}
	begin := 0.0
	if high-low < high/3 {
		begin = low
	}
	step := m.step((high - begin) / 4)
	begin = math.Floor(begin/step) * step
	end := math.Ceil(high/step) * step
	if end <= begin {
		end = begin + step
	}
	if begin > 0 {
		c.From = "The axis begins at " + m.Label(begin) + ", not at zero."
	}
	y := func(v float64) float64 { return round(c.Bottom - (v-begin)/(end-begin)*(c.Bottom-c.Top)) }
	if any {
		for v := begin; v <= end+step/2; v += step {
			c.Ticks = append(c.Ticks, ChartTick{At: y(v), Text: m.Label(v)})
		}
	}
	c.place(points, y)
	return c
}

// step returns the least of the measure's steps that is at least x.
func (m Measure) step(x float64) float64 {
	for _, s := range m.Steps {
		if s >= x {
			return s
		}
	}
	s := m.Steps[len(m.Steps)-1]
	for s < x && !math.IsInf(s, 1) {
		s *= 2
	}
	return s
}

func round(x float64) float64 { return math.Round(x*10) / 10 }

// place puts dots, lines, days and keys where they belong.
func (c *Chart) place(points []Point, y func(float64) float64) {
	if len(points) == 0 {
		return
	}
	first, last := points[0].Day, points[len(points)-1].Day
	x := func(day int) float64 {
		if last == first {
			return (c.Left + c.Right) / 2
		}
		return round(c.Left + 12 + float64(day-first)/float64(last-first)*(c.Right-c.Left-24))
	}
	joined := map[Shape][]string{}
	seen := map[Shape]bool{}
	var told []string
	for _, p := range points {
		d := ChartDot{X: x(p.Day), Y: c.Band, Shape: p.Shape, Title: p.Date + ": " + p.Words}
		if p.Shape != Unfinished {
			d.Y = y(p.Value)
			joined[p.Shape] = append(joined[p.Shape], fmt.Sprintf("%g,%g", d.X, d.Y))
		}
		c.Dots, seen[p.Shape] = append(c.Dots, d), true
		told = append(told, d.Title)
	}
	for _, l := range legends {
		if len(joined[l.shape]) > 1 {
			c.Lines = append(c.Lines, ChartLine{l.shape, strings.Join(joined[l.shape], " ")})
		}
		if seen[l.shape] {
			c.Keys = append(c.Keys, ChartKey{l.shape, l.words})
		}
	}
	c.Days = []ChartTick{{x(first), points[0].Short, "start"}}
	if last != first {
		c.Days = append(c.Days, ChartTick{x(last), points[len(points)-1].Short, "end"})
	}
	c.About = strings.Join(told, "; ") + "."
}
