package pick

import (
	"context"
	"math"
)

// maxLoads is the number of components that a load can have.
const maxLoads = 7

// set is one bridge for each load to be measured, no grid used twice.
type set struct {
	bridges  [maxLoads]wiring // in the order of problem.measured; none where there is no bridge
	full     int
	missing  int // loads without a bridge
	unlike   int // bridges whose adjacent arms do not balance thermally
	excess   float64
	opposite bool
	output   float64 // the least
	relative float64 // the least over the output required, or the output where none is
	touched  int     // Σ tidy
	aligned  float64 // Σ output of the bridges for bending

	crosstalk95 float64 // the worst
	gradient    float64 // the worst
	front       bool    // found for the front
}

// wired is what came out of one placement set.
type wired struct {
	sets     []set // of each combination of full and half bridges the best by the rule, then those of the front
	grids    int
	searched int64
	left     []leftOut // shapes left out
	best     []float64 // upper bound on the output of a bridge for each load to be measured, whatever its shape
	bounded  bool      // the packing was cut short

	partFront bool // not every level of the front was drawn
}

// packer chooses one bridge for each load out of what the kernel kept.
type packer struct {
	chooser
	p      *problem
	strict bool
	full   lists // of each load to be measured
	half   lists
	sets   []set
}

// newPacker takes what a kernel kept.
func newPacker(p *problem, found [][]*wiring, all uint64, strict bool) *packer {
	pk := &packer{p: p, strict: strict, chooser: chooser{all: all}}
	for _, t := range p.measured {
		var full, half []*wiring
		for _, w := range found[t] {
			if !p.wantsOpposite(t) {
				w.balanced = true
			}
			if w.shape.full() {
				full = append(full, w)
			} else {
				half = append(half, w)
			}
		}
		pk.full, pk.half = append(pk.full, full), append(pk.half, half)
	}
	return pk
}

// wantsOpposite tells whether grids all round count for load t.
func (p *problem) wantsOpposite(t int) bool { return p.bends && oneSided(p.component(t)) }

// pack finds the best set of each combination of full and half bridges, those with
// the fewest loads left without a bridge only.
func (pk *packer) pack(ctx context.Context) {
	n := len(pk.p.measured)
	for missing := 0; missing < n && len(pk.sets) == 0; missing++ {
		if missing > 0 && pk.strict {
			return
		}
		pk.combine(ctx, nil, missing)
	}
}

// What a load gets.
const (
	fullBridge = iota
	halfBridge
	noBridge
)

// combine runs through the combinations that leave out missing loads.
func (pk *packer) combine(ctx context.Context, kinds []int, missing int) {
	if ctx.Err() != nil {
		return
	}
	c := len(kinds)
	if c == len(pk.p.measured) {
		if missing == 0 {
			pk.best(kinds)
		}
		return
	}
	if len(pk.full[c]) > 0 {
		pk.combine(ctx, append(kinds, fullBridge), missing)
	}
	if len(pk.half[c]) > 0 {
		pk.combine(ctx, append(kinds, halfBridge), missing)
	}
	if missing > 0 {
		pk.combine(ctx, append(kinds, noBridge), missing-1)
	}
}

// best finds the set that comes first by the rule of one combination: one figure
// after the other is brought as low as a disjoint choice allows, and only the
// wirings within that are kept for the next.
func (pk *packer) best(kinds []int) {
	var l lists
	var loads []int // index into measured of each list
	var bends []bool
	for c, kind := range kinds {
		switch kind {
		case fullBridge:
			l = append(l, pk.full[c])
		case halfBridge:
			l = append(l, pk.half[c])
		default:
			continue
		}
		loads = append(loads, c)
		bends = append(bends, bending(pk.p.component(pk.p.measured[c])))
	}
	if !pk.possible(l) {
		return
	}
	if !pk.strict {
		l = pk.fewestUnlike(l)
		l, _ = pk.narrow(l, func(w *wiring) float64 { return w.excess }, pk.p.tie)
	}
	if round := l.where(func(w *wiring) bool { return w.balanced }); pk.possible(round) {
		l = round
	}
	l, _ = pk.narrow(l, func(w *wiring) float64 { return -w.output }, pk.p.tie)
	pk.add(loads, pk.tidiest(l, bends), false)
}

// fewestUnlike keeps the wirings whose thermal output cancels in as many lists as
// it can.
func (pk *packer) fewestUnlike(l lists) lists {
	for n := 0; n <= len(l); n++ {
		for may := range 1 << len(l) {
			count := 0
			for c := range l {
				count += may >> c & 1
			}
			if count != n {
				continue
			}
			kept := make(lists, len(l))
			for c := range l {
				for _, w := range l[c] {
					if w.matched || may>>c&1 == 1 {
						kept[c] = append(kept[c], w)
					}
				}
			}
			if pk.possible(kept) {
				return kept
			}
		}
	}
	return l
}

// add makes a set of a choice.
func (pk *packer) add(loads []int, choice []*wiring, front bool) {
	if choice == nil {
		return
	}
	s := set{opposite: true, output: math.Inf(1), relative: math.Inf(1), front: front, missing: len(pk.p.measured) - len(loads)}
	for i, w := range choice {
		c := loads[i]
		s.bridges[c] = *w
		if w.shape.full() {
			s.full++
		}
		if !w.matched {
			s.unlike++
		}
		s.excess = max(s.excess, w.excess)
		s.opposite = s.opposite && w.balanced
		s.output = min(s.output, w.output)
		s.relative = min(s.relative, pk.p.relative(w.output))
		s.touched += w.tidy()
		if bending(pk.p.component(pk.p.measured[c])) {
			s.aligned += w.output
		}
		s.crosstalk95 = max(s.crosstalk95, w.crosstalk95)
		s.gradient = max(s.gradient, w.gradient)
	}
	pk.sets = append(pk.sets, s)
}

// relative output: over what the file requires, or V/V where it requires none.
func (p *problem) relative(output float64) float64 {
	if r := p.design.Require.RatedOutput; r.Set && r.SI > 0 {
		return output / r.SI
	}
	return output
}
