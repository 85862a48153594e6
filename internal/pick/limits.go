package pick

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// limit is one requirement that can be relaxed.
type limit struct {
	key     string
	what    string
	atLeast bool
	of      func(*design.Require) *design.Number
	// figure of a candidate that the limit is held against; false when there is
	// none.
	figure func(*Candidate) (float64, bool)
	show   func(float64) string
}

var limits = []limit{
	{"crosstalk", "crosstalk", false, func(r *design.Require) *design.Number { return &r.Crosstalk }, worstCrosstalk, percent},
	{"crosstalk-95", "crosstalk at 95 %", false, func(r *design.Require) *design.Number { return &r.Crosstalk95 }, crosstalk95Of, percent},
	{"rated-output", "rated output", true, func(r *design.Require) *design.Number { return &r.RatedOutput }, leastOutput, millivolts},
	{"nonlinearity", "nonlinearity", false, func(r *design.Require) *design.Number { return &r.Nonlinearity },
		worst(func(b *predict.Bridge) predict.Figure { return b.Nonlinearity }), percent},
	{"zero-drift", "zero drift", false, func(r *design.Require) *design.Number { return &r.ZeroDrift },
		worst(func(b *predict.Bridge) predict.Figure { return b.Temperature.ZeroDrift }), perTenKelvin},
	{"span-drift", "span drift", false, func(r *design.Require) *design.Number { return &r.SpanDrift },
		worst(func(b *predict.Bridge) predict.Figure { return b.Temperature.SpanDrift }), perTenKelvin},
	{"strain", "strain", false, func(r *design.Require) *design.Number { return &r.Strain }, mostStrain, microstrain},
	{"yield-factor", "yield factor", true, func(r *design.Require) *design.Number { return &r.YieldFactor },
		func(c *Candidate) (float64, bool) {
			f := c.Result.Strength.YieldFactor
			return f.Value, f.OK()
		}, number},
}

// worst is the largest |figure| of a candidate's bridges.
func worst(of func(*predict.Bridge) predict.Figure) func(*Candidate) (float64, bool) {
	return func(c *Candidate) (most float64, ok bool) {
		for i := range c.Result.Bridges {
			if f := of(&c.Result.Bridges[i]); f.OK() {
				most, ok = math.Max(most, math.Abs(f.Value)), true
			}
		}
		return most, ok
	}
}

func worstCrosstalk(c *Candidate) (most float64, ok bool) {
	for i := range c.Result.Bridges {
		for _, f := range c.Result.Bridges[i].Crosstalk {
			if f.OK() {
				most, ok = math.Max(most, f.Value), true
			}
		}
	}
	return most, ok
}

// crosstalk95Of is the worst crosstalk at 95 % of a finished candidate.
func crosstalk95Of(c *Candidate) (most float64, ok bool) {
	m, s := c.Result.Model, c.Result.State
	if _, round := s.Section.(*section.Round); !round && c.Metrics.Crosstalk95.OK() {
		return c.Metrics.Crosstalk95.Value, true // as found with all placements at once
	}
	t, err := newTolerances(m, s)
	if err != nil {
		return 0, false
	}
	for b := range m.Bridges {
		weights, err := weightsOf(c.Result, b)
		if err != nil {
			return 0, false
		}
		q, of := t.crosstalk95(weights, m.Bridges[b].Measures)
		if of < 0 && math.IsInf(q, 1) {
			return 0, false
		}
		most, ok = math.Max(most, q), true
	}
	return most, ok
}

// weightsOf are ∂(V/E)/∂(ΔR/R) of every grid of the model in one bridge, from the
// network with leads and instrument.
func weightsOf(r *predict.Result, b int) ([]float64, error) { return weightsAt(r.Model, r.State, b) }

// weightsAt are those of a state of the model.
func weightsAt(m *model.Model, s *model.State, b int) ([]float64, error) {
	c := model.At(m.Design.Temperature.Reference.SI)
	sol, err := m.Solve(s, b, &c)
	if err != nil {
		return nil, err
	}
	weights := make([]float64, len(m.Grids))
	for k := range m.Bridges[b].Arms {
		for _, g := range m.Bridges[b].Arms[k].Grids {
			weights[g] = sol.Weight[k] * s.Grids[g].Resistance
		}
	}
	return weights, nil
}

func leastOutput(c *Candidate) (least float64, ok bool) {
	least = math.Inf(1)
	for i := range c.Result.Bridges {
		least, ok = math.Min(least, math.Abs(c.Result.Bridges[i].Rated)), true
	}
	return least, ok && least > blindOutput
}

func mostStrain(c *Candidate) (most float64, ok bool) {
	for i := range c.Result.Grids {
		most, ok = math.Max(most, c.Result.Grids[i].TotalAlong), true
	}
	return most, ok
}

// value of the limit in a design: crosstalk has one always.
func (l *limit) value(d *design.Design) float64 {
	n := l.of(&d.Require)
	if !n.Set && l.key == "crosstalk" {
		return crosstalkDefault
	}
	return n.SI
}

// holds tells whether a design has the limit.
func (l *limit) holds(d *design.Design) bool { return l.key == "crosstalk" || l.of(&d.Require).Set }

// less tells whether figure a is the better one.
func (l *limit) less(a, b float64) bool {
	if l.atLeast {
		return a > b
	}
	return a < b
}

// misses is the figure of a candidate that misses the limit.
func (l *limit) misses(d *design.Design, c *Candidate) (float64, bool) {
	f, ok := l.figure(c)
	if !ok || !l.holds(d) {
		return 0, false
	}
	v := l.value(d)
	if l.atLeast {
		return f, f < v*(1-1e-9)
	}
	rounding := 0.0
	if l.key == "crosstalk" {
		rounding = 1e-9 // as the search has it
	}
	return f, f > v*(1+1e-9)+rounding
}

// start is the value to relax the limit to first: the best figure of the
// candidates that miss this limit alone, else the farthest of all that miss it.
func (l *limit) start(d *design.Design, nearest []*Candidate) (value float64, ok bool) {
	alone := false
	for _, c := range nearest {
		f, misses := l.misses(d, c)
		if !misses {
			continue
		}
		only := true
		for i := range limits {
			if o := &limits[i]; o.key != l.key {
				_, also := o.misses(d, c)
				only = only && !also
			}
		}
		switch {
		case !ok, only && !alone:
			value = f
		case only && l.less(f, value), !only && !alone && l.less(value, f):
			value = f
		}
		ok, alone = true, alone || only
	}
	return value, ok
}

// best is the best figure of the candidates that meet everything.
func (l *limit) best(out *Outcome) (value float64, ok bool) {
	for i := range out.Candidates {
		c := &out.Candidates[i]
		if f, is := l.figure(c); is && c.Metrics.Met() && (!ok || l.less(f, value)) {
			value, ok = f, true
		}
	}
	return value, ok
}

// outward rounds a figure to three digits so that the figure keeps it as a limit.
func (l *limit) outward(figure float64) float64 {
	rounded, step := roundTo(figure, 3)
	if l.less(rounded, figure) && math.Abs(rounded-figure) > 1e-9*math.Abs(figure) {
		if l.atLeast {
			step = -step
		}
		rounded, _ = roundTo(rounded+step, 3)
	}
	return rounded
}

// closer is the next value of three digits that is harder to keep.
func (l *limit) closer(value float64) float64 {
	_, step := roundTo(value, 3)
	if !l.atLeast {
		step = -step
	}
	next, _ := roundTo(value+step, 3)
	return next
}

// relaxTo sets the limit so that a figure keeps it, and returns by how much that
// relaxes it, relative.
func (l *limit) relaxTo(d *design.Design, figure float64) float64 {
	a, b := l.outward(figure), l.value(d)
	n := l.of(&d.Require)
	*n = design.Number{Value: quantity.Exact(a), Set: true, Place: n.Place}
	n.Text = l.show(a)
	if n.Place.Path == "" {
		n.Place.Path = "require." + l.key
	}
	if l.atLeast {
		a, b = b, a
	}
	if b <= 0 {
		return hopeless
	}
	return over(a, b)
}

// sentence says how the limit of one design is relaxed in another.
func (l *limit) sentence(from, to *design.Design) string {
	now := l.show(l.value(from))
	if !l.of(&from.Require).Set {
		now += ", the limit where the file states none"
	}
	if l.atLeast {
		return fmt.Sprintf("require a %s of at least %s only (now %s)", l.what, l.show(l.value(to)), now)
	}
	return fmt.Sprintf("allow %s up to %s (now %s)", l.what, l.show(l.value(to)), now)
}
