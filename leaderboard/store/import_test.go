package store

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
)

// exported returns a club's export.
func exported(t testing.TB, c *Club) string {
	t.Helper()
	var b bytes.Buffer
	if err := c.Export(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// live writes a random history: messages with results, corrections and removals, posts, sheets, people who come, change
// and go, and words of every byte.
func live(t testing.TB, c *Club, seed uint64) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 11))
	ctx, now := t.Context(), noon
	words := func() string {
		b := make([]byte, rng.IntN(40))
		for i := range b {
			b[i] = byte(rng.IntN(256))
		}
		return string(b)
	}
	top := map[string]int64{}
	for i := range 120 {
		now = now.Add(time.Duration(rng.IntN(7200)) * time.Second)
		m := fmt.Sprintf("m%d", rng.IntN(8))
		date := noon.AddDate(0, 0, rng.IntN(5)).Format(time.DateOnly)
		switch k := rng.IntN(10); {
		case k < 6:
			b := Board{date, string(rune('A' + rng.IntN(3))), "time", []string{"women", "50+"}[rng.IntN(2)]}
			f := Field{b.Date, b.Part, b.Kind, m}
			p := Place{Board: b, SetMember: SetMember(noon, m), Score: rng.Int64N(1 << 51)}
			u := Utterance{Member: m, Top: top[m], ID: fmt.Sprint(i), Digest: "d", Fact: []byte(words()), Ledger: [][]byte{[]byte(words()), []byte("{}")}}
			if rng.IntN(5) == 0 {
				u.Results, u.Moves.Out = []ResultWrite{{f, nil}}, []Place{p}
			} else {
				u.Results, u.Moves.In = []ResultWrite{{f, []byte("r" + words())}}, []Place{p}
			}
			top[m] = say(t, c, now, u).N
		case k < 7:
			if _, _, err := c.Post(ctx, now, Post{Date: date, OnceID: fmt.Sprint(rng.IntN(9)), Bucket: "b", Fact: []byte(words())}); err != nil {
				t.Fatal(err)
			}
		case k < 9:
			n, err := c.Change(ctx, now, nil, []Do{{"HSET", c.KeySheets(date), fmt.Sprint(i), words(), "current", fmt.Sprint(i)},
				{"HSET", c.KeyMembers(), m, words()}, {"HSET", c.KeyTokens(), words() + "t", m}, c.DoTop(m), c.DoChanged(m)})
			if err != nil {
				t.Fatal(err)
			}
			top[m] = n
		default:
			if _, err := c.Forget(ctx, now, m); err != nil {
				t.Fatal(err)
			}
			delete(top, m)
		}
	}
}

// The import of an export is the same club: exported again it is the same, byte for byte, whatever happened in the
// club, and whether either store is the embedded one or a Redis.
func TestRandomHistoriesComeOutAndInAgain(t *testing.T) {
	onBoth(t, func(t *testing.T, c *Club) {
		live(t, c, 5)
		first := exported(t, c)
		onBoth(t, func(t *testing.T, there *Club) {
			if err := there.Import(t.Context(), strings.NewReader(first), nil); err != nil {
				t.Fatal(err)
			}
			if exported(t, there) != first {
				t.Error("exported again it differs")
			}
			if a, b := dumpOf(t, c), dumpOf(t, there); a != b {
				t.Errorf("exported\n%s\nimported\n%s", a, b)
			}
		})
	})
	for seed := range uint64(15) {
		from, to := clubOf(t, open(t, Options{AllowVolatile: true})), clubOf(t, open(t, Options{AllowVolatile: true}))
		live(t, from, seed)
		first := exported(t, from)
		if err := to.Import(t.Context(), strings.NewReader(first), nil); err != nil || exported(t, to) != first {
			t.Fatalf("seed %d: the import's export differs: %v", seed, err)
		}
	}
}

// first makes a club as a server does that was started on an empty store: one coach with a token.
func first(t testing.TB, c *Club) {
	t.Helper()
	_, err := c.Change(t.Context(), noon, nil, []Do{{"HSET", c.KeyMembers(), "coach", "{}"}, {"HSET", c.KeyTokens(), "digest", "coach"},
		c.DoTop("coach"), c.DoChanged("coach")})
	if err != nil {
		t.Fatal(err)
	}
}

func TestAFirstCoachGivesWay(t *testing.T) {
	from := clubOf(t, open(t, Options{AllowVolatile: true}))
	furnish(t, from)
	export := exported(t, from)
	onBoth(t, func(t *testing.T, c *Club) {
		first(t, c)
		if err := c.Import(t.Context(), strings.NewReader(export), nil); err != nil {
			t.Fatal(err)
		}
		if exported(t, c) != export {
			t.Error("something of the first coach stayed")
		}
		if err := c.Import(t.Context(), strings.NewReader(export), nil); !errors.Is(err, ErrExists) {
			t.Errorf("over a club: %v", err)
		}
		if exported(t, c) != export {
			t.Error("a refused import changed something")
		}
	})
	for name, more := range map[string]Do{
		"a second person": {"HSET", "{lantern-hall}:members", "ada", "{}"},
		"a sheet":         {"HSET", "{lantern-hall}:sheets:2026-11-25", "1", "rest"},
	} {
		c := clubOf(t, open(t, Options{AllowVolatile: true}))
		first(t, c)
		if _, err := c.Change(t.Context(), noon, nil, []Do{more}); err != nil {
			t.Fatal(err)
		}
		if err := c.Import(t.Context(), strings.NewReader(export), nil); !errors.Is(err, ErrExists) {
			t.Errorf("a club with %s: %v", name, err)
		}
	}
}

// Of a file that is broken anywhere nothing stays, in memory or on disk, and the error says the line.
func TestOfABrokenFileNothingStays(t *testing.T) {
	from := clubOf(t, open(t, Options{AllowVolatile: true}))
	furnish(t, from)
	lines := strings.SplitAfter(exported(t, from), "\n")
	lines = lines[:len(lines)-1]
	onBoth(t, func(t *testing.T, c *Club) {
		first(t, c)
		before := dumpOf(t, c)
		for _, at := range []int{1, 2, len(lines) / 2, len(lines) - 1} {
			for name, broken := range map[string]string{
				"cut":        strings.Join(lines[:at], ""),
				"damaged":    strings.Join(lines[:at], "") + "{\"key\":\n" + strings.Join(lines[at:], ""),
				"mid-line":   strings.Join(lines[:at], "") + lines[at][:len(lines[at])/2],
				"other kind": strings.Join(lines[:at], "") + `{"key":"mail:zoe","hash":["a","b"]}` + "\n" + strings.Join(lines[at:], ""),
			} {
				err := c.Import(t.Context(), strings.NewReader(broken), nil)
				var bad ExportError
				if !errors.As(err, &bad) || bad.Line < at || bad.Line > at+1 {
					t.Errorf("%s at %d: %v", name, at, err)
				}
				if after := dumpOf(t, c); after != before {
					t.Fatalf("%s at %d: it left\n%s", name, at, after)
				}
			}
		}
	})
	dir := t.TempDir()
	c := clubOf(t, openData(t, dir))
	if err := c.Import(t.Context(), strings.NewReader(strings.Join(lines[:len(lines)-1], "")), nil); err == nil {
		t.Fatal("a cut file was taken")
	}
	log, err := os.ReadFile(dir + "/append.resp")
	if err != nil || strings.Contains(string(log), "ledger") {
		t.Errorf("the log holds half a club: %v", err)
	}
}

// A reader that is overtaken by another import stops it, and the later one is whole.
func TestTwoImportsAtOnce(t *testing.T) {
	from := clubOf(t, open(t, Options{AllowVolatile: true}))
	furnish(t, from)
	export := exported(t, from)
	c := clubOf(t, open(t, Options{AllowVolatile: true}))
	im := &importing{club: c, owner: itoa(micros(noon)) + ".early", begun: map[string]bool{}}
	if err := im.read(t.Context(), strings.NewReader(export)); err != nil {
		t.Fatal(err)
	}
	if exportOf := slices.DeleteFunc(strings.Split(dumpOf(t, c), "\n"), func(l string) bool { return l == "" || strings.Contains(l, "}:import") }); len(exportOf) > 0 {
		t.Errorf("before its end the club is %q", exportOf)
	}
	if err := c.Import(t.Context(), strings.NewReader(export), nil); err != nil {
		t.Fatal(err)
	}
	if err := im.end(t.Context(), nil); err == nil {
		t.Error("the first import came to its end too")
	}
	if exported(t, c) != export {
		t.Error("the later import is not whole")
	}
}

func TestADeadImportIsSweptAway(t *testing.T) {
	from := clubOf(t, open(t, Options{AllowVolatile: true}))
	furnish(t, from)
	c := clubOf(t, open(t, Options{AllowVolatile: true}))
	first(t, c)
	before := dumpOf(t, c)
	n, _, err := c.Number(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	im := &importing{club: c, owner: itoa(micros(noon)) + ".dead", found: itoa(n), begun: map[string]bool{}}
	if err := im.read(t.Context(), strings.NewReader(exported(t, from))); err != nil {
		t.Fatal(err)
	}
	if err := c.sweepImport(t.Context(), noon.Add(time.Hour)); err != nil || dumpOf(t, c) == before {
		t.Fatalf("an import under way was swept: %v", err)
	}
	if err := c.sweepImport(t.Context(), noon.Add(25*time.Hour)); err != nil || dumpOf(t, c) != before {
		t.Errorf("%v: left\n%s", err, dumpOf(t, c))
	}
}

// What was imported is read back from the log, renamed keys and all, before the log is ever compacted.
func TestAnImportSurvivesARestart(t *testing.T) {
	from := clubOf(t, open(t, Options{AllowVolatile: true}))
	furnish(t, from)
	dir := t.TempDir()
	s := openData(t, dir)
	c := clubOf(t, s)
	first(t, c)
	if err := c.Import(t.Context(), strings.NewReader(exported(t, from)), nil); err != nil {
		t.Fatal(err)
	}
	log, err := os.ReadFile(dir + "/append.resp")
	if err != nil || !strings.Contains(string(log), "RENAME") {
		t.Fatalf("the log has no RENAME to read back: %v", err)
	}
	want := dumpOf(t, c)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if got := dumpOf(t, clubOf(t, openData(t, dir))); got != want {
		t.Errorf("reopened\n%s\nwant\n%s", got, want)
	}
}
