package pick

import "math/bits"

// subsets are all sets of a size of the grids, with what the enumeration needs of
// each on flat arrays.
type subsets struct {
	mask  []uint64
	sum   []float64 // Σ ΔR/R: set by set, each load
	reach []float64 // Σ |ΔR/R|
	lots  []uint64  // composition: how many grids of each lot,
	ohms  []uint64  // and of each resistance; equal numbers are equal compositions
}

// choose is the number of sets of k of n, or a number above limit.
func choose(n, k int, limit int64) int64 {
	if k > n {
		return 0
	}
	c := int64(1)
	for i := 1; i <= k; i++ {
		c = c * int64(n-k+i) / int64(i)
		if c > limit {
			return limit + 1
		}
	}
	return c
}

// pairsOf is how many ways there are to take two sets of k of n grids that share
// none, or a number above limit.
func pairsOf(n, k int, limit int64) int64 {
	a, b := choose(n, k, 4*limit), choose(n-k, k, 4*limit)
	if b > 0 && a > 2*limit/b {
		return limit + 1
	}
	return a * b / 2
}

// list lists the sets of k grids in the order of their masks.
func (g *ground) list(k int) *subsets {
	n := int(choose(g.grids, k, 1<<40))
	s := &subsets{
		mask:  make([]uint64, 0, n),
		sum:   make([]float64, n*g.loads),
		reach: make([]float64, n*g.loads),
		lots:  make([]uint64, n),
		ohms:  make([]uint64, n),
	}
	if n == 0 {
		return s
	}
	set := make([]int, k)
	for i := range set {
		set[i] = i
	}
	for {
		g.addSet(s, set)
		// The next set in the order of masks: move the lowest grid that can move.
		i := 0
		for i < k-1 && set[i]+1 == set[i+1] {
			set[i] = i
			i++
		}
		set[i]++
		if set[i] == g.grids {
			return s
		}
	}
}

func (g *ground) addSet(s *subsets, set []int) {
	at := len(s.mask)
	var mask, lots, ohms uint64
	sum, reach := s.sum[at*g.loads:(at+1)*g.loads], s.reach[at*g.loads:(at+1)*g.loads]
	for _, i := range set {
		mask |= 1 << i
		lots += composition(g.lot[i])
		ohms += composition(g.ohm[i])
		for j := range sum {
			x := g.change[i*g.loads+j]
			sum[j] += x
			if x < 0 {
				x = -x
			}
			reach[j] += x
		}
	}
	s.mask = append(s.mask, mask)
	s.lots[at], s.ohms[at] = lots, ohms
}

// maxClasses is how many lots, and resistances, a composition tells apart.
const maxClasses = 22

// composition is a number whose sums over at most 6 grids tell how many there are
// of each class: a digit of base 7 for each of maxClasses classes.
func composition(class uint8) uint64 {
	c := uint64(1)
	for range class {
		c *= 7
	}
	return c
}

// oneResistance reports whether a composition of size grids is of one class.
func oneResistance(composed uint64, size int) bool {
	return composedOf(composed, func(count int) bool { return count == 0 || count == size })
}

// twoArms reports whether two arms of size/2 grids, each of one resistance, can
// be made of a composition.
func twoArms(composed uint64, size int) bool {
	return composedOf(composed, func(count int) bool { return count == 0 || count == size/2 || count == size })
}

func composedOf(composed uint64, ok func(count int) bool) bool {
	for ; composed > 0; composed /= 7 {
		if !ok(int(composed % 7)) {
			return false
		}
	}
	return true
}

// bitsOf calls f for each grid of a mask.
func bitsOf(mask uint64, f func(i int)) {
	for ; mask != 0; mask &= mask - 1 {
		f(bits.TrailingZeros64(mask))
	}
}
