package uncertainty

import "math"

// A histogram stands for the sorted trials of one output: its memory does not grow
// with them, and counts add up to the same whatever the order. Bins are a few
// thousandths of the standard uncertainty wide, so that what is lost by them, interpolation
// inside a bin, is far below the sampling error of any number of trials that is run.
const (
	bins   = 1 << 14
	coarse = 1 << 11 // of one block, for the scatter of its ends from block to block
)

// scale is where the bins of an output lie.
type scale struct {
	low, perBin float64
	shift       float64 // near the mean, so that sums of squares lose no digits
}

// scaleOf spreads the bins over seven times the width that holds the middle 95 % of the
// values, which are sorted; what lies beyond falls into the first and last bin.
func scaleOf(sorted []float64) scale {
	n := len(sorted)
	low, high := sorted[n/40], sorted[n-1-n/40]
	if low == high {
		low, high = sorted[0], sorted[n-1]
	}
	width := high - low
	if width == 0 { // the same every time, as it seems
		width = math.Max(math.Abs(low)*1e-9, math.SmallestNonzeroFloat64*1e30)
	}
	return scale{low: low - 3*width, perBin: bins / (7 * width), shift: sorted[n/2]}
}

// bin of a value.
func (s *scale) bin(v float64) int {
	i := (v - s.low) * s.perBin
	if i < 0 {
		return 0
	}
	if i >= bins {
		return bins - 1
	}
	return int(i)
}

// counted is a histogram with its extremes.
type counted struct {
	scale
	counts   []uint32
	min, max float64
	total    uint64
}

func newCounted(s scale, n int) counted {
	return counted{scale: s, counts: make([]uint32, n), min: math.Inf(1), max: math.Inf(-1)}
}

// edge is the lower edge of bin i; the outermost bins reach as far as the values do.
func (c *counted) edge(i int) float64 {
	if i <= 0 {
		return c.min
	}
	if i >= len(c.counts) {
		return c.max
	}
	e := c.low + float64(i)*(bins/float64(len(c.counts)))/c.perBin
	return math.Min(math.Max(e, c.min), c.max)
}

// quantile is the value below which the fraction p of all lies.
func (c *counted) quantile(p float64) float64 {
	rank, below := p*float64(c.total), 0.0
	for i, n := range c.counts {
		if n == 0 {
			continue
		}
		if below+float64(n) >= rank {
			e := c.edge(i)
			return e + (rank-below)/float64(n)*(c.edge(i+1)-e)
		}
		below += float64(n)
	}
	return c.max
}

// shortest is the shortest interval that holds the fraction p (JCGM 101:2008, 5.3.4 and
// 7.7.4), its lower end at an edge of a bin.
func (c *counted) shortest(p float64) [2]float64 {
	best := [2]float64{c.quantile((1 - p) / 2), c.quantile((1 + p) / 2)}
	width := best[1] - best[0]
	need := p * float64(c.total)
	below, upTo := 0.0, 0.0 // below the lower end; in all bins before j
	j := 0
	for i := 0; i < len(c.counts); i++ {
		if i > 0 {
			below += float64(c.counts[i-1])
		}
		rank := below + need
		if rank > float64(c.total) {
			break
		}
		for j < len(c.counts) && upTo+float64(c.counts[j]) < rank {
			upTo += float64(c.counts[j])
			j++
		}
		if j == len(c.counts) {
			break
		}
		low, high := c.edge(i), c.edge(j)
		if n := float64(c.counts[j]); n > 0 {
			high += (rank - upTo) / n * (c.edge(j+1) - high)
		}
		if high-low < width {
			best, width = [2]float64{low, high}, high-low
		}
	}
	return best
}

// merge adds the counts of another worker.
func (c *counted) merge(o *counted) {
	for i, n := range o.counts {
		c.counts[i] += n
	}
	c.min, c.max = math.Min(c.min, o.min), math.Max(c.max, o.max)
	c.total += o.total
}

// clear empties the histogram.
func (c *counted) clear() {
	clear(c.counts)
	c.min, c.max, c.total = math.Inf(1), math.Inf(-1), 0
}
