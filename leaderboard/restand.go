package leaderboard

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"

	"tallybell/leaderboard/store"
)

// Repair is what sets one member's stored results and board places right, and what was found wrong, in words. It is
// empty when nothing was.
type Repair struct {
	Found   []string
	Results []store.ResultWrite
	Moves   store.Moves
}

// Restand compares what is stored of one member with what their ledger says. records are the ones that stand by the
// ledger (see Current); results and places are all that the store holds of the member.
func Restand(records []Record, results map[store.Field][]byte, places []store.Place) (Repair, error) {
	var rep Repair
	want := map[store.Field][]byte{}
	var stand []store.Place
	for _, r := range records {
		b, err := r.Encode()
		if err != nil {
			return Repair{}, err
		}
		want[r.Field()] = b
		stand = append(stand, r.Places()...)
	}
	rep.compareResults(want, results)
	rep.comparePlaces(stand, places)
	return rep, nil
}

func (rep *Repair) compareResults(want, have map[store.Field][]byte) {
	for _, f := range sortedFields(want, have) {
		if !isResult(f) {
			continue
		}
		w, h := want[f], have[f]
		switch {
		case w == nil:
			rep.Found = append(rep.Found, fmt.Sprintf("%s %s (%s) of %s: a result is stored that the ledger does not have", f.Date, f.Part, f.Kind, f.Member))
		case h == nil:
			rep.Found = append(rep.Found, fmt.Sprintf("%s %s (%s) of %s: the ledger's result is not stored", f.Date, f.Part, f.Kind, f.Member))
		case !bytes.Equal(w, h):
			rep.Found = append(rep.Found, fmt.Sprintf("%s %s (%s) of %s: the stored result is not the ledger's", f.Date, f.Part, f.Kind, f.Member))
		default:
			continue
		}
		rep.Results = append(rep.Results, store.ResultWrite{Field: f, Record: w})
	}
}

func (rep *Repair) comparePlaces(want, have []store.Place) {
	rep.Moves.Out = leaving(have, want)
	rep.Moves.In = entering(have, want)
	for _, p := range rep.Moves.Out {
		rep.Found = append(rep.Found, fmt.Sprintf("%s: %s stands there and should not", boardName(p.Board), p.SetMember))
	}
	for _, p := range rep.Moves.In {
		i := slices.IndexFunc(have, func(h store.Place) bool { return h.Board == p.Board && h.SetMember == p.SetMember })
		if i < 0 {
			rep.Found = append(rep.Found, fmt.Sprintf("%s: %s is missing", boardName(p.Board), p.SetMember))
			continue
		}
		rep.Found = append(rep.Found, fmt.Sprintf("%s: %s has score %d, want %d", boardName(p.Board), p.SetMember, have[i].Score, p.Score))
	}
}

// isResult reports whether a field names a result of a part; other facts of a date may be kept beside them.
func isResult(f store.Field) bool { return isLetter(f.Part) }

func boardName(b store.Board) string {
	return fmt.Sprintf("board %s %s %s %s", b.Date, b.Part, b.Kind, b.Division)
}

func sortedFields(ms ...map[store.Field][]byte) []store.Field {
	var out []store.Field
	for _, m := range ms {
		for f := range m {
			out = append(out, f)
		}
	}
	slices.SortFunc(out, func(a, b store.Field) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.Part, b.Part), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Member, b.Member))
	})
	return slices.Compact(out)
}

// parts splits a repair into several of at most n changes of each sort; none when nothing is to be mended.
func (rep Repair) parts(n int) []Repair {
	var out []Repair
	results, gone, come := rep.Results, rep.Moves.Out, rep.Moves.In
	for len(results)+len(gone)+len(come) > 0 {
		var p Repair
		p.Results, results = cut(results, n)
		p.Moves.Out, gone = cut(gone, n)
		p.Moves.In, come = cut(come, n)
		out = append(out, p)
	}
	return out
}

func cut[T any](xs []T, n int) (first, rest []T) { return xs[:min(n, len(xs))], xs[min(n, len(xs)):] }
