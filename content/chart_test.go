package content

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func chartDays(t *testing.T) []Session {
	days := []Session{
		day(t, "2027-02-01", "A. 4 sets, rest 1:30\n16 split squat, 8 each side\n10 push-up\nB. AMRAP 9:00\n10 backpack good morning, 8 kg\n10 backpack row, 8 kg\n"),
		mustParse(t, "session: Rest & <sleep>\ndate: 2027-02-02\nrest: yes\nabout: sleep\n"),
		day(t, "2027-02-03", "A. 4 stations of 1:00, max reps, 2 times through\nsquat\npike push-up\nplank\nmountain climber\nB. EMOM 10:00, in turn\n10 push-up\n8 pull-up\n"),
		day(t, "2027-02-05", "choose: A or B\nA. 5 rounds for time, cap 16:00\n12 push-up\n16 burpee\nB. 3 sets\n10 squat\n"),
	}
	days[0].Title, days[2].Title, days[3].Title = "Ledge and landing", "A very long title of a session that will not fit on one line", "Up & over"
	return days
}

func TestWeekChart(t *testing.T) {
	golden(t, "week.svg", string(WeekChart(Weeks(Builtin(), chartDays(t)))))
}

// bar is a bar of a chart as an XML reader finds it: its title and width.
type drawnBar struct {
	title string
	width float64
}

// drawn reads a chart with encoding/xml, which fails on anything that is not well formed.
func drawn(t rapid.TB, svg []byte) (bars []drawnBar, viewBox string, texts []string) {
	d := xml.NewDecoder(bytes.NewReader(svg))
	inBar, inText, inTitle := false, false, false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return bars, viewBox, texts
		}
		if err != nil {
			t.Fatalf("not XML: %v\n%s", err, svg)
		}
		switch e := token.(type) {
		case xml.StartElement:
			at := map[string]string{}
			for _, a := range e.Attr {
				at[a.Name.Local] = a.Value
			}
			switch e.Name.Local {
			case "svg":
				viewBox = at["viewBox"]
			case "script", "foreignObject", "image", "use", "a":
				t.Fatalf("a chart holds no <%s>", e.Name.Local)
			case "rect":
				inBar = at["class"] == "bar"
				if inBar {
					w, err := strconv.ParseFloat(at["width"], 64)
					if err != nil {
						t.Fatal(err)
					}
					bars = append(bars, drawnBar{width: w})
				}
			case "title":
				inTitle = true
			case "text":
				inText = true
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "rect":
				inBar = false
			case "title":
				inTitle = false
			case "text":
				inText = false
			}
		case xml.CharData:
			if inBar && inTitle {
				bars[len(bars)-1].title += string(e)
			}
			if inText {
				texts = append(texts, string(e))
			}
		}
	}
}

// TestBarsAreAsLongAsTheirNumbers measures every bar of random weeks against the sets that it stands for, all to one
// scale from zero, and none longer than the room it has.
func TestBarsAreAsLongAsTheirNumbers(t *testing.T) {
	lib := Builtin()
	rapid.Check(t, func(t *rapid.T) {
		weeks := Weeks(lib, drawDays(t, lib))
		bars, _, _ := drawn(t, WeekChart(weeks))
		unit := 0.0 // of a set
		for _, w := range weeks {
			for _, p := range Patterns() {
				sets := w.Patterns[p].Sets
				if sets == 0 && p.Service() {
					continue
				}
				if len(bars) == 0 || !strings.HasPrefix(bars[0].title, string(p)+": ") {
					t.Fatalf("the bar of %s is missing", p)
				}
				b := bars[0]
				bars = bars[1:]
				if sets == 0 && b.width != 0 || b.width > chartPlot {
					t.Fatalf("%s: %v sets are %v long", p, sets, b.width)
				}
				if sets == 0 {
					continue
				}
				if unit == 0 {
					unit = b.width / sets
				}
				// Each width is rounded to 0.01, the first one too.
				if math.Abs(b.width-unit*sets) > 0.005+0.005*sets/math.Max(1/3., 0.1)+1e-9 {
					t.Fatalf("%s: %v sets are %v long, at %v a set", p, sets, b.width, unit)
				}
			}
		}
		if len(bars) > 0 {
			t.Fatalf("%d bars too many", len(bars))
		}
	})
}

func TestChartEscapesText(t *testing.T) {
	s := day(t, "2027-02-01", "A. 3 sets\n10 push-up\n")
	s.Title = "<script>alert(1)</script> & \"q\" \x00\x1b"
	_, box, texts := drawn(t, WeekChart(Weeks(Builtin(), []Session{s})))
	if !strings.HasPrefix(box, "0 0 400 ") {
		t.Errorf("viewBox %q", box)
	}
	if !strings.Contains(strings.Join(texts, "\n"), "<script>alert(1)</script> & \"q\"") {
		t.Errorf("the title is not shown as it is: %q", texts)
	}
	drawn(t, WeekChart(nil))
}
