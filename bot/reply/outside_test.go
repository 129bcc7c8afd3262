package reply

import (
	"fmt"
	"testing"

	"tallybell/content"
)

// Number words. Source: Unicode CLDR 48.2 (Unicode-3.0 licence), package cldr-rbnf, English: spellout-numbering-year
// for times (rule 1100/100 and 2d-year), spellout-cardinal for the others.
func TestNumberWordsOfCLDR(t *testing.T) {
	in := inputFor(t, "twin")
	for text, want := range map[string]string{
		"A fourteen thirty-two rx": "A time 14:32 as written",
		"A fourteen oh-five rx":    "A time 14:05 as written",
		"A fourteen hundred rx":    "A time 14:00 as written",
	} {
		if got := brief(Read(text, in)); got != want {
			t.Errorf("%q: got %s, want %s", text, got, want)
		}
	}
	for text, want := range map[string]int64{
		"twenty-one": 21, "one hundred thirty": 130, "one thousand four hundred thirty-two": 1432,
	} {
		p := normalise(text)
		ts := spellOut(scan(&p, nil))
		if len(ts) != 1 || ts[0].n != want {
			t.Errorf("%q: %d tokens, the first is %d, want %d", text, len(ts), ts[0].n, want)
		}
	}
}

// What may stand between number words and is ignored: blank, hyphen, soft hyphen. Source: ICU 64's copy of the CLDR
// spell-out rules, lenient-parse.
func TestIgnorableBetweenNumberWords(t *testing.T) {
	in := inputFor(t, "twin")
	for _, text := range []string{"A fourteen thirty two rx", "A fourteen thirty-two rx", "A fourteen-thirty-two rx", "A four\u00adteen thirty-\u00adtwo rx"} {
		if got := brief(Read(text, in)); got != "A time 14:32 as written" {
			t.Errorf("%q: got %s", text, got)
		}
	}
}

// Unit forms. Source: Unicode CLDR 48.2, cldr-units-full, English: long, short and narrow forms; the narrow pound is "#".
func TestUnitFormsOfCLDR(t *testing.T) {
	twin, strong := inputFor(t, "twin"), inputFor(t, "strong")
	for _, text := range []string{"A 14 minutes rx", "A 14 min rx", "A 14m rx", "A 14:00 rx"} {
		if got := brief(Read(text, twin)); got != "A time 14:00 as written" {
			t.Errorf("%q: got %s", text, got)
		}
	}
	for _, text := range []string{"A 62 min 15 sec rx", "A 1 hr 2 min 15 sec rx", "A 1h 2m 15s rx", "A 1 hour, 2 minutes, 15 seconds rx", "A 1:02:15 rx"} {
		if got := brief(Read(text, twin)); got != "A time 1:02:15 as written" {
			t.Errorf("%q: got %s", text, got)
		}
	}
	for _, text := range []string{"B 95 pounds rx", "B 95 lb rx", "B 95# rx"} {
		if got := brief(Read(text, strong)); got != "B load 43091 g as written" {
			t.Errorf("%q: got %s", text, got)
		}
	}
}

// Durations that are read. Source: the Duration corpus, English, of Duckling (BSD licence).
func TestDurationsOfDuckling(t *testing.T) {
	in := inputFor(t, "strong")
	in.Session.Session.Parts[2].Scheme = content.LongestHold
	for text, ms := range map[string]int64{
		"C two minutes": 120_000, "C 2 mins": 120_000, "C 2'": 120_000, "C one sec": 1000, `C 1"`: 1000,
		"C half an hour": 1_800_000, "C an hour and a half": 5_400_000,
	} {
		got := Read(text, in)
		if len(got.Results) != 1 || got.Results[0].TimeMS != ms {
			t.Errorf("%q: got %s, want %d ms", text, brief(got), ms)
		}
	}
}

// What is no duration. Source: the same corpus, negative examples.
func TestNoDurationsOfDuckling(t *testing.T) {
	for _, sheet := range []string{"hall", "strong", "twin", "short"} {
		for _, text := range []string{"minutes", "I second that", "secretary", "in days"} {
			if got := Read(text, inputFor(t, sheet)); len(got.Results)+len(got.Asks) != 0 || got.Note != text {
				t.Errorf("%s, %q: got %s", sheet, text, brief(got))
			}
		}
	}
}

// Times of day in words are no results. Source: the Time corpus, English, of Duckling (BSD licence).
func TestTimesOfDayOfDuckling(t *testing.T) {
	for _, sheet := range []string{"hall", "twin", "short"} {
		for _, text := range []string{"a quarter past 3pm", "at 15 past 3pm", "half past three pm", "a quarter to noon", "a quarter past noon"} {
			if got := Read("see you "+text, inputFor(t, sheet)); len(got.Results)+len(got.Asks) != 0 {
				t.Errorf("%s, %q: got %s", sheet, text, brief(got))
			}
		}
	}
}

// Many ways of one time, and of one score. Source: ours, derived from the rule.
func TestManyWaysOfOneValue(t *testing.T) {
	hall := inputFor(t, "hall")
	for _, v := range []string{"fourteen thirty-two", "14:32", "14.32", "14m32s", "14 min 32", `14'32"`} {
		if got := Read("D "+v+" rx", hall); len(got.Results) != 1 || got.Results[0].TimeMS != 872_000 {
			t.Errorf("%q: got %s", v, brief(got))
		}
	}
	for _, v := range []string{"7+12", "7 rounds and 12", "seven plus twelve"} {
		if got := Read("C "+v+" rx", hall); brief(got) != "C reps 180 = 7+12 as written" {
			t.Errorf("%q: got %s", v, brief(got))
		}
	}
	// "one thirty" and "five ten" are times on a piece for time, and asked where rounds are counted.
	for text, want := range map[string]string{
		"D one thirty rx": "D time 1:30 as written", "D five ten rx": "D time 5:10 as written", "C five ten rx": "?C value",
	} {
		if got := brief(Read(text, hall)); got != want {
			t.Errorf("%q: got %s, want %s", text, got, want)
		}
	}
}

// Exact units: 1 lb = 0.45359237 kg, 1 yd = 0.9144 m, 1 mi = 1609.344 m. Source: NIST SP 811, appendix B, and NIST
// Handbook 44, appendix C (from memory, certain by the agreement of 1959); the products are exact.
func TestExactUnits(t *testing.T) {
	in := inputFor(t, "strong")
	// 45, 95, 135, 225, 35, 53, 70 lb in kg: 20.41165665, 43.09127515, 61.23496995, 102.05828325, 15.87573295,
	// 24.04039561, 31.7514659
	for lb, grams := range map[int]int64{45: 20412, 95: 43091, 135: 61235, 225: 102058, 35: 15876, 53: 24040, 70: 31751} {
		for _, form := range []string{"%d lb", "%d lbs", "%d#", "%dlb", "%d pounds"} {
			text := "B " + fmt.Sprintf(form, lb) + " rx"
			if got := Read(text, in); len(got.Results) != 1 || got.Results[0].LoadG != grams {
				t.Errorf("%q: got %s, want %d g", text, brief(got), grams)
			}
		}
	}
	// Half a gram rounds to even: 0.0025 kg is 2 g, 0.0035 kg is 4 g.
	for frac, grams := range map[string]int64{"0025": 2, "0035": 4, "0015": 2, "0045": 4} {
		if got, ok := (figure{frac: frac, point: '.'}).in(unit{aLoad, 1000, 1}); !ok || got != grams {
			t.Errorf("0.%s kg: got %d g, want %d", frac, got, grams)
		}
	}
	for text, mm := range map[string]int64{"D 1.5 mi": 2_414_016, "D 800 yd": 731_520, "D 400 m": 400_000, "D 5 km": 5_000_000, "D 385 yd": 352_044} {
		if got := Read(text+" rx", in); len(got.Results) != 1 || got.Results[0].DistanceMM != mm {
			t.Errorf("%q: got %s, want %d mm", text, brief(got), mm)
		}
	}
}

// The warning signs that must stop training, and a warning that must not silence a result. Source: what two hospital
// systems' patient pages and a medical school's workbook agree on, in our words.
func TestWarningSigns(t *testing.T) {
	in := inputFor(t, "hall")
	for _, text := range []string{
		"chest feels tight", "felt dizzy and stopped", "can't catch my breath", "14:32 but my chest hurt",
		"pain in my chest", "pressure on the chest", "I felt faint", "light-headed at the end", "my face went numb", "pins and needles in both hands",
		"couldn't breathe properly", "cold sweat", "heart skipping beats", "pain in my jaw", "my left arm aches", "slurred words after", "blurred vision",
		"sudden weakness on one side", "severe headache", "banged my head on the table", "hot swollen calf", "cola coloured urine", "my arm is so swollen I can't straighten it",
		"30 weeks pregnant and spotting", "contractions, I'm pregnant",
	} {
		if got := Read(text, in); got.Care != CareStop {
			t.Errorf("%q: care is %s", text, got.Care)
		}
	}
	if got := Read("14:32 but my chest hurt", in); len(got.Results) != 1 || got.Results[0].TimeMS != 872_000 {
		t.Errorf("the result is silenced: %s", brief(got))
	}
}
