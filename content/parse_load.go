package content

import "strings"

// reserve reads N in reserve.
func (r *movementReader) reserve(seg piece) bool {
	first, tail := seg.word()
	if !mightCount(first.s) {
		return false
	}
	if q, is := tail.after("reps"); is {
		tail = q
	} else if q, is := tail.after("rep"); is {
		tail = q
	}
	if !tail.is("rir") {
		if q, is := tail.after("in", "reserve"); !is || q.s != "" {
			return false
		}
	}
	if strings.Trim(first.s, "0123456789") != "" || len(first.s) > 2 {
		if strings.IndexFunc(first.s, isDash) > 0 {
			r.tell(first, "%s: write one number of reps to keep in reserve, for example 2 in reserve", shown(first.s))
			return true
		}
		r.tell(first, "%s is no number of reps to keep in reserve: write 0 to 99, for example 2 in reserve", shown(first.s))
		return true
	}
	if r.m.HasReserve {
		r.tell(seg, "the reserve is given twice; keep one")
		return true
	}
	r.m.Reserve, r.m.HasReserve = int(atoi(first.s)), true
	return true
}

// tempo reads tempo A-B-C-D, three or four figures, X for fast.
func (r *movementReader) tempo(seg piece) bool {
	first, tail := seg.word()
	if first.is("tempo:") {
		first.s = "tempo"
	}
	if !first.is("tempo") {
		return false
	}
	text, ok := tempoText(tail.s)
	if !ok {
		if tail.s == "" {
			r.tell(seg, "the tempo is missing: write three or four figures, for example tempo 3-1-1-0")
			return true
		}
		r.tell(tail, "%s is not a tempo: write three or four figures, X for fast, for example tempo 3-1-1-0 or 3-1-X", shown(tail.s))
		return true
	}
	if r.m.Tempo != "" {
		r.tell(seg, "the tempo is given twice; keep one")
		return true
	}
	r.m.Tempo = text
	return true
}

// tempoText returns a tempo in its canonical form, figures parted by hyphens.
func tempoText(s string) (string, bool) {
	var figures []string
	open := false // the last figure may go on: 10
	dashes, parted := 0, strings.ContainsFunc(s, isDash)
	for _, c := range s {
		switch {
		case c == 'x' || c == 'X':
			figures, open = append(figures, "X"), false
		case '0' <= c && c <= '9':
			if open && parted {
				figures[len(figures)-1] += string(c)
			} else {
				figures = append(figures, string(c))
			}
			open = true
		case isDash(c) || c == '/' || c == '.':
			if len(figures) != dashes+1 {
				return "", false
			}
			dashes, open = dashes+1, false
		default:
			return "", false
		}
	}
	if dashes > 0 && len(figures) != dashes+1 || len(figures) < 3 || len(figures) > 4 {
		return "", false
	}
	for _, f := range figures {
		if len(f) > 2 {
			return "", false
		}
	}
	return strings.Join(figures, "-"), true
}

// load reads 20 kg, 45 lb, backpack, backpack 12 kg, 80% of C.
func (r *movementReader) load(seg piece) bool {
	load, sound, is := r.loadText(seg)
	if !is {
		return false
	}
	if !sound {
		return true
	}
	if r.m.Load != (Load{}) {
		r.tell(seg, "the load is given twice; keep one, for example backpack 12 kg")
		return true
	}
	r.m.Load = load
	return true
}

// loadText reads a load; is reports whether seg is of that form, sound whether it holds.
func (r *movementReader) loadText(seg piece) (load Load, sound, is bool) {
	if name, ok := r.lib.FindKit(seg.s); ok {
		return Load{Kit: name}, true, true
	}
	i := strings.IndexAny(seg.s, "0123456789")
	if i < 0 {
		return Load{}, false, false
	}
	neg := i > 0 && (seg.s[i-1] == '-')
	before := seg.to(i).trim()
	if neg {
		before = seg.to(i - 1).trim()
	}
	if before.s != "" {
		name, ok := r.lib.FindKit(before.s)
		if !ok {
			return Load{}, false, false
		}
		load.Kit = name
	}
	number := seg.from(i)
	v, _, n := readNumber(number.s)
	if n == 0 {
		return Load{}, false, false
	}
	after := number.from(n).trim()
	if strings.HasPrefix(after.s, "%") {
		return r.percentLoad(load, seg, number, n, v, after.from(1).trim())
	}
	unit := leadingWord(after.s)
	short, ok := loadUnits[strings.ToLower(unit)]
	if !ok {
		return Load{}, false, false
	}
	rest := after.from(len(unit)).trim()
	if rest.s != "" {
		name, ok := r.lib.FindKit(rest.s)
		if !ok || load.Kit != "" {
			return Load{}, false, false
		}
		load.Kit = name
	}
	load.Unit = short
	load.Grams = grams(v, short)
	switch {
	case neg:
		r.tell(seg, "%s is below zero: write a load such as 12 kg", shown(seg.s))
	case load.Grams == 0:
		r.tell(seg, "%s is no load: write a load such as 12 kg, or leave it out", shown(seg.s))
	case v > maxCount*1000:
		r.tell(seg, "%s is too heavy: a load is at most 10000 %s", shown(seg.s), short)
	case loadThousandths(load) != v:
		r.tell(seg, "%s is finer than is kept: write at most two decimals", shown(seg.s))
	default:
		return load, true, true
	}
	return load, false, true
}

var loadUnits = map[string]string{
	"kg": "kg", "kgs": "kg", "kilo": "kg", "kilos": "kg", "kilogram": "kg", "kilograms": "kg",
	"lb": "lb", "lbs": "lb", "pound": "lb", "pounds": "lb",
}

func (r *movementReader) percentLoad(load Load, seg, number piece, n int, v int64, after piece) (Load, bool, bool) {
	if v == 0 || v > 1000*1000 || v%1000 != 0 {
		r.tell(seg, "%s: write a whole percentage from 1 to 1000, for example 80%% of C", shown(number.s[:n]+"%"))
		return load, false, true
	}
	letter, rest, ok := r.percentOf(seg, after, true)
	if !ok {
		return load, false, true
	}
	if rest.s != "" {
		r.tell(rest, "unexpected %s after a percentage; write for example 80%% of C", shown(rest.s))
		return load, false, true
	}
	load.Percent, load.Of = int(v/1000), letter
	return load, true, true
}
