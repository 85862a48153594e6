package pick

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Two arrangements count as one on the Pareto front where their figures differ by
// less than near, or by less than nothing of rated output: tolerances are not
// better known.
const (
	near    = 0.05
	nothing = 1e-4
)

// maxLevels bounds the levels of zero from gradients that a front is drawn for.
const maxLevels = 12

// point is what the Pareto front is drawn over, each the less the better.
type point struct {
	gauges      int
	crosstalk95 float64
	gradient    float64
	relative    float64 // output; the more the better
}

// covers reports whether a point is as good as another in all, or within near of
// it.
func (a *point) covers(b *point) bool {
	return a.gauges <= b.gauges && within(a.crosstalk95, b.crosstalk95) && within(a.gradient, b.gradient) && a.relative*(1+near) >= b.relative
}

// within tells that a is not greater than b by more than near, or than nothing.
func within(a, b float64) bool { return a <= b+math.Max(near*b, nothing) }

func (s *set) point(gauges int) point {
	return point{gauges, s.crosstalk95, s.gradient, s.relative}
}

// front adds the sets that no other choice of this placement set beats in
// crosstalk-95, zero from gradients and output together. For each level of the
// gradient, and from the most output to the least crosstalk: the most output that
// a disjoint choice can have, the least crosstalk with it, the least gradient with
// both; then crosstalk is to be less by near, or by nothing.
func (pk *packer) front(ctx context.Context) {
	l := make(lists, len(pk.full))
	loads := make([]int, len(l))
	bends := make([]bool, len(l))
	for c := range l {
		loads[c] = c
		bends[c] = bending(pk.p.component(pk.p.measured[c]))
		l[c] = slices.Concat(pk.full[c], pk.half[c])
		if len(l[c]) == 0 {
			return
		}
	}
	output := func(w *wiring) float64 { return -w.output }
	crosstalk := func(w *wiring) float64 { return w.crosstalk95 }
	gradient := func(w *wiring) float64 { return w.gradient }
	var archive []point
	for i := range pk.sets {
		archive = append(archive, pk.sets[i].point(0))
	}
	for _, level := range pk.levels(l) {
		flat := l.where(func(w *wiring) bool { return w.gradient <= level })
		for ctx.Err() == nil && pk.possible(flat) {
			best, _ := pk.narrow(flat, output, near/4)
			best, x := pk.narrow(best, crosstalk, near/4)
			best, _ = pk.narrow(best, gradient, near/4)
			pk.add(loads, pk.tidiest(best, bends), true)
			s := &pk.sets[len(pk.sets)-1]
			at := s.point(0)
			if slices.ContainsFunc(archive, func(a point) bool { return a.covers(&at) }) {
				pk.sets = pk.sets[:len(pk.sets)-1]
			} else {
				archive = append(archive, at)
			}
			limit := x - math.Max(near*x, nothing)
			if limit < 0 {
				break
			}
			flat = flat.where(func(w *wiring) bool { return w.crosstalk95 <= limit })
		}
	}
}

// levels are the bounds on the gradient that the front is drawn for, the loosest
// first: all that differ by near, or maxLevels of them.
func (pk *packer) levels(l lists) []float64 {
	_, least := pk.narrow(l, func(w *wiring) float64 { return w.gradient }, 0)
	var all []float64
	for c := range l {
		for _, w := range l[c] {
			if w.gradient >= least {
				all = append(all, w.gradient)
			}
		}
	}
	slices.Sort(all)
	var levels []float64
	for i, x := range all {
		// The last of those within near of each other stands for them.
		if i+1 == len(all) || !within(all[i+1], x) {
			levels = append(levels, x)
		}
	}
	slices.Reverse(levels)
	if n := len(levels); n > maxLevels {
		pk.bounded = true
		thin := make([]float64, maxLevels)
		for i := range thin {
			thin[i] = levels[i*(n-1)/(maxLevels-1)]
		}
		return thin
	}
	if len(levels) == 0 {
		return []float64{math.Inf(1)}
	}
	return levels
}

// paretoOf marks the proposals that no other beats in all figures of the front. Of
// those within near of each other it is the one with fewer gauges, more output,
// less crosstalk, less gradient, and then the first by the rule.
func paretoOf(ranked []*proposal) map[*proposal]bool {
	type member struct {
		point
		pr *proposal
	}
	var all []member
	for _, pr := range ranked {
		if pr.noBridge == 0 && pr.unlike == 0 && pr.excess == 0 {
			all = append(all, member{pr.set.point(pr.gauges), pr})
		}
	}
	slices.SortStableFunc(all, func(a, b member) int { return a.compare(&b.point) })
	var archive []member
	for _, m := range all {
		if slices.ContainsFunc(archive, func(a member) bool { return a.covers(&m.point) }) {
			continue
		}
		// One with a little less output, and much better in the rest, stands for both.
		archive = slices.DeleteFunc(archive, func(a member) bool { return m.covers(&a.point) })
		archive = append(archive, m)
	}
	out := map[*proposal]bool{}
	for _, m := range archive {
		out[m.pr] = true
	}
	return out
}

// compare is negative when a stands before b. Figures count to six digits.
func (a *point) compare(b *point) int {
	return cmp.Or(
		cmp.Compare(a.gauges, b.gauges),
		cmp.Compare(digits(b.relative), digits(a.relative)),
		cmp.Compare(digits(a.crosstalk95), digits(b.crosstalk95)),
		cmp.Compare(digits(a.gradient), digits(b.gradient)),
	)
}

// digits rounds a figure to about six digits.
func digits(x float64) float64 {
	if math.Abs(x) < 1e-9 {
		return 0
	}
	return math.Float64frombits((math.Float64bits(x) + 1<<31) &^ (1<<32 - 1))
}
