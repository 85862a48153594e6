package predict

import (
	"math"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/section"
)

// Strength is the worst stress on the surface under all rated loads together.
type Strength struct {
	VonMises      float64 // Pa, no concentration, no overload
	Station       float64 // m, where it is
	Around        float64 // rad
	YieldFactor   Figure
	OverloadYield Figure

	// Endurance over the surface stress at rated load, for as long as the material's
	// endurance holds: fully reversed, and pulsating from nothing to rated, where the
	// mean stress counts by Goodman's line.
	Reversed  Figure
	Pulsating Figure
}

// strengthOf searches stations that carry a grid (0 when none does), the girth,
// and the signs of the loads; pressure has one sign.
//
//	σv² = σx² − σxσφ + σφ² + 3τ²
func strengthOf(m *model.Model, s *model.State) Strength {
	out := Strength{}
	stations := map[float64]bool{}
	for i := range s.Grids {
		stations[s.Grids[i].Station] = true
	}
	if len(stations) == 0 {
		stations[0] = true
	}
	girth := s.Section.Perimeter(0)
	first := true
	for x := range stations {
		at := func(c float64) float64 { return vonMises(m, s, section.Coordinate{S: c}, x) }
		const steps = 360
		best, where := -1.0, 0.0
		for i := 0; i < steps; i++ {
			c := girth * float64(i) / steps
			if v := at(c); v > best {
				best, where = v, c
			}
		}
		h := girth / steps
		if c, v := peak(at, where-h, where+h, 45); v > best {
			best, where = v, c
		}
		// equal but for rounding: the station nearest to 0, then the smaller, so
		// that the answer does not depend on the order of a map
		if first || best > out.VonMises*(1+1e-12) || best > out.VonMises*(1-1e-12) && nearer(x, out.Station) {
			out.VonMises, out.Station, out.Around = best, x, s.Section.Angle(section.Coordinate{S: where})
		}
		first = false
	}
	mat := m.Design.Part.Material
	switch {
	case !mat.Yield.Set:
		out.YieldFactor = None("the material states no yield strength")
	case out.VonMises == 0:
		out.YieldFactor = None("no load stresses the part")
	default:
		out.YieldFactor = Some(mat.Yield.SI / out.VonMises)
	}
	out.OverloadYield = out.YieldFactor
	if out.YieldFactor.OK() {
		out.OverloadYield.Value /= m.Design.Overload.SI
	}
	out.Reversed, out.Pulsating = enduranceOf(mat, out.VonMises)
	return out
}

// enduranceOf compares a von Mises stress σ at rated load with the endurance Se,
//
//	fully reversed    n = Se/σ
//	pulsating         1/n = (σ/2)/Se + (σ/2)/Su
//
// the second by Goodman's line between Se and the ultimate strength Su (Shigley,
// Mechanical Engineering Design, modified Goodman; from memory). Of unnotched bars:
// surface, size and notches lower it.
func enduranceOf(mat design.Material, stress float64) (reversed, pulsating Figure) {
	if !mat.Endurance.Set {
		none := None("the material states no endurance")
		return none, none
	}
	if stress == 0 {
		none := None("no load stresses the part")
		return none, none
	}
	reversed = Some(mat.Endurance.SI / stress)
	if !mat.Ultimate.Set {
		return reversed, None("the material states no ultimate strength")
	}
	return reversed, Some(1 / (stress/2/mat.Endurance.SI + stress/2/mat.Ultimate.SI))
}

func nearer(a, b float64) bool {
	return math.Abs(a) < math.Abs(b) || math.Abs(a) == math.Abs(b) && a < b
}

// vonMises is the worst over the signs of the rated loads at one point, Pa.
func vonMises(m *model.Model, s *model.State, c section.Coordinate, station float64) float64 {
	var u section.Unit
	s.Section.Surface(c, station, &u)
	worst := 0.0
	n := len(m.Components)
	for signs := 0; signs < 1<<n; signs++ {
		var t section.Stress
		for j, comp := range m.Components {
			f := m.Rated[j]
			if signs>>j&1 == 1 && comp != design.Pressure {
				f = -f
			}
			t.Axial += f * u[comp].Axial
			t.Hoop += f * u[comp].Hoop
			t.Shear += f * u[comp].Shear
		}
		v := math.Sqrt(t.Axial*t.Axial - t.Axial*t.Hoop + t.Hoop*t.Hoop + 3*t.Shear*t.Shear)
		worst = math.Max(worst, v)
	}
	return worst
}

// Stiffness of the straight length.
type Stiffness struct {
	Torsional Figure // GJ/l, N·m/rad
	Axial     Figure // EA/l, N/m
	Bending   Figure // EI, the smaller principal one, N·m²
	Frequency Figure // of the two end inertias on the torsional spring, Hz

	Twist      Figure // of the straight length at rated torque, rad
	Elongation Figure // of it at rated axial force, m
	Bend       Figure // angle between its ends at the greater rated bending moment, rad
}

// stiffnessOf computes torsion GJ/l, axial EA/l, bending EI, and the torsional
// natural frequency of two inertias on a massless spring
//
//	f = 1/2π · √(k (1/J1 + 1/J2))
//
// and what the straight length does at rated load: twist T l/GJ, elongation N l/EA,
// the angle M l/EI between its ends.
func stiffnessOf(d *design.Design, s *model.State, p section.Properties) Stiffness {
	out := Stiffness{Bending: Some(s.Young() * smallerPrincipal(p))}
	span := d.Part.StraightLength
	if !span.Set {
		why := "the file gives no straight length"
		out.Torsional, out.Axial, out.Frequency = None(why), None(why), None(why)
		out.Twist, out.Elongation, out.Bend = None(why), None(why), None(why)
		return out
	}
	l := span.To.SI - span.From.SI
	out.Torsional = Some(s.Rigidity() * p.J / l)
	out.Axial = Some(s.Young() * p.Area / l)
	out.Twist, out.Elongation, out.Bend = None("no torque"), None("no axial force"), None("no bending")
	for _, load := range d.Loads {
		f := math.Abs(load.Rated.SI)
		switch load.Component {
		case design.Torque:
			out.Twist = Some(f / out.Torsional.Value)
		case design.Axial:
			out.Elongation = Some(f / out.Axial.Value)
		case design.BendingY, design.BendingZ:
			out.Bend = Some(math.Max(out.Bend.Value, f*l/out.Bending.Value))
		}
	}
	out.Frequency = None("the file gives no end inertias")
	if d.Part.HasEndInertias {
		j := d.Part.EndInertias
		out.Frequency = Some(math.Sqrt(out.Torsional.Value*(1/j[0].SI+1/j[1].SI)) / (2 * math.Pi))
	}
	return out
}

func smallerPrincipal(p section.Properties) float64 {
	mean, half := (p.Iy+p.Iz)/2, (p.Iy-p.Iz)/2
	return mean - math.Hypot(half, p.Iyz)
}
