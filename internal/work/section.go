package work

import (
	"math"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/section"
)

const (
	handbook   = "mechanics of materials"
	elasticity = "exact elasticity of the hollow circle: Love, Mathematical Theory of Elasticity, art. 231; solid limit Sadd, Elasticity, eq. 9.9.10"
	wrapped    = "mean over the wrapped rectangle of the grid"
	hooke      = "Hooke's law, free surface, turned by α"
	standard   = "ASTM E251, OIML R 62: gauge factor on a uniaxial stress field with ν0 = 0.285"
	boundary   = "Saint-Venant's torsion and flexure by boundary elements (harmonic warping functions, traction-free outline), the error by a finer mesh"
	averaged   = "Saint-Venant's problem by boundary elements; mean over the grid on the face, stand-off: bending (c + h)/c, torsion γ + 2hθ′"
)

// round gives the radii of a round section, m.
func (w *writer) round() (b, a float64, ok bool) {
	if _, ok = w.d.Result.State.Section.(*section.Round); !ok {
		return 0, 0, false
	}
	dims := w.d.Design.Part.Section.Dimensions
	b = dims[0].SI / 2
	if len(dims) > 1 {
		a = dims[1].SI / 2
	}
	return b, a, true
}

func (w *writer) section() {
	w.chapter("Section and material")
	p, m := w.d.Result.Section, w.d.Design.Part.Material
	b, a, ok := w.round()
	if !ok {
		for _, s := range []Step{
			{What: "area", Symbol: "A", Result: p.Area, Unit: "m²"},
			{What: "second moment about y", Symbol: "Iy", Result: p.Iy, Unit: "m⁴"},
			{What: "second moment about z", Symbol: "Iz", Result: p.Iz, Unit: "m⁴"},
			{What: "product moment", Symbol: "Iyz", Result: p.Iyz, Unit: "m⁴"},
		} {
			s.Source = "integrals over the outline"
			w.add(s)
		}
		offset := func(v float64) float64 { // rounding is none
			if math.Abs(v) < 1e-9*p.Depth {
				return 0
			}
			return v
		}
		for _, s := range []Step{
			{What: "torsion constant", Symbol: "J", Result: p.J, Unit: "m⁴"},
			{What: "its relative error", Symbol: "δJ", Result: p.JError},
			{What: "error of the surface shear, of its greatest", Symbol: "δτ", Result: p.StressError},
			{What: "offset of the shear centre from the centroid along y; a shear force through the centroid twists by it", Symbol: "y_s", Result: offset(p.ShearCentreY - p.CentroidY), Unit: "m"},
			{What: "that along z", Symbol: "z_s", Result: offset(p.ShearCentreZ - p.CentroidZ), Unit: "m"},
		} {
			s.Source = boundary
			w.add(s)
		}
	} else {
		bore := []Number{{"b", b, "m"}, {"a", a, "m"}}
		w.show(Step{What: "area", Symbol: "A", Formula: "π·(b^2 − a^2)", Source: handbook, With: bore, Result: p.Area, Unit: "m²"}, 0)
		w.show(Step{What: "second moment of area", Symbol: "I", Formula: "π·(b^4 − a^4)/4", Source: handbook, With: bore, Result: p.Iy, Unit: "m⁴"}, 0)
		w.show(Step{What: "torsion constant", Symbol: "J", Formula: "2·I", Source: handbook, With: []Number{{"I", p.Iy, "m⁴"}}, Result: p.J, Unit: "m⁴"}, 0)
	}
	if !m.Shear.Set {
		w.show(Step{What: "shear modulus", Symbol: "G", Formula: "E/(2·(1 + ν))", Source: "isotropic elasticity",
			With: []Number{{"E", m.Youngs.SI, "Pa"}, {"ν", m.Poisson.SI, ""}}, Result: w.d.Result.State.Rigidity(), Unit: "Pa"}, 0)
	}
}

// unitOf is the unit of a component's load, and perUnit of a stress for one of it.
func unitOf(c design.Component) (load, stress string) {
	switch c {
	case design.Torque, design.BendingY, design.BendingZ:
		return "N·m", "Pa/(N·m)"
	case design.Pressure:
		return "Pa", "Pa/Pa"
	}
	return "N", "Pa/N"
}

// per is the unit of what goes with one unit of a load.
func per(load string) string {
	if strings.Contains(load, "·") {
		load = "(" + load + ")"
	}
	return "1/" + load
}

// grids shows, for each grid and load, stress, strain and ΔR/R of a unit load.
func (w *writer) grids() {
	r := w.d.Result
	for i := range r.Grids {
		gs := &r.State.Grids[i]
		w.chapter("Grid " + r.Grids[i].Name)
		g := &w.d.Design.Gauges[r.Model.Grids[i].Gauge]
		patch := section.Patch{Centre: gs.Coordinate, Station: gs.Station, Sin: gs.Sin, Cos: gs.Cos, Length: gs.Length, Width: gs.Width, StandOff: g.StandOff.SI}
		var unit section.Unit
		r.State.Section.Mean(&patch, &unit)
		shape := w.average(i, patch)
		for j, c := range r.Model.Components {
			w.stress(c, unit[c], patch, gs.Around, shape)
			w.strain(i, j, unit[c])
		}
	}
}

// means are the factors by which averaging over a wrapped grid lowers a stress
// that goes with cos φ, and what a station that varies with φ adds.
type means struct{ s, m float64 }

// average shows the two factors of the mean over the grid of a round part.
func (w *writer) average(i int, p section.Patch) means {
	b, _, ok := w.round()
	if !ok {
		return means{}
	}
	alpha := math.Atan2(p.Sin, p.Cos)
	u, v := p.Length*p.Sin/(2*b), p.Width*p.Cos/(2*b)
	with := []Number{{"L", p.Length, "m"}, {"W", p.Width, "m"}, {"α", alpha, "rad"}, {"b", b, "m"}}
	w.show(Step{What: "half the angle that the grid's length covers around the part", Symbol: "u", Formula: "L·sin(α)/(2·b)", Source: wrapped, With: with, Result: u, Unit: "rad"}, 1e-9)
	w.show(Step{What: "half the angle that its width covers", Symbol: "v", Formula: "W·cos(α)/(2·b)", Source: wrapped, With: with, Result: v, Unit: "rad"}, 1e-9)
	su, gu, sv, gv := sinc(u), bend(u), sinc(v), bend(v)
	out := means{su * sv, p.Length*p.Cos/2*gu*sv - p.Width*p.Sin/2*gv*su}
	var factors []string
	var arguments []Number
	factor := func(name string, x float64) {
		if x != 0 {
			factors = append(factors, "sin("+name+")/"+name)
			arguments = append(arguments, Number{name, x, "rad"})
		}
	}
	factor("u", u)
	factor("v", v)
	if len(factors) == 0 {
		factors = []string{"1"}
	}
	w.show(Step{What: "mean over the grid of what goes with cos φ or sin φ", Symbol: "S", Formula: strings.Join(factors, "·"), Source: wrapped, With: arguments, Result: out.s}, 0)
	return out
}

// sinc is sin w/w, and bend (sin w − w cos w)/w², each with its limit at 0.
func sinc(w float64) float64 {
	if w == 0 {
		return 1
	}
	return math.Sin(w) / w
}

func bend(w float64) float64 {
	if math.Abs(w) < 1e-2 {
		w2 := w * w
		return w / 3 * (1 - w2/10*(1-w2/28))
	}
	return (math.Sin(w) - w*math.Cos(w)) / (w * w)
}

// stress shows the mean stress of a unit load under a grid.
func (w *writer) stress(c design.Component, u section.Stress, p section.Patch, phi float64, mean means) {
	_, unit := unitOf(c)
	name := c.String()
	b, a, ok := w.round()
	if !ok {
		for _, s := range []Step{{Symbol: "σ", What: "axial stress per unit of " + name, Result: u.Axial}, {Symbol: "τ", What: "shear stress per unit of " + name, Result: u.Shear}} {
			s.Unit, s.Source = unit, averaged
			w.add(s)
		}
		return
	}
	pr := w.d.Result.Section
	reach := []Number{{"b", b, "m"}, {"h", p.StandOff, "m"}}
	turned := append(append([]Number{}, reach...), Number{"I", pr.Iy, "m⁴"}, Number{"φ", phi, "rad"}, Number{"S", mean.s, ""})
	moving := append(append([]Number{}, turned...), Number{"x", p.Station, "m"}, Number{"m", mean.m, "m"})
	bending := (b + p.StandOff) / pr.Iy
	axial := func(formula string, with []Number, scale float64) {
		w.show(Step{What: "axial stress per unit of " + name, Symbol: "σ", Formula: formula, Source: handbook + "; stand-off: bending grows by (b + h)/b", With: with, Result: u.Axial, Unit: unit}, scale)
	}
	nu := w.d.Design.Part.Material.Poisson.SI
	k := ((3+2*nu)*a*a + (1+2*nu)*b*b) / (4 * (1 + nu) * pr.Iy)
	shear := func(formula string) {
		with := []Number{{"a", a, "m"}, {"b", b, "m"}, {"ν", nu, ""}, {"I", pr.Iy, "m⁴"}, {"φ", phi, "rad"}, {"S", mean.s, ""}}
		w.show(Step{What: "shear stress per unit of " + name, Symbol: "τ", Formula: formula, Source: elasticity, With: with, Result: u.Shear, Unit: unit}, k)
	}
	const flexure = "((3 + 2·ν)·a^2 + (1 + 2·ν)·b^2)/(4·(1 + ν)·I)"
	switch c {
	case design.Axial:
		w.show(Step{What: "axial stress per unit of axial", Symbol: "σ", Formula: "1/A", Source: handbook, With: []Number{{"A", pr.Area, "m²"}}, Result: u.Axial, Unit: unit}, 0)
	case design.Torque:
		w.show(Step{What: "shear stress per unit of torque", Symbol: "τ", Formula: "(b + h)/J", Source: handbook + "; stand-off: torsion grows by (b + h)/b", With: append(reach, Number{"J", pr.J, "m⁴"}), Result: u.Shear, Unit: unit}, 0)
	case design.BendingY:
		axial("(b + h)/I·S·sin(φ)", turned, bending)
	case design.BendingZ:
		axial("−(b + h)/I·S·cos(φ)", turned, bending)
	case design.ShearY:
		axial("(b + h)/I·(x·S·cos(φ) − m·sin(φ))", moving, bending*b)
		shear("−" + flexure + "·S·sin(φ)")
	case design.ShearZ:
		axial("(b + h)/I·(x·S·sin(φ) + m·cos(φ))", moving, bending*b)
		shear(flexure + "·S·cos(φ)")
	case design.Pressure:
		with := []Number{{"a", a, "m"}, {"b", b, "m"}}
		w.show(Step{What: "hoop stress per unit of pressure", Symbol: "θ", Formula: "2·a^2/(b^2 − a^2)", Source: "Lamé, outer surface", With: with, Result: u.Hoop, Unit: unit}, 0)
		if u.Axial != 0 {
			w.show(Step{What: "axial stress per unit of pressure", Symbol: "σ", Formula: "a^2/(b^2 − a^2)", Source: "closed ends", With: with, Result: u.Axial, Unit: unit}, 0)
		}
	}
}

// strain shows the strain along and across a grid and its ΔR/R, for a unit load.
func (w *writer) strain(i, j int, u section.Stress) {
	r := w.d.Result
	s, gs := r.State, &r.State.Grids[i]
	load, _ := unitOf(r.Model.Components[j])
	name := r.Model.Components[j].String()
	e := s.Strain(i, j)
	alpha := math.Atan2(gs.Sin, gs.Cos)
	nu := w.d.Design.Part.Material.Poisson.SI
	var with []Number
	along, across := []string{}, []string{}
	with = append(with, Number{"α", alpha, "rad"})
	scale := 0.0
	if u.Axial != 0 || u.Hoop != 0 {
		x, t := "σ/E", "−ν·σ/E"
		with = append(with, Number{"σ", u.Axial, "Pa"}, Number{"ν", nu, ""}, Number{"E", s.Young(), "Pa"})
		if u.Hoop != 0 {
			x, t = "(σ − ν·θ)/E", "(θ − ν·σ)/E"
			with = append(with, Number{"θ", u.Hoop, "Pa"})
		}
		along = append(along, x+"·cos(α)^2", t+"·sin(α)^2")
		across = append(across, x+"·sin(α)^2", t+"·cos(α)^2")
		scale += (math.Abs(u.Axial) + math.Abs(u.Hoop)) / s.Young()
	}
	if u.Shear != 0 {
		along = append(along, "τ/G·sin(α)·cos(α)")
		across = append(across, "−τ/G·sin(α)·cos(α)")
		with = append(with, Number{"τ", u.Shear, "Pa"}, Number{"G", s.Rigidity(), "Pa"})
		scale += math.Abs(u.Shear) / s.Rigidity()
	}
	if len(along) == 0 {
		along, across = []string{"0"}, []string{"0"}
	}
	w.show(Step{What: "strain along the grid per unit of " + name, Symbol: "εa", Formula: sum(along), Source: hooke, With: with, Result: e.Along, Unit: per(load)}, scale)
	w.show(Step{What: "strain across the grid per unit of " + name, Symbol: "εt", Formula: sum(across), Source: hooke, With: with, Result: e.Across, Unit: per(load)}, scale)
	gain := gauge.Gain(gs.Factor, gs.Transverse)
	w.show(Step{What: "ΔR/R per unit of " + name, Symbol: symbol("k", r.Grids[i].Name), Formula: "F/(1 − 0.285·Kt)·(εa + Kt·εt)", Source: standard,
		With:   []Number{{"F", gs.Factor, ""}, {"Kt", gs.Transverse, ""}, {"εa", e.Along, ""}, {"εt", e.Across, ""}},
		Result: s.Row(i, j), Unit: per(load)}, gain*scale)
	rated := r.Model.Rated[j]
	w.show(Step{What: "strain along the grid at rated " + name, Symbol: "ε", Formula: "εa·F", Source: "definition",
		With: []Number{{"εa", e.Along, per(load)}, {"F", rated, load}}, Result: r.Grids[i].Along[j]}, math.Abs(scale*rated))
}

// sum joins terms; one that starts with a minus is subtracted.
func sum(terms []string) string {
	out := terms[0]
	for _, t := range terms[1:] {
		if rest, ok := cutMinus(t); ok {
			out += " − " + rest
		} else {
			out += " + " + t
		}
	}
	return out
}

func cutMinus(s string) (string, bool) {
	const minus = "−"
	if len(s) > len(minus) && s[:len(minus)] == minus {
		return s[len(minus):], true
	}
	return s, false
}
