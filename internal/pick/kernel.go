package pick

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// kernel enumerates the wirings of one placement set: every distinct wiring of the
// shapes that it takes is evaluated, by its response to all loads, and those
// within the limits are kept for the packing, on each set of grids the best ones.
type kernel struct {
	*ground
	p       *problem
	strict  bool // keep only wirings within the limits
	limit   float64
	targets []bool    // of the loads: to be measured
	shapes  []shape   // taken
	shelves []*shelf  // of each load of the file
	total   int64     // wirings of the shapes taken
	left    []leftOut // shapes left out
	worker  []*worker

	searched atomic.Int64
	progress func(searched int64)
}

// leftOut is a shape that is not enumerated, and how many wirings it has.
type leftOut struct {
	shape
	wirings int64
}

func newKernel(p *problem, g *ground, strict bool, series int, budget int64) *kernel {
	k := &kernel{
		ground: g, p: p, strict: strict,
		limit:   p.crosstalk*(1+1e-9) + 1e-9, // rounding is no crosstalk
		targets: make([]bool, g.loads),
		shelves: make([]*shelf, g.loads),
	}
	for _, t := range p.measured {
		k.targets[t] = true
		k.shelves[t] = newShelf()
	}
	for _, s := range shapes(series) {
		if s.grids() > g.grids || !g.losses.allowed(s) {
			continue
		}
		n := s.distinct(g.grids, math.MaxInt64/4)
		if k.total+n > budget {
			k.left = append(k.left, leftOut{s, n})
			continue
		}
		k.total += n
		k.shapes = append(k.shapes, s)
	}
	return k
}

// pass is one run through two lists. Shapes of equal arms that take the same two
// sets of grids, a full bridge and the half bridge of arms twice as long, share
// one.
type pass struct {
	x, y     *sides // y is nil for half bridges of unequal arms
	triangle bool   // x and y are one list
	shapes   []shape
}

// passes of the shapes taken. The lists are made as they are needed.
func (k *kernel) passes() []func() *pass {
	var out []func() *pass
	sets := map[int][]shape{}
	for _, s := range k.shapes {
		size := s.first.up
		if s.full() {
			size *= 2
		}
		switch {
		case s.merged():
			if len(sets[size]) == 0 {
				out = append(out, func() *pass {
					x := k.sets(size)
					return &pass{x: x, y: x, triangle: true, shapes: sets[size]}
				})
			}
			sets[size] = append(sets[size], s)
		case !s.full():
			out = append(out, func() *pass { return &pass{x: k.dividers(s.first, true), shapes: []shape{s}} })
		case s.reversed() && s.first == s.second:
			out = append(out, func() *pass {
				x := k.dividers(s.first, true)
				return &pass{x: x, y: x, triangle: true, shapes: []shape{s}}
			})
		default:
			// One way round of one of two dividers of equal arms fixes the sign.
			out = append(out, func() *pass {
				return &pass{x: k.dividers(s.first, true), y: k.dividers(s.second, s.reversed()), shapes: []shape{s}}
			})
		}
	}
	return out
}

// worker is what one goroutine of an enumeration has for itself.
type worker struct {
	*kernel
	shelves  []*shelf
	weights  []float64
	searched int64
	ordered  []float64
}

// grain is how many pairs a goroutine takes at a time.
const grain = 1 << 18

// enumerate runs through every wiring.
func (k *kernel) enumerate(ctx context.Context) error {
	if k.strict || k.p.design.Require.Crosstalk95.Set {
		if err := k.tolerate(k.p.shared); err != nil {
			return err
		}
	}
	n := 1
	if k.total > 2*grain {
		n = runtime.GOMAXPROCS(0)
	}
	for range n {
		w := &worker{kernel: k, shelves: make([]*shelf, k.loads), weights: make([]float64, k.grids), ordered: make([]float64, k.grids)}
		for t := range k.targets {
			if k.targets[t] {
				w.shelves[t] = newShelf()
			}
		}
		k.worker = append(k.worker, w)
	}
	for _, make := range k.passes() {
		if ctx.Err() != nil {
			break
		}
		p := make()
		rows := max(1, grain/max(1, p.columns()))
		var next atomic.Int64
		var wg sync.WaitGroup
		run := func(w *worker) {
			defer wg.Done()
			for ctx.Err() == nil {
				to := int(next.Add(int64(rows)))
				from := to - rows
				if from >= p.x.len() {
					return
				}
				w.run(p, from, min(to, p.x.len()))
			}
		}
		for _, w := range k.worker {
			wg.Add(1)
			go run(w)
		}
		wg.Wait()
	}
	for _, w := range k.worker {
		for t, s := range w.shelves {
			if s != nil {
				k.shelves[t].take(s, k.strict)
			}
		}
	}
	k.worker = nil
	return ctx.Err()
}

func (p *pass) columns() int {
	if p.y == nil {
		return 1
	}
	return p.y.len()
}

// run takes the entries from to to of the first list.
func (w *worker) run(p *pass, from, to int) {
	before := w.searched
	switch {
	case p.y == nil:
		w.single(p, from, to)
	case p.x.stride == 4:
		w.pairs4(p, from, to)
	default:
		w.pairs8(p, from, to)
	}
	w.kernel.searched.Add(w.searched - before)
	if w.progress != nil {
		w.progress(w.kernel.searched.Load())
	}
}

// single takes half bridges of unequal arms: their dividers alone.
func (w *worker) single(p *pass, from, to int) {
	var d [8]float64
	for i := from; i < to; i++ {
		w.searched++
		copy(d[:], p.x.vector[i*p.x.stride:(i+1)*p.x.stride])
		w.weigh(p, i, -1, &d)
	}
}

// noise is what is left of responses that cancel, V/V.
const noise = blindOutput * 1e-5

// quick is the factor c with which c·Σ|d| ≤ |d_t| for every response d that is
// within the limit for load t: the others add up to (loads − 1)·limit of it at
// most. It is a little less, so that a response of rounding alone, below noise, can
// be left aside by the same comparison and none above blindOutput is.
func (k *kernel) quick() float64 {
	if !k.strict {
		return 0
	}
	return (1 - 1e-5) / (1 + float64(k.loads-1)*k.limit)
}

// pairs4 runs through the pairs that share no grid, with up to four loads. All
// pairs are evaluated alike and counted by arithmetic: whether two share a grid is
// as good as random, and a branch on it costs more than the evaluation.
func (w *worker) pairs4(p *pass, from, to int) {
	c := w.quick()
	kinds := int64(len(p.shapes))
	ym, yv := p.y.mask, p.y.vector
	for i := from; i < to; i++ {
		m := p.x.mask[i]
		a := p.x.vector[4*i : 4*i+4]
		a0, a1, a2, a3 := a[0], a[1], a[2], a[3]
		j := 0
		if p.triangle {
			j = i + 1
		}
		free := int64(0)
		for ; j < len(ym); j++ {
			b := yv[4*j : 4*j+4 : 4*j+4]
			d0, d1, d2, d3 := a0-b[0], a1-b[1], a2-b[2], a3-b[3]
			e0, e1, e2, e3 := math.Abs(d0), math.Abs(d1), math.Abs(d2), math.Abs(d3)
			s := c*((e0+e1)+(e2+e3)) + noise
			apart := m&ym[j] == 0
			if apart {
				free++
			}
			if e0 >= s || e1 >= s || e2 >= s || e3 >= s {
				if apart {
					w.weigh(p, i, j, &[8]float64{d0, d1, d2, d3})
				}
			}
		}
		w.searched += free * kinds
	}
}

// pairs8 is pairs4 for more loads.
func (w *worker) pairs8(p *pass, from, to int) {
	c := w.quick()
	kinds := int64(len(p.shapes))
	ym, yv := p.y.mask, p.y.vector
	var d [8]float64
	for i := from; i < to; i++ {
		m := p.x.mask[i]
		a := p.x.vector[8*i : 8*i+8]
		j := 0
		if p.triangle {
			j = i + 1
		}
		for ; j < len(ym); j++ {
			if m&ym[j] != 0 {
				continue
			}
			w.searched += kinds
			b := yv[8*j : 8*j+8 : 8*j+8]
			sum, most := 0.0, 0.0
			for n := range 8 {
				d[n] = a[n] - b[n]
				x := math.Abs(d[n])
				sum += x
				if x > most {
					most = x
				}
			}
			if most >= c*sum+noise {
				w.weigh(p, i, j, &d)
			}
		}
	}
}

// weigh looks at a response closely: for which load it is within the limits.
func (w *worker) weigh(p *pass, i, j int, d *[8]float64) {
	// The load with the greatest response, and the greatest of the others.
	first, second, at := 0.0, 0.0, 0
	for c := range w.loads {
		switch x := math.Abs(d[c]); {
		case x > first:
			first, second, at = x, first, c
		case x > second:
			second = x
		}
	}
	for t := range w.loads {
		if !w.targets[t] {
			continue
		}
		other := first
		if t == at {
			other = second
		}
		if x := math.Abs(d[t]); x > 0 && (!w.strict || other <= w.limit*x) {
			w.accept(p, i, j, t, d[t], other)
		}
	}
}
