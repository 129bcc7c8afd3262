package reply

import "tallybell/content"

// settleTwice settles parts that a reply tells twice: a correction replaces what came before it, a version alone is that
// of the result before it, sets told of a part that is done are added to it; anything else asks for the value.
func (r *reader) settleTwice() {
	if len(r.drafts) < 2 {
		return
	}
	kept := r.drafts[:0:0]
	for _, d := range r.drafts {
		at := -1
		for k := range kept {
			if kept[k].letter() != "" && kept[k].letter() == d.letter() && kept[k].res.Day == d.res.Day {
				at = k
			}
		}
		if at < 0 {
			kept = append(kept, d)
			continue
		}
		kept = r.merge(kept, at, d)
	}
	r.drafts = kept
}

func (d *draft) letter() string {
	if d.isAsk {
		return d.ask.Part
	}
	return d.res.Part
}

// merge puts a later draft together with the one at kept[at] for the same part.
func (r *reader) merge(kept []draft, at int, d draft) []draft {
	old := &kept[at]
	switch {
	case d.isAsk && old.isAsk:
		if d.ask.About == old.ask.About && d.ask.About == AboutVersion {
			return kept
		}
	case !d.isAsk && d.res.Kind == "":
		if !old.isAsk {
			r.cls[old.clause].version, r.cls[old.clause].unsure = d.res.Version, false
			r.whyPart(ruleMerged, &r.cls[d.clause], "part ", d.letter(), "")
			return kept
		}
		return append(kept, d)
	case !d.isAsk && d.res.Correction:
		r.whyPart(ruleReplaced, &r.cls[d.clause], "part ", d.letter(), "")
		if !old.isAsk && d.res.Version == "" {
			d.res.Version = r.cls[old.clause].version
		}
		return append(append(kept[:at:at], kept[at+1:]...), d)
	case d.isAsk && r.cls[d.clause].correct:
		r.whyPart(ruleReplaced, &r.cls[d.clause], "part ", d.letter(), "")
		return append(append(kept[:at:at], kept[at+1:]...), d)
	case !d.isAsk && !old.isAsk && d.res.Kind == content.KindDone && old.res.Kind == content.KindDone && !d.part.IsScored():
		r.whyPart(ruleMerged, &r.cls[d.clause], "part ", d.letter(), "")
		old.res.SetReps = append(old.res.SetReps, d.res.SetReps...)
		if old.res.LoadG == 0 {
			old.res.LoadG = d.res.LoadG
		}
		if c, b := &r.cls[d.clause], &r.cls[old.clause]; old.clause != d.clause && b.effort == nil && b.version == "" && c.effort != nil {
			old.clause = d.clause
		}
		return kept
	}
	r.whyPart(ruleAskTwice, &r.cls[d.clause], "?", d.letter(), " "+AboutValue)
	old.isAsk, old.ask = true, Ask{Part: d.letter(), About: AboutValue, Suggest: []string{}}
	old.res = PartResult{Day: d.res.Day}
	return kept
}
