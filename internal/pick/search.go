package pick

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"
	"time"
)

// Wirings that are enumerated of one placement set at most: of one that the file
// gives, and of all that the search makes together, but for a least number each.
// The second run, for the nearest when nothing meets the requirements, keeps every
// wiring that it meets and takes fewer.
const (
	budgetGiven   = 60_000_000
	budgetShared  = 30_000_000
	budgetEach    = 20_000
	budgetNearest = 5_000_000
	budgetLoose   = 600_000 // where nothing meets the limits each wiring is kept, which takes memory

	// fewSets is the number that placement sets count as at least on a part that is
	// not round, where symmetry leaves few: longer arms than that allows come first
	// only by a tie, and take most of the time.
	fewSets = 100
)

// search is one run over all placement sets.
type search struct {
	*problem
	layouts  []layout
	results  []*wired // of each layout
	progress func(done, total int)
	series   int
	aside    bool // limits other than those of crosstalk are set aside

	standings []*proposal // of the candidates, in their order
}

// budget of wirings for one placement set.
func (s *search) budget(strict bool) int64 {
	n := int64(max(1, len(s.layouts)))
	if !s.round {
		n = max(n, fewSets)
	}
	switch {
	case !strict:
		return max(budgetEach/10, budgetLoose/n)
	case s.layouts[0].given:
		return budgetGiven
	}
	return min(budgetNearest, max(budgetEach, budgetShared/n))
}

// run wires every layout, on as many goroutines as there are processors; each
// result has its own place, so that their order of finishing does not matter.
func (s *search) run(ctx context.Context, strict bool) error {
	var (
		wg     sync.WaitGroup
		lock   sync.Mutex
		failed error
		done   int
		next   int
	)
	worker := func() {
		defer wg.Done()
		for {
			lock.Lock()
			i := next
			next++
			stop := failed != nil
			lock.Unlock()
			if i >= len(s.layouts) || stop || ctx.Err() != nil {
				return
			}
			w, err := s.wire(ctx, &s.layouts[i], strict)
			lock.Lock()
			switch {
			case err != nil && !errors.Is(err, context.Canceled) && !errors.Is(err, context.DeadlineExceeded):
				if failed == nil {
					failed = fmt.Errorf("placement set %s: %w", s.layouts[i].words(s.design), err)
				}
			case w != nil:
				if before := s.results[i]; before != nil {
					// What the first run proved stands.
					w.searched, w.left, w.bounded = max(w.searched, before.searched), before.left, before.bounded
				}
				s.results[i] = w
			}
			done++
			if s.progress != nil && len(s.layouts) > 1 {
				s.progress(done, len(s.layouts))
			}
			lock.Unlock()
		}
	}
	for range min(runtime.GOMAXPROCS(0), max(1, len(s.layouts))) {
		wg.Add(1)
		go worker()
	}
	wg.Wait()
	return failed
}

// grace is alive as long as ctx, and a second longer, so that what was found by the
// time of an interruption can still be put together.
func grace(ctx context.Context) (context.Context, context.CancelFunc) {
	last, cancel := context.WithCancel(context.WithoutCancel(ctx))
	context.AfterFunc(ctx, func() { time.AfterFunc(time.Second, cancel) })
	return last, cancel
}

// wire enumerates one placement set and packs its bridges.
func (s *search) wire(ctx context.Context, l *layout, strict bool) (*wired, error) {
	p := s.problem
	g, err := p.survey(l)
	if err != nil {
		return nil, err
	}
	k := newKernel(p, g, strict, s.series, s.budget(strict))
	if len(s.layouts) == 1 && s.progress != nil {
		// One set alone: its wirings are the measure, in parts per thousand.
		var lock sync.Mutex
		last := 0
		k.progress = func(searched int64) {
			lock.Lock()
			defer lock.Unlock()
			if now := int(searched * 1000 / max(1, k.total)); now > last {
				last = now
				s.progress(now, 1000)
			}
		}
	}
	err = k.enumerate(ctx)
	w := &wired{searched: k.searched.Load(), left: k.left, grids: g.grids, best: g.bounds(p)}
	if strict && !s.aside && g.strain > 1+1e-9 || err != nil && ctx.Err() == nil {
		return w, err
	}
	found := make([][]*wiring, g.loads)
	for t, shelf := range k.shelves {
		if shelf != nil {
			found[t] = shelf.kept()
		}
	}
	all := uint64(0)
	if !l.given {
		all = 1<<len(l.placements) - 1
	}
	pk := newPacker(p, found, all, strict)
	// What was found by the time of an interruption is packed all the same.
	last, cancel := grace(ctx)
	defer cancel()
	pk.ctx = last
	pk.pack(last)
	w.bounded = pk.bounded
	if strict && ctx.Err() == nil {
		pk.front(ctx)
	}
	w.sets, w.partFront = pk.sets, pk.bounded && !w.bounded
	if g.strain > 1+1e-9 {
		for i := range w.sets {
			w.sets[i].excess = max(w.sets[i].excess, over(g.strain, 1))
		}
	}
	return w, err
}
