package pick

import (
	"context"
	"fmt"
	"math"
	"slices"
)

// Gap is what the part of the space that was left out could give at most.
type Gap struct {
	Wirings int64   // left out
	Output  float64 // no arrangement of them has a greater least rated output, V/V
	Gauges  int     // nor fewer gauges
	Words   string
}

// bounds are upper bounds on the output of any bridge for each load to be
// measured, whatever its shape. A balanced bridge of arms of r to 1 gives
//
//	V/E = r/(1+r)² · (mean₁ − mean₂ + mean₃ − mean₄) ≤ (x₁ + x₂ − x₋₁ − x₋₂)/4
//
// mean the mean ΔR/R of an arm, x₁, x₂ the greatest and x₋₁, x₋₂ the least ΔR/R of
// all grids: no mean of an arm is greater than its greatest grid, the arms share no
// grid, and r/(1+r)² is 1/4 at most. A half bridge has two of these four. Leads
// and instrument only lessen it.
func (g *ground) bounds(p *problem) (out []float64) {
	for _, t := range p.measured {
		var x []float64
		for i := range g.grids {
			x = append(x, g.change[i*g.loads+t])
		}
		slices.Sort(x)
		n := len(x)
		switch {
		case n >= 4:
			out = append(out, (x[n-1]+x[n-2]-x[0]-x[1])/4)
		case n >= 2 && !p.design.Pick.ForbidFixedArms:
			out = append(out, (x[n-1]-x[0])/4)
		default:
			out = append(out, 0)
		}
	}
	return out
}

// most is the upper bound on the least output of a set of bridges.
func (w *wired) most() float64 { return slices.Min(w.best) }

// prove says what the search proved: that no arrangement of the space comes before
// the first one by the rule, or what the part left out could give.
func (s *search) prove(ctx context.Context, out *Outcome, bounded bool) {
	gap := Gap{Gauges: math.MaxInt}
	left, cut, partFront, uncovered := 0, 0, 0, int64(0)
	for i, w := range s.results {
		if w == nil {
			continue
		}
		out.Searched += w.searched
		wirings := int64(0)
		for _, l := range w.left {
			wirings += l.wirings
		}
		if w.partFront {
			partFront++
		}
		if wirings > 0 {
			left++
			uncovered += wirings
		}
		if w.bounded {
			cut++
		}
		if wirings == 0 && !w.bounded {
			continue
		}
		if s.excluded(&s.layouts[i], w) {
			out.Excluded += wirings
			continue
		}
		gap.Wirings += wirings
		gap.Output = math.Max(gap.Output, w.most())
		gap.Gauges = min(gap.Gauges, len(s.layouts[i].placements))
	}
	open := gap.Gauges < math.MaxInt
	switch {
	case ctx.Err() != nil:
		out.Proof = Interrupted
		out.Proved = "the search was interrupted and is incomplete: this is the best so far"
		return
	case bounded || open || s.left != "":
		out.Proof = Bounded
	default:
		out.Proof = Exhaustive
	}
	switch {
	case out.Proof == Exhaustive && len(out.Candidates) > 0 && out.Candidates[0].Metrics.Met():
		out.Proved = "no arrangement of this space comes before the first by the rule, its figures taken for small loads"
	case out.Proof == Exhaustive:
		out.Proved = "no arrangement of this space meets the requirements"
	case open:
		gap.Words = fmt.Sprintf("%d wirings of %s were left out; none of them can give a least rated output above %s, nor take fewer than %s",
			gap.Wirings, plural(left, "placement set"), millivolts(gap.Output), plural(gap.Gauges, "gauge"))
		if cut > 0 {
			gap.Words += fmt.Sprintf("; the choice among the bridges was cut short for %s", plural(cut, "set"))
		}
		out.Gap = &gap
		out.Proved = "the first is the best of what was searched: " + gap.Words
	case bounded:
		out.Proved = "the first is the best of what was searched by the response to small loads; a requirement that only the exact prediction knows was judged on the best wirings of each kind"
	default:
		out.Proved = "the first is the best of what was searched: " + s.left
	}
	if out.Excluded > 0 {
		out.Proved += fmt.Sprintf("; %d wirings with longer arms were not evaluated, since none of them can come first but by a tie: they take more gauges, or their grids cannot give more output, or not what is required", out.Excluded)
	}
	if uncovered > 0 {
		out.Proved += "; the Pareto front is over the wirings evaluated"
	} else if partFront > 0 {
		out.Proved += fmt.Sprintf("; for %s the Pareto front is drawn for some levels of zero from gradients only", plural(partFront, "set"))
	}
}

// excluded reports whether what was left out of a placement set cannot come before
// the first candidate by the rule. It has to meet the requirements and to be as
// the rule wants it in all that stands before gauges and output, so that only these
// decide; then the set takes more gauges, or as many and its grids cannot give more
// output.
func (s *search) excluded(l *layout, w *wired) bool {
	n := len(s.measured)
	if w.grids < 2*n {
		return true // not a bridge for each load
	}
	if required := s.design.Require.RatedOutput; required.Set && w.most() < 0.99*required.SI {
		return true // nothing of it meets the requirements
	}
	if len(s.standings) == 0 {
		return false
	}
	first := s.standings[0]
	if first.noBridge > 0 || first.unlike > 0 || first.excess > 0 || first.spare > 0 || !first.opposite {
		return false
	}
	if first.layout == l {
		// Longer arms must not turn one of its half bridges into a waste either.
		if more := first.set.full + 1; more <= n && w.grids >= 4*more+2*(n-more) {
			return false
		}
	}
	if len(l.placements) != first.gauges {
		return len(l.placements) > first.gauges
	}
	return w.most() <= first.output*(1+s.tie)
}
