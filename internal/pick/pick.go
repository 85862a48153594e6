// Package pick chooses where gauges go on a part and how their grids are
// wired, so that every load to be measured has a bridge of its own that is blind
// to the other loads of the file.
//
// A search runs in steps, each in files of its own: families of placements
// (family.go, mixture.go, fit.go), on parts that are not round by faces and the
// symmetries of the section (faces.go, spot.go, mirror.go); every distinct wiring of the grids of one
// placement set into one bridge (shapes.go, sides.go, kernel.go, wiring.go,
// shelf.go); sets of bridges that share no grid, the best by the rule and those of
// the Pareto front (choose.go, pack.go, front.go); the ranking of what came out by
// exact prediction (rank.go, judge.go); what was proved (proof.go); with words for
// it (words.go, explain.go, cancel.go).
//
// It does not mix more than two gauge types, nor weigh uncertainty or price.
// Wirings are compared by their response to small loads, grids at their nominal
// resistance (measured ones enter the exact prediction); nonlinearity and span
// drift are judged on the best wirings only. Quarter bridges are not proposed:
// their thermal output has nothing to cancel against.
package pick

import (
	"context"

	"gridwright/internal/design"
	"gridwright/internal/predict"
)

// Options of a search.
type Options struct {
	Most     int                   // candidates kept, 10 when 0
	All      bool                  // keep every start angle and kind of wiring, without limit
	Series   int                   // grids in series in an arm at most; 0: up to 4, the longest left out where there are too many wirings
	Change   bool                  // when nothing meets the requirements, look for the smallest change with which something does
	Progress func(done, total int) // called as placement sets are finished, of a single one as its wirings are, in thousandths, never by two goroutines at once; a second pass, for the nearest, starts again
}

// Candidate is one arrangement.
type Candidate struct {
	Rank    int
	Design  *design.Design  // the input with Placements and Bridges set
	Result  *predict.Result // its prediction
	Metrics Metrics
	Robust  []PlacementError // what each single placement error does, the worst within its tolerance first
	Pareto  bool             // no other beats it in gauges, crosstalk-95, least output and zero from gradients together
	Why     string           // of the first, why it wins and what cancels what; of others, what cost them the place
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

	Crosstalk95   predict.Figure // the worst of all bridges under the tolerances, 95 %, first order, ratio of rated output
	Crosstalk95Of string
	GradientZero  predict.Figure // the worst zero from the stated temperature gradient, or from 1 K across and 1 K/m along, ratio of rated output
	GradientOf    string
	Leads         int // wires from the part
	Shares        int // ways to share the grids of a bridge between its arms, of which the wiring is the best

	Joints   int // soldered ends: two for each grid and each fixed resistor
	Jumpers  int // connections between grids of different gauges
	Missed   []string
	Unjudged []string // requirements of the file that are not judged here
	Excess   float64  // the worst figure over its limit, less 1; 0 when all limits are kept
	NoBridge int      // loads to be measured that no bridge measures
}

// Met reports whether the candidate meets every requirement that was judged.
func (m *Metrics) Met() bool { return len(m.Missed) == 0 }

// Outcome is what a search found.
type Outcome struct {
	Candidates []Candidate // best first
	Searched   int64       // distinct wirings evaluated
	Excluded   int64       // distinct wirings that a bound shows not to come first, not evaluated
	Proof      string      // exhaustive, bounded or interrupted
	Proved     string      // what that means, in a sentence
	Gap        *Gap        // when bounded: what the part left out could give at most
	Symmetry   string      // what counts as one wiring
	Space      string      // what was searched, in a sentence
	Rule       string      // the ranking rule, in a sentence
	Met        bool        // the first candidate meets the requirements
	Nearest    string      // when none does: what the nearest misses, or why there is none
	Change     string      // and, when asked for, the smallest change with which one does
	Changes    []Change    // all that were found, the smallest first
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
	s := &search{problem: p, layouts: layouts, results: make([]*wired, len(layouts)), progress: opt.Progress, series: maxSeries}
	if !p.round {
		p.shared = &shared{problem: p, layouts: layouts}
	}
	if opt.Series > 0 {
		s.series = min(opt.Series, maxSeries)
	}
	if err := s.run(ctx, true); err != nil {
		return nil, err
	}
	ranked := rank(p, s.proposals())
	if len(ranked) == 0 && ctx.Err() == nil {
		// The nearest is first looked for among those that are blind to the other
		// loads, whatever else they miss.
		p.limits, s.aside = design.Require{}, true
		if err := s.run(ctx, true); err != nil {
			return nil, err
		}
		p.limits, s.aside = d.Require, false
		ranked = rank(p, s.proposals())
	}
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
	out := &Outcome{Candidates: candidates, Rule: p.rule(), Space: s.space(), Symmetry: s.symmetryWords()}
	s.prove(ctx, out, bounded)
	if ctx.Err() != nil && len(candidates) == 0 {
		return out, ctx.Err()
	}
	s.explain(out)
	if len(candidates) == 0 {
		out.Nearest = s.nothing()
	}
	for i := range candidates {
		if candidates[i].Robust, err = robustness(&candidates[i]); err != nil {
			return nil, err
		}
	}
	if opt.Change && !out.Met && ctx.Err() == nil {
		out.Change, out.Changes = smallestChange(ctx, d, out)
	}
	return out, nil
}
