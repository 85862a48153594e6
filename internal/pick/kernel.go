package pick

import (
	"context"
	"math"
)

// maxSeries is the greatest number of grids in series in an arm.
const maxSeries = 3

// maxWirings bounds the wirings enumerated of one placement set. What would go
// beyond is left out and said so.
const maxWirings = 5_000_000

// wiring is one bridge for one load: the grids that raise its output and those
// that lower it, n in series in each arm.
//
// In a balanced bridge of arms with one resistance each, a grid of one arm weighs
// ±1/4n whatever arm it is in and whatever its resistance,
//
//	V/E = (Σ₊ ΔR/R − Σ₋ ΔR/R) / 4n
//
// n grids in each arm; a half bridge has half of the grids and the same weight. So
// two sets of grids tell the response to small loads, and how the grids of a set
// are shared between its two arms is left to the wiring of the finished bridge
// (arms.go).
type wiring struct {
	plus, minus uint64
	full        bool
	series      int
	output      float64 // at rated load, leads and instrument included, V/V
	excess      float64 // the worst figure over its limit, less 1, never negative
	matched     bool    // adjacent arms are of one lot
	balanced    bool    // the grids are spread evenly round the part
	gauges      uint64  // mask of the placements that it uses
	touched     int     // how many
}

// kernel enumerates the wirings of one placement set. It keeps, for each load to
// be measured, each set of grids and full or half bridge, the best.
type kernel struct {
	*ground
	p       *problem
	strict  bool // keep only wirings within the limits
	limit   float64
	targets []bool // of the loads: to be measured
	index   []map[slot]int32
	found   [][]wiring // of each load of the file

	searched int64
	bounded  bool
}

type slot struct {
	mask uint64
	full bool
}

func newKernel(p *problem, g *ground, strict bool) *kernel {
	k := &kernel{
		ground: g, p: p, strict: strict,
		limit:   p.crosstalk*(1+1e-9) + 1e-9, // rounding is no crosstalk
		targets: make([]bool, g.loads),
		index:   make([]map[slot]int32, g.loads),
		found:   make([][]wiring, g.loads),
	}
	for _, t := range p.measured {
		k.targets[t] = true
		k.index[t] = map[slot]int32{}
	}
	return k
}

// enumerate runs through every wiring, smaller arms first.
func (k *kernel) enumerate(ctx context.Context) error {
	for size := 1; size <= 2*maxSeries && 2*size <= k.grids; size++ {
		half := size <= maxSeries && k.losses.half[0][size] > 0
		full := size%2 == 0 && k.losses.full[0][0][size/2] > 0
		if !half && !full {
			continue
		}
		kinds := int64(0)
		if half {
			kinds++
		}
		if full {
			kinds++
		}
		if n := pairsOf(k.grids, size, maxWirings); k.searched+n*kinds > maxWirings {
			k.bounded = true
			continue
		}
		if err := k.pairs(ctx, k.list(size), size, half, full); err != nil {
			return err
		}
	}
	return nil
}

// pairs takes every two sets that share no grid. Whether the bridge is blind to
// the other loads is the same for the full bridge and for the half bridge of the
// two sets, and exchanging the sets turns the sign alone.
func (k *kernel) pairs(ctx context.Context, s *subsets, size int, half, full bool) error {
	n := k.loads
	kinds := int64(0)
	if half {
		kinds++
	}
	if full {
		kinds++
	}
	var d [maxLoads]float64
	for i := range s.mask {
		if i&127 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		a := s.sum[i*n : i*n+n]
		for j := i + 1; j < len(s.mask); j++ {
			if s.mask[i]&s.mask[j] != 0 {
				continue
			}
			k.searched += kinds
			b := s.sum[j*n : j*n+n]
			// The load with the greatest response, and the greatest of the others.
			first, second, at := 0.0, 0.0, 0
			for c := range a {
				d[c] = a[c] - b[c]
				switch x := math.Abs(d[c]); {
				case x > first:
					first, second, at = x, first, c
				case x > second:
					second = x
				}
			}
			if k.strict && k.limit < 1 {
				if k.targets[at] && second <= k.limit*first {
					k.accept(s, i, j, at, d[at], second, size, half, full)
				}
				continue
			}
			for c := range a {
				other := first
				if c == at {
					other = second
				}
				if k.targets[c] && (!k.strict || other <= k.limit*math.Abs(d[c])) {
					k.accept(s, i, j, c, d[c], other, size, half, full)
				}
			}
		}
	}
	return nil
}

// accept keeps a pair of sets for load t to which its difference is d, the
// greatest difference of another load being other.
func (k *kernel) accept(s *subsets, i, j, t int, d, other float64, size int, half, full bool) {
	x := math.Abs(d)
	if x == 0 || x < blindShare*(s.reach[i*k.loads+t]+s.reach[j*k.loads+t]) || s.ohms[i] != s.ohms[j] {
		return
	}
	w := wiring{plus: s.mask[i], minus: s.mask[j], matched: s.lots[i] == s.lots[j]}
	if k.strict && !w.matched {
		return
	}
	if d < 0 {
		w.plus, w.minus = w.minus, w.plus
	}
	crosstalk := math.Max(0, over(other/x, k.limit))
	if full && twoArms(s.ohms[i], size) {
		w.full, w.series = true, size/2
		k.keep(w, t, x, crosstalk)
	}
	if half && oneResistance(s.ohms[i], size) {
		w.full, w.series = false, size
		k.keep(w, t, x, crosstalk)
	}
}

// over is figure/limit − 1.
func over(figure, limit float64) float64 { return figure/limit - 1 }

// keep completes a wiring and stores it when it is better than the one on the
// same grids. Limits that are not those of crosstalk are eased by 1 %: the exact
// prediction of the finalists judges them.
func (k *kernel) keep(w wiring, t int, x, crosstalk float64) {
	share := k.shareOf(&w)
	if share <= 0 {
		return
	}
	w.output = share * x / float64(4*w.series)
	if w.output <= blindOutput {
		return
	}
	w.excess = crosstalk
	req := &k.p.design.Require
	if req.RatedOutput.Set && req.RatedOutput.SI > 0 && w.output < 0.99*req.RatedOutput.SI {
		w.excess = math.Max(w.excess, over(req.RatedOutput.SI, w.output))
	}
	if k.thermal != nil && req.ZeroDrift.SI > 0 {
		if drift := share * k.drift(&w) / w.output; drift > 1.01*req.ZeroDrift.SI {
			w.excess = math.Max(w.excess, over(drift, req.ZeroDrift.SI))
		}
	}
	if k.strict && w.excess > 0 {
		return
	}
	key := slot{w.plus | w.minus, w.full}
	at, seen := k.index[t][key]
	if !seen {
		w.gauges, w.touched, w.balanced = k.spread(key.mask)
		k.index[t][key] = int32(len(k.found[t]))
		k.found[t] = append(k.found[t], w)
		return
	}
	old := &k.found[t][at]
	w.gauges, w.touched, w.balanced = old.gauges, old.touched, old.balanced
	if w.better(old) {
		*old = w
	}
}

// shareOf is what leads and instrument leave of the output of a wiring, whose
// arms are of one resistance class or of two.
func (k *kernel) shareOf(w *wiring) float64 {
	low, high := uint8(math.MaxUint8), uint8(0)
	bitsOf(w.plus, func(i int) { low, high = min(low, k.ohm[i]), max(high, k.ohm[i]) })
	if w.full {
		return k.losses.full[low][high][w.series]
	}
	return k.losses.half[low][w.series]
}

// better compares two wirings of the same grids.
func (w *wiring) better(o *wiring) bool {
	switch {
	case w.matched != o.matched:
		return w.matched
	case !same(w.excess, o.excess):
		return w.excess < o.excess
	case !same(w.output, o.output):
		return w.output > o.output
	}
	return w.plus < o.plus
}

// same reports whether two figures count as equal.
func same(a, b float64) bool {
	return math.Abs(a-b) <= tie*math.Max(math.Abs(a), math.Abs(b)) || math.Abs(a-b) <= 1e-12
}

// drift is (max − min of V/E at no load over the range)/range, 1/K.
func (k *kernel) drift(w *wiring) float64 {
	t := &k.p.design.Temperature
	low, high := math.Inf(1), math.Inf(-1)
	for c := range temperatures {
		v := 0.0
		bitsOf(w.plus, func(i int) { v += k.ground.thermal[i*temperatures+c] })
		bitsOf(w.minus, func(i int) { v -= k.ground.thermal[i*temperatures+c] })
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return (high - low) / float64(4*w.series) / (t.High.SI - t.Low.SI)
}

// spread tells which gauges a set of grids uses, and whether these are spread
// evenly round the part, counted by grids: Σ e^{iφ} = 0.
func (g *ground) spread(mask uint64) (gauges uint64, touched int, balanced bool) {
	var y, z, n float64
	bitsOf(mask, func(i int) {
		sin, cos := math.Sincos(g.around[i])
		y, z, n = y+cos, z+sin, n+1
		if gauges>>g.place[i]&1 == 0 {
			touched++
		}
		gauges |= 1 << g.place[i]
	})
	return gauges, touched, math.Hypot(y, z) < 1e-6*n
}
