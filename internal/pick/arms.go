package pick

import (
	"math"
	"slices"

	"gridwright/internal/bridge"
)

// share puts the grids of a wiring into the four arms, plus grids into arms 1 and
// 3, minus grids into arms 2 and 4 (a half bridge: 1 and 2). Where the dividers
// are of equal arms all alike, all shares answer small loads alike, and it takes
// the one
//
//   - whose adjacent arms 1, 2 and 3, 4 are of the same lots and resistance, so
//     that their thermal output and their heating by the current balance,
//   - with the fewest jumpers between gauges,
//   - whose output under the measured load t is the most linear, by the ring's
//     exact output,
//   - whose single arms respond least to the other loads, which would bend it,
//   - whose arm 2 has most of its gauges in common with arm 1,
//   - and the earliest names.
//
// ways is how many shares there were.
func (g *ground) share(w *wiring, t int) (arms [4][]int, jumpers, ways int) {
	plus, minus := gridsOf(w.up()), gridsOf(w.down())
	switch {
	case !w.shape.full():
		arms[0], arms[1] = plus, minus
		return arms, g.jumpers(arms), 1
	case !w.shape.merged():
		one, two := 0, 1
		if gridsOf(w.plus[1])[0] == plus[0] {
			one, two = 1, 0
		}
		arms = [4][]int{gridsOf(w.plus[one]), gridsOf(w.minus[one]), gridsOf(w.plus[two]), gridsOf(w.minus[two])}
		return arms, g.jumpers(arms), 1
	}
	var best shareFigure
	for _, one := range halves(plus) {
		if one[0][0] != plus[0] {
			continue
		}
		for _, two := range halves(minus) {
			try := [4][]int{one[0], two[0], one[1], two[1]}
			if !g.pairsMatch(try, w.matched) {
				continue
			}
			ways++
			f := shareFigure{jumpers: g.jumpers(try)}
			if arms[0] != nil && f.jumpers > best.jumpers {
				continue
			}
			f.bend, f.impurity, f.apart = g.bend(try, t), g.impurity(try, t), -g.common(try[0], try[1])
			if arms[0] == nil || f.beats(best) {
				arms, best = try, f
			}
		}
	}
	return arms, best.jumpers, ways
}

func gridsOf(mask uint64) (grids []int) {
	bitsOf(mask, func(i int) { grids = append(grids, i) })
	return grids
}

type shareFigure struct {
	jumpers  int
	bend     float64
	impurity float64
	apart    int
}

func (f shareFigure) beats(o shareFigure) bool {
	switch {
	case f.jumpers != o.jumpers:
		return f.jumpers < o.jumpers
	case math.Abs(f.bend-o.bend) > 1e-9:
		return f.bend < o.bend
	case !same(f.impurity, o.impurity):
		return f.impurity < o.impurity
	}
	return f.apart < o.apart
}

// bend is the departure of the output of a ring of equal arms from the straight
// line, at half of the rated load t, over the output at rated load.
func (g *ground) bend(arms [4][]int, t int) float64 {
	output := func(part float64) float64 {
		var r [4]float64
		for k, arm := range arms {
			for _, i := range arm {
				r[k] += 1 + part*g.change[i*g.loads+t]
			}
		}
		return bridge.Plain(r)
	}
	full := output(1)
	if full == 0 {
		return 0
	}
	return math.Abs((output(0.5) - full/2) / full)
}

// halves lists the ways to take half of the grids, first and rest, in the order
// of names.
func halves(grids []int) [][2][]int {
	n := len(grids)
	var out [][2][]int
	for mask := 0; mask < 1<<n; mask++ {
		var h [2][]int
		for i, g := range grids {
			side := mask >> i & 1
			h[side] = append(h[side], g)
		}
		if len(h[0]) == n/2 {
			out = append(out, h)
		}
	}
	slices.SortFunc(out, func(a, b [2][]int) int { return slices.Compare(a[0], b[0]) })
	return out
}

// pairsMatch reports whether arms 1 and 2, and 3 and 4, can balance each other.
func (g *ground) pairsMatch(arms [4][]int, lots bool) bool {
	var kind, ohm [4]uint64
	for k, arm := range arms {
		for _, i := range arm {
			kind[k] += composition(g.kind[i])
			ohm[k] += composition(g.ohm[i])
		}
		if !oneResistance(ohm[k], len(arm)) {
			return false
		}
	}
	if lots && (kind[0] != kind[1] || kind[2] != kind[3]) {
		return false
	}
	return ohm[0] == ohm[1] && ohm[2] == ohm[3]
}

// impurity is Σ over the arms and the other loads of |mean ΔR/R| of the arm.
func (g *ground) impurity(arms [4][]int, t int) float64 {
	total := 0.0
	for _, arm := range arms {
		for j := range g.loads {
			if j == t {
				continue
			}
			sum := 0.0
			for _, i := range arm {
				sum += g.change[i*g.loads+j]
			}
			total += math.Abs(sum) / float64(len(arm))
		}
	}
	return total
}

// common is how many grids of b sit on gauges that a has grids on.
func (g *ground) common(a, b []int) int {
	n := 0
	for _, i := range b {
		if slices.ContainsFunc(a, func(k int) bool { return g.place[k] == g.place[i] }) {
			n++
		}
	}
	return n
}

// jumpers is the least number of connections between grids of different gauges
// with which the ring can be closed; fixed arms count as no gauge. The grids of an
// arm may be joined in any order.
func (g *ground) jumpers(arms [4][]int) int {
	type run struct{ begin, end, cost int } // gauges at its ends
	runs := func(arm []int) []run {
		if len(arm) == 0 {
			return []run{{-1, -1, 0}}
		}
		var out []run
		permute(slices.Clone(arm), 0, func(p []int) {
			r := run{g.place[p[0]], g.place[p[len(p)-1]], 0}
			for i := 1; i < len(p); i++ {
				r.cost += differ(g.place[p[i-1]], g.place[p[i]])
			}
			if !slices.Contains(out, r) {
				out = append(out, r)
			}
		})
		return out
	}
	var all [4][]run
	for k, arm := range arms {
		all[k] = runs(arm)
	}
	best := math.MaxInt
	for _, start := range all[0] {
		reach := []run{start}
		for _, arm := range all[1:] {
			var next []run
			for _, r := range arm {
				least := math.MaxInt
				for _, before := range reach {
					least = min(least, before.cost+differ(before.end, r.begin)+r.cost)
				}
				next = append(next, run{start.begin, r.end, least})
			}
			reach = next
		}
		for _, r := range reach {
			best = min(best, r.cost+differ(r.end, start.begin))
		}
	}
	return best
}

// differ is 1 when a connection runs from one gauge to another.
func differ(a, b int) int {
	if a >= 0 && b >= 0 && a != b {
		return 1
	}
	return 0
}

func permute(p []int, at int, f func([]int)) {
	if at == len(p) {
		f(p)
		return
	}
	for i := at; i < len(p); i++ {
		p[at], p[i] = p[i], p[at]
		permute(p, at+1, f)
		p[at], p[i] = p[i], p[at]
	}
}
