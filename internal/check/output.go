package check

import (
	"fmt"
	"math"

	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// leastOutput is the rated output below which an indicator's last digits and
// thermoelectric voltages show, where the file requires none (common practice).
const leastOutput = 0.1e-3

func ratedOutput(j *judge) []Finding {
	var out []Finding
	limit, level, what := leastOutput, Warning, "at least %s is common practice"
	if req := j.d.Require.RatedOutput; req.Set {
		limit, level, what = req.SI, Fail, "at least %s is required"
	}
	for b := range j.r.Bridges {
		pb := &j.r.Bridges[b]
		if level == Warning && j.sightless(b) {
			continue // rule blind says so
		}
		if v := math.Abs(pb.Rated); v < limit*(1-1e-9) {
			out = append(out, Finding{
				Level: level, Bridge: pb.Name, Value: some(v), Limit: some(limit),
				Message: fmt.Sprintf("bridge %s gives %s at rated %v; "+what, pb.Name, volts(v), pb.Measures, volts(limit)),
				Remedy:  "weaken the section under the gauges, or fill all four arms with grids that see the load",
				options: func(j *judge) []option {
					if j.sightless(b) {
						return append(append(j.rearranged(b), j.extended(b)...), j.opposed(b)...)
					}
					more := append(j.rearranged(b), j.extended(b)...)
					more = append(more, j.resized(func(r *predict.Result) bool { return math.Abs(r.Bridges[b].Rated) >= limit })...)
					return append(more, j.opposed(b)...)
				},
			})
		}
	}
	return out
}

func nonlinearity(j *judge) []Finding {
	limit := j.d.Require.Nonlinearity
	words := func(v float64) string { return show(v, quantity.Ratio) }
	figure := func(b *predict.Bridge) predict.Figure { return b.Nonlinearity }
	return j.above(limit, "nonlinearity", figure, words, func(b int, f *Finding) {
		f.Remedy = "use a full bridge whose adjacent arms change equally and oppositely, or a stiffer section"
		f.options = func(j *judge) []option {
			out := append(append(j.rearranged(b), j.extended(b)...), j.opposed(b)...)
			return append(out, j.resized(func(r *predict.Result) bool {
				v := r.Bridges[b].Nonlinearity
				return v.OK() && v.Value <= limit.SI
			})...)
		}
	})
}
