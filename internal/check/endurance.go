package check

import (
	"fmt"
	"math"

	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// gaugeEndurance is the strain amplitude, fully reversed, at which constantan foil on
// polyimide shifts its zero by about 100 µε after n cycles,
//
//	ε = 1500 µε · (10⁷/n)^0.09, at most 2000 µε
//
// common practice, from memory: 1500 µε for 10⁶ to 10⁷ cycles, 1200 µε for more than
// 10⁸.
func gaugeEndurance(n float64) float64 {
	return math.Min(2000e-6, 1500e-6*math.Pow(1e7/n, 0.09))
}

// gaugeFatigue judges the grid strained most against the endurance of the foil
// when cycles are asked for. A gauge of another alloy may bear more or less: that
// is why it is a warning.
func gaugeFatigue(j *judge) []Finding {
	if !j.d.Cycles.Set || j.d.Cycles.SI < manyCycles {
		return nil
	}
	worst := -1
	for i := range j.r.Grids {
		if worst < 0 || j.r.Grids[i].TotalAlong > j.r.Grids[worst].TotalAlong*(1+1e-9) {
			worst = i
		}
	}
	limit := gaugeEndurance(j.d.Cycles.SI)
	if worst < 0 || j.r.Grids[worst].TotalAlong <= limit {
		return nil
	}
	g := j.r.Grids[worst]
	return []Finding{{
		Level: Warning, Bridge: j.bridgeOf(worst), Value: some(g.TotalAlong), Limit: some(limit),
		Message: fmt.Sprintf("grid %s is strained %s by all rated loads together, fully reversed for %s cycles; constantan foil keeps its zero to about %s (common practice)",
			g.Name, show(g.TotalAlong, quantity.Strain), plain(j.d.Cycles.SI), show(limit, quantity.Strain)),
		Remedy: "strengthen the section under the gauges, lower the rated loads, or take gauges whose maker states the endurance that is wanted",
		options: func(j *judge) []option {
			return j.resized(func(r *predict.Result) bool {
				for _, g := range r.Grids {
					if g.TotalAlong > limit {
						return false
					}
				}
				return true
			})
		},
	}}
}
