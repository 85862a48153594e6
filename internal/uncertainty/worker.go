package uncertainty

import (
	"fmt"
	"math"
	"slices"
)

// worker runs blocks of trials, one after the other.
type worker struct {
	p      *Propagation
	o      *Run
	model  func(x, y []float64) error
	drawn  []drawn
	x, y   []float64
	batch  [][]float64 // outputs × batchSize
	all    []counted   // of every block that this worker ran
	one    []counted   // of the block at hand
	sum    []float64
	square []float64
	cross  []float64
}

// drawn is an input that is not exact.
type drawn struct {
	index int
	Quantity
}

func (p *Propagation) newWorker(o *Run) (*worker, error) {
	model, err := p.New()
	if err != nil {
		return nil, err
	}
	w := &worker{p: p, o: o, model: model, x: p.estimates(), y: make([]float64, p.Outputs),
		sum: make([]float64, p.Outputs), square: make([]float64, p.Outputs), cross: make([]float64, len(o.Covary)*len(o.Covary))}
	for i, q := range p.Inputs {
		if q.Width > 0 {
			w.drawn = append(w.drawn, drawn{i, q})
		}
	}
	for range p.Outputs {
		w.batch = append(w.batch, make([]float64, batchSize))
	}
	return w, nil
}

func (w *worker) setScales(scales []scale) {
	for _, s := range scales {
		w.all = append(w.all, newCounted(s, bins))
		w.one = append(w.one, newCounted(s, coarse))
	}
}

// fill draws n trials into the batch and returns how many draws the model refused.
func (w *worker) fill(s source, n int) (redrawn int, err error) {
	for t := 0; t < n; {
		for i := range w.drawn {
			d := &w.drawn[i]
			if d.Form == Rectangular {
				w.x[d.index] = d.Estimate + d.Width*(2*s.unit()-1)
				continue
			}
			w.x[d.index] = d.draw(s)
		}
		if e := w.model(w.x, w.y); e != nil {
			redrawn++
			if redrawn > max(n/20, 10) {
				return redrawn, fmt.Errorf("the tolerances admit values that make no sense: %w", e)
			}
			continue
		}
		for k, v := range w.y {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return redrawn, fmt.Errorf("output %d of the model has no finite value for a draw", k)
			}
			if w.p.magnitude(k) {
				v = math.Abs(v)
			}
			w.batch[k][t] = v
		}
		t++
	}
	return redrawn, nil
}

// pilot finds where the bins of each output lie from the first trials of block 0.
func (w *worker) pilot() ([]scale, error) {
	s := newSource(w.o.Seed, 0)
	values := make([][]float64, w.p.Outputs)
	for range pilotSize / batchSize {
		if _, err := w.fill(s, batchSize); err != nil {
			return nil, err
		}
		for k := range values {
			values[k] = append(values[k], w.batch[k]...)
		}
	}
	scales := make([]scale, len(values))
	for k, v := range values {
		slices.Sort(v)
		scales[k] = scaleOf(v)
	}
	return scales, nil
}

// run fills in block number i.
func (w *worker) run(i uint64, b *block) error {
	s := newSource(w.o.Seed, i)
	outs := w.p.Outputs
	for k := range outs {
		w.sum[k], w.square[k] = 0, 0
		w.one[k].clear()
	}
	clear(w.cross)
	for t := 0; t < b.n; t += batchSize {
		n := min(batchSize, b.n-t)
		redrawn, err := w.fill(s, n)
		if err != nil {
			return err
		}
		b.redrawn += redrawn
		for k := range outs {
			w.count(k, w.batch[k][:n])
		}
		w.multiply(n)
	}
	if b.redrawn > max(b.n/100, 10) {
		return fmt.Errorf("%d of %d draws make no sense; the tolerances do not describe what exists", b.redrawn, b.n+b.redrawn)
	}
	n := float64(b.n)
	p := w.o.Coverage
	results := make([]float64, 4*outs)
	b.mean, b.m2, b.low, b.high = results[:outs], results[outs:2*outs], results[2*outs:3*outs], results[3*outs:]
	for k := range outs {
		d := w.sum[k] / n
		b.mean[k] = w.all[k].shift + d
		b.m2[k] = math.Max(0, w.square[k]-n*d*d)
		b.low[k], b.high[k] = w.one[k].quantile((1-p)/2), w.one[k].quantile((1+p)/2)
	}
	b.covariance = make([]float64, len(w.cross))
	m := len(w.o.Covary)
	for a, k := range w.o.Covary {
		for c, l := range w.o.Covary {
			b.covariance[a*m+c] = w.cross[a*m+c] - w.sum[k]*w.sum[l]/n
		}
	}
	return nil
}

// count adds values of output k to its sums and histograms.
func (w *worker) count(k int, values []float64) {
	all, one := &w.all[k], &w.one[k]
	sum, square, low, high := 0.0, 0.0, one.min, one.max
	for _, v := range values {
		d := v - all.shift
		sum += d
		square += d * d
		low, high = min(low, v), max(high, v)
		i := all.bin(v)
		all.counts[i]++
		one.counts[i/(bins/coarse)]++
	}
	w.sum[k] += sum
	w.square[k] += square
	one.min, one.max = low, high
	one.total += uint64(len(values))
	all.min, all.max = min(all.min, low), max(all.max, high)
	all.total += uint64(len(values))
}

// multiply adds the products of the outputs whose covariance is wanted.
func (w *worker) multiply(n int) {
	m := len(w.o.Covary)
	for a, k := range w.o.Covary {
		for c, l := range w.o.Covary[:a+1] {
			sum := 0.0
			for t := range n {
				sum += (w.batch[k][t] - w.all[k].shift) * (w.batch[l][t] - w.all[l].shift)
			}
			w.cross[a*m+c] += sum
			if a != c {
				w.cross[c*m+a] = w.cross[a*m+c]
			}
		}
	}
}
