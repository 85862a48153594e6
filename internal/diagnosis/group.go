package diagnosis

import "math"

// kept is a mode that is listed, with its group.
type kept struct{ mode, group int }

// group puts the modes, which stand in order of share, into groups: each group is led by
// the likeliest that is left; with it go all within a factor of groupOdds of its share, and
// all whose predictions the data cannot tell from its own. Causes that are neither likely
// nor in group 1 are not listed. When the design itself leads, what makes no difference to
// it is not listed for that.
func (b *bench) group(modes []mode, none *mode) []kept {
	var out []kept
	taken := make([]bool, len(modes))
	for g := 1; ; g++ {
		lead := -1
		for i := range modes {
			if !taken[i] && (g == 1 || modes[i].share >= keptShare) {
				lead = i
				break
			}
		}
		if lead < 0 {
			return out
		}
		for i := lead; i < len(modes); i++ {
			if taken[i] {
				continue
			}
			if g > 1 && modes[i].share < keptShare {
				break
			}
			near := modes[i].share*groupOdds >= modes[lead].share
			if !near && g == 1 && &modes[lead] != none && &modes[i] != none {
				near = b.distance(&modes[lead], &modes[i]) < groupSquare && modes[i].share*groupOdds*groupOdds >= modes[lead].share
			}
			if near {
				taken[i] = true
				out = append(out, kept{i, g})
			}
		}
	}
}

// distance is the squared Mahalanobis distance between the predictions of two modes for
// what was measured, under the spread of the first; zeros off scale count as the odds
// that they give.
func (b *bench) distance(p, q *mode) float64 {
	r := make([]float64, len(b.used))
	for i, f := range b.used {
		r[i] = p.y[f] - q.y[f]
		if math.IsNaN(r[i]) {
			return math.Inf(1)
		}
	}
	return p.spread.square(r) + 2*math.Abs(b.offScaleLog(p.y)-b.offScaleLog(q.y))
}
