package content

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
)

// The chart's measures, in units of its own: it is as wide as a phone and scales to a sheet of A4.
const (
	chartWide = 400.0 // the whole
	chartEdge = 16.0  // left and right of everything
	chartPlot = 262.0 // the longest bar; what is right of it holds the bar's number
	barTall   = 12.0
	rowTall   = 34.0  // a pattern: its name and days above, its bar below
	cellWide  = 22.0  // a day of the week
	lineTall  = 16.0  // a line of text
	pageTall  = 780.0 // a week of seven days and all patterns; on paper 273 mm, what A4 leaves
)

// chartStyle gives the chart's looks: dark on light, light on dark where the reader's device is set so, and always
// dark on white on paper, where each week fills a page of A4. Nothing is told by colour alone.
const chartStyle = `svg{color-scheme:light dark;background:var(--paper);--paper:#fff;--ink:#1a1d21;--soft:#565d66;--line:#c9ced4;--bar:#2f5d8a;--cell:#e6ebf0;` +
	`width:100%;max-width:44rem;height:auto;display:block;margin:0 auto}` +
	`text{font:12px system-ui,"Segoe UI",Roboto,"Noto Sans",sans-serif;fill:var(--ink)}` +
	`.h{font-size:17px;font-weight:700}.b{font-weight:700}.s{font-size:10.5px;fill:var(--soft)}.c{font-size:9px;fill:var(--soft)}.r{font-size:11px}.e{text-anchor:end}.m{text-anchor:middle}` +
	`.v{paint-order:stroke;stroke:var(--paper);stroke-width:4px}.bar{fill:var(--bar)}.cell{fill:var(--cell)}.g{stroke:var(--line);stroke-width:1}.a{stroke:var(--ink);stroke-width:1}` +
	`@media(prefers-color-scheme:dark){svg{--paper:#14171b;--ink:#eceff2;--soft:#a9b1ba;--line:#3a414a;--bar:#8db8e2;--cell:#2a3038}}` +
	`@media print{svg{--paper:#fff;--ink:#000;--soft:#333;--line:#bbb;--bar:#444;--cell:#e8e8e8;width:140mm;max-width:none}}@page{size:A4;margin:12mm}`

// WeekChart draws weeks as one SVG picture, a block each and all to one scale: what each day holds, a bar for the
// sets of each pattern with its sets day by day, and how the sides compare. It needs no script and no other file.
func WeekChart(weeks []Week) []byte {
	c := chart{scale: chartScale(weeks)}
	for i := range weeks {
		c.y = max(c.y, float64(i)*pageTall) // each week begins a page of its own
		c.week(&weeks[i])
	}
	name := "The week by pattern"
	if len(weeks) > 0 {
		name = "Sets by pattern, from the week of " + weeks[0].Start.String()
	}
	var out strings.Builder
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img" aria-labelledby="t d">`+"\n",
		place2(chartWide), place2(c.y+chartEdge))
	fmt.Fprintf(&out, "<title id=\"t\">%s</title>\n<desc id=\"d\">A bar for each movement pattern shows its sets in the week; the same numbers stand beside the bars.</desc>\n<style>%s</style>\n",
		escaped(name), chartStyle)
	out.WriteString(c.b.String())
	out.WriteString("</svg>\n")
	return []byte(out.String())
}

// chart is a picture in the making.
type chart struct {
	b     strings.Builder
	y     float64 // how far down it has come
	scale axis
}

// axis goes from zero to top in steps.
type axis struct{ top, step float64 }

// length is how long a bar of v is.
func (a axis) length(v float64) float64 { return v / a.top * chartPlot }

// chartScale fits the most sets that a pattern has in a week, in at most six round steps.
func chartScale(weeks []Week) axis {
	most := 1.0
	for i := range weeks {
		for _, t := range weeks[i].Patterns {
			most = max(most, t.Sets)
		}
	}
	step := 1.0
	for tens := 1.0; most/step > 6; tens *= 10 {
		for _, k := range []float64{1, 2, 5} {
			if step = k * tens; most/step <= 6 {
				break
			}
		}
	}
	return axis{math.Ceil(most/step) * step, step}
}

// text writes a line of text at x, y.
func (c *chart) text(x, y float64, class, text string) {
	if class != "" {
		class = ` class="` + class + `"`
	}
	fmt.Fprintf(&c.b, "<text x=\"%s\" y=\"%s\"%s>%s</text>\n", place2(x), place2(y), class, escaped(text))
}

// line writes a line of text below what stands there.
func (c *chart) line(class, text string) {
	c.y += lineTall
	c.text(chartEdge, c.y, class, text)
}

func (c *chart) week(w *Week) {
	c.y += 26
	c.text(chartEdge, c.y, "h", "Week of "+w.Start.String())
	c.line("s", counted(w.Sessions, "session")+", "+counted(w.Running, "day")+" in a row at most")
	c.y += 4
	for _, d := range w.Days {
		c.day(d)
	}
	c.y += 24
	c.text(chartEdge, c.y, "b", "Sets by pattern")
	for i, name := range []string{"Mo", "Tu", "We", "Th", "Fr", "Sa", "Su"} {
		c.text(cellMiddle(i), c.y, "s m", name)
	}
	c.y += 4
	c.bars(w)
	c.y += 2
	c.line("r", "push to pull: "+ratioText(w.Push, w.Pull))
	c.line("r", "squat to hinge: "+ratioText(w.Squat, w.Hinge))
	c.line("r", "single-leg: "+w.singleLegText())
	c.y += 4
	c.line("s", "Bars: sets of the week, from zero. Small boxes: sets of each day.")
	c.line("s", "One-sided reps count half. Counts as they are, no verdict.")
}

func cellMiddle(day int) float64 { return chartWide - chartEdge - (6.5-float64(day))*cellWide }

// day writes a day's date, title and length.
func (c *chart) day(d DayBalance) {
	took := "rest"
	if !d.Rest {
		took = minutesText(d.Low, d.High)
	}
	c.y += lineTall
	c.text(chartEdge, c.y, "b", d.Date.Weekday().String()[:2]+" "+strconv.Itoa(d.Date.Day))
	c.text(chartEdge+40, c.y, "", shortened(d.Title, 40))
	c.text(chartWide-chartEdge, c.y, "e", took)
}

// bars draws a row for each of the twelve patterns, and for the service groups that the week holds.
func (c *chart) bars(w *Week) {
	var rows []Pattern
	for _, p := range Patterns() {
		if _, held := w.Patterns[p]; held || !p.Service() {
			rows = append(rows, p)
		}
	}
	foot := c.y + float64(len(rows))*rowTall + 4
	for v := 0.0; v <= c.scale.top; v += c.scale.step {
		x, class := chartEdge+c.scale.length(v), "g"
		if v == 0 {
			class = "a"
		}
		for i := range rows { // the lines stop at the bars, so that they cross no words
			y := c.y + float64(i)*rowTall + 17
			fmt.Fprintf(&c.b, "<path class=\"%s\" d=\"M%s %sv%s\"/>\n", class, place2(x), place2(y), place2(barTall+4))
		}
		c.text(x, foot+12, "s m", tallied(v))
	}
	for i, p := range rows {
		c.bar(w, p, c.y+float64(i)*rowTall)
	}
	c.text(chartEdge+chartPlot+10, foot+12, "s", "sets")
	c.y = foot + 14
}

// bar draws one pattern's row, y from the top of it.
func (c *chart) bar(w *Week, p Pattern, y float64) {
	t := w.Patterns[p]
	value := tallied(t.Sets) + " sets"
	if t.Sets == 1 {
		value = "1 set"
	}
	if t.Reps > 0 {
		value += ", " + tallied(math.Round(t.Reps)) + " reps"
	}
	c.text(chartEdge, y+13, "", string(p))
	for day := range 7 {
		sets := 0.0
		for _, d := range w.Days {
			if d.Date.DaysSince(w.Start) == day {
				sets = d.Patterns[p].Sets
			}
		}
		text := "·"
		if sets > 0 {
			text = tallied(sets)
			fmt.Fprintf(&c.b, "<rect class=\"cell\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"14\"/>\n",
				place2(cellMiddle(day)-cellWide/2+1), place2(y+3), place2(cellWide-2))
		}
		c.text(cellMiddle(day), y+13.5, "c m", text)
	}
	long := c.scale.length(t.Sets)
	fmt.Fprintf(&c.b, "<rect class=\"bar\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\"><title>%s: %s</title></rect>\n",
		place2(chartEdge), place2(y+19), place2(long), place2(barTall), escaped(string(p)), value)
	c.text(chartEdge+long+5, y+29, "s v", value)
}

// place2 writes a measure with at most two decimals.
func place2(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) }

// shortened cuts text after n letters.
func shortened(s string, n int) string {
	rs := []rune(s)
	if len(rs) <= n {
		return s
	}
	return strings.TrimSpace(string(rs[:n-1])) + "…"
}

// escaped makes text safe to stand in XML: markup is quoted, and what XML does not know stands as U+FFFD.
func escaped(s string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		if r == '\t' || r >= 0x20 && r <= 0xd7ff || r >= 0xe000 && r <= 0xfffd || r >= 0x10000 {
			return r
		}
		return '\ufffd'
	}, s))
}
