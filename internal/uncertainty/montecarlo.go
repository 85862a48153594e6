package uncertainty

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// Blocks of trials: the adaptive rule compares their results, and each has a stream of
// random numbers of its own.
const (
	blockSize   = 10_000
	batchSize   = 500 // evaluated together; a divisor of blockSize
	pilotSize   = 1000
	firstBlocks = 10
	leastTrials = 1000
)

// Generator of the random numbers, as a record names it.
const Generator = "PCG-DXSM, one stream for each block of 10000 trials"

// Run says how Monte Carlo is run.
type Run struct {
	Trials   int     // limit
	All      bool    // run them all, whether or not the results are stable before
	Seed     uint64  // of the random numbers
	Workers  int     // 0: one for each processor
	Coverage float64 // probability of the intervals; 0: 0.95
	Digits   int     // significant digits of the standard uncertainty that are to be stable; 0: 2
	Covary   []int   // outputs whose covariance is wanted
}

// MonteCarlo is the propagation of distributions.
type MonteCarlo struct {
	Trials     int
	Stable     bool // every output is, by the rule of Run.Digits
	Redrawn    int  // draws that the model refused and that were drawn again
	Outputs    []Summary
	Covariance [][]float64 // of the outputs in Run.Covary
}

// Summary of one output.
type Summary struct {
	Mean      float64
	Standard  float64    // standard deviation of the trials
	Shortest  [2]float64 // shortest coverage interval
	Symmetric [2]float64 // probabilistically symmetric coverage interval
	Quantile  float64    // below which the coverage probability lies
	Tolerance float64    // δ, half of the last of the wanted digits of Standard; 0 when Standard is 0
	Stable    bool       // twice the standard deviation of mean, standard uncertainty and both ends is below δ
}

// block is what one block of trials gives, output by output.
type block struct {
	n                   int
	mean, m2, low, high []float64
	covariance          []float64
	redrawn             int
	failed              error
}

// MonteCarlo propagates the distributions of independent inputs by blocks of 10^4 trials
// until twice the standard deviation of the average over the blocks, of mean, standard
// uncertainty and both ends of the symmetric interval, is below δ for every output
// (JCGM 101:2008, 7.9), or the limit of trials is reached. The rule is looked at after
// ten blocks and then whenever they have grown by a quarter, so that the result is the
// same, bit for bit, with any number of workers.
//
// A draw that the model refuses is drawn again; more than one in a hundred is an error:
// the distributions then do not describe what exists.
func (p *Propagation) MonteCarlo(ctx context.Context, o Run) (*MonteCarlo, error) {
	if err := p.validate(); err != nil {
		return nil, err
	}
	if p.Correlation != nil {
		return nil, errors.New("correlated inputs are propagated to first order only")
	}
	if o.Trials < leastTrials {
		return nil, fmt.Errorf("%d Monte Carlo trials say nothing; run at least %d, or none", o.Trials, leastTrials)
	}
	if o.Coverage == 0 {
		o.Coverage = 0.95
	}
	if !(o.Coverage > 0 && o.Coverage < 1) {
		return nil, fmt.Errorf("a coverage probability of %g; it must lie between 0 and 1", o.Coverage)
	}
	if o.Digits == 0 {
		o.Digits = 2
	}
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	blocks := make([]block, (o.Trials+blockSize-1)/blockSize)
	for i := range blocks {
		blocks[i].n = min(blockSize, o.Trials-i*blockSize)
	}
	workers := make([]*worker, min(o.Workers, len(blocks)))
	var scales []scale
	for i := range workers {
		w, err := p.newWorker(&o)
		if err != nil {
			return nil, err
		}
		if i == 0 {
			if scales, err = w.pilot(); err != nil {
				return nil, err
			}
		}
		w.setScales(scales)
		workers[i] = w
	}
	done, stable := 0, []bool(nil)
	for done < len(blocks) {
		next := min(len(blocks), max(firstBlocks, done+done/4))
		if err := runBlocks(ctx, workers, blocks, done, next); err != nil {
			return nil, err
		}
		done = next
		stable = settled(blocks[:done], p.Outputs, o.Digits)
		if !o.All && !slices.Contains(stable, false) {
			break
		}
	}
	return p.summarise(&o, workers, blocks[:done], stable), nil
}

// runBlocks runs the blocks from..to-1, each once, on all workers.
func runBlocks(ctx context.Context, workers []*worker, blocks []block, from, to int) error {
	var next atomic.Int64
	next.Store(int64(from))
	var group sync.WaitGroup
	for _, w := range workers {
		group.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= to {
					return
				}
				if blocks[i].failed = w.run(uint64(i), &blocks[i]); blocks[i].failed != nil {
					return
				}
			}
		})
	}
	group.Wait()
	if err := ctx.Err(); err != nil {
		return err
	}
	for i := from; i < to; i++ {
		if blocks[i].failed != nil {
			return blocks[i].failed
		}
	}
	return nil
}

// settled applies the rule of stability to each output.
func settled(blocks []block, outputs, digits int) []bool {
	h := 0
	for h < len(blocks) && blocks[h].n == blockSize {
		h++
	}
	out := make([]bool, outputs)
	if h < 2 {
		return out
	}
	for k := range out {
		mean, m2, n := moments(blocks[:h], k)
		u := deviation(mean, m2, n)
		if u == 0 {
			out[k] = true
			continue
		}
		delta := Tolerance(u, digits)
		scatter := func(of func(*block) float64) float64 {
			sum := 0.0
			for i := range blocks[:h] {
				sum += of(&blocks[i])
			}
			average, squares := sum/float64(h), 0.0
			for i := range blocks[:h] {
				d := of(&blocks[i]) - average
				squares += d * d
			}
			return math.Sqrt(squares / float64(h*(h-1)))
		}
		out[k] = 2*scatter(func(b *block) float64 { return b.mean[k] }) <= delta &&
			2*scatter(func(b *block) float64 { return math.Sqrt(b.m2[k] / float64(b.n-1)) }) <= delta &&
			2*scatter(func(b *block) float64 { return b.low[k] }) <= delta &&
			2*scatter(func(b *block) float64 { return b.high[k] }) <= delta
	}
	return out
}

// moments of output k over blocks, in their order: mean, sum of squares about it, count.
func moments(blocks []block, k int) (mean, m2, n float64) {
	for i := range blocks {
		b := &blocks[i]
		nb := float64(b.n)
		d := b.mean[k] - mean
		m2 += b.m2[k] + d*d*n*nb/(n+nb)
		n += nb
		mean += d * nb / n
	}
	return mean, m2, n
}

// deviation is the standard deviation; what is only rounding, below 1e-12 of the mean, is 0.
func deviation(mean, m2, n float64) float64 {
	u := math.Sqrt(m2 / (n - 1))
	if u <= 1e-12*math.Abs(mean) {
		return 0
	}
	return u
}

// Tolerance is the numerical tolerance of a standard uncertainty u that is given to a
// number of significant digits,
//
//	δ = ½·10^l  for u = c·10^l, c an integer of that many digits
//
// (JCGM 101:2008, 7.9.2); 0 for u = 0.
func Tolerance(u float64, digits int) float64 {
	if !(u > 0) {
		return 0
	}
	l := int(math.Floor(math.Log10(u))) - (digits - 1)
	if c := math.Round(u / math.Pow10(l)); c >= math.Pow10(digits) { // 9.96 is 10
		l++
	}
	return 0.5 * math.Pow10(l)
}

func (p *Propagation) summarise(o *Run, workers []*worker, blocks []block, stable []bool) *MonteCarlo {
	out := &MonteCarlo{Stable: !slices.Contains(stable, false)}
	for i := range blocks {
		out.Trials += blocks[i].n
		out.Redrawn += blocks[i].redrawn
	}
	for k := range p.Outputs {
		all := &workers[0].all[k]
		for _, w := range workers[1:] {
			all.merge(&w.all[k])
		}
		mean, m2, n := moments(blocks, k)
		s := Summary{Mean: mean, Standard: deviation(mean, m2, n), Stable: stable[k],
			Shortest:  all.shortest(o.Coverage),
			Symmetric: [2]float64{all.quantile((1 - o.Coverage) / 2), all.quantile((1 + o.Coverage) / 2)},
			Quantile:  all.quantile(o.Coverage),
		}
		s.Tolerance = Tolerance(s.Standard, o.Digits)
		out.Outputs = append(out.Outputs, s)
	}
	out.Covariance = covariance(o.Covary, blocks)
	return out
}

// covariance of some outputs over the blocks, in their order.
func covariance(which []int, blocks []block) [][]float64 {
	var out [][]float64
	for a, k := range which {
		out = append(out, make([]float64, len(which)))
		for b, l := range which {
			var meanK, meanL, sum, n float64
			for i := range blocks {
				bl := &blocks[i]
				nb := float64(bl.n)
				dk, dl := bl.mean[k]-meanK, bl.mean[l]-meanL
				sum += bl.covariance[a*len(which)+b] + dk*dl*n*nb/(n+nb)
				n += nb
				meanK += dk * nb / n
				meanL += dl * nb / n
			}
			out[a][b] = sum / (n - 1)
		}
	}
	return out
}
