package pick

import (
	"math"
	"math/bits"
)

// wiring is one bridge for one load: its shape, and the grids of the two arms of
// each divider, plus those that raise the output. Where the shape is merged the
// first divider has the grids of both.
type wiring struct {
	plus, minus [2]uint64
	shape       shape
	output      float64 // at rated load, leads and instrument included, V/V
	excess      float64 // the worst figure over its limit, less 1, never negative
	crosstalk95 float64 // first order, ratio of rated output
	gradient    float64 // |zero from the gradient|, ratio of rated output
	matched     bool    // thermal output cancels between adjacent arms
	balanced    bool    // the grids are spread evenly round the part
	gauges      uint64  // mask of the placements that it uses
	touched     int     // how many
}

func (w *wiring) up() uint64   { return w.plus[0] | w.plus[1] }
func (w *wiring) down() uint64 { return w.minus[0] | w.minus[1] }
func (w *wiring) mask() uint64 { return w.up() | w.down() }
func (w *wiring) none() bool   { return w.shape.first.up == 0 }

// weights fills the weight of each grid: V/V for one of ΔR/R, before leads.
func (w *wiring) weights(to []float64) {
	clear(to)
	for n, d := range [2]divider{w.shape.first, w.shape.second} {
		if d.up == 0 {
			continue
		}
		for sign, masks := range [2][2]uint64{w.plus, w.minus} {
			k := float64(bits.OnesCount64(masks[n]))
			total := float64(bits.OnesCount64(w.plus[n]) + bits.OnesCount64(w.minus[n]))
			if k == 0 {
				continue
			}
			weight := (total - k) / (total * total)
			if w.shape.merged() && w.shape.full() {
				weight = 1 / (4 * float64(d.up))
			}
			if sign == 1 {
				weight = -weight
			}
			bitsOf(masks[n], func(i int) { to[i] = weight })
		}
	}
}

// accept makes the wirings of a pair for load t, to which its difference is d, the
// greatest difference of another load being other.
func (w *worker) accept(p *pass, i, j, t int, d, other float64) {
	crosstalk := math.Max(0, over(other/math.Abs(d), w.limit))
	for _, s := range p.shapes {
		one := wiring{shape: s}
		gain := 1.0
		switch {
		case s.merged():
			if p.x.ohms[i] != p.y.ohms[j] {
				return
			}
			one.matched = p.x.kind[i] == p.y.kind[j]
			one.plus[0], one.minus[0] = p.x.mask[i], p.y.mask[j]
			gain = 1 / float64(4*s.first.up)
			size := s.first.up
			if s.full() && !twoArms(p.x.ohms[i], 2*size) || !s.full() && !oneResistance(p.x.ohms[i], size) {
				continue
			}
		default:
			one.plus[0], one.minus[0] = p.x.up[i], p.x.mask[i]&^p.x.up[i]
			one.matched = p.x.matched[i]
			if s.full() {
				one.plus[1], one.minus[1] = p.y.mask[j]&^p.y.up[j], p.y.up[j]
				one.matched = one.matched && p.y.matched[j]
			}
		}
		if w.strict && !one.matched {
			continue
		}
		if d < 0 {
			one.plus, one.minus = one.minus, one.plus
		}
		w.figure(&one, t, math.Abs(d)*gain, crosstalk)
	}
}

// over is figure/limit − 1.
func over(figure, limit float64) float64 { return figure/limit - 1 }

// figure computes the figures of a wiring, cheap ones first, and puts it on the
// shelf. Limits that are not those of crosstalk are eased by 1 %: the exact
// prediction of the finalists judges them.
func (w *worker) figure(one *wiring, t int, ideal, crosstalk float64) {
	share := w.shareOf(one)
	one.output = rounded(share * ideal)
	if one.output <= blindOutput {
		return
	}
	one.excess = crosstalk
	req := &w.p.limits
	if req.RatedOutput.Set && req.RatedOutput.SI > 0 && one.output < 0.99*req.RatedOutput.SI {
		one.excess = math.Max(one.excess, over(req.RatedOutput.SI, one.output))
	}
	if w.strict && one.excess > 0 || !w.strict && !w.shelves[t].wants(one) {
		return
	}
	one.weights(w.weights)
	if w.blind(t, ideal) {
		return
	}
	if w.thermal != nil && req.ZeroDrift.SI > 0 {
		if drift := share * w.drift(w.weights) / one.output; drift > 1.01*req.ZeroDrift.SI {
			one.excess = math.Max(one.excess, over(drift, req.ZeroDrift.SI))
		}
	}
	if w.tolerances != nil {
		one.crosstalk95, _ = w.crosstalk95(w.inModel(), t)
		one.crosstalk95 = rounded(one.crosstalk95)
		if req.Crosstalk95.Set && one.crosstalk95 > req.Crosstalk95.SI*(1+1e-9) {
			excess := hopeless
			if req.Crosstalk95.SI > 0 {
				excess = over(one.crosstalk95, req.Crosstalk95.SI)
			}
			one.excess = math.Max(one.excess, excess)
		}
	}
	if w.strict && one.excess > 0 {
		return
	}
	if w.tolerances != nil {
		one.gradient = rounded(w.gradientZero(w.ordered, t))
	}
	one.gauges, one.touched, one.balanced = w.spread(one.mask())
	w.shelves[t].put(*one, w.strict)
}

// blind reports whether the grids that the weights are set for oppose each other.
func (w *worker) blind(t int, ideal float64) bool {
	reach := 0.0
	for i, x := range w.weights {
		reach += math.Abs(x * w.change[i*w.loads+t])
	}
	return ideal < blindShare*reach
}

// rounded drops the last digits of a figure, some 1e-10 of it, and what is but
// rounding about zero, so that figures that are equal by symmetry are equal
// numbers.
func rounded(x float64) float64 {
	if math.Abs(x) < 1e-13 {
		return 0
	}
	return math.Float64frombits((math.Float64bits(x) + 1<<18) &^ (1<<19 - 1))
}

// shareOf is what leads and instrument leave of the output of a wiring; 0 when
// they do not allow it.
func (g *ground) shareOf(w *wiring) float64 {
	a, b := g.classesOf(w)
	return g.losses.of(w.shape, a, b)
}

// classesOf are the resistance classes of the two dividers.
func (g *ground) classesOf(w *wiring) (a, b uint8) {
	if g.uniform {
		return 0, 0
	}
	if !w.shape.merged() {
		a = g.ohm[bits.TrailingZeros64(w.plus[0])]
		if w.shape.full() {
			b = g.ohm[bits.TrailingZeros64(w.plus[1])]
		}
		return a, b
	}
	a = math.MaxUint8
	bitsOf(w.plus[0], func(i int) { a, b = min(a, g.ohm[i]), max(b, g.ohm[i]) })
	return a, b
}

// drift is (max − min of V/E at no load over the range)/range, 1/K, before leads.
func (k *kernel) drift(weights []float64) float64 {
	t := &k.p.design.Temperature
	low, high := math.Inf(1), math.Inf(-1)
	for c := range temperatures {
		v := 0.0
		for i, x := range weights {
			v += x * k.thermal[i*temperatures+c]
		}
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return (high - low) / (t.High.SI - t.Low.SI)
}

// spread tells which gauges a set of grids uses, and whether these are spread
// evenly round the part, counted by grids: Σ e^{iφ} = 0.
func (g *ground) spread(mask uint64) (gauges uint64, touched int, balanced bool) {
	var y, z, n float64
	bitsOf(mask, func(i int) {
		y, z, n = y+g.cos[i], z+g.sin[i], n+1
		if gauges>>g.place[i]&1 == 0 {
			touched++
		}
		gauges |= 1 << g.place[i]
	})
	return gauges, touched, math.Hypot(y, z) < 1e-6*n
}

// same reports whether two figures count as equal.
func same(a, b float64) bool { return sameTo(a, b, tie) }

// sameTo is same for another relative difference.
func sameTo(a, b, tie float64) bool {
	return math.Abs(a-b) <= tie*math.Max(math.Abs(a), math.Abs(b)) || math.Abs(a-b) <= 1e-12
}
