package diagnosis

import (
	"math"
	"runtime"
	"slices"
	"sort"
	"sync"
	"sync/atomic"
)

// rank evaluates every cause and returns their modes with shares, likeliest first.
func (b *bench) rank(causes []*cause) ([]mode, error) {
	rough := make([]float64, len(causes))
	starts := make([][]float64, len(causes))
	variance, err := b.roughVariance()
	if err != nil {
		return nil, err
	}
	b.each(len(causes), func(w *worker, i int) {
		rough[i], starts[i] = w.screen(causes[i], variance)
	})
	limit := slices.Min(rough) + screenRange
	limit = max(limit, screenLimit)

	found := make([][]mode, len(causes))
	failed := make([]error, len(causes))
	run := func(continuous bool, floor float64) {
		b.each(len(causes), func(w *worker, i int) {
			c := causes[i]
			if (c.parameter != nil) != continuous || rough[i] > limit && c.class != asDesigned {
				return
			}
			found[i], failed[i] = w.fit(c, starts[i], floor)
		})
	}
	run(false, math.Inf(-1))
	best := math.Inf(-1)
	for i := range found {
		for _, k := range found[i] {
			best = max(best, k.logZ)
		}
	}
	run(true, best-prune)

	var modes []mode
	for i := range found {
		if failed[i] != nil && causes[i].class == asDesigned {
			return nil, failed[i]
		}
		modes = append(modes, found[i]...)
	}
	sort.SliceStable(modes, func(i, j int) bool { return modes[i].logZ > modes[j].logZ })
	total := math.Inf(-1)
	for i := range modes {
		total = logSum(total, modes[i].logZ)
	}
	for i := range modes {
		modes[i].share = math.Exp(modes[i].logZ - total)
	}
	return modes, nil
}

// each runs f for 0..n-1 on all cores, each with a worker of its own.
func (b *bench) each(n int, f func(w *worker, i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		wait.Go(func() {
			w := b.newWorker()
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				f(w, i)
			}
		})
	}
	wait.Wait()
}

// roughVariance is the variance of each used figure under the design, widened by 3 % of
// the bridge's rated output: enough for any cause of the list.
func (b *bench) roughVariance() ([]float64, error) {
	v := make([]float64, len(b.used))
	j, err := b.newWorker().jacobian(&cause{}, 0)
	if err != nil {
		return nil, err
	}
	for i, f := range b.used {
		wide := 0.03 * b.scale[b.figures[f].bridge]
		v[i] = b.noise.At(i, i) + wide*wide
		for _, d := range j {
			v[i] += d[f] * d[f]
		}
	}
	return v, nil
}

// screen is a rough chi-square of a cause, and where the search for its parameter begins.
func (w *worker) screen(c *cause, variance []float64) (float64, []float64) {
	b := w.b
	y := make([]float64, len(b.figures))
	at := func(theta float64) float64 {
		if err := w.predict(c, theta, 0, false, y); err != nil {
			return math.Inf(1)
		}
		q := 0.0
		for i, f := range b.used {
			r, own := b.data[i]-y[f], 0.05*y[f]
			q += r * r / (variance[i] + own*own)
		}
		return q
	}
	if c.parameter == nil {
		return at(0), nil
	}
	scan := c.parameter.scan
	q := make([]float64, len(scan))
	for i, t := range scan {
		q[i] = at(t)
	}
	var order []int
	home := 0
	for i := range scan {
		if math.Abs(scan[i]) < math.Abs(scan[home]) {
			home = i
		}
		if (i == 0 || q[i] < q[i-1]) && (i == len(q)-1 || q[i] <= q[i+1]) {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return q[order[i]] < q[order[j]] })
	best := slices.Min(q)
	var starts []float64
	for _, i := range order {
		if len(starts) < modesAtMost && q[i] < best+screenRange {
			starts = append(starts, scan[i])
		}
	}
	if !slices.Contains(starts, scan[home]) && q[home] < best+20 {
		starts = append(starts, scan[home])
	}
	return best, starts
}
