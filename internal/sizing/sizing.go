// Package sizing finds the values of one or two quantities of a design for which it
// meets its requirements: all of them, not the nearest, for a response may rise and
// fall. It evaluates a grid, refines around every summit and trough of the worst
// requirement, and closes in on each border between a point that meets everything and
// one that does not.
//
// What is narrower than a step of the grid and shows no summit there is not found, and
// it does not change the arrangement: package pick does that.
package sizing

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"gridwright/internal/uncertainty"
	"gridwright/internal/variant"
)

// Problem is what is to be sized.
type Problem struct {
	Base         *variant.Base
	Axes         []*variant.Axis // one or two, ranges
	Steps        []float64       // of each axis in its unit: choices are multiples of it
	Requirements []Requirement
	Trials       int // of Monte Carlo, where a requirement hangs on the tolerances
	Seed         uint64
	Workers      int
	Progress     func(done, total int) // of the grid; nil: none
}

// Point is one value of each axis with what it comes to.
type Point struct {
	X       []float64 // in the unit of each axis
	Err     error     // why it is no design
	Values  []float64 // of each requirement's figure, SI; NaN where missing
	Missing []string  // why it is missing
	Factors []float64 // by which each requirement is met; below 1 it is not
	Least   float64   // of all factors; −Inf when it is no design
	Active  int       // the requirement that has it; −1 when it is no design

	score float64
}

// Meets reports whether the point meets every requirement.
func (p *Point) Meets() bool { return p.Least >= 1 }

// Outcome of a problem.
type Outcome struct {
	Curve     []Point    // of one axis, ascending; of two, the grid, the second axis fastest
	Intervals []Interval // of the first axis: where everything is met
	Bands     []Band     // of two axes: intervals of the first for some values of the second
	Alone     []Alone    // of each requirement by itself, one axis
	Idle      []bool     // requirements that the axes do not move
	Best      *Point     // meets everything with the greatest smallest factor; nil: nothing does
	Chosen    *Point     // the best multiple of the steps that meets everything; nil: none does
	Nearest   *Point     // when nothing meets everything: the greatest smallest factor
	Evaluated int        // points
}

// Interval is a range of the first axis whose every computed point meets what is asked.
type Interval struct{ Low, High End }

// End of an interval: the last point inside, and what ends it.
type End struct {
	X     float64
	Range bool  // the end of the range looked at
	By    int   // the requirement that fails beyond; −1: beyond there is no design, or Range
	Err   error // why there is none
}

// Band is the intervals at one value of the second axis.
type Band struct {
	Y         float64
	Intervals []Interval
}

// Alone is where one requirement holds, whatever the others do.
type Alone struct {
	Intervals []Interval
	Best      Point // with the greatest factor
}

const (
	steps1 = 128 // of the grid of one axis
	steps2 = 32  // of each of two
)

// solver works out a problem.
type solver struct {
	*Problem
	ctx   context.Context
	maker *variant.Maker
	o     *uncertainty.Options
	count int
	idle  []bool
}

// Solve works out a problem.
func Solve(ctx context.Context, p *Problem) (*Outcome, error) {
	if len(p.Axes) < 1 || len(p.Axes) > 2 || len(p.Steps) != len(p.Axes) {
		return nil, errors.New("one or two values can be sized, each with a step")
	}
	if len(p.Requirements) == 0 {
		return nil, errors.New("nothing is required, so there is nothing to reach; ask for something, or write `require` into the file")
	}
	s := &solver{Problem: p, ctx: ctx, maker: p.Base.Maker(p.Axes)}
	var figures []variant.Figure
	for _, r := range p.Requirements {
		figures = append(figures, r.Figure)
	}
	if propagates, trials := variant.Propagation(figures); propagates {
		if trials && p.Trials == 0 {
			return nil, errors.New("crosstalk under tolerances needs Monte Carlo; ask for trials")
		}
		s.o = &uncertainty.Options{Trials: p.Trials, Seed: p.Seed, Workers: 1}
	}
	out := &Outcome{}
	var err error
	if len(p.Axes) == 1 {
		err = s.line(out)
	} else {
		err = s.plane(out)
	}
	out.Evaluated, out.Idle = s.count, s.idle
	return out, err
}

// at evaluates one point.
func (s *solver) at(x ...float64) Point {
	p := Point{X: x, Least: math.Inf(-1), Active: -1, score: math.Inf(-1)}
	set := make([]variant.Setting, len(x))
	for i := range x {
		set[i] = s.Axes[i].Put(x[i])
	}
	d, err := s.maker.Make(set...)
	if err != nil {
		p.Err = variant.Plain(err)
		return p
	}
	v, err := s.Base.Predict(s.ctx, d, s.o, set...)
	if err != nil {
		p.Err = variant.Plain(err)
		return p
	}
	p.Least = math.Inf(1)
	for i := range s.Requirements {
		r := &s.Requirements[i]
		f := r.Figure.Of(v)
		value, factor := f.Value, 0.0
		if f.OK() {
			factor = r.factor(value)
		} else {
			value = math.NaN()
		}
		p.Values, p.Missing, p.Factors = append(p.Values, value), append(p.Missing, f.Missing), append(p.Factors, factor)
		if factor < p.Least {
			p.Least, p.Active = factor, i
		}
	}
	s.rate(&p)
	return p
}

// one evaluates and counts.
func (s *solver) one(x ...float64) Point {
	s.count++
	return s.at(x...)
}

// rate scores a point: what it lacks, below 0, or the smallest factor of those
// requirements that the axes move.
func (s *solver) rate(p *Point) {
	p.score = p.Least - 1
	if p.Err != nil || p.Least < 1 || s.idle == nil {
		return
	}
	least := math.Inf(1)
	for i, f := range p.Factors {
		if !s.idle[i] {
			least = math.Min(least, f)
		}
	}
	p.score = least - 1
}

// many evaluates points on all processors.
func (s *solver) many(at [][]float64, progress bool) ([]Point, error) {
	out := make([]Point, 0, len(at))
	s.count += len(at)
	err := variant.Run(s.ctx, len(at), s.Workers, func(i int) Point { return s.at(at[i]...) }, func(i int, p Point) error {
		out = append(out, p)
		if progress && s.Progress != nil {
			s.Progress(i+1, len(at))
		}
		return nil
	})
	return out, err
}

// survey finds out which requirements the axes move, and refuses a problem that has no
// design in it, a requirement that cannot be judged, or none that moves.
func (s *solver) survey(points []Point) error {
	s.idle = make([]bool, len(s.Requirements))
	var failed error
	designs, moved := 0, false
	for _, p := range points {
		if p.Err != nil {
			failed = p.Err
			continue
		}
		designs++
	}
	if designs == 0 {
		return fmt.Errorf("no value of the range makes a design: %w", failed)
	}
	for i := range s.Requirements {
		low, high, judged, why := math.Inf(1), math.Inf(-1), 0, ""
		for k := range points {
			p := &points[k]
			switch {
			case p.Err != nil:
			case p.Missing[i] != "":
				why = p.Missing[i]
			default:
				v := math.Abs(p.Values[i])
				low, high = math.Min(low, v), math.Max(high, v)
				judged++
			}
		}
		r := &s.Requirements[i]
		if judged == 0 {
			return fmt.Errorf("%s of %s cannot be judged: %s; add what is missing, or leave the requirement out", r.From, r.Figure.Key, why)
		}
		// what moves by a millionth, or is a millionth of its limit, is rounding
		s.idle[i] = judged == designs && (high-low <= 1e-6*high || !r.AtLeast && high <= 1e-6*r.Limit)
		moved = moved || !s.idle[i]
	}
	if !moved {
		return fmt.Errorf("no requirement depends on %s; vary another value", s.Axes[0].Value.Path)
	}
	for i := range points {
		s.rate(&points[i])
	}
	return nil
}

// line solves a problem of one axis.
func (s *solver) line(out *Outcome) error {
	a := s.Axes[0]
	grid := *a
	grid.Count = steps1 + 1
	var at [][]float64
	for i := range grid.Count {
		at = append(at, []float64{grid.At(i)})
	}
	points, err := s.many(at, true)
	if err != nil {
		return err
	}
	if err := s.survey(points); err != nil {
		return err
	}
	out.Curve = slices.Clone(points)
	points = s.refined(points, func(p *Point) float64 { return p.Least })
	out.Intervals = s.intervals(points, func(p *Point) float64 { return p.Least }, s.one)
	best := s.summit(points, func(p *Point) float64 { return p.score })
	if best.Meets() {
		out.Best = &best
		out.Chosen, err = s.round(best, out.Intervals)
		if err != nil {
			return err
		}
	} else {
		out.Nearest = &best
	}
	for i := range s.Requirements {
		own := func(p *Point) float64 {
			if p.Err != nil {
				return math.Inf(-1)
			}
			return p.Factors[i]
		}
		alone := Alone{Best: slices.MaxFunc(points, func(p, q Point) int { return cmp.Compare(own(&p), own(&q)) })}
		if out.Best == nil {
			alone.Intervals = s.intervals(points, own, s.one)
		}
		out.Alone = append(out.Alone, alone)
	}
	return s.ctx.Err()
}

// refined adds what lies at the summits that just miss 1 and at the troughs that are
// just above it.
func (s *solver) refined(points []Point, of func(*Point) float64) []Point {
	out := slices.Clone(points)
	for i := range points {
		v := of(&points[i])
		if math.IsInf(v, -1) {
			continue
		}
		lo, hi := max(i-1, 0), min(i+1, len(points)-1)
		left, right := of(&points[lo]), of(&points[hi])
		switch {
		case v < 1 && v >= left && v >= right:
			out = append(out, s.golden(points[i], points[lo].X[0], points[hi].X[0], of))
		case v >= 1 && v <= left && v <= right:
			out = append(out, s.golden(points[i], points[lo].X[0], points[hi].X[0], func(p *Point) float64 { return -of(p) }))
		}
	}
	slices.SortStableFunc(out, func(p, q Point) int { return cmp.Compare(p.X[0], q.X[0]) })
	return out
}

// golden is the best point between lo and hi by golden section, from not worse.
func (s *solver) golden(from Point, lo, hi float64, of func(*Point) float64) Point {
	const g = 0.6180339887498949
	best := from
	try := func(x float64) float64 {
		p := s.one(x)
		if of(&p) > of(&best) {
			best = p
		}
		return of(&p)
	}
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := try(a), try(b)
	for range 40 {
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = try(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = try(b)
		}
		if s.ctx.Err() != nil || hi-lo <= 1e-8*math.Max(math.Abs(lo), math.Abs(hi)) {
			break
		}
	}
	return best
}

// summit is the highest point: the best of the samples and of what golden section finds
// about the highest few summits among them.
func (s *solver) summit(points []Point, of func(*Point) float64) Point {
	var tops []int
	for i := range points {
		v := of(&points[i])
		if v >= of(&points[max(i-1, 0)]) && v >= of(&points[min(i+1, len(points)-1)]) && !math.IsInf(v, -1) {
			tops = append(tops, i)
		}
	}
	slices.SortStableFunc(tops, func(i, j int) int { return cmp.Compare(of(&points[j]), of(&points[i])) })
	best := points[tops[0]]
	for _, i := range tops[:min(len(tops), 4)] {
		p := s.golden(points[i], points[max(i-1, 0)].X[0], points[min(i+1, len(points)-1)].X[0], of)
		if of(&p) > of(&best) {
			best = p
		}
	}
	return best
}

// intervals closes in on every border between a point where of is 1 or more and one
// where it is less. The ends are points that were found inside.
func (s *solver) intervals(points []Point, of func(*Point) float64, one func(...float64) Point) []Interval {
	inside := func(p *Point) bool { return of(p) >= 1 }
	var out []Interval
	for i := range points {
		p := &points[i]
		if !inside(p) {
			continue
		}
		if i == 0 || !inside(&points[i-1]) {
			low := End{X: p.X[0], Range: true, By: -1}
			if i > 0 {
				low = s.border(*p, points[i-1], inside, one)
			}
			out = append(out, Interval{Low: low})
		}
		if i == len(points)-1 {
			out[len(out)-1].High = End{X: p.X[0], Range: true, By: -1}
		} else if !inside(&points[i+1]) {
			out[len(out)-1].High = s.border(*p, points[i+1], inside, one)
		}
	}
	return out
}

// border bisects between a point inside and one outside.
func (s *solver) border(in, off Point, inside func(*Point) bool, one func(...float64) Point) End {
	for range 60 {
		mid := in.X[0] + (off.X[0]-in.X[0])/2
		if s.ctx.Err() != nil || mid == in.X[0] || mid == off.X[0] || math.Abs(in.X[0]-off.X[0]) <= 1e-9*math.Abs(mid) {
			break
		}
		if p := one(mid); inside(&p) {
			in = p
		} else {
			off = p
		}
	}
	return End{X: in.X[0], By: off.Active, Err: off.Err}
}

// mostRound bounds the multiples of a step that are tried.
const mostRound = 400

// round is the multiple of the step that meets everything best; nil when none does.
func (s *solver) round(best Point, in []Interval) (*Point, error) {
	step := s.Steps[0]
	var at [][]float64
	for _, v := range in {
		first, last := math.Ceil(v.Low.X/step-1e-9), math.Floor(v.High.X/step+1e-9)
		near := math.Round(best.X[0] / step)
		first, last = math.Max(first, near-mostRound/2), math.Min(last, near+mostRound/2)
		for k := first; k <= last; k++ {
			at = append(at, []float64{multiple(k, step)})
		}
	}
	return s.choose(at)
}

// choose is the best of points that meets everything.
func (s *solver) choose(at [][]float64) (*Point, error) {
	points, err := s.many(at, false)
	if err != nil {
		return nil, err
	}
	var best *Point
	for i := range points {
		if p := &points[i]; p.Meets() && (best == nil || p.score > best.score) {
			best = p
		}
	}
	return best, nil
}
