package pick

import (
	"context"
	"slices"
)

// maxLoads is the number of components that a load can have.
const maxLoads = 7

// maxNodes bounds the choices tried for one placement set.
const maxNodes = 2_000_000

// kinds of a bridge: none, full with 1 to 3 grids an arm, half with 1 to 3.
const kinds = 1 + 2*maxSeries

// kind of a wiring.
func (w *wiring) kind() int {
	if w.full {
		return w.series
	}
	return maxSeries + w.series
}

// grids that a bridge of a kind takes.
func gridsOf(kind int) int {
	if kind <= maxSeries {
		return 4 * kind
	}
	return 2 * (kind - maxSeries)
}

// set is one bridge for each load to be measured, no grid used twice.
type set struct {
	bridges  [maxLoads]wiring // in the order of problem.measured; series 0: none
	kinds    [maxLoads]uint8
	full     int
	missing  int // loads without a bridge
	unlike   int // bridges whose adjacent arms are of different lots
	excess   float64
	opposite bool
	output   float64 // the least
	touched  int
	aligned  float64 // Σ output of the bridges for bending
}

// wired is what came out of one placement set: of each combination of kinds of
// bridge the best set.
type wired struct {
	sets     []set
	searched int64
	bounded  bool
}

// wire enumerates one placement set and packs its bridges.
func (p *problem) wire(ctx context.Context, l *layout, strict bool) (*wired, error) {
	g, err := p.survey(l)
	if err != nil {
		return nil, err
	}
	k := newKernel(p, g, strict)
	err = k.enumerate(ctx)
	w := &wired{searched: k.searched, bounded: k.bounded}
	if strict && g.strain > 1+1e-9 {
		return w, err
	}
	pk := newPacker(k, l, strict)
	pk.pack()
	w.sets, w.bounded = pk.sets, w.bounded || pk.nodes >= maxNodes
	if g.strain > 1+1e-9 {
		for i := range w.sets {
			w.sets[i].excess = max(w.sets[i].excess, over(g.strain, 1))
		}
	}
	return w, err
}

// packer chooses bridges by depth first search with bound: the lists are sorted
// best first, and adding a bridge never betters a set, so that a list is left as
// soon as its next bridge alone is worse than the best set.
type packer struct {
	p     *problem
	lists [maxLoads][kinds][]wiring // of each load to be measured
	grids int
	all   uint64 // placements that have to be used
	nodes int
	sets  []set

	kinds [maxLoads]uint8
	best  set
	any   bool
}

func newPacker(k *kernel, l *layout, strict bool) *packer {
	pk := &packer{p: k.p, grids: k.grids}
	if !l.given {
		pk.all = 1<<len(l.placements) - 1
	}
	for c, t := range k.p.measured {
		for _, w := range k.found[t] {
			if !k.p.wantsOpposite(t) {
				w.balanced = true
			}
			pk.lists[c][w.kind()] = append(pk.lists[c][w.kind()], w)
		}
		for kind := range pk.lists[c] {
			slices.SortFunc(pk.lists[c][kind], order)
		}
		if !strict {
			pk.lists[c][0] = []wiring{{matched: true, balanced: true}}
		}
	}
	return pk
}

// wantsOpposite tells whether grids all round count for load t.
func (p *problem) wantsOpposite(t int) bool { return p.bends && oneSided(p.component(t)) }

// order sorts wirings best first.
func order(a, b wiring) int {
	switch {
	case a.matched != b.matched:
		return first(a.matched)
	case a.excess != b.excess:
		return first(a.excess < b.excess)
	case a.balanced != b.balanced:
		return first(a.balanced)
	case a.output != b.output:
		return first(a.output > b.output)
	case a.plus != b.plus:
		return first(a.plus < b.plus)
	}
	return first(a.minus < b.minus)
}

func first(yes bool) int {
	if yes {
		return -1
	}
	return 1
}

// pack finds the best set of each combination of kinds, those with the fewest
// loads left without a bridge only.
func (pk *packer) pack() {
	n := len(pk.p.measured)
	for missing := 0; missing < n && len(pk.sets) == 0; missing++ {
		pk.combine(0, pk.grids, missing)
	}
}

// combine runs through the combinations of kinds from load c on that room grids
// have room for and that leave out missing loads.
func (pk *packer) combine(c, room, missing int) {
	if c == len(pk.p.measured) {
		if missing != 0 {
			return
		}
		pk.any = false
		pk.choose(0, 0, set{opposite: true, kinds: pk.kinds})
		if pk.any {
			pk.sets = append(pk.sets, pk.best)
		}
		return
	}
	for kind := range pk.lists[c] {
		if len(pk.lists[c][kind]) == 0 {
			continue
		}
		left, r := missing, room
		if kind == 0 {
			left--
		} else {
			r -= gridsOf(kind)
		}
		if left >= 0 && r >= 0 {
			pk.kinds[c] = uint8(kind)
			pk.combine(c+1, r, left)
		}
	}
}

// choose adds a bridge for load c to the set s, which uses the grids used.
func (pk *packer) choose(c int, used uint64, s set) {
	if c == len(pk.p.measured) {
		var gauges uint64
		for i := range c {
			gauges |= s.bridges[i].gauges
		}
		if pk.all&^gauges == 0 && (!pk.any || s.beats(&pk.best)) {
			pk.best, pk.any = s, true
		}
		return
	}
	for i := range pk.lists[c][s.kinds[c]] {
		if pk.nodes >= maxNodes {
			return
		}
		pk.nodes++
		w := &pk.lists[c][s.kinds[c]][i]
		if pk.any && w.series > 0 {
			alone := set{opposite: w.balanced, output: w.output, excess: w.excess}
			if !w.matched {
				alone.unlike = 1
			}
			if alone.compare(&pk.best) < 0 {
				return
			}
		}
		if (w.plus|w.minus)&used != 0 {
			continue
		}
		next := s
		next.add(c, w, bending(pk.p.component(pk.p.measured[c])))
		if pk.any && next.output > 0 && next.compare(&pk.best) < 0 {
			continue
		}
		pk.choose(c+1, used|w.plus|w.minus, next)
	}
}

// add puts a bridge into the set.
func (s *set) add(c int, w *wiring, bending bool) {
	s.bridges[c] = *w
	if w.series == 0 {
		s.missing++
		return
	}
	if w.full {
		s.full++
	}
	if !w.matched {
		s.unlike++
	}
	s.excess = max(s.excess, w.excess)
	s.opposite = s.opposite && w.balanced
	if s.output == 0 || w.output < s.output {
		s.output = w.output
	}
	s.touched += w.touched
	if bending {
		s.aligned += w.output
	}
}

// compare is 1 when s comes before o by what can only get worse as bridges are
// added, −1 when after, 0 when they are equal in that.
func (s *set) compare(o *set) int {
	switch {
	case s.unlike != o.unlike:
		return -first(s.unlike < o.unlike)
	case !same(s.excess, o.excess):
		return -first(s.excess < o.excess)
	case s.opposite != o.opposite:
		return -first(s.opposite)
	case !same(s.output, o.output):
		return -first(s.output > o.output)
	}
	return 0
}

// beats compares whole sets of one placement set and one combination of kinds:
// then fewer gauges a bridge, bending bridges that give more, and names.
func (s *set) beats(o *set) bool {
	if c := s.compare(o); c != 0 {
		return c > 0
	}
	switch {
	case s.touched != o.touched:
		return s.touched < o.touched
	case !same(s.aligned, o.aligned):
		return s.aligned > o.aligned
	}
	for c := range s.bridges {
		a, b := &s.bridges[c], &o.bridges[c]
		if a.plus|a.minus != b.plus|b.minus {
			return a.plus|a.minus < b.plus|b.minus
		}
	}
	return false
}
