package calibration

import (
	"math"

	"gridwright/internal/predict"
)

// Term of an uncertainty budget.
type Term struct {
	Name         string
	Standard     predict.Figure // ratio of the load, k = 1
	Distribution string         // how the standard uncertainty follows from the figure
	Absolute     bool           // the same load at every step, so that its ratio falls with the load
	Fit          bool           // scatter about the fit, which the covariance of the matrix holds too
}

// Budget of a load that the calibrated bridge gives,
//
//	w = √(Σ w_i²),   W = 2 w
//
// (JCGM 100:2008, 5.1.2 for independent inputs; 6.2 with k = 2). Terms that are
// missing are not in the sum; Missing names them.
type Budget struct {
	Load     float64
	Terms    []Term
	Standard predict.Figure // ratio
	Expanded predict.Figure // ratio, k = 2
	Missing  []string
}

// block is the calibration block of a design.
type block struct {
	standard, indicator predict.Figure // standard uncertainties, ratio
	resolution          predict.Figure // V/V
}

// budgetOf builds the budget of one step.
//
//	force-376:  w² = w_s² + w_i² + Σ(X−X̄)²/(n(n−1)) + (b′)²/3 + (r/√6)² + (c²/3 or v²/3) + f0² + fit²
//	torque:     w² = w_s² + w_i² + 2(r/(2√3))² + (b′/(2√3))² + b²/n + (f0/(2√3))² + (fa/√6)² + (h/(2√3))²
//	e74, plain: w² = w_s² + w_i² + (r/√6)² + s² + f0²/3 + v²/3 (plain: where falling readings are not in the fit)
//
// all relative to the load; w_s, w_i: standard uncertainty of the applied load and
// of the indicator; r: resolution as a load; fit of force-376: √(δ/(N − p))/X.
//
// Source: annex C of ISO 376 and the guide that goes with it; annex C of DIN 51309
// and the guide that goes with it; from memory, the choice of distributions to be
// confirmed. That of e74 and plain is JCGM 100:2008, 4.3 and 5.1 on the figures as
// they are, limits taken as rectangular.
func budgetOf(m Method, s *Step, f *Figures, top float64, sd float64, b block) Budget {
	out := Budget{Load: s.Load}
	x := math.Abs(s.Fitted.Value)
	if s.Mean.OK() {
		x = math.Abs(s.Mean.Value)
	}
	load := math.Abs(s.Load)
	add := func(name string, f predict.Figure, divisor float64, how string, absolute, fit bool) {
		if !f.OK() {
			out.Missing = append(out.Missing, name+": "+f.Missing)
			out.Terms = append(out.Terms, Term{Name: name, Standard: f, Distribution: how, Absolute: absolute, Fit: fit})
			return
		}
		out.Terms = append(out.Terms, Term{Name: name, Standard: predict.Some(math.Abs(f.Value) / divisor), Distribution: how, Absolute: absolute, Fit: fit})
	}
	atStep := func(f predict.Figure) predict.Figure { // a ratio of the largest output, as one of this step
		if !f.OK() || x == 0 {
			return f
		}
		return predict.Some(f.Value * math.Abs(top) / x)
	}
	resolution := f.Resolution
	if resolution.OK() {
		resolution = predict.Some(resolution.Value / load)
	}
	reproducibility, residual := s.Reproducibility, predict.None("the output is zero")
	if reproducibility.OK() {
		reproducibility = ratio(s.scatter, math.Sqrt(float64(s.reproducibilityN))*x)
	}
	if x != 0 {
		residual = predict.Some(sd / x)
	}
	add("applied load", b.standard, 1, "standard uncertainty stated in the design, k = 1", false, false)
	add("indicator", b.indicator, 1, "standard uncertainty stated in the design, k = 1", false, false)
	reversibility := s.Reversibility
	if !reversibility.OK() && f.Reversibility.OK() {
		reversibility = predict.Some(0) // where the series turns it is zero by its definition
	}
	r3, r6, r12 := math.Sqrt(3), math.Sqrt(6), 2*math.Sqrt(3)
	switch m {
	case Force376:
		add("reproducibility", reproducibility, 1, "standard deviation of the mean of the mountings", false, false)
		add("repeatability", s.Repeatability, r3, "limit, b′/√3", false, false)
		add("resolution", resolution, r6, "two readings, r/√6", true, false)
		if f.Reversibility.OK() {
			add("reversibility", reversibility, r3, "limit, v/√3", false, false)
		} else {
			add("creep", atStep(f.Creep), r3, "limit, c/√3", true, false)
		}
		add("zero", f.Zero, 1, "f0, of the step", false, false)
		add("fit", residual, 1, "residual standard deviation", true, true)
	case Torque:
		add("reproducibility", reproducibility, 1, "standard deviation of the mean of the mountings", false, false)
		add("repeatability", s.Repeatability, r12, "rectangular of width b′", false, false)
		add("resolution", resolution, r6, "two readings, r/(2√3) each", true, false)
		add("zero", f.Zero, r12, "rectangular of width f0", false, false)
		add("fit", s.Interpolation, r6, "triangular, fa/√6", false, true)
		add("reversibility", reversibility, r12, "rectangular of width h", false, false)
	default:
		add("resolution", resolution, r6, "two readings, r/√6", true, false)
		add("fit", residual, 1, "residual standard deviation of single readings", true, true)
		add("zero", atStep(f.Zero), r3, "limit, f0/√3", true, false)
		if m == ForceE74 {
			add("reversibility", reversibility, r3, "limit, v/√3", false, false)
		}
	}
	add("temperature", predict.None("what the temperature in use does is not in the data"), 1, "", false, false)
	add("drift", predict.None("one calibration does not show it"), 1, "", true, false)
	sum := 0.0
	for _, t := range out.Terms {
		if t.Standard.OK() {
			sum += t.Standard.Value * t.Standard.Value
		}
	}
	if sum == 0 {
		out.Standard = predict.None("nothing that makes the load uncertain is known")
		out.Expanded = out.Standard
		return out
	}
	out.Standard, out.Expanded = predict.Some(math.Sqrt(sum)), predict.Some(2*math.Sqrt(sum))
	return out
}

// InUse is the uncertainty of a load that the bridge gives in use as a function of
// that load,
//
//	u(F) = √(a² + (w F)²),   U = 2 u
//
// a: root of the sum of squares of the terms that are the same load everywhere,
// the largest of all steps; w: of the terms in proportion, the largest of all
// steps. It bounds the budgets of the steps.
type InUse struct {
	Absolute, Relative       float64 // a (N, N·m or Pa), w
	WithoutFit, RelativeOnly float64 // the same without the scatter about the fit
	Missing                  []string
}

// At is the standard uncertainty of the load F.
func (u *InUse) At(load float64) float64 { return math.Hypot(u.Absolute, u.Relative*load) }

func inUse(steps []Step) InUse {
	var out InUse
	seen := map[string]bool{}
	for i := range steps {
		b := &steps[i].Uncertainty
		var a, w, aFit, wFit float64
		for _, t := range b.Terms {
			if !t.Standard.OK() {
				continue
			}
			v := t.Standard.Value * t.Standard.Value
			switch {
			case t.Absolute:
				v *= b.Load * b.Load
				a += v
				if !t.Fit {
					aFit += v
				}
			default:
				w += v
				if !t.Fit {
					wFit += v
				}
			}
		}
		out.Absolute, out.Relative = math.Max(out.Absolute, math.Sqrt(a)), math.Max(out.Relative, math.Sqrt(w))
		out.WithoutFit, out.RelativeOnly = math.Max(out.WithoutFit, math.Sqrt(aFit)), math.Max(out.RelativeOnly, math.Sqrt(wFit))
		for _, why := range b.Missing {
			if !seen[why] {
				seen[why] = true
				out.Missing = append(out.Missing, why)
			}
		}
	}
	return out
}
