package pick

import (
	"cmp"
	"context"
	"math"
	"math/bits"
	"slices"
	"sort"
)

// maxNodes bounds the choices tried for one question about one placement set.
const maxNodes = 3_000_000

// lists are the wirings to choose from, one list for each load to be measured that
// gets a bridge.
type lists [][]*wiring

// where keeps the wirings that ok holds for; nil when a list is left with none.
func (l lists) where(ok func(*wiring) bool) lists {
	out := make(lists, len(l))
	for c := range l {
		for _, w := range l[c] {
			if ok(w) {
				out[c] = append(out[c], w)
			}
		}
		if len(out[c]) == 0 {
			return nil
		}
	}
	return out
}

// chooser answers questions about disjoint choices: one wiring of each list, no
// grid used twice, every gauge of all used.
type chooser struct {
	all     uint64 // placements that have to be used
	nodes   int
	bounded bool // a question was left unanswered
	ctx     context.Context
}

// over reports, now and then, that there is no time left for n-th choice.
func (ch *chooser) over(n int) bool {
	return n&0xfff == 0 && ch.ctx != nil && ch.ctx.Err() != nil
}

// maxEasy is how many choices are tried before the lists are thinned, which takes
// longer than most questions.
const maxEasy = 20_000

// possible reports whether there is a disjoint choice. Only the grids of a wiring
// matter for that, so that each set of grids is tried once and, where the question
// is hard, of two sets on the same gauges only the smaller.
func (ch *chooser) possible(l lists) bool {
	if l == nil {
		return false
	}
	if ch.over(0) {
		ch.bounded = true
		return false
	}
	masks := make([][]maskOf, len(l))
	for c := range l {
		masks[c] = masksOf(l[c])
	}
	ok, sure := ch.disjoint(masks, maxEasy)
	if !sure {
		for c := range masks {
			masks[c] = ch.smallest(masks[c])
		}
		if ok, sure = ch.disjoint(masks, maxNodes); !sure {
			ch.bounded = true
		}
	}
	return ok
}

// disjoint looks for one set of each list such that no two share a grid, trying
// most choices at most; what failed for the grids used so far fails whichever sets
// used them. sure is false when the choices ran out.
func (ch *chooser) disjoint(masks [][]maskOf, most int) (ok, sure bool) {
	masks = slices.Clone(masks)
	slices.SortStableFunc(masks, func(a, b []maskOf) int { return len(a) - len(b) })
	reach := make([]uint64, len(masks)+1) // gauges that the lists from here on can use
	for c := len(masks) - 1; c >= 0; c-- {
		reach[c] = reach[c+1]
		for _, m := range masks[c] {
			reach[c] |= m.gauges
		}
	}
	type state struct {
		used uint64
		c    int
	}
	failed := map[state]bool{}
	nodes := 0
	var try func(c int, used, gauges uint64) bool
	try = func(c int, used, gauges uint64) bool {
		if ch.all&^(gauges|reach[c]) != 0 {
			return false
		}
		if c == len(masks) {
			return true
		}
		if failed[state{used, c}] {
			return false
		}
		for _, m := range masks[c] {
			if nodes++; nodes > most {
				return false
			}
			if ch.over(nodes) {
				nodes = most + 1
				return false
			}
			if m.grids&used == 0 && try(c+1, used|m.grids, gauges|m.gauges) {
				return true
			}
		}
		failed[state{used, c}] = true
		return false
	}
	ok = try(0, 0, 0)
	ch.nodes += nodes
	return ok, ok || nodes <= most
}

type maskOf struct{ grids, gauges uint64 }

// masksOf lists the sets of grids of a list, each once, smaller ones first.
func masksOf(list []*wiring) []maskOf {
	out := make([]maskOf, len(list))
	for i, w := range list {
		out[i] = maskOf{w.mask(), w.gauges}
	}
	slices.SortFunc(out, func(a, b maskOf) int {
		return cmp.Or(bits.OnesCount64(a.grids)-bits.OnesCount64(b.grids), cmp.Compare(a.grids, b.grids))
	})
	return slices.Compact(out)
}

// smallest keeps the sets of grids that no smaller one can stand for.
func (ch *chooser) smallest(all []maskOf) []maskOf {
	seen := make(map[uint64]uint64, len(all))
	for _, m := range all {
		seen[m.grids] = m.gauges
	}
	var keep []maskOf
	for _, m := range all {
		if bits.OnesCount64(m.grids) == bits.OnesCount64(all[0].grids) || !ch.covered(m, seen) {
			keep = append(keep, m)
		}
	}
	return keep
}

// covered reports whether a part of m is itself in the list, and on the gauges
// that have to be used.
func (ch *chooser) covered(m maskOf, seen map[uint64]uint64) bool {
	if bits.OnesCount64(m.grids) > 8 {
		return false
	}
	for part := (m.grids - 1) & m.grids; part != 0; part = (part - 1) & m.grids {
		if gauges, ok := seen[part]; ok && m.gauges&^gauges&ch.all == 0 {
			return true
		}
	}
	return false
}

// narrow finds the least bound on a figure with which a disjoint choice is still
// possible, and keeps the wirings within it, or within slack of it. The lists have
// to allow a choice.
func (ch *chooser) narrow(l lists, figure func(*wiring) float64, slack float64) (lists, float64) {
	var values []float64
	floor := math.Inf(-1) // no list has less
	for c := range l {
		least := math.Inf(1)
		for _, w := range l[c] {
			least = math.Min(least, figure(w))
		}
		floor = math.Max(floor, least)
	}
	for c := range l {
		for _, w := range l[c] {
			if f := figure(w); f >= floor {
				values = append(values, f)
			}
		}
	}
	slices.Sort(values)
	values = slices.Compact(values)
	within := func(bound float64) lists {
		bound += slack * math.Abs(bound)
		return l.where(func(w *wiring) bool { return figure(w) <= bound })
	}
	// Most often the floor itself will do.
	if first := within(values[0]); ch.possible(first) {
		return first, values[0]
	}
	n := 1 + sort.Search(len(values)-1, func(i int) bool { return ch.possible(within(values[i+1])) })
	if n == len(values) { // nodes ran out
		return l, values[n-1]
	}
	return within(values[n]), values[n]
}

// tidy stands for the jumpers of a bridge before its arms are wired: the gauges
// that it is on, then its grids.
func (w *wiring) tidy() int { return 64*w.touched + bits.OnesCount64(w.mask()) }

// tidiest chooses, of lists that allow a choice, the one on the fewest gauges a
// bridge, then of the fewest grids, and then with the most output of the bridges for
// bending.
func (ch *chooser) tidiest(l lists, bends []bool) []*wiring {
	type figure struct {
		touched int
		aligned float64
	}
	value := func(c int, w *wiring) figure {
		f := figure{touched: w.tidy()}
		if bends[c] {
			f.aligned = w.output
		}
		return f
	}
	less := func(a, b figure) bool {
		if a.touched != b.touched {
			return a.touched < b.touched
		}
		return a.aligned > b.aligned && !same(a.aligned, b.aligned)
	}
	order := make([]int, len(l))
	sorted := make(lists, len(l))
	for c := range l {
		order[c] = c
		seen := map[uint64]int{}
		for _, w := range l[c] {
			at, known := seen[w.mask()]
			switch {
			case !known:
				seen[w.mask()] = len(sorted[c])
				sorted[c] = append(sorted[c], w)
			case w.output > sorted[c][at].output:
				sorted[c][at] = w
			}
		}
		slices.SortFunc(sorted[c], func(a, b *wiring) int {
			x, y := value(c, a), value(c, b)
			switch {
			case x.touched != y.touched:
				return x.touched - y.touched
			case x.aligned != y.aligned:
				return first(x.aligned > y.aligned)
			case digits(a.output) != digits(b.output):
				return first(a.output > b.output)
			case bits.OnesCount64(a.mask()) != bits.OnesCount64(b.mask()):
				return bits.OnesCount64(a.mask()) - bits.OnesCount64(b.mask())
			}
			return first(a.before(b))
		})
	}
	slices.SortStableFunc(order, func(a, b int) int { return len(sorted[a]) - len(sorted[b]) })
	rest := make([]figure, len(l)+1) // the least that the lists from here on can add
	reach := make([]uint64, len(l)+1)
	for i := len(order) - 1; i >= 0; i-- {
		c := order[i]
		rest[i], reach[i] = rest[i+1], reach[i+1]
		touched, aligned := math.MaxInt, 0.0
		for _, w := range sorted[c] {
			f := value(c, w)
			touched, aligned = min(touched, f.touched), math.Max(aligned, f.aligned)
			reach[i] |= w.gauges
		}
		rest[i].touched += touched
		rest[i].aligned += aligned
	}
	var best []*wiring
	var bestFigure figure
	chosen := make([]*wiring, len(l))
	nodes := 0
	var try func(i int, used, gauges uint64, so figure)
	try = func(i int, used, gauges uint64, so figure) {
		if ch.all&^(gauges|reach[i]) != 0 {
			return
		}
		if i == len(order) {
			if best == nil || less(so, bestFigure) {
				best, bestFigure = slices.Clone(chosen), so
			}
			return
		}
		c := order[i]
		for _, w := range sorted[c] {
			f := value(c, w)
			next := figure{so.touched + f.touched, so.aligned + f.aligned}
			if best != nil {
				if !less(figure{next.touched + rest[i+1].touched, next.aligned + rest[i+1].aligned}, bestFigure) {
					return // nor do those behind it do better
				}
				if nodes++; nodes > maxNodes || ch.over(nodes) {
					nodes = maxNodes
					ch.bounded = true
					return
				}
			}
			if w.mask()&used == 0 {
				chosen[c] = w
				try(i+1, used|w.mask(), gauges|w.gauges, next)
			}
		}
	}
	try(0, 0, 0, figure{})
	ch.nodes += nodes
	return best
}
