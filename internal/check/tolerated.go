package check

import (
	"fmt"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// crosstalk95 judges the crosstalk that the tolerances leave, where it is
// required and was propagated.
func crosstalk95(j *judge) []Finding {
	limit := j.d.Require.Crosstalk95
	if !limit.Set {
		return nil
	}
	if j.r.Tolerated == nil {
		return unjudged(limit, "require.crosstalk-95", "the crosstalk under tolerances")
	}
	var out []Finding
	for b, t := range j.r.Tolerated {
		if j.sightless(b) {
			continue
		}
		for c, figure := range t.Crosstalk95 {
			if c == j.r.Bridges[b].Target {
				continue
			}
			if !figure.OK() {
				return unjudged(limit, "require.crosstalk-95", "the crosstalk under tolerances")
			}
			if figure.Value <= limit.SI {
				continue
			}
			name := j.r.Model.Components[c]
			out = append(out, Finding{
				Level: Fail, Bridge: j.r.Bridges[b].Name, subject: name.String(), Value: some(figure.Value), Limit: some(limit.SI),
				Message: fmt.Sprintf("under the tolerances bridge %s sums %v to %s of rated output at rated %v, not passed by 95 %% of all; at most %s is required",
					j.r.Bridges[b].Name, name, show(figure.Value, quantity.Ratio), name, show(limit.SI, quantity.Ratio)),
				Remedy: "place the gauges more exactly (`placement-tolerance:`), measure them after bonding (`measured:`), or let `pick` look for an arrangement that bears more",
			})
		}
	}
	return out
}

// uncertainty judges the expanded uncertainty of the sensitivities, where it is
// required and was propagated.
func uncertainty(j *judge) []Finding {
	limit := j.d.Require.Uncertainty
	if !limit.Set {
		return nil
	}
	if j.r.Tolerated == nil {
		return unjudged(limit, "require.uncertainty", "the uncertainty")
	}
	var out []Finding
	for b, t := range j.r.Tolerated {
		if j.sightless(b) || !t.Expanded.OK() || t.Expanded.Value <= limit.SI {
			continue
		}
		out = append(out, Finding{
			Level: Fail, Bridge: j.r.Bridges[b].Name, Value: some(t.Expanded.Value), Limit: some(limit.SI),
			Message: fmt.Sprintf("the expanded uncertainty (k = 2) of bridge %s is %s of its sensitivity; at most %s is required",
				j.r.Bridges[b].Name, show(t.Expanded.Value, quantity.Ratio), show(limit.SI, quantity.Ratio)),
			Remedy: "tighten the tolerance that `predict` names first, or calibrate and use the calibrated sensitivity",
		})
	}
	return out
}

// unjudged says that a requirement is not judged.
func unjudged(limit design.Number, key, what string) []Finding {
	return []Finding{{
		Level: Note, Limit: some(limit.SI),
		Message: fmt.Sprintf("%s of %s was not judged: %s was not propagated; `predict` and `check` do", key, show(limit.SI, quantity.Ratio), what),
	}}
}
