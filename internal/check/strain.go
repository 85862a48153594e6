package check

import (
	"fmt"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// commonStrain is the strain that gauges and adhesives bear for long where the
// file states no limit (common practice 1000 to 1500 µε).
const commonStrain = 1500e-6

// strain judges the grid nearest to or farthest above its limit: the smaller of
// what the gauge bears and what the file requires.
func strain(j *judge) []Finding {
	type worst struct {
		grid  int
		ratio float64
		limit float64
		count int
	}
	var stated, common worst
	for i, g := range j.r.Grids {
		limit, known := j.strainLimit(i)
		w := &common
		if known {
			w = &stated
		}
		ratio := g.TotalAlong / limit
		if ratio <= 1+1e-9 {
			continue
		}
		w.count++
		if ratio > w.ratio*(1+1e-9) {
			w.grid, w.ratio, w.limit = i, ratio, limit
		}
	}
	report := func(w worst, level Level, what string) []Finding {
		if w.count == 0 {
			return nil
		}
		g := j.r.Grids[w.grid]
		others := ""
		if w.count > 1 {
			others = fmt.Sprintf(", and %d other %s over", w.count-1, verb(w.count-1, "grid is", "grids are"))
		}
		return []Finding{{
			Level: level, Bridge: j.bridgeOf(w.grid), subject: what, Value: some(g.TotalAlong), Limit: some(w.limit),
			Message: fmt.Sprintf("grid %s is strained %s by all rated loads together; %s at most is %s%s",
				g.Name, show(g.TotalAlong, quantity.Strain), show(w.limit, quantity.Strain), what, others),
			Remedy: "strengthen the section under the gauges or lower the rated loads",
			options: func(j *judge) []option {
				return j.resized(func(r *predict.Result) bool {
					for i, g := range r.Grids {
						if limit, _ := j.strainLimit(i); g.TotalAlong > limit {
							return false
						}
					}
					return true
				})
			},
		}}
	}
	return append(report(stated, Fail, "allowed"), report(common, Warning, "common practice for long life")...)
}

// strainLimit of a grid; known is false when it is only common practice.
func (j *judge) strainLimit(grid int) (limit float64, known bool) {
	limit = commonStrain
	for _, n := range []design.Number{j.d.Gauges[j.r.Model.Grids[grid].Gauge].MaxStrain, j.d.Require.Strain} {
		if n.Set && (!known || n.SI < limit) {
			limit, known = n.SI, true
		}
	}
	return limit, known
}

// bridgeOf is the bridge that a grid is wired into, "" for a spare.
func (j *judge) bridgeOf(grid int) string {
	for b := range j.r.Model.Bridges {
		for _, i := range j.gridsOf(b) {
			if i == grid {
				return j.r.Model.Bridges[b].Name
			}
		}
	}
	return ""
}

func overload(j *judge) []Finding {
	factor := j.r.Strength.OverloadYield
	if !factor.OK() || factor.Value >= 1 {
		return nil
	}
	return []Finding{{
		Level: Fail, Value: some(factor.Value), Limit: some(1),
		Message: fmt.Sprintf("the part yields at %s times rated load: %s at station %s, around %s, where it yields at %s; the factor against yield is %s, at least 1 is needed",
			plain(j.d.Overload.SI), show(j.r.Strength.VonMises*j.d.Overload.SI, quantity.Stress), show(j.r.Strength.Station, quantity.Length),
			show(j.r.Strength.Around, quantity.Angle), show(j.d.Part.Material.Yield.SI, quantity.Stress), show(factor.Value, quantity.Number)),
		Remedy: "strengthen the section, take a material of higher yield strength, or lower the overload",
		options: func(j *judge) []option {
			return j.resized(func(r *predict.Result) bool { return r.Strength.OverloadYield.Value >= 1 })
		},
	}}
}

func yieldFactor(j *judge) []Finding {
	factor, limit := j.r.Strength.YieldFactor, j.d.Require.YieldFactor
	if !limit.Set || !factor.OK() || factor.Value >= limit.SI*(1-1e-9) {
		return nil
	}
	return []Finding{{
		Level: Fail, Value: some(factor.Value), Limit: some(limit.SI),
		Message: fmt.Sprintf("the factor against yield is %s at rated load, %s of %s; at least %s is required", show(factor.Value, quantity.Number),
			show(j.r.Strength.VonMises, quantity.Stress), show(j.d.Part.Material.Yield.SI, quantity.Stress), show(limit.SI, quantity.Number)),
		Remedy: "strengthen the section or take a material of higher yield strength",
		options: func(j *judge) []option {
			return j.resized(func(r *predict.Result) bool { return r.Strength.YieldFactor.Value >= limit.SI })
		},
	}}
}
