package quantity

import "strings"

// Nearest returns the name in known that word was probably meant to be, "" when
// none is near. A name that differs only in upper and lower case wins; then the
// smallest number of letters inserted, left out, exchanged or swapped with
// their neighbour, at most one for each three letters of word (one for a word
// of two); then the order of known. A single letter is near to its other case
// only: every unit of one letter is one exchange away from it.
func Nearest(word string, known []string) string {
	w := []rune(word)
	for _, name := range known {
		if strings.EqualFold(word, name) {
			return name
		}
	}
	limit := len(w) / 3
	if len(w) == 2 {
		limit = 1
	}
	best := ""
	for _, name := range known {
		n := []rune(name)
		if d := len(n) - len(w); d > limit || -d > limit || limit == 0 {
			continue
		}
		if d := editDistance(w, n); d <= limit {
			best = name
			limit = d - 1
		}
	}
	return best
}

// editDistance is the optimal string alignment distance: insertions, deletions,
// substitutions and swaps of neighbours (L. Boytsov, ACM JEA 16 (2011), 1.1).
func editDistance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
