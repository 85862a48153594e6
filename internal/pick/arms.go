package pick

import (
	"math"
	"slices"
)

// share puts the grids of a wiring into the four arms, plus grids into arms 1 and
// 3, minus grids into arms 2 and 4 (a half bridge: 1 and 2). All shares answer
// small loads alike. It takes the one
//
//   - whose adjacent arms 1, 2 and 3, 4 are of the same lots and resistance,
//   - with the fewest jumpers between gauges,
//   - whose single arms respond least to loads other than t, for the sake of linearity,
//   - whose arm 2 has most of its gauges in common with arm 1,
//   - and the earliest names.
func (g *ground) share(w *wiring, t int) (arms [4][]int, jumpers int) {
	var plus, minus []int
	bitsOf(w.plus, func(i int) { plus = append(plus, i) })
	bitsOf(w.minus, func(i int) { minus = append(minus, i) })
	if !w.full {
		arms[0], arms[1] = plus, minus
		return arms, g.jumpers(arms)
	}
	best := shareFigure{jumpers: math.MaxInt}
	for _, one := range halves(plus) {
		if one[0][0] != plus[0] {
			continue
		}
		for _, two := range halves(minus) {
			try := [4][]int{one[0], two[0], one[1], two[1]}
			if !g.pairsMatch(try, w.matched) {
				continue
			}
			f := shareFigure{g.jumpers(try), g.impurity(try, t), -g.common(try[0], try[1])}
			if arms[0] == nil || f.beats(best) {
				arms, best = try, f
			}
		}
	}
	return arms, best.jumpers
}

type shareFigure struct {
	jumpers  int
	impurity float64
	apart    int
}

func (f shareFigure) beats(o shareFigure) bool {
	switch {
	case f.jumpers != o.jumpers:
		return f.jumpers < o.jumpers
	case !same(f.impurity, o.impurity):
		return f.impurity < o.impurity
	}
	return f.apart < o.apart
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
	var lot, ohm [4]uint64
	for k, arm := range arms {
		for _, i := range arm {
			lot[k] += composition(g.lot[i])
			ohm[k] += composition(g.ohm[i])
		}
		if !oneResistance(ohm[k], len(arm)) {
			return false
		}
	}
	if lots && (lot[0] != lot[1] || lot[2] != lot[3]) {
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
