package web_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tallybell/bot/web"
)

var secondsMeasure = web.Measure{Name: "Time", Reads: "lower is faster", Steps: []float64{1, 5, 15, 30, 60, 300},
	Label: func(x float64) string { return fmt.Sprintf("%d:%02d", int(x)/60, int(x)%60) }}

func points(values ...float64) []web.Point {
	var out []web.Point
	for i, v := range values {
		out = append(out, web.Point{Day: 7 * i, Date: fmt.Sprintf("day %d", i), Short: fmt.Sprint(i), Value: v, Shape: web.Written, Words: "x"})
	}
	return out
}

func TestAxisIsHonest(t *testing.T) {
	for _, tt := range []struct {
		what  string
		ps    []web.Point
		first string // the lowest mark
		from  string
	}{
		{"close together: a gap, and it is said", points(890, 863, 820), "13:30", "The axis begins at 13:30, not at zero."},
		{"far apart: from zero", points(300, 100), "0:00", ""},
		{"equal", points(600, 600), "10:00", "The axis begins at 10:00, not at zero."},
	} {
		c := web.DrawChart("c", "A piece", secondsMeasure, tt.ps)
		if c.Ticks[0].Text != tt.first || c.From != tt.from {
			t.Errorf("%s: begins with %s, says %q", tt.what, c.Ticks[0].Text, c.From)
		}
		if !strings.Contains(c.Measure, "lower is faster") {
			t.Errorf("%s: the axis is not named: %q", tt.what, c.Measure)
		}
	}
}

func TestUnfinishedHasABandOfItsOwn(t *testing.T) {
	ps := points(890, 0, 863)
	ps[1].Shape = web.Unfinished
	c := web.DrawChart("c", "A piece", secondsMeasure, ps)
	if c.Band <= 0 || c.Band >= c.Top || c.Dots[1].Y != c.Band || c.Dots[0].Y < c.Top {
		t.Errorf("band at %v, field from %v, dots %+v", c.Band, c.Top, c.Dots)
	}
	if len(c.Lines) != 1 || strings.Count(c.Lines[0].Points, ",") != 2 {
		t.Errorf("the line goes through %+v", c.Lines)
	}
	only := points(0, 0)
	only[0].Shape, only[1].Shape = web.Unfinished, web.Unfinished
	if c := web.DrawChart("c", "A piece", secondsMeasure, only); len(c.Ticks) != 0 || len(c.Dots) != 2 {
		t.Errorf("nothing but unfinished: %+v", c)
	}
}

// TestChartsKeepTheirField draws anything: all dots lie in the field, in the order of days, and a lower value never
// stands above a higher one.
func TestChartsKeepTheirField(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var ps []web.Point
		day := 0
		for range rapid.IntRange(1, 40).Draw(t, "n") {
			day += rapid.IntRange(0, 60).Draw(t, "days")
			ps = append(ps, web.Point{Day: day, Value: rapid.Float64Range(0.001, 1e7).Draw(t, "value"),
				Shape: rapid.SampledFrom([]web.Shape{web.Written, web.ScaledTo, web.Unfinished, web.Plain}).Draw(t, "shape")})
		}
		c := web.DrawChart("c", "A piece", secondsMeasure, ps)
		if len(c.Dots) != len(ps) || len(c.Ticks) > 12 {
			t.Fatalf("%d dots, %d marks", len(c.Dots), len(c.Ticks))
		}
		for i, d := range c.Dots {
			if d.X < c.Left || d.X > c.Right || d.Y < 0 || d.Y > c.Bottom || ps[i].Shape != web.Unfinished && d.Y < c.Top {
				t.Fatalf("dot %d lies outside: %+v", i, d)
			}
			if i > 0 && d.X < c.Dots[i-1].X {
				t.Fatal("the days are out of order")
			}
			for j := range i {
				if ps[i].Shape != web.Unfinished && ps[j].Shape != web.Unfinished && (ps[i].Value < ps[j].Value && d.Y < c.Dots[j].Y) {
					t.Fatalf("%v stands above %v", ps[i].Value, ps[j].Value)
				}
			}
		}
	})
}
