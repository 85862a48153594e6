package check

import (
	"fmt"
	"math"
	"slices"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// compensationShare is how much of the grids' equal thermal output may be left
// in a compensated bridge: what unequal arms and series arms leave lies below.
const compensationShare = 0.05

func compensation(j *judge) []Finding {
	var out []Finding
	for b := range j.r.Bridges {
		pb := &j.r.Bridges[b]
		left, mixed := j.heat(b)
		if left <= compensationShare {
			continue
		}
		f := Finding{Level: Fail, Bridge: pb.Name, Value: some(left), Limit: some(compensationShare)}
		why := "no grid of the same lot in an adjacent arm takes it out"
		if mixed {
			why = "adjacent arms hold grids of different lots, whose thermal outputs differ"
		}
		f.Message = fmt.Sprintf("bridge %s has no temperature compensation: %s of its grids' thermal output is left, at most %s is wanted; %s",
			pb.Name, show(left, quantity.Ratio), show(compensationShare, quantity.Ratio), why)
		if req, drift := j.d.Require.ZeroDrift, pb.Temperature.ZeroDrift; req.Set && drift.OK() && drift.Value <= req.SI {
			f.Level = Warning
			f.Message += fmt.Sprintf("; its zero drift of %s still meets the required %s", drift10K(drift.Value), drift10K(req.SI))
		}
		f.Remedy = j.dummy(b)
		if mixed {
			f.Remedy = "bond gauges of one lot for adjacent arms"
		}
		f.options = func(j *judge) []option {
			out := append(append(j.rearranged(b), j.oneLot(b)...), j.extended(b)...)
			return append(out, j.opposed(b)...)
		}
		out = append(out, f)
	}
	return out
}

// heat is the share of thermal output that a bridge leaves, and whether grids of
// several lots are the reason.
func (j *judge) heat(b int) (left float64, mixed bool) {
	m, s := j.r.Model, j.r.State
	var each, all lots
	for k, w := range j.weights(b) {
		for _, i := range m.Bridges[b].Arms[k].Grids {
			each.add(m.Grids[i].Gauge, w*s.Grids[i].Resistance)
			all.add(0, w*s.Grids[i].Resistance)
		}
	}
	left = each.left()
	return left, left > compensationShare && all.left() <= compensationShare
}

// weights are ∂(V/E)/∂R of the arms of a bridge at rest, 1/Ω.
func (j *judge) weights(b int) [4]float64 {
	c := j.rest()
	sol, err := j.r.Model.Solve(j.r.State, b, &c)
	if err != nil { // the prediction solved it already
		return [4]float64{}
	}
	return sol.Weight
}

// dummy says which arm wants a compensating grid.
func (j *judge) dummy(b int) string {
	db := &j.d.Bridges[b]
	for k, a := range db.Arms {
		if a.Fixed() {
			continue
		}
		g := a.Grids[0]
		for _, n := range []int{k ^ 1, 3 - k} {
			if db.Arms[n].Fixed() {
				return fmt.Sprintf("put an equal grid of the same lot (gauge %s) at the same temperature into arm %d, adjacent to %s: on the part where the load strains it the other way or not at all, or on an unloaded piece of the same material",
					j.d.Gauges[j.d.Placements[g.Placement].Gauge].Name, n+1, j.d.GridName(g))
			}
		}
	}
	return "use grids of one lot, and in adjacent arms as many that heat makes rise as in the other"
}

// oneLot are the options of bonding all gauges of a bridge from one of its lots.
func (j *judge) oneLot(b int) []option {
	var lots, placements []int
	for _, i := range j.gridsOf(b) {
		g := &j.r.Model.Grids[i]
		if !slices.Contains(lots, g.Gauge) {
			lots = append(lots, g.Gauge)
		}
		if !slices.Contains(placements, g.Ref.Placement) {
			placements = append(placements, g.Ref.Placement)
		}
	}
	if len(lots) < 2 {
		return nil
	}
	var out []option
	for _, lot := range lots {
		words := ""
		fits := true
		for _, p := range placements {
			was := j.d.Placements[p].Gauge
			fits = fits && slices.Equal(j.d.Gauges[was].Directions, j.d.Gauges[lot].Directions)
			if was != lot {
				words += fmt.Sprintf(", placement %s with gauge: %s", j.d.Placements[p].Name, j.d.Gauges[lot].Name)
			}
		}
		if !fits {
			continue
		}
		out = append(out, option{
			text: "bond gauges of one lot for adjacent arms" + words,
			apply: func(d *design.Design) error {
				for _, p := range placements {
					d.Placements[p].Gauge = lot
					d.Placements[p].Measured.Resistance = nil
				}
				return nil
			},
		})
	}
	return out
}

func drift10K(v float64) string { return in(v, quantity.PerKelvin, "%/10K") }

// above judges one figure of every bridge against a required limit.
func (j *judge) above(limit design.Number, key string, figure func(*predict.Bridge) predict.Figure, words func(float64) string, finish func(b int, f *Finding)) []Finding {
	if !limit.Set {
		return nil
	}
	var out []Finding
	for b := range j.r.Bridges {
		pb := &j.r.Bridges[b]
		v := figure(pb)
		if j.sightless(b) || !v.OK() || v.Value <= limit.SI*(1+1e-9) {
			continue
		}
		f := Finding{
			Level: Fail, Bridge: pb.Name, Value: some(v.Value), Limit: some(limit.SI),
			Message: fmt.Sprintf("bridge %s has a %s of %s; at most %s is required", pb.Name, key, words(v.Value), words(limit.SI)),
		}
		finish(b, &f)
		out = append(out, f)
	}
	return out
}

func zeroDrift(j *judge) []Finding {
	limit := j.d.Require.ZeroDrift
	figure := func(b *predict.Bridge) predict.Figure { return b.Temperature.ZeroDrift }
	return j.above(limit, "zero drift", figure, drift10K, func(b int, f *Finding) {
		f.Remedy = "use grids of one lot matched to the part's expansion in all four arms, in adjacent arms at one temperature, or trim the zero drift"
		f.options = func(j *judge) []option {
			out := append(append(j.rearranged(b), j.extended(b)...), j.steadier(b)...)
			out = append(out, j.opposed(b)...)
			return append(out, j.resized(func(r *predict.Result) bool {
				v := r.Bridges[b].Temperature.ZeroDrift
				return v.OK() && v.Value <= limit.SI
			})...)
		}
	})
}

// steadier are the options of other temperature coefficients of the fixed
// resistors: one for all, so that they cancel in adjacent arms, then smaller
// ones, the greatest of the customary values first.
func (j *judge) steadier(b int) []option {
	db := &j.d.Bridges[b]
	tcrs := func(to float64, which func(float64) bool, what string) (option, bool) {
		var arms []int
		words := ""
		text := plain(to*1e6) + " ppm/K"
		for k, a := range db.Arms {
			if a.Fixed() && which(a.TCR.SI) {
				arms = append(arms, k)
				words += fmt.Sprintf(", arm %d with tcr: %s", k+1, text)
			}
		}
		return option{
			text: "use fixed resistors of " + what + " temperature coefficient in bridge " + db.Name + words,
			apply: func(d *design.Design) error {
				for _, k := range arms {
					set(&d.Bridges[b].Arms[k].TCR, to, text)
				}
				return nil
			},
		}, len(arms) > 0
	}
	var out []option
	for _, a := range db.Arms {
		if a.Fixed() && a.TCR.SI != 0 {
			if o, ok := tcrs(a.TCR.SI, func(t float64) bool { return t != a.TCR.SI }, "one"); ok {
				out = append(out, o)
			}
		}
	}
	for _, tcr := range []float64{25e-6, 10e-6, 5e-6, 2e-6, 1e-6, 0.5e-6, 0.2e-6} {
		if o, ok := tcrs(tcr, func(t float64) bool { return math.Abs(t) > tcr }, "smaller"); ok {
			out = append(out, o)
		}
	}
	return out
}

func spanDrift(j *judge) []Finding {
	figure := func(b *predict.Bridge) predict.Figure { return b.Temperature.SpanDrift }
	return j.above(j.d.Require.SpanDrift, "span drift", figure, drift10K, func(b int, f *Finding) {
		f.Remedy = "use gauges whose gauge factor falls as the modulus of the part does, or a material of less drift of modulus, or trim the span"
		f.options = func(j *judge) []option { return j.matched(b) }
	})
}

// matched is the option of a lot whose gauge factor drifts so that the output
// stays: F·(1/E)·(1+αΔT)^−n is constant to first order for
//
//	β = e + n α,  n = 3 for moments, 2 for forces, 0 for pressure
//
// with e the drift of E, or of G under shear strain.
func (j *judge) matched(b int) []option {
	mat := j.d.Part.Material
	drift, n := mat.YoungsDrift.SI, 3.0
	switch j.d.Bridges[b].Measures {
	case design.Torque:
		drift = mat.ShearDrift.Or(mat.YoungsDrift).SI
	case design.ShearY, design.ShearZ:
		drift, n = mat.ShearDrift.Or(mat.YoungsDrift).SI, 2
	case design.Axial:
		n = 2
	case design.Pressure:
		n = 0
	}
	drift = math.Round((drift+n*mat.Expansion.SI)*1e6) / 1e6
	lots := map[int]bool{}
	words := ""
	for _, i := range j.gridsOf(b) {
		g := j.r.Model.Grids[i].Gauge
		if !lots[g] {
			lots[g] = true
			words += fmt.Sprintf(", gauge %s with gauge-factor-drift: %s %%/100K", j.d.Gauges[g].Name, plain(drift*1e4))
		}
	}
	return []option{{
		text: "use a lot of a modulus-compensating foil, whose gauge factor falls as the modulus does" + words,
		apply: func(d *design.Design) error {
			for g := range lots {
				set(&d.Gauges[g].Drift, drift, plain(drift*1e4)+" %/100K")
			}
			return nil
		},
	}}
}

// expansion says when the part's expansion, 0 where it is not stated, decides
// temperature figures.
func expansion(j *judge) []Finding {
	d := j.d
	if d.Part.Material.Expansion.Set || !d.Temperature.HasRange {
		return nil
	}
	for _, g := range d.Gauges {
		if g.Thermal.Set && g.Thermal.ForExpansion.Set {
			return []Finding{{
				Level: Warning, Limit: some(g.Thermal.ForExpansion.SI),
				Message: fmt.Sprintf("the material states no expansion, so 0 ppm/K was used while the thermal output of gauge %s holds for %s: every temperature figure carries the difference",
					g.Name, show(g.Thermal.ForExpansion.SI, quantity.PerKelvin)),
				Remedy: "state `expansion:` of the material, such as 11.3 ppm/K for a steel",
			}}
		}
	}
	return []Finding{{
		Level:   Note,
		Message: "the material states no expansion, so 0 ppm/K was used: the growth of the part is left out of the span drift",
		Remedy:  "state `expansion:` of the material",
	}}
}
