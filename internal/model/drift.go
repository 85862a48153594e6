package model

import (
	"math"

	"gridwright/internal/bridge"
)

// Drift is, besides the Figures at the reference temperature, how the zero and the
// span of every bridge move over a list of temperatures, with the scratch space of
// the worker that computes them. Lists go with Model.Bridges.
type Drift struct {
	Figures *Figures
	Zero    []Extent  // V(T) − V(T0) at no load, every grid at T; V/V
	Span    []Extent  // S(T)/S(T0) of the measured component; NaN where S(T0) is 0 or all but that
	Spread  []float64 // d(V/E)/dT of the grids' own thermal-output slopes alone, V/V per K

	kelvin []float64   // K
	offset []float64   // of each of kelvin from the reference
	rest   [][]float64 // of the zero, beyond its first order, at the nominal inputs: bridges × kelvin
	lots   []lotCurve
	weight []float64 // of each lot's polynomial in the bridge at hand
}

// Extent is the least and the greatest of a curve.
type Extent struct{ Low, High float64 }

// Width is the greatest less the least.
func (e Extent) Width() float64 { return e.High - e.Low }

func (e *Extent) add(v float64) {
	if v < e.Low {
		e.Low = v
	}
	if v > e.High {
		e.High = v
	}
}

// lotCurve is a lot's P(T) − P(T0) at the temperatures for the coefficients that it
// was last computed for, µε.
type lotCurve struct {
	coefficients [5]float64
	known        bool
	values       []float64
}

// NewDrift makes room for one worker; the temperatures are in K. Without any, the
// extents stay empty (0).
func (m *Model) NewDrift(kelvin []float64) (*Drift, error) {
	n := len(m.Bridges)
	d := &Drift{
		Figures: m.NewFigures(), Zero: make([]Extent, n), Span: make([]Extent, n), Spread: make([]float64, n),
		kelvin: append([]float64(nil), kelvin...), offset: make([]float64, len(kelvin)),
		rest: make([][]float64, n), lots: make([]lotCurve, len(m.lots)), weight: make([]float64, len(m.lots)),
	}
	for i, k := range kelvin {
		d.offset[i] = k - m.reference
	}
	for l := range d.lots {
		d.lots[l].values = make([]float64, len(kelvin))
	}
	for b := range d.rest {
		d.rest[b] = make([]float64, len(kelvin))
	}
	if len(kelvin) == 0 {
		return d, nil
	}
	s := d.Figures.state
	if err := m.Set(m.Nominal, s); err != nil {
		return nil, err
	}
	d.polynomials(m, s)
	for b := range m.Bridges {
		c := At(m.reference)
		v0, err := m.Output(s, b, &c)
		if err != nil {
			return nil, err
		}
		t, err := m.trend(s, d, b, make([]float64, len(m.Components)))
		if err != nil {
			return nil, err
		}
		for i, k := range kelvin {
			c := At(k)
			v, err := m.Output(s, b, &c)
			if err != nil {
				return nil, err
			}
			d.rest[b][i] = v - v0 - t.zero(d, i)
		}
	}
	return d, nil
}

// EvalDrift computes the figures of Eval and the drift of every bridge at the inputs
// x. It allocates nothing. The zero is of first order in ΔR/R,
//
//	V(T) − V(T0) = Σ ∂(V/E)/∂R_k · R_g · (ΔR/R)_T,g
//
// with fixed resistors and leads alike, plus what the exact network adds to that at
// the nominal inputs: it is exact there, and elsewhere to the second order in the
// product of ΔR/R and the departure of the inputs. The span is that of
// [Model.Sensitivity]; where leads follow the part, their part of it is the parabola
// through both ends of the range.
func (m *Model) EvalDrift(x []float64, d *Drift) error {
	f := d.Figures
	s := f.state
	if err := m.Set(x, s); err != nil {
		return err
	}
	d.polynomials(m, s)
	n := len(m.Components)
	for b := range m.Bridges {
		t, err := m.trend(s, d, b, f.Sensitivity[b*n:(b+1)*n])
		if err != nil {
			return err
		}
		f.Balance[b], d.Spread[b] = t.balance, t.spread
		if len(d.offset) == 0 {
			continue
		}
		zero := Extent{math.Inf(1), math.Inf(-1)}
		for i := range d.offset {
			zero.add(t.zero(d, i) + d.rest[b][i])
		}
		d.Zero[b], d.Span[b] = zero, t.span(d)
	}
	return nil
}

// polynomials brings the lots' curves up to date.
func (d *Drift) polynomials(m *Model, s *State) {
	for l := range d.lots {
		c, o := &d.lots[l], &s.outputs[l]
		if c.known && c.coefficients == o.Coefficients {
			continue
		}
		c.coefficients, c.known = o.Coefficients, true
		p0 := o.Microstrain(m.reference)
		for i, k := range d.kelvin {
			c.values[i] = o.Microstrain(k) - p0
		}
	}
}

// trend is one bridge at one value of the inputs, ready for any temperature.
type trend struct {
	balance, spread float64
	slope           float64 // of the zero, V/V per K, beside the lots' polynomials
	lead, lead2     float64 // of the zero by leads that follow: lead·d + lead2·d²

	armSpan
	perE, perG, alpha float64 // drifts of E and G, expansion
	power             int
	factor, factor2   float64 // of leads that follow: 1 + factor·d + factor2·d²
}

// armSpan is the sensitivity to the measured component of an arm for a weight of 1, or
// of the whole bridge: its parts that follow E and G, and the same times the drift of the
// gauge factor.
type armSpan struct {
	normal, normalDrift, shear, shearDrift float64
}

func (a *armSpan) add(weight float64, b *armSpan) {
	a.normal += weight * b.normal
	a.normalDrift += weight * b.normalDrift
	a.shear += weight * b.shear
	a.shearDrift += weight * b.shearDrift
}

// at off kelvin from the reference, E and G drifting, the part's growth apart.
func (a *armSpan) at(off, perE, perG float64) float64 {
	return (a.normal+a.normalDrift*off)/(1+perE*off) + (a.shear+a.shearDrift*off)/(1+perG*off)
}

// trend fills the sensitivities of a bridge and returns its trend; d.weight holds the
// lots' weights until the next bridge.
func (m *Model) trend(s *State, d *Drift, b int, sensitivity []float64) (trend, error) {
	br := &m.Bridges[b]
	x := s.inputs
	arms := s.rest(br)
	w := br.wiring(x, 0)
	var sol bridge.Solution
	if err := w.Solve(arms, &sol); err != nil {
		return trend{}, err
	}
	t := trend{balance: sol.Output, alpha: s.alpha, power: 3 - growth(m.Components[br.Measures])}
	if t.power == 1 {
		t.power = 0 // pressure
	}
	t.perE = x[m.material.eDrift]
	t.perG = t.perE
	if m.material.gDrift >= 0 {
		t.perG = x[m.material.gDrift]
	}
	for l := range d.weight {
		d.weight[l] = 0
	}
	for j := range sensitivity {
		sensitivity[j] = 0
	}
	invE, invG := 1/s.e, 1/s.g
	var arm [4]armSpan
	for k := range br.Arms {
		a := &br.Arms[k]
		if a.Fixed && a.atPart {
			t.slope += sol.Weight[k] * x[a.resistor] * x[a.tcr]
		}
		for _, i := range a.Grids {
			g := &s.Grids[i]
			c := sol.Weight[k] * g.Resistance
			// the rows of [GridState.row], their common factors taken out
			kt, cE, cG := g.Transverse, c*g.gain*invE, c*g.gain*invG
			for j := range sensitivity {
				n, sh := &g.Normal[j], &g.Shear[j]
				sensitivity[j] += cE*(n.Along+kt*n.Across) + cG*(sh.Along+kt*sh.Across)
			}
			n, sh := &g.Normal[br.Measures], &g.Shear[br.Measures]
			pn := g.Resistance * g.gain * (n.Along + g.Transverse*n.Across) * invE
			ps := g.Resistance * g.gain * (sh.Along + g.Transverse*sh.Across) * invG
			arm[k].normal += pn
			arm[k].shear += ps
			arm[k].normalDrift += pn * g.drift
			arm[k].shearDrift += ps * g.drift
			o := &s.outputs[m.Grids[i].Gauge]
			d.weight[m.Grids[i].Gauge] += c * o.ForFactor * 1e-6
			t.slope += c * (g.gain*((1+g.Transverse)*(s.alpha-o.ForExpansion)+g.curvature.Along+g.Transverse*g.curvature.Across) + g.spread)
			t.spread += c * g.spread
		}
		t.armSpan.add(sol.Weight[k], &arm[k])
	}
	if br.Follow && br.each >= 0 && len(d.offset) > 0 {
		return t, m.followed(&t, d, br, arms, x, &arm)
	}
	return t, nil
}

// followed adds what leads at the part's temperature do: the bridge is solved at both
// ends of the range.
func (m *Model) followed(t *trend, d *Drift, br *Bridge, arms [4]float64, x []float64, arm *[4]armSpan) error {
	at := [2]float64{d.offset[0], d.offset[len(d.offset)-1]}
	var zero, factor [2]float64
	for e, off := range at {
		var sol bridge.Solution
		w := br.wiring(x, off)
		if err := w.Solve(arms, &sol); err != nil {
			return err
		}
		zero[e] = sol.Output - t.balance
		var all armSpan
		for k := range arm {
			all.add(sol.Weight[k], &arm[k])
		}
		if v := t.at(off, t.perE, t.perG); v != 0 {
			factor[e] = all.at(off, t.perE, t.perG)/v - 1
		}
	}
	t.lead, t.lead2 = parabola(at, zero)
	t.factor, t.factor2 = parabola(at, factor)
	return nil
}

// parabola is a, b of a·d + b·d² through two points; through one when the other
// stands at 0.
func parabola(d, v [2]float64) (a, b float64) {
	switch {
	case d[0] == 0 && d[1] == 0:
		return 0, 0
	case d[0] == 0:
		return v[1] / d[1], 0
	case d[1] == 0 || d[0] == d[1]:
		return v[0] / d[0], 0
	}
	p, q := v[0]/d[0], v[1]/d[1]
	b = (q - p) / (d[1] - d[0])
	return p - b*d[0], b
}

// zero at temperature i, V/V, of first order.
func (t *trend) zero(d *Drift, i int) float64 {
	off := d.offset[i]
	v := (t.slope + t.lead + t.lead2*off) * off
	for l, w := range d.weight {
		v += w * d.lots[l].values[i]
	}
	return v
}

// ratio is S(T)/S(T0) at off kelvin from the reference.
func (t *trend) ratio(off, perS0 float64) float64 {
	v := t.at(off, t.perE, t.perG)
	if t.power > 0 {
		g := 1 + t.alpha*off
		v /= g * g
		if t.power == 3 {
			v /= g
		}
	}
	return v * perS0 * (1 + off*(t.factor+off*t.factor2))
}

// span is the extent of S(T)/S(T0). The curve bends one way or not at all over any
// range of use, so that its extremes are the ends unless it turns between them.
func (t *trend) span(d *Drift) Extent {
	s0 := t.normal + t.shear
	if math.Abs(s0) < 1e-300 { // its reciprocal would overflow
		return Extent{math.NaN(), math.NaN()}
	}
	p, n := 1/s0, len(d.offset)
	first, last := t.ratio(d.offset[0], p), t.ratio(d.offset[n-1], p)
	e := Extent{math.Min(first, last), math.Max(first, last)}
	if n < 3 {
		return e
	}
	begin := t.ratio(d.offset[1], p) - first
	end := last - t.ratio(d.offset[n-2], p)
	if begin*end > 0 {
		return e
	}
	for i := 1; i < n-1; i++ {
		e.add(t.ratio(d.offset[i], p))
	}
	return e
}
