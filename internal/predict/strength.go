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
	At            section.Coordinate
	Around        float64 // rad, of At
	Left          float64 // m on either side of a re-entrant corner that are not counted; 0 without one
	YieldFactor   Figure
	OverloadYield Figure

	// Endurance over the surface stress at rated load, for as long as the material's
	// endurance holds: fully reversed, and pulsating from nothing to rated, where the
	// mean stress counts by Goodman's line.
	Reversed  Figure
	Pulsating Figure
}

// strengthOf searches stations that carry a grid (0 when none does), the outer girth
// as WorstOf does, and the signs of the loads; pressure has one sign.
//
//	σv² = σx² − σxσφ + σφ² + 3τ²
//
// Axial stress is linear in the station and nothing else depends on it, so the
// greatest lies at the first or the last of them.
func strengthOf(m *model.Model, s *model.State) Strength {
	out := Strength{}
	for i, x := range outermost(s) {
		w := WorstOf(s.Section, 0, func(c section.Coordinate) float64 { return VonMises(m, s, c, x) })
		// equal but for rounding: the station nearest to 0, then the smaller
		if i == 0 || w.Value > out.VonMises*(1+1e-12) || w.Value > out.VonMises*(1-1e-12) && nearer(x, out.Station) {
			out.VonMises, out.Station, out.At, out.Left = w.Value, x, w.At, w.Left
			out.Around = s.Section.Angle(w.At)
		}
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

// outermost are the first and the last station that carries a grid and the one
// nearest to 0; 0 when none does.
func outermost(s *model.State) []float64 {
	if len(s.Grids) == 0 {
		return []float64{0}
	}
	low, high, near := math.Inf(1), math.Inf(-1), math.Inf(1)
	for i := range s.Grids {
		x := s.Grids[i].Station
		low, high = math.Min(low, x), math.Max(high, x)
		if nearer(x, near) {
			near = x
		}
	}
	return []float64{low, high, near}
}

func nearer(a, b float64) bool {
	return math.Abs(a) < math.Abs(b) || math.Abs(a) == math.Abs(b) && a < b
}

// VonMises is the worst over the signs of the rated loads at one point of the surface
// or of a hole, Pa.
func VonMises(m *model.Model, s *model.State, c section.Coordinate, station float64) float64 {
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
	Torsional Figure  // GJ/l, N·m/rad
	Axial     Figure  // EA/l, N/m
	Bending   Figure  // EI, the smaller principal one, N·m²
	Stronger  Figure  // EI, the larger principal one, N·m²; missing where both are equal
	Axis      float64 // rad from y toward z of the axis about which Stronger holds
	Frequency Figure  // of the two end inertias on the torsional spring, Hz

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
// the angle κl between its ends, κ the curvature that a bending moment makes in a
// section whose axes y, z need not be principal,
//
//	κ = My √(Iz² + Iyz²)/(E Δ),  κ = Mz √(Iy² + Iyz²)/(E Δ),  Δ = Iy Iz − Iyz²
func stiffnessOf(d *design.Design, s *model.State, p section.Properties) Stiffness {
	larger, smaller, axis := p.Principal()
	out := Stiffness{Bending: Some(s.Young() * smaller), Stronger: None("every axis is a principal one"), Axis: axis}
	if larger-smaller > 1e-9*larger {
		out.Stronger = Some(s.Young() * larger)
	}
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
		case design.BendingY:
			out.Bend = Some(math.Max(out.Bend.Value, f*l/(s.Young()*bendingMoment(p.Iy, p.Iz, p.Iyz))))
		case design.BendingZ:
			out.Bend = Some(math.Max(out.Bend.Value, f*l/(s.Young()*bendingMoment(p.Iz, p.Iy, p.Iyz))))
		}
	}
	out.Frequency = None("the file gives no end inertias")
	if d.Part.HasEndInertias {
		j := d.Part.EndInertias
		out.Frequency = Some(math.Sqrt(out.Torsional.Value*(1/j[0].SI+1/j[1].SI)) / (2 * math.Pi))
	}
	return out
}

// bendingMoment is M over the curvature that it makes and E, m⁴: of the moment about
// an axis whose own second moment is own; that itself where the axis is principal.
func bendingMoment(own, other, product float64) float64 {
	if math.Abs(product) <= 1e-12*other {
		return own
	}
	return (own*other - product*product) / math.Hypot(other, product)
}
