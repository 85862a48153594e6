package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/quantity"
)

// powerLimit of a gauge, and in whose name.
func powerLimit(g *design.Gauge) (limit float64, why string, ok bool) {
	limit, stated, ok := gauge.AllowedDensity(g)
	if stated {
		return limit, "the gauge allows", ok
	}
	return limit, "common practice on a " + g.HeatSink + " heat sink is", ok
}

// power judges the grid of each bridge nearest to or farthest above the power
// density that its gauge allows, (I·E)²R/(L·W).
func power(j *judge) []Finding {
	var out []Finding
	free, freeGrid := 0.0, -1
	for b := range j.r.Bridges {
		pb, e := &j.r.Bridges[b], j.d.Bridges[b].Excitation
		if !e.Set {
			continue
		}
		at := j.rest()
		sol, err := j.r.Model.Solve(j.r.State, b, &at)
		if err != nil { // the prediction solved it already
			continue
		}
		worst, ratio, density := -1, 1+1e-9, 0.0
		for k := range j.r.Model.Bridges[b].Arms {
			for _, i := range j.r.Model.Bridges[b].Arms[k].Grids {
				g := &j.r.State.Grids[i]
				current := sol.Current[k] * e.SI
				q := current * current * g.Resistance / (g.Length * g.Width)
				limit, _, ok := powerLimit(&j.d.Gauges[j.r.Model.Grids[i].Gauge])
				switch {
				case !ok && q > free:
					free, freeGrid = q, i
				case ok && q/limit > ratio:
					worst, ratio, density = i, q/limit, q
				}
			}
		}
		if worst < 0 {
			continue
		}
		limit, why, _ := powerLimit(&j.d.Gauges[j.r.Model.Grids[worst].Gauge])
		lower := settable(e.SI / math.Sqrt(ratio))
		text := plain(lower) + " V"
		out = append(out, Finding{
			Level: Fail, Bridge: pb.Name, Value: some(density), Limit: some(limit),
			Message: fmt.Sprintf("grid %s of bridge %s heats itself with %s at %s; %s at most %s", j.r.Grids[worst].Name, pb.Name,
				show(density, quantity.PowerDensity), show(e.SI, quantity.Voltage), why, show(limit, quantity.PowerDensity)),
			Remedy: "lower the excitation, or use larger grids of higher resistance",
			options: func(*judge) []option {
				return []option{{
					text: fmt.Sprintf("supply bridge %s with excitation: %s", pb.Name, text),
					apply: func(d *design.Design) error {
						set(&d.Bridges[b].Excitation, lower, text)
						return nil
					},
				}}
			},
		})
	}
	if freeGrid >= 0 {
		g := j.d.Gauges[j.r.Model.Grids[freeGrid].Gauge].Name
		out = append(out, Finding{
			Level: Note, Value: some(free),
			Message: fmt.Sprintf("grid %s heats itself with %s; gauge %s states no limit, so self-heating was not judged", j.r.Grids[freeGrid].Name, show(free, quantity.PowerDensity), g),
			Remedy:  fmt.Sprintf("state `power-density:` or `heat-sink:` of gauge %s", g),
		})
	}
	return out
}

// settable rounds a voltage down to a value that a supply can be set to: 0.1 V,
// below 1 V two digits.
func settable(v float64) float64 {
	step := 0.1
	if v < 1 {
		step = math.Pow(10, math.Floor(math.Log10(v))-1)
	}
	return math.Floor(v/step*(1+1e-12)) * step
}
