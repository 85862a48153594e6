package predict

import (
	"fmt"
	"math"

	"gridwright/internal/bridge"
	"gridwright/internal/design"
	"gridwright/internal/model"
)

// Bridge is what one bridge gives. Outputs are V/V.
type Bridge struct {
	Name        string
	Measures    design.Component
	Target      int       // index of Measures in Model.Components
	Sensitivity []float64 // d(V/E)/dF at no load of each component, V/V per N, N·m or Pa
	Rated       float64   // V(F) − V(0) at the rated value of the measured component
	// Blind is set when Rated is zero but for rounding: what is divided by it is
	// undefined.
	Blind        bool
	Capacity     float64     // Σ|contribution| of the grids to Rated, had all the sign that helps
	Crosstalk    []Figure    // ratio of rated output, of each component; missing at Target
	Nonlinearity Figure      // ratio of rated output
	Line         []LoadPoint // output against the measured load, from 0 to rated
	Balance      Balance
	Temperature  Temperature
	Shunts       []Shunt
	Signal       Signal
}

// LoadPoint is a point of the line of a bridge.
type LoadPoint struct {
	Load      float64 // N, N·m or Pa
	Output    float64 // V(F) − V(0), V/V
	Departure float64 // from the straight line to rated output, ratio of rated output
}

const lineSteps = 20

// Balance is V/E at no load.
type Balance struct {
	Nominal float64
	RSS     float64 // √Σ(∂V/∂R_i · a_i)² of the stated half-widths
	Worst   float64 // Σ|∂V/∂R_i · a_i|
}

// Shunt is what a shunt-calibration resistor does.
type Shunt struct {
	Resistor   float64 // Ω
	Arm        int
	Output     float64 // V/V, with the shunt minus without
	Equivalent Figure  // the measured load that it stands for
}

const blind = "the bridge gives no output for the load that it measures"

func bridgeOf(m *model.Model, s *model.State, b int) (Bridge, error) {
	mb := &m.Bridges[b]
	out := Bridge{Name: mb.Name, Measures: m.Components[mb.Measures], Target: mb.Measures}
	out.Sensitivity = make([]float64, len(m.Components))
	reference := m.Design.Temperature.Reference.SI
	if _, err := m.Sensitivity(s, b, reference, out.Sensitivity); err != nil {
		return out, fmt.Errorf("bridge %s: %w", mb.Name, err)
	}
	rest, err := solve(m, s, b, model.At(reference))
	if err != nil {
		return out, fmt.Errorf("bridge %s: %w", mb.Name, err)
	}
	if err := bearable(m, s, mb); err != nil {
		return out, err
	}
	change := func(f float64) (float64, error) {
		c := model.At(reference)
		c.Load[mb.Measures] = f
		v, err := m.Output(s, b, &c)
		return v - rest.Output, err
	}
	rated := m.Rated[mb.Measures]
	if out.Rated, err = change(rated); err != nil {
		return out, fmt.Errorf("bridge %s at rated load: %w", mb.Name, err)
	}
	for k := range mb.Arms {
		for _, i := range mb.Arms[k].Grids {
			out.Capacity += math.Abs(rest.Weight[k] * s.Grids[i].Resistance * s.Row(i, mb.Measures) * rated)
		}
	}
	// 1e-12 V/V is a millionth of the microvolt per volt that an indicator shows.
	out.Blind = math.Abs(out.Rated) <= math.Max(1e-12, 1e-9*out.Capacity)

	own := out.Sensitivity[mb.Measures] * rated
	for j := range m.Components {
		switch {
		case j == mb.Measures:
			out.Crosstalk = append(out.Crosstalk, None("it is the measured load"))
		case out.Blind || own == 0:
			out.Crosstalk = append(out.Crosstalk, None(blind))
		default:
			out.Crosstalk = append(out.Crosstalk, Some(math.Abs(out.Sensitivity[j]*m.Rated[j]/own)))
		}
	}
	out.Nonlinearity = None(blind)
	if !out.Blind {
		if out.Nonlinearity, err = nonlinearity(change, rated, out.Rated); err != nil {
			return out, fmt.Errorf("bridge %s: %w", mb.Name, err)
		}
		for i := 0; i <= lineSteps; i++ {
			x := float64(i) / lineSteps
			v, err := change(x * rated)
			if err != nil {
				return out, fmt.Errorf("bridge %s: %w", mb.Name, err)
			}
			out.Line = append(out.Line, LoadPoint{x * rated, v, (v - out.Rated*x) / out.Rated})
		}
	}
	out.Balance = balanceOf(m, mb, rest)
	for _, sh := range m.Design.Shunts {
		v, err := m.Shunted(s, b, sh)
		if err != nil {
			return out, fmt.Errorf("bridge %s, shunt: %w", mb.Name, err)
		}
		one := Shunt{Resistor: sh.Resistor.SI, Arm: sh.Arm, Output: v, Equivalent: None(blind)}
		if !out.Blind {
			one.Equivalent = Some(v / out.Sensitivity[mb.Measures])
		}
		out.Shunts = append(out.Shunts, one)
	}
	if out.Temperature, err = temperatureOf(m, s, b, &out); err != nil {
		return out, fmt.Errorf("bridge %s: %w", mb.Name, err)
	}
	out.Signal, err = signalOf(m, s, b, rest, &out)
	return out, err
}

// Unbearable is a load that changes a grid by more than any gauge bears: a slip in
// a unit, a modulus or a dimension.
type Unbearable struct {
	Load   design.Load
	Bridge string
	Grid   string
	Change float64 // ΔR/R at rated load
}

func (u *Unbearable) Error() string {
	return fmt.Sprintf("at the rated %v grid %s of bridge %s would change its resistance by %.3g %%, more than any gauge bears; check the unit of the load, the modulus and the section",
		u.Load.Component, u.Grid, u.Bridge, 100*u.Change)
}

// bearable refuses rated loads under which ΔR/R of a grid of the bridge passes
// one half: foil gauges end at a few percent of strain.
func bearable(m *model.Model, s *model.State, mb *model.Bridge) error {
	for _, a := range mb.Arms {
		for _, i := range a.Grids {
			for j := range m.Components {
				if c := s.Row(i, j) * m.Rated[j]; !(math.Abs(c) < 0.5) {
					return &Unbearable{m.Design.Loads[j], mb.Name, m.Grids[i].Name, c}
				}
			}
		}
	}
	return nil
}

func solve(m *model.Model, s *model.State, b int, c model.Condition) (bridge.Solution, error) {
	return m.Solve(s, b, &c)
}

// nonlinearity is the largest departure from the straight line through zero and
// rated load,
//
//	max over F in [0, rated] of |V(F) − V(rated)·F/rated| / |V(rated)|
//
// with V counted from no load. The departure is smooth with few extremes: 64
// steps bracket the largest, golden section refines it.
func nonlinearity(change func(float64) (float64, error), rated, full float64) (Figure, error) {
	var failed error
	departure := func(x float64) float64 {
		v, err := change(x * rated)
		if err != nil {
			failed = err
		}
		return math.Abs(v - full*x)
	}
	const steps = 64
	best, at := 0.0, 0
	for i := 1; i < steps; i++ {
		if d := departure(float64(i) / steps); d > best {
			best, at = d, i
		}
	}
	lo, hi := float64(at-1)/steps, float64(at+1)/steps
	if at > 0 {
		_, top := peak(departure, lo, hi, 40)
		best = math.Max(best, top)
	}
	return Some(best / math.Abs(full)), failed
}

// peak is where f is largest between lo and hi, and that value, by golden section.
func peak(f func(float64) float64, lo, hi float64, steps int) (x, value float64) {
	const g = 0.6180339887498949
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := f(a), f(b)
	for i := 0; i < steps; i++ {
		if fa > fb {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = f(b)
		}
	}
	if fa > fb {
		return a, fa
	}
	return b, fb
}

// balanceOf sums the stated half-widths of every grid and fixed resistor.
func balanceOf(m *model.Model, mb *model.Bridge, rest bridge.Solution) Balance {
	out := Balance{Nominal: rest.Output}
	add := func(k int, halfWidth float64) {
		d := math.Abs(rest.Weight[k] * halfWidth)
		out.RSS += d * d
		out.Worst += d
	}
	var arms [4]design.Arm
	for _, b := range m.Design.Bridges {
		if b.Name == mb.Name {
			arms = b.Arms
		}
	}
	for k, a := range arms {
		if a.Fixed() {
			add(k, a.Resistor.Tolerance)
		}
		for _, g := range a.Grids {
			add(k, m.Design.GridResistance(g).Tolerance)
		}
	}
	out.RSS = math.Sqrt(out.RSS)
	return out
}
