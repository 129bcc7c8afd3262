package reply

// Mishap reports whether a text tells that something went wrong with a movement or its kit: a fall, a slip, a chair that
// tipped, a door that opened. Such a text asks for a check (see Care); this tells it from pain and sickness. "I
// have not fallen" tells of none.
func Mishap(text string) bool {
	r := reader{text: normalise(text)}
	r.ts = spellOut(scan(&r.text, r.tokenRoom[:0]))
	k := carer{ts: r.ts, spent: -1}
	for i := range k.ts {
		if k.ts[i].kind != wordToken || !k.ts[i].is(clCare) {
			continue
		}
		if hit, ok := k.mentioned(i); ok && k.lowered(hit) > 0 && hit.matter == MatterIncident {
			return true
		}
	}
	return false
}
