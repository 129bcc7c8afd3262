package leaderboard

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tallybell/content"
	"tallybell/leaderboard/store"
)

// Explained says why one result stands where it stands.
type Explained struct {
	Date    content.Date    `json:"date"`
	Part    string          `json:"part"`
	Member  string          `json:"member"`
	Name    string          `json:"name"`
	Result  string          `json:"result"` // as boards count it
	Typed   string          `json:"typed"`  // as it was told
	Credit  []string        `json:"credit"` // how reps came to be counted in the sheet's own, a sentence each
	Version content.Version `json:"version,omitempty"`
	Way     string          `json:"way,omitempty"`
	Load    string          `json:"load,omitempty"`
	Late    bool            `json:"late,omitempty"`
	Marked  bool            `json:"marked,omitempty"`
	Rule    string          `json:"rule"`          // what orders the part's results
	Off     string          `json:"off,omitempty"` // why it stands on no board
	Boards  []Standpoint    `json:"boards"`        // where it stands
}

// Standpoint is where a result stands on one division's board of its version.
type Standpoint struct {
	Division string          `json:"division"`
	Version  content.Version `json:"version"`
	Rank     int64           `json:"rank"`
	Of       int64           `json:"of"`
	Joint    int64           `json:"joint"` // the rank among as written and scaled together
	JointOf  int64           `json:"joint_of"`
	Ties     []Other         `json:"ties"` // who has an equal result
	Ahead    *Other          `json:"ahead,omitempty"`
	Behind   *Other          `json:"behind,omitempty"`
}

// Other is somebody else on a board.
type Other struct {
	Member string `json:"member"`
	Name   string `json:"name"`
	Result string `json:"result"`
	By     string `json:"by,omitempty"` // how far apart
}

// OrderRule says in a sentence what orders the results of a part.
func OrderRule(p content.Part) string {
	order := ""
	switch p.Kind() {
	case content.KindTime:
		order = "less time first, to the millisecond; whoever did not finish comes after every finisher, more completed reps first"
	case content.KindReps:
		order = "more reps first"
	case content.KindLoad:
		order = "more load first, to the gram"
	case content.KindHold:
		order = "more time first, to the millisecond"
	case content.KindDistance:
		order = "farther first, to the millimetre"
	}
	if order == "" || !p.IsScored() {
		return "this part ranks nobody"
	}
	return order + "; scaled apart from as written; equal results share a rank, and the next rank counts them all"
}

// Explain says where a record of a part stands, and why. sheet and fitted are the part as written and as the member
// received it; off is why it stands on no board, in words, where that is not the record's own doing. It reads each of
// its boards whole.
func (b *Boards) Explain(ctx context.Context, sheet, fitted content.Part, rec Record, units, off string) (Explained, error) {
	out := Explained{Date: rec.Date, Part: rec.Part, Member: rec.Member, Version: rec.Result.Version, Way: rec.Way, Late: rec.Late,
		Result: ShowIn(sheet, rec.Counted(), units), Typed: ShowIn(fitted, rec.Result, units), Marked: rec.Marked,
		Credit: []string{}, Rule: OrderRule(sheet), Off: WhyOff(rec), Boards: []Standpoint{}}
	out.Name, _ = b.Name(rec.Member)
	if rec.Result.LoadG > 0 && rec.Kind != content.KindLoad {
		out.Load = showLoad(rec.Result.LoadG, units)
	}
	if rec.Credited != nil {
		out.Credit = creditWords(sheet, fitted, rec)
	}
	places := rec.Places()
	if len(places) == 0 {
		if out.Off == "" {
			out.Off = off
		}
		return out, nil
	}
	var asked []store.Window
	low, high := Bounds(All)
	for _, p := range places {
		asked = append(asked, store.Window{Board: p.Board, Low: low, High: high})
	}
	views, err := b.Store.Windows(ctx, asked)
	if err != nil {
		return out, fmt.Errorf("boards of %s, part %s: %w", rec.Date, rec.Part, err)
	}
	for i, v := range views {
		if at, ok := b.standpoint(sheet, places[i], v.First, units); ok {
			out.Boards = append(out.Boards, at)
		}
	}
	return out, nil
}

// WhyOff says why a record stands on no board, where the record itself tells; "" when it does not.
func WhyOff(rec Record) string {
	_, stands := rec.Score()
	switch {
	case rec.Off == OffUnscored:
		return "its part ranks nobody"
	case rec.Off == OffChangedKind:
		return "the sheet was replaced, and the part now gives another kind of result"
	case rec.Off != "":
		return string(rec.Off)
	case rec.Result.Version == "":
		return "its version, as written or scaled, was not told"
	case !stands:
		return "it tells no value that ranks"
	}
	return ""
}

// creditWords says how reps that were typed came to be counted in the sheet's own.
func creditWords(sheet, fitted content.Part, rec Record) []string {
	out := []string{fmt.Sprintf("%s typed count as %s of the sheet's own", count(rec.Result.RepCount(), "rep"), count(rec.Credited.Reps, "rep"))}
	for i := range max(1, len(sheet.Rungs)) {
		own, got := sheet.RoundReps(i), fitted.RoundReps(i)
		for k := range min(len(own), len(got), len(sheet.Movements), len(fitted.Movements)) {
			if own[k] == got[k] {
				continue
			}
			in := ""
			if len(sheet.Rungs) > 1 {
				in = fmt.Sprintf("in rung %d ", i+1)
			}
			done := fmt.Sprintf("%d %s done", got[k], fitted.Movements[k].Name)
			if got[k] <= 0 {
				done = sheet.Movements[k].Name + ", left out, with the rest of its round done"
			}
			out = append(out, fmt.Sprintf("%s%s counts as %d %s; a share of it is rounded down", in, done, own[k], sheet.Movements[k].Name))
		}
	}
	return out
}

// standpoint finds a place on the whole of its board, as written before scaled; false when it does not stand there.
func (b *Boards) standpoint(p content.Part, place store.Place, all []store.Seat, units string) (Standpoint, bool) {
	own := slices.IndexFunc(all, func(s store.Seat) bool { return s.SetMember == place.SetMember })
	if own < 0 {
		return Standpoint{}, false
	}
	s := all[own]
	at := Standpoint{Division: place.Board.Division, Version: versionOf(s.Score), Ties: []Other{}, Rank: 1, Joint: s.Rank, JointOf: int64(len(all))}
	for i, o := range all {
		if versionOf(o.Score) != at.Version {
			continue
		}
		at.Of++
		switch {
		case i == own:
		case o.Score == s.Score:
			at.Ties = append(at.Ties, b.other(p, o, s, units))
		case o.Score < s.Score:
			at.Rank++
			x := b.other(p, o, s, units)
			at.Ahead = &x
		case at.Behind == nil:
			x := b.other(p, o, s, units)
			at.Behind = &x
		}
	}
	return at, true
}

func (b *Boards) other(p content.Part, o, own store.Seat, units string) Other {
	_, member, _ := store.ParseSetMember(o.SetMember)
	name, _ := b.Name(member)
	r, _ := Decode(p.Kind(), o.Score)
	mine, _ := Decode(p.Kind(), own.Score)
	line := Line{Member: member, Name: name, Namesake: b.Namesake != nil && b.Namesake(member)}
	return Other{Member: member, Name: line.Shown(), Result: ShowIn(p, r, units), By: apart(r, mine, units)}
}

// apart says how far two results of one kind are apart, "" when they are equal.
func apart(a, b content.Result, units string) string {
	if a.Kind == content.KindTime && a.IsFinished() != b.IsFinished() {
		return "one finished, the other did not"
	}
	x, finished, _ := value(a)
	y, _, _ := value(b)
	d := max(x-y, y-x)
	switch {
	case d == 0:
		return ""
	case finished, a.Kind == content.KindHold:
		return ShowClock(d)
	case a.Kind == content.KindLoad:
		return showLoad(d, units)
	case a.Kind == content.KindDistance:
		return showDistance(d)
	}
	return count(d, "rep")
}

// Lines says it all in sentences, for people.
func (e Explained) Lines() []string {
	var out []string
	first := fmt.Sprintf("%s, %s %s: %s", e.Name, e.Date, e.Part, e.Result)
	for _, w := range []string{words(e.Version), e.Way, e.Load} {
		if w != "" {
			first += ", " + w
		}
	}
	out = append(out, first)
	if e.Typed != e.Result {
		out = append(out, "Told as: "+e.Typed)
	}
	out = append(out, e.Credit...)
	if e.Late {
		out = append(out, "Told after its day: it counts, and is marked late")
	}
	if e.Marked {
		out = append(out, "Insisted on though implausible: please check")
	}
	if e.Off != "" {
		return append(out, "On no board: "+e.Off)
	}
	out = append(out, "Order: "+e.Rule)
	for _, b := range e.Boards {
		out = append(out, b.line())
	}
	if len(e.Boards) == 0 {
		out = append(out, "On no board at this moment: tallybell rebuild stands it again")
	}
	return out
}

func (b Standpoint) line() string {
	out := fmt.Sprintf("%s, %s: rank %d of %d (among both versions %d of %d)", b.Division, words(b.Version), b.Rank, b.Of, b.Joint, b.JointOf)
	if len(b.Ties) > 0 {
		var names []string
		for _, t := range b.Ties {
			names = append(names, t.Name)
		}
		out += "; shared with " + strings.Join(names, ", ")
	}
	if b.Ahead != nil {
		out += fmt.Sprintf("; just ahead %s, %s, by %s", b.Ahead.Name, b.Ahead.Result, b.Ahead.By)
	}
	if b.Behind != nil {
		out += fmt.Sprintf("; just behind %s, %s, by %s", b.Behind.Name, b.Behind.Result, b.Behind.By)
	}
	return out
}

func words(v content.Version) string { return strings.ReplaceAll(string(v), "_", " ") }
