package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// peak is the greatest stress at a feature under all rated loads together,
//
//	σv² = σx² − σxσφ + σφ² + 3τ²
//
// over the girth and the signs of the loads (pressure has one), with nominal axial
// stress × the axial factor, bending stress, that of a shear force's moment too,
// × the bending factor, and shear stress of torque × the torque factor. A factor that
// is not stated counts 1. Pa.
func (j *judge) peak(f *design.Feature) float64 {
	factor := func(n design.Number) float64 {
		if n.Set {
			return n.SI
		}
		return 1
	}
	kt, kb, ka := factor(f.Torque), factor(f.Bending), factor(f.Axial)
	m := j.r.Model
	s := j.r.State.Section
	return predict.WorstOf(s, 0, func(c section.Coordinate) float64 {
		var u section.Unit
		s.Surface(c, f.Station.SI, &u)
		// Signs are free: axial stresses add in size, so do shear stresses (an upper
		// bound where shear-y and shear-z act away from station 0); only pressure,
		// whose hoop stress is a third party, keeps its sign.
		axial, shear, hoop, wall := 0.0, 0.0, 0.0, 0.0
		for c, comp := range m.Components {
			x, t := m.Rated[c]*u[comp].Axial, m.Rated[c]*u[comp].Shear
			switch comp {
			case design.Axial:
				axial += ka * math.Abs(x)
			case design.Torque:
				shear += kt * math.Abs(t)
			case design.Pressure:
				hoop += m.Rated[c] * u[comp].Hoop
				wall += x
			default:
				axial += kb * math.Abs(x)
				shear += math.Abs(t)
			}
		}
		worst := 0.0
		for _, x := range []float64{wall + axial, wall - axial} {
			worst = math.Max(worst, math.Sqrt(x*x-x*hoop+hoop*hoop+3*shear*shear))
		}
		return worst
	}).Value
}

func features(j *judge) []Finding {
	yield := j.d.Part.Material.Yield
	var out []Finding
	for i := range j.d.Part.Features {
		f := &j.d.Part.Features[i]
		if !f.Torque.Set && !f.Bending.Set && !f.Axial.Set {
			out = append(out, Finding{Level: Note, subject: f.Name,
				Message: fmt.Sprintf("feature %q states no stress concentration: its strength was not judged", f.Name),
				Remedy:  "state `factor: {torque: ..., bending: ..., axial: ...}` of the feature"})
			continue
		}
		if !yield.Set {
			continue // rule missing says so
		}
		v := j.peak(f)
		over := v * j.d.Overload.SI
		required := j.d.Require.YieldFactor
		found := Finding{Level: Warning, subject: f.Name, Value: some(over), Limit: some(yield.SI)}
		switch {
		case v > yield.SI:
			found.Level, found.Value = Fail, some(v)
			found.Message = fmt.Sprintf("the part yields at feature %q at rated load: %s with its stress concentration, yield strength %s",
				f.Name, show(v, quantity.Stress), show(yield.SI, quantity.Stress))
		case over > yield.SI:
			found.Message = fmt.Sprintf("the part yields locally at feature %q at %s times rated load: %s with its stress concentration, yield strength %s; the zero may shift",
				f.Name, plain(j.d.Overload.SI), show(over, quantity.Stress), show(yield.SI, quantity.Stress))
		case required.Set && v > yield.SI/required.SI*(1+1e-9):
			found.Value, found.Limit = some(v), some(yield.SI/required.SI)
			found.Message = fmt.Sprintf("feature %q bears %s at rated load with its stress concentration, a factor of %s against yield where %s is required of the part (at most %s)",
				f.Name, show(v, quantity.Stress), show(yield.SI/v, quantity.Number), show(required.SI, quantity.Number), show(*found.Limit, quantity.Stress))
		default:
			continue
		}
		found.Remedy = fmt.Sprintf("make the feature gentler, so that its factors fall by %s, or strengthen the section there",
			show(1 - *found.Limit / *found.Value, quantity.Ratio))
		found.options = func(j *judge) []option { return []option{j.gentler(i, *found.Limit / *found.Value)} }
		out = append(out, found)
	}
	return out
}

// gentler is the option of a feature with smaller stress concentration factors,
// none below 1.
func (j *judge) gentler(i int, by float64) option {
	f := &j.d.Part.Features[i]
	words := ""
	to := [3]float64{}
	for k, n := range []design.Number{f.Torque, f.Bending, f.Axial} {
		if n.Set {
			to[k] = math.Max(1, math.Floor(n.SI*by*100)/100)
			if words != "" {
				words += ", "
			}
			words += []string{"torque: ", "bending: ", "axial: "}[k] + plain(to[k])
		}
	}
	return option{
		text: fmt.Sprintf("make feature %q gentler, a larger radius, for factor: {%s}, or strengthen the section there", f.Name, words),
		apply: func(d *design.Design) error {
			f := &d.Part.Features[i]
			for k, n := range []*design.Number{&f.Torque, &f.Bending, &f.Axial} {
				if n.Set {
					set(n, to[k], plain(to[k]))
				}
			}
			return nil
		},
	}
}

// manyCycles is from where on a part is judged by its endurance.
const manyCycles = 1e4

// fatigue compares the stress at rated load, taken as fully reversed, with the
// endurance of unnotched bars of the material: the criterion of the von Mises
// amplitude, without factors for size, surface or mean stress.
func fatigue(j *judge) []Finding {
	mat := j.d.Part.Material
	if !j.d.Cycles.Set || j.d.Cycles.SI < manyCycles {
		return nil
	}
	if !mat.Endurance.Set {
		return []Finding{{Level: Note,
			Message: fmt.Sprintf("%s cycles are asked for, but the material states no endurance: fatigue was not judged", plain(j.d.Cycles.SI)),
			Remedy:  "state `endurance:` of the material"}}
	}
	worst, where, at := j.r.Strength.VonMises, "under the gauges", -1
	for i := range j.d.Part.Features {
		f := &j.d.Part.Features[i]
		if v := j.peak(f); v > worst {
			at = i
			worst, where = v, fmt.Sprintf("at feature %q with its stress concentration", f.Name)
		}
	}
	if worst <= mat.Endurance.SI {
		return nil
	}
	return []Finding{{
		Level: Warning, Value: some(worst), Limit: some(mat.Endurance.SI),
		Message: fmt.Sprintf("%s %s at rated load, fully reversed for %s cycles, by the von Mises amplitude against the endurance of unnotched bars; at most %s is wanted",
			show(worst, quantity.Stress), where, plain(j.d.Cycles.SI), show(mat.Endurance.SI, quantity.Stress)),
		Remedy: fmt.Sprintf("lower the stress by %s: a gentler feature, a stronger section, or a material of higher endurance", show(1-mat.Endurance.SI/worst, quantity.Ratio)),
		options: func(j *judge) []option {
			var out []option
			if at >= 0 {
				out = append(out, j.gentler(at, mat.Endurance.SI/worst))
			}
			return append(out, j.resized(func(r *predict.Result) bool {
				after := &judge{r: r, d: r.Model.Design}
				ok := r.Strength.VonMises <= mat.Endurance.SI
				for i := range after.d.Part.Features {
					ok = ok && after.peak(&after.d.Part.Features[i]) <= mat.Endurance.SI
				}
				return ok
			})...)
		},
	}}
}
