package pick

import (
	"fmt"
	"math"

	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// judgement is how a prediction stands to the requirements.
type judgement struct {
	missed   []string
	unjudged []string
	excess   float64
	byWiring bool // what is missed depends on the wiring, not on the part and the places alone
}

// hopeless is the excess of a figure that does not exist.
const hopeless = 1e9

func (j *judgement) miss(excess float64, format string, args ...any) {
	j.excess = math.Max(j.excess, excess)
	j.missed = append(j.missed, fmt.Sprintf(format, args...))
}

// atMost judges a figure against an upper limit; a missing one is not judged.
func (j *judgement) atMost(what string, f predict.Figure, limit quantity.Value, words func(float64) string) {
	switch {
	case !f.OK():
		j.unjudged = append(j.unjudged, what+": "+f.Missing)
	case math.Abs(f.Value) > limit.SI*(1+1e-9)+1e-12:
		excess := hopeless
		if limit.SI > 0 {
			excess = over(math.Abs(f.Value), limit.SI)
		}
		j.miss(excess, "%s is %s, at most %s is allowed", what, words(math.Abs(f.Value)), words(limit.SI))
	}
}

// judge holds a prediction against every requirement of the file that it has a
// figure for, and against the two that always hold: blindness to the other loads
// and thermal output that cancels.
func (p *problem) judge(pr *proposal, r *predict.Result) judgement {
	var j judgement
	req := &p.design.Require
	for i, t := range p.measured {
		if w := &pr.set.bridges[i]; w.none() {
			j.miss(0, "no bridge measures %s", loadWords(p.component(t)))
		} else if !w.matched {
			j.miss(0, "adjacent arms of bridge %s are of different lots, so that their thermal output does not cancel", bridgeNames[p.component(t)])
		}
	}
	for i := range r.Bridges {
		b := &r.Bridges[i]
		if b.Blind {
			j.miss(hopeless, "bridge %s gives no output", b.Name)
			continue
		}
		worst, of := 0.0, -1
		for c, f := range b.Crosstalk {
			if c != b.Target && f.OK() && f.Value > worst {
				worst, of = f.Value, c
			}
		}
		if of >= 0 && worst > p.crosstalk*(1+1e-9)+1e-9 {
			j.miss(over(worst, p.crosstalk+1e-9), "crosstalk of %s in bridge %s is %s of rated output, at most %s is allowed", loadWords(p.component(of)), b.Name, percent(worst), percent(p.crosstalk))
		}
		if limit := req.RatedOutput; limit.Set && math.Abs(b.Rated) < limit.SI*(1-1e-9) {
			j.miss(over(limit.SI, math.Abs(b.Rated)), "rated output of bridge %s is %s, at least %s is required", b.Name, millivolts(math.Abs(b.Rated)), millivolts(limit.SI))
		}
		if req.Nonlinearity.Set {
			j.atMost("nonlinearity of bridge "+b.Name, b.Nonlinearity, req.Nonlinearity.Value, percent)
		}
		if req.ZeroDrift.Set {
			j.atMost("zero drift of bridge "+b.Name, b.Temperature.ZeroDrift, req.ZeroDrift.Value, perTenKelvin)
		}
		if req.SpanDrift.Set {
			j.atMost("span drift of bridge "+b.Name, b.Temperature.SpanDrift, req.SpanDrift.Value, perTenKelvin)
		}
	}
	if limit := req.Crosstalk95; limit.Set {
		for i, t := range p.measured {
			if w := &pr.set.bridges[i]; !w.none() && w.crosstalk95 > limit.SI*(1+1e-9) {
				excess := hopeless
				if limit.SI > 0 {
					excess = over(w.crosstalk95, limit.SI)
				}
				j.miss(excess, "crosstalk of bridge %s under the tolerances, 95 %% to first order, is %s, at most %s is allowed", bridgeNames[p.component(t)], percent(w.crosstalk95), percent(limit.SI))
			}
		}
	}
	j.byWiring = len(j.missed) > 0
	if req.Strain.Set {
		for i := range r.Grids {
			g := &r.Grids[i]
			if g.TotalAlong > req.Strain.SI*(1+1e-9) {
				j.miss(over(g.TotalAlong, req.Strain.SI), "strain of grid %s is %s, at most %s is allowed", g.Name, microstrain(g.TotalAlong), microstrain(req.Strain.SI))
				break
			}
		}
	}
	if limit := req.YieldFactor; limit.Set {
		switch f := r.Strength.YieldFactor; {
		case !f.OK():
			j.unjudged = append(j.unjudged, "yield factor: "+f.Missing)
		case f.Value < limit.SI*(1-1e-9):
			j.miss(over(limit.SI, f.Value), "yield factor is %s, at least %s is required", number(f.Value), number(limit.SI))
		}
	}
	if req.Uncertainty.Set {
		j.unjudged = append(j.unjudged, "uncertainty: the search works with nominal figures")
	}
	return j
}

func number(x float64) string { return quantity.Format(x, quantity.Number, quantity.SI, 4) }

// percent, millivolts, microstrain and perTenKelvin write a figure with its unit,
// to four digits without trailing zeros.
func percent(x float64) string      { return trimmed(x, quantity.Ratio, "%") }
func millivolts(x float64) string   { return trimmed(x, quantity.VoltageRatio, "mV/V") }
func microstrain(x float64) string  { return trimmed(x, quantity.Strain, "µε") }
func perTenKelvin(x float64) string { return trimmed(x, quantity.PerKelvin, "%/10K") }

func trimmed(x float64, k quantity.Kind, unit string) string {
	v, err := quantity.Convert(x, k, unit)
	if err != nil {
		return "—"
	}
	if v == 0 {
		return "0 " + unit
	}
	// Four digits, fewer where they are zeros; a nothing of rounding is a zero.
	if math.Abs(v) < 1e-6 {
		return "0 " + unit
	}
	scale := math.Pow(10, 3-math.Floor(math.Log10(math.Abs(v))))
	return fmt.Sprintf("%v %s", math.Round(v*scale)/scale, unit)
}
