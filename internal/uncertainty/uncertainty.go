// Package uncertainty gives the figures of a prediction their uncertainty: the law of
// propagation with its budget (JCGM 100:2008) and Monte Carlo (JCGM 101:2008), both
// through the same exact model; and it fills in the tolerances of common practice where
// a file asks for that.
//
// It does not model what the model does not: creep, hysteresis, drift with time, adhesive
// faults, stress that departs from Saint-Venant's. Inputs are drawn independently of each
// other, but for those that the model itself shares (a lot's gauge factor, a placement's
// position). Poisson's ratio and Young's modulus of one bar are not correlated.
package uncertainty

import (
	"context"
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
)

// Options of a propagation.
type Options struct {
	Trials  int    // limit of Monte Carlo trials; 0: first order only, otherwise at least 1000
	Seed    uint64 // of the random numbers
	Workers int    // 0: one for each processor; the result does not depend on it
	All     bool   // run all trials, though the results are stable before
}

// Result is the uncertainty of a prediction. Bridges go with predict.Result.Bridges,
// Inputs with Model.Inputs.
type Result struct {
	Trials    int  // that were run
	Stable    bool // to two digits of the standard uncertainty, every figure
	Redrawn   int  // draws that made no part and were drawn again
	Seed      uint64
	Generator string
	Inputs    []Input
	Bridges   []Bridge
	Recovered Recovered
}

// Input is one input of the model.
type Input struct {
	Label string       // its place in the file, and the grid or placement that it is drawn for
	Place design.Place // where the number stands
	From  string       // path of what states its tolerance, such as placement-tolerance.around
	Exact bool
}

// Figure is one figure by Monte Carlo, in the unit of package predict's.
type Figure struct {
	Mean, Standard float64
	Interval       [2]float64 // shortest, 95 %
	Symmetric      [2]float64 // probabilistically symmetric, 95 %
	Quantile       float64    // 95 % of all lie below
	Stable         bool       // to two digits of Standard
	Missing        string     // why there is none, "" when it holds
}

// OK reports whether the figure holds.
func (f Figure) OK() bool { return f.Missing == "" }

// Bridge is the uncertainty of one bridge.
type Bridge struct {
	Name        string
	Target      int      // index of the measured component in Model.Components
	Sensitivity Figure   // to the measured component, V/V per N, N·m or Pa
	Crosstalk   []Figure // magnitude, ratio of rated output, of each component; missing at Target
	Balance     Figure   // V/E at no load
	ZeroDrift   Figure   // as predict.Temperature.ZeroDrift, ratio of |rated output| per K
	SpanDrift   Figure   // as predict.Temperature.SpanDrift, 1/K
	ZeroSpread  Figure   // magnitude of the zero drift from the grids' spread alone, ratio of |rated output| per K

	Bands []Band // of zero and span, one for each row of the temperature curves; nil without a range

	FirstOrder          Linear   // of the sensitivity
	FirstOrderCrosstalk []Linear // of each component's, with its sign; missing at Target
	Tighten             Tighten
}

// Relative is the standard uncertainty of the sensitivity over the magnitude of its mean:
// by Monte Carlo when it was run, else of first order.
func (b *Bridge) Relative() predict.Figure {
	mean, standard := b.FirstOrder.Nominal, b.FirstOrder.Standard
	if b.Sensitivity.OK() {
		mean, standard = b.Sensitivity.Mean, b.Sensitivity.Standard
	}
	if b.FirstOrder.Blind {
		return predict.None(blind)
	}
	return predict.Some(standard / math.Abs(mean))
}

// Linear is a figure of first order.
type Linear struct {
	Nominal  float64
	Standard float64
	Budget   []Share // largest first; empty when nothing has a tolerance
	Quantile float64 // of a crosstalk: 95 % of its magnitude, |nominal| + 1.645 u
	Blind    bool    // the bridge gives no output for what it measures
	Missing  string  // why there is none

	// Agrees says that Monte Carlo validates the first order by JCGM 101:2008, clause 8,
	// with δ of one significant digit; Why says what parts them when it does not. Without
	// Monte Carlo it is false and Why says so.
	Agrees bool
	Why    string
}

// Share of one input in a variance.
type Share struct {
	Input   int // index into Result.Inputs
	Percent float64
}

// Tighten is the tolerance that is worth tightening first.
type Tighten struct {
	From     string // path of the tolerance; "" when none has any effect
	Inputs   []int  // that it governs, indexes into Result.Inputs
	Percent  float64
	Standard float64 // standard uncertainty of the sensitivity with this tolerance halved, first order
}

// Recovered is what the nominal inverse of the sensitivity matrix makes of the outputs of
// a true part under the rated value of every measured load at once, rejected loads zero:
//
//	F̂ = S⁻¹_nominal · S_true · F_rated
//
// free of noise, drift and offset. Its scatter is the uncertainty of the loads that an
// uncalibrated transducer shows.
type Recovered struct {
	Components []design.Component
	Mean       []float64   // N, N·m or Pa; nominal when no Monte Carlo was run
	Covariance [][]float64 // by Monte Carlo; nil without
	FirstOrder [][]float64 // covariance of first order
	Missing    string
}

const blind = "the bridge gives no output for the load that it measures"

// Of propagates the tolerances of a predicted design. Limits are rectangular, expanded
// uncertainties normal; the model says which inputs are drawn once for all and which for
// each grid or placement.
func Of(ctx context.Context, r *predict.Result, o Options) (*Result, error) {
	if o.Trials < 0 || o.Trials > 0 && o.Trials < leastTrials {
		return nil, fmt.Errorf("%d Monte Carlo trials; write at least %d, or 0 for none", o.Trials, leastTrials)
	}
	out := &Result{Seed: o.Seed, Generator: Generator}
	for i := range r.Model.Inputs {
		in := &r.Model.Inputs[i]
		out.Inputs = append(out.Inputs, Input{Label: in.Label(), Place: in.Place, From: stated(r.Model, in), Exact: in.Tolerance == 0})
	}
	l := layOut(r)
	if l.outputs == 0 {
		out.Recovered.Missing = "the design has no bridges"
		return out, nil
	}
	p := l.propagation()
	first, err := p.FirstOrder()
	if err != nil {
		return nil, err
	}
	var mc *MonteCarlo
	if o.Trials > 0 {
		mc, err = p.MonteCarlo(ctx, Run{Trials: o.Trials, All: o.All, Seed: o.Seed, Workers: o.Workers, Covary: l.recovered})
		if err != nil {
			return nil, err
		}
		out.Trials, out.Stable, out.Redrawn = mc.Trials, mc.Stable, mc.Redrawn
	}
	band, err := bands(r)
	if err != nil {
		return nil, err
	}
	for b := range r.Bridges {
		out.Bridges = append(out.Bridges, l.bridge(b, out.Inputs, p, first, mc))
		if band != nil {
			out.Bridges[b].Bands = band[b]
		}
	}
	out.Recovered = l.recoveredOf(first, mc)
	return out, nil
}
