package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// bored is a section with a bore under pressure.
type bored interface {
	Bore() (section.Stress, bool)
}

// boreStress is the greatest stress on the inner surface of a round tube under
// all rated loads together, over the girth and the signs of the loads, Pa; of a
// section with holes that was solved, that along them. Of a tube under pressure it is
//
//	σv² = ½[(σφ−σx)² + (σx−σr)² + (σr−σφ)²] + 3τ²
//
// with the pressure's hoop, axial and radial stress (Lamé), N/A, bending and
// torsion falling inward with the radius, and for a shear force
//
//	τ = K' (Vz cos φ − Vy sin φ),  K' = [(3+2ν) b² + (1+2ν) a²] / [4(1+ν) I]
//
// the flexure of the hollow circle with its two radii exchanged, in which the
// solution is symmetric.
func (j *judge) boreStress() (float64, bool) {
	if v, ok := j.holeStress(); ok {
		return v, true
	}
	pressure, ok := j.d.Load(design.Pressure)
	if !ok || pressure.Rated.SI == 0 {
		return 0, false
	}
	s, ok := j.r.State.Section.(bored)
	if !ok {
		return 0, false
	}
	unit, ok := s.Bore()
	if !ok {
		return 0, false
	}
	b := j.r.Section.Depth / 2
	a := math.Sqrt(math.Max(0, b*b-j.r.Section.Area/math.Pi))
	nu := j.d.Part.Material.Poisson.SI
	k := ((3+2*nu)*b*b + (1+2*nu)*a*a) / (4 * (1 + nu) * j.r.Section.Iy)
	var rated [design.Components]float64
	for c, comp := range j.r.Model.Components {
		rated[comp] = math.Abs(j.r.Model.Rated[c])
	}
	p := rated[design.Pressure]
	worst := 0.0
	for x := range j.stations() {
		const steps = 360
		for i := range steps {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / steps)
			sin, cos = math.Abs(sin), math.Abs(cos)
			lever := a / j.r.Section.Iy
			free := rated[design.Axial]/j.r.Section.Area +
				lever*(sin*(rated[design.BendingY]+math.Abs(x)*rated[design.ShearZ])+cos*(rated[design.BendingZ]+math.Abs(x)*rated[design.ShearY]))
			shear := rated[design.Torque]*a/j.r.Section.J + k*(cos*rated[design.ShearZ]+sin*rated[design.ShearY])
			hoop, radial := p*unit.Hoop, -p
			for _, axial := range []float64{p*unit.Axial + free, p*unit.Axial - free} {
				d1, d2, d3 := hoop-axial, axial-radial, radial-hoop
				worst = math.Max(worst, math.Sqrt((d1*d1+d2*d2+d3*d3)/2+3*shear*shear))
			}
		}
	}
	return worst, true
}

// stations are those that carry a grid, 0 when none does.
func (j *judge) stations() map[float64]bool {
	out := map[float64]bool{}
	for _, g := range j.r.Grids {
		out[g.Station] = true
	}
	if len(out) == 0 {
		out[0] = true
	}
	return out
}

func bore(j *judge) []Finding {
	v, ok := j.boreStress()
	if !ok || v <= j.r.Strength.VonMises*(1+1e-9) {
		return nil
	}
	yield := j.d.Part.Material.Yield
	inside := "bore"
	if !j.round() {
		inside = "hole"
	}
	f := Finding{Level: Note, Value: some(v),
		Message: fmt.Sprintf("the %s bears more than the surface: %s at rated loads against %s", inside, show(v, quantity.Stress), show(j.r.Strength.VonMises, quantity.Stress))}
	if !yield.Set {
		return []Finding{f}
	}
	f.Limit = some(yield.SI)
	over := v * j.d.Overload.SI
	stronger := "thicken the wall or lower the pressure"
	if !j.round() {
		stronger = "thicken the wall or widen the radii of the hole"
	}
	required := j.d.Require.YieldFactor
	strong := func(limit float64) func(*judge) []option {
		return func(j *judge) []option {
			return j.resized(func(r *predict.Result) bool {
				v, _ := (&judge{r: r, d: r.Model.Design}).boreStress()
				return v <= limit
			})
		}
	}
	switch {
	case over > yield.SI:
		f.Level, f.Value = Fail, some(over)
		f.Message = fmt.Sprintf("the part yields at the %s at %s times rated load: %s, yield strength %s", inside, plain(j.d.Overload.SI), show(over, quantity.Stress), show(yield.SI, quantity.Stress))
		f.Remedy, f.options = stronger, strong(yield.SI/j.d.Overload.SI)
	case required.Set && v > yield.SI/required.SI*(1+1e-9):
		f.Level, f.Limit = Warning, some(yield.SI/required.SI)
		f.Message += fmt.Sprintf(", a factor of %s against yield where %s is required (at most %s)", show(yield.SI/v, quantity.Number), show(required.SI, quantity.Number), show(*f.Limit, quantity.Stress))
		f.Remedy, f.options = stronger, strong(*f.Limit)
	}
	return []Finding{f}
}
