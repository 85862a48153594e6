package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// measures reports whether a bridge measures a load.
func (j *judge) measures(l design.Load) bool {
	return slices.ContainsFunc(j.d.Bridges, func(b design.Bridge) bool { return b.Measures == l.Component })
}

// missing says once for each reason which figures it costs. Where a requirement
// hangs on one of them it cannot be judged: that is a warning, for the design must
// not seem to pass what nobody looked at.
func missing(j *judge) []Finding {
	type reason struct {
		why      string
		figures  []string
		required []string
	}
	var reasons []*reason
	add := func(figure string, f predict.Figure, required string, limit design.Number) {
		if f.OK() || f.Missing == "" {
			return
		}
		var r *reason
		for _, known := range reasons {
			if known.why == f.Missing {
				r = known
			}
		}
		if r == nil {
			r = &reason{why: f.Missing}
			reasons = append(reasons, r)
		}
		if !slices.Contains(r.figures, figure) {
			r.figures = append(r.figures, figure)
		}
		if limit.Set && !slices.Contains(r.required, required) {
			r.required = append(r.required, required)
		}
	}
	var none design.Number
	req := j.d.Require
	for b := range j.r.Bridges {
		if j.r.Bridges[b].Blind {
			continue // what is divided by no output is undefined; rule blind says why
		}
		pb := &j.r.Bridges[b]
		add("nonlinearity", pb.Nonlinearity, "nonlinearity", req.Nonlinearity)
		add("zero drift", pb.Temperature.ZeroDrift, "zero-drift", req.ZeroDrift)
		add("span drift", pb.Temperature.SpanDrift, "span-drift", req.SpanDrift)
		add("zero error of a gradient", pb.Temperature.ZeroGradient, "", none)
		add("noise of the bridge", pb.Signal.Johnson, "", none)
		add("smallest load that shows", pb.Signal.Smallest, "", none)
		add("heat of the grids", pb.Signal.PowerDensity, "", none)
	}
	add("factor against yield", j.r.Strength.YieldFactor, "yield-factor", req.YieldFactor)
	add("factor against yield at overload", j.r.Strength.OverloadYield, "", none)
	add("torsional stiffness", j.r.Stiffness.Torsional, "", none)
	add("axial stiffness", j.r.Stiffness.Axial, "", none)
	add("natural frequency", j.r.Stiffness.Frequency, "", none)
	if !j.d.Part.StraightLength.Set && len(j.d.Placements) > 0 {
		add("distance of grids from the ends", predict.None("the file gives no straight length"), "", none)
	}
	var out []Finding
	for _, r := range reasons {
		f := Finding{Level: Note, subject: r.why, Message: fmt.Sprintf("%s: no %s", r.why, strings.Join(r.figures, ", no "))}
		if len(r.required) > 0 {
			f.Level = Warning
			f.Message += fmt.Sprintf("; so require.%s could not be judged", strings.Join(r.required, ", require."))
			f.Remedy = "give what is missing in the design file, or take the requirement out"
		}
		out = append(out, f)
	}
	return out
}

// placementTolerance says which defaults stand for the bonder's skill.
func placementTolerance(j *judge) []Finding {
	t := j.d.Tolerance
	var words []string
	type numbers struct{ planned, measured design.Number }
	add := func(key string, n design.Number, k quantity.Kind, own func(*design.Placement) []numbers) {
		if n.Set {
			return
		}
		for i := range j.d.Placements {
			if slices.ContainsFunc(own(&j.d.Placements[i]), func(n numbers) bool { return !n.measured.Set && n.planned.Tolerance == 0 }) {
				words = append(words, fmt.Sprintf("%s ±%s", key, show(n.SI, k)))
				return
			}
		}
	}
	// on a face the tolerance of the station holds along the face too
	add("station", t.Station, quantity.Length, func(p *design.Placement) []numbers {
		own := []numbers{{p.Station, p.Measured.Station}}
		if p.Face != "" {
			own = append(own, numbers{p.Across, p.Measured.Across})
		}
		return own
	})
	add("around", t.Around, quantity.Angle, func(p *design.Placement) []numbers {
		if p.Face != "" {
			return nil
		}
		return []numbers{{p.Around, p.Measured.Around}}
	})
	add("direction", t.Direction, quantity.Angle, func(p *design.Placement) []numbers { return []numbers{{p.Direction, p.Measured.Direction}} })
	if len(words) == 0 {
		return nil
	}
	return []Finding{{
		Level:   Note,
		Message: fmt.Sprintf("nobody stated how exactly the gauges are placed: the defaults hold, %s", list(words)),
		Remedy:  "state `placement-tolerance:` as the bonder can keep it",
	}}
}

// asBonded says where measured values replaced the plan.
func asBonded(j *judge) []Finding {
	var names []string
	for _, p := range j.d.Placements {
		m := p.Measured
		if m.Station.Set || m.Around.Set || m.Across.Set || m.Direction.Set || len(m.Resistance) > 0 {
			names = append(names, p.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []Finding{{
		Level: Note,
		Message: fmt.Sprintf("the figures use the measured values of %s %s instead of the plan", verb(len(names), "placement", "placements"),
			list(names)),
	}}
}

// worstGradient says which direction was taken for a gradient across the part
// that states none.
func worstGradient(j *judge) []Finding {
	var out []Finding
	for b := range j.r.Bridges {
		t := &j.r.Bridges[b].Temperature
		if !t.Worst {
			continue
		}
		out = append(out, Finding{
			Level: Note, Bridge: j.r.Bridges[b].Name, Value: some(t.Toward),
			Message: fmt.Sprintf("the gradient across the part states no direction: bridge %s is judged for the one that moves its zero most, the hot side at %s", j.r.Bridges[b].Name, degrees(math.Round(t.Toward/deg*100)/100*deg)),
			Remedy:  "state `toward:` of the gradient when the hot side is known",
		})
	}
	return out
}
