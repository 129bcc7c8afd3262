package content

// EditDistance returns the Damerau-Levenshtein distance of a and b: the fewest insertions, deletions, replacements
// and swaps of neighbouring letters that make one into the other. Letters are code points. It is a metric.
func EditDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	most := len(x) + len(y)
	// d has a border row and column of `most` before the usual one of 0, 1, 2, ...
	d := make([][]int, len(x)+2)
	for i := range d {
		d[i] = make([]int, len(y)+2)
		d[i][0] = most
		if i > 0 {
			d[i][1] = i - 1
		}
	}
	for j := range d[0] {
		d[0][j] = most
		if j > 0 {
			d[1][j] = j - 1
		}
	}
	lastRow := map[rune]int{} // the last row of x in which a letter was seen
	for i := 1; i <= len(x); i++ {
		lastMatch := 0 // the last column of this row in which the letters were equal
		for j := 1; j <= len(y); j++ {
			k, l := lastRow[y[j-1]], lastMatch
			cost := 1
			if x[i-1] == y[j-1] {
				cost, lastMatch = 0, j
			}
			d[i+1][j+1] = min(
				d[i][j]+cost,              // same or replaced
				d[i+1][j]+1,               // inserted
				d[i][j+1]+1,               // deleted
				d[k][l]+(i-k-1)+1+(j-l-1), // swapped
			)
		}
		lastRow[x[i-1]] = i
	}
	return d[len(x)+1][len(y)+1]
}
