package pick

import "math/bits"

// sides are grids that stand on one side of the enumeration: what one entry of
// one list and one of another give together is a wiring,
//
//	V/E = gain · (vector of the one − vector of the other)
//
// on flat arrays, the vectors padded with zeros to stride loads.
type sides struct {
	stride int
	mask   []uint64
	vector []float64 // at rated load: entry by entry, each load of the file
	kind   []uint64  // composition by lot and resistance together; equal numbers are equal compositions
	ohms   []uint64  // composition by resistance alone
	// of dividers:
	up      []uint64 // mask of the up arm
	matched []bool   // thermal output cancels between its arms
}

func (s *sides) len() int { return len(s.mask) }

// grow makes room for n entries.
func (s *sides) grow(n int) {
	s.mask, s.ohms = make([]uint64, 0, n), make([]uint64, 0, n)
	s.vector = make([]float64, 0, n*s.stride)
}

// strideOf is the length of a padded vector.
func strideOf(loads int) int {
	if loads <= 4 {
		return 4
	}
	return 8
}

// sets lists the sets of k grids in the order of their masks, with Σ ΔR/R.
func (g *ground) sets(k int) *sides {
	s := &sides{stride: strideOf(g.loads)}
	n := int(choose(g.grids, k))
	s.grow(n)
	s.kind = make([]uint64, 0, n)
	g.combinations(k, ^uint64(0), func(mask uint64) {
		s.mask = append(s.mask, mask)
		s.kind = append(s.kind, g.composed(mask, g.kind))
		s.ohms = append(s.ohms, g.composed(mask, g.ohm))
		at := len(s.vector)
		s.vector = s.vector[:at+s.stride]
		bitsOf(mask, func(i int) {
			for j := range g.loads {
				s.vector[at+j] += g.change[i*g.loads+j]
			}
		})
	})
	return s
}

// dividers lists the dividers of a size, all grids of one resistance, with their
// response in V/V. Of two arms alike, both ways round are listed when both is set,
// else the one whose up arm has the first grid.
func (g *ground) dividers(d divider, both bool) *sides {
	s := &sides{stride: strideOf(g.loads)}
	n := int(choose(g.grids, d.up) * choose(g.grids-d.up, d.down))
	if d.up == d.down && !both {
		n /= 2
	}
	s.grow(n)
	s.up, s.matched = make([]uint64, 0, n), make([]bool, 0, n)
	wUp, wDown := d.weights()
	g.combinations(d.up, ^uint64(0), func(up uint64) {
		g.combinations(d.down, ^up, func(down uint64) {
			if d.up == d.down && !both && bits.TrailingZeros64(up) > bits.TrailingZeros64(down) {
				return
			}
			ohms := g.composed(up|down, g.ohm)
			if !oneResistance(ohms, d.grids()) {
				return
			}
			s.mask = append(s.mask, up|down)
			s.up = append(s.up, up)
			s.ohms = append(s.ohms, ohms)
			s.matched = append(s.matched, inRatio(g.composed(up, g.kind), g.composed(down, g.kind), d))
			at := len(s.vector)
			s.vector = s.vector[:at+s.stride]
			for j := range g.loads {
				x, y := 0.0, 0.0
				bitsOf(up, func(i int) { x += g.change[i*g.loads+j] })
				bitsOf(down, func(i int) { y += g.change[i*g.loads+j] })
				s.vector[at+j] = wUp*x - wDown*y
			}
		})
	})
	return s
}

// combinations calls f with every set of k of the allowed grids, in the order of
// masks.
func (g *ground) combinations(k int, allowed uint64, f func(mask uint64)) {
	var grids []uint64
	bitsOf(allowed&(1<<g.grids-1), func(i int) { grids = append(grids, 1<<i) })
	if k > len(grids) || k == 0 {
		return
	}
	at := make([]int, k)
	var mask uint64
	for i := range at {
		at[i] = i
		mask |= grids[i]
	}
	for {
		f(mask)
		// The next set in the order of masks: move the lowest grid that can move.
		i := 0
		for i < k-1 && at[i]+1 == at[i+1] {
			i++
		}
		if at[i]+1 == len(grids) {
			return
		}
		at[i]++
		for low := range i {
			at[low] = low
		}
		mask = 0
		for _, a := range at {
			mask |= grids[a]
		}
	}
}

// maxClasses is how many kinds of grid a composition tells apart.
const maxClasses = 16

// composition is a number whose sums over at most 8 grids tell how many there are
// of each class: a digit of base 9 for each of maxClasses classes.
func composition(class uint8) uint64 {
	c := uint64(1)
	for range class {
		c *= 9
	}
	return c
}

func (g *ground) composed(mask uint64, class []uint8) (c uint64) {
	if g.uniform {
		return uint64(bits.OnesCount64(mask))
	}
	bitsOf(mask, func(i int) { c += composition(class[i]) })
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
	for ; composed > 0; composed /= 9 {
		if !ok(int(composed % 9)) {
			return false
		}
	}
	return true
}

// inRatio reports whether each class stands in the two arms of a divider in the
// ratio of their numbers, so that what all its grids do alike cancels.
func inRatio(up, down uint64, d divider) bool {
	for ; up > 0 || down > 0; up, down = up/9, down/9 {
		if int(up%9)*d.down != int(down%9)*d.up {
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
