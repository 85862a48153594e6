// Package pick chooses where gauges go on a round part and how their grids are
// wired, so that every load to be measured has a bridge of its own that is blind
// to the other loads of the file.
//
// A search runs in four steps, each in files of its own: families of placements
// (family.go, fit.go); every wiring of the grids of one placement set into one
// bridge (kernel.go, subsets.go); sets of bridges that share no grid (pack.go);
// and the ranking of what came out by exact prediction (rank.go, judge.go), with
// words for it (explain.go, cancel.go).
//
// It does not mix gauge types, stagger rings, or place gauges at free angles; it
// does not weigh placement tolerance, uncertainty or price. Wirings are compared
// by their response to small loads, grids at their nominal resistance (measured ones
// enter the exact prediction); nonlinearity and span drift are judged on the
// best wiring of each kind only. Quarter bridges are not proposed: their thermal
// output has nothing to cancel against.
package pick

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"

	"gridwright/internal/design"
	"gridwright/internal/predict"
)

// Options of a search.
type Options struct {
	Most     int                   // candidates kept, 10 when 0
	All      bool                  // keep every start angle and kind of wiring, without limit
	Progress func(done, total int) // called as placement sets are finished, never by two goroutines at once; a second pass, for the nearest, starts again
}

// Candidate is one arrangement.
type Candidate struct {
	Rank    int
	Design  *design.Design  // the input with Placements and Bridges set
	Result  *predict.Result // its prediction
	Metrics Metrics
	Why     string // of the first, why it wins and what cancels what; of others, what cost them the place
}

// Metrics are the figures that candidates are ranked by.
type Metrics struct {
	Gauges      int // bonded
	Grids       int // in bridges
	Full        int // full bridges
	Half        int // half bridges
	HalfSpare   int // half bridges where the same gauges allow a full one
	Opposite    bool
	Thermal     bool    // thermal output cancels between adjacent arms of every bridge
	Output      float64 // least |rated output| of the bridges, V/V
	OutputOf    string  // the bridge that has it
	Crosstalk   predict.Figure
	CrosstalkOf string // bridge and load of the worst crosstalk
	ZeroDrift   predict.Figure
	Joints      int // soldered ends: two for each grid and each fixed resistor
	Jumpers     int // connections between grids of different gauges
	Missed      []string
	Unjudged    []string // requirements of the file that are not judged here
	Excess      float64  // the worst figure over its limit, less 1; 0 when all limits are kept
	NoBridge    int      // loads to be measured that no bridge measures
}

// Met reports whether the candidate meets every requirement that was judged.
func (m *Metrics) Met() bool { return len(m.Missed) == 0 }

// Outcome is what a search found.
type Outcome struct {
	Candidates []Candidate // best first
	Searched   int64       // distinct wirings evaluated
	Proof      string      // exhaustive, bounded or interrupted
	Space      string      // what was searched, in a sentence
	Rule       string      // the ranking rule, in a sentence
	Met        bool        // the first candidate meets the requirements
	Nearest    string      // when none does: what the nearest misses, or why there is none
}

// The words of Outcome.Proof.
const (
	Exhaustive  = "exhaustive"
	Bounded     = "bounded"
	Interrupted = "interrupted"
)

// Search finds the arrangements for a design. Placements of the design are kept
// as they are and only wired; bridges of the design are set aside. When ctx ends,
// what was found so far is returned with the proof "interrupted", or the
// context's error when there is nothing yet.
func Search(ctx context.Context, d *design.Design, opt Options) (*Outcome, error) {
	if opt.Most <= 0 {
		opt.Most = 10
	}
	p, err := newProblem(d)
	if err != nil {
		return nil, err
	}
	layouts, err := p.layouts()
	if err != nil {
		return nil, err
	}
	s := &search{problem: p, layouts: layouts, results: make([]*wired, len(layouts)), progress: opt.Progress, bounded: p.left != ""}
	if err := s.run(ctx, true); err != nil {
		return nil, err
	}
	ranked := rank(p, s.proposals())
	if len(ranked) == 0 && ctx.Err() == nil {
		if err := s.run(ctx, false); err != nil {
			return nil, err
		}
		ranked = rank(p, s.proposals())
	}
	candidates, bounded, err := s.predict(ctx, ranked, opt)
	if err != nil {
		return nil, err
	}
	out := &Outcome{Candidates: candidates, Rule: p.rule(), Space: s.space()}
	for _, w := range s.results {
		if w != nil {
			out.Searched += w.searched
			bounded = bounded || w.bounded
		}
	}
	switch {
	case ctx.Err() != nil:
		out.Proof = Interrupted
		if len(candidates) == 0 {
			return out, ctx.Err()
		}
	case bounded || s.bounded:
		out.Proof = Bounded
	default:
		out.Proof = Exhaustive
	}
	s.explain(out)
	if len(candidates) == 0 {
		out.Nearest = s.nothing()
	}
	return out, nil
}

// search is one run over all placement sets.
type search struct {
	*problem
	layouts  []layout
	results  []*wired // of each layout
	progress func(done, total int)
	bounded  bool

	standings []*proposal // of the candidates, in their order
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
					w.searched, w.bounded = max(w.searched, before.searched), w.bounded || before.bounded
				}
				s.results[i] = w
			}
			done++
			if s.progress != nil {
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
