package uncertainty

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/material"
)

// Assumption is a tolerance that the file leaves out and common practice fills in.
type Assumption struct {
	Path   string // of the value in the design file
	Value  string // what is assumed, such as "± 1 % (k=2)"
	Source string
}

// Assume fills the tolerances that a design leaves out, when it says
// `assume: common-practice`, and returns what it filled in so that every output can
// mark it; it changes d, and a second call finds nothing left to fill. A value with ±,
// even ± 0, stays as it is. Only tolerances are assumed, never values; dimensions, leads,
// grid sizes and what was measured after bonding stay exact.
//
//	built-in material                E, ν, α and the drifts as the table of materials has them, k = 2
//	another material                 E ± 2.5 %, ν ± 0.01, k = 2
//	gauge factor                     ± 1 %, k = 2, one draw for the lot
//	resistance of a grid             ± 0.3 %, limit
//	transverse sensitivity           ± 0.2 percentage points, limit; ± 1 where none is stated
//	stand-off                        ± half of it, limit
//	drift of the gauge factor        ± 0.3 %/100K, k = 2
//	thermal-output spread            0.27 µε/K, k = 2, each grid
//	fixed resistor                   ± 0.1 %, limit
func Assume(d *design.Design) []Assumption {
	if d.Assume != "common-practice" {
		return nil
	}
	a := assumer{seen: map[string]bool{}}
	a.material(&d.Part.Material)
	for i := range d.Gauges {
		a.gauge(&d.Gauges[i])
	}
	for i := range d.Bridges {
		b := &d.Bridges[i]
		for k := range b.Arms {
			if arm := &b.Arms[k]; arm.Fixed() {
				path := fmt.Sprintf("bridges.%s.arms[%d]", b.Name, k)
				a.fill(&arm.Resistor, path, 0.001*arm.Resistor.SI, 0, "± 0.1 %", "common practice: ordinary film resistors")
			}
		}
	}
	return a.list
}

type assumer struct {
	list []Assumption
	seen map[string]bool
}

// explicit says that the file states the tolerance itself.
func explicit(n design.Number) bool {
	return n.Tolerance > 0 || strings.Contains(n.Text, "±") || strings.Contains(n.Text, "+-")
}

// fill gives n a tolerance; values that stand at one place are listed once.
func (a *assumer) fill(n *design.Number, path string, tolerance, coverage float64, value, source string) {
	if explicit(*n) || !(tolerance > 0) {
		return
	}
	n.Tolerance, n.Coverage = tolerance, coverage
	if n.Place.Path != "" {
		path = n.Place.Path
	}
	a.note(path, value, source)
}

func (a *assumer) note(path, value, source string) {
	if !a.seen[path] {
		a.seen[path] = true
		a.list = append(a.list, Assumption{path, value, source})
	}
}

func (a *assumer) material(m *design.Material) {
	const path = "part.material."
	if !m.BuiltIn {
		const source = "common practice: what handbooks disagree by on one metal"
		a.fill(&m.Youngs, path+"youngs-modulus", 0.025*m.Youngs.SI, 2, "± 2.5 % (k=2)", source)
		a.fill(&m.Poisson, path+"poisson-ratio", 0.01, 2, "± 0.01 (k=2)", source)
		return
	}
	table, ok := material.Find(m.Name)
	if !ok {
		return
	}
	const source = "table of materials, bar of unknown heat"
	relative := func(f material.Figure) string {
		return fmt.Sprintf("± %.3g %% (k=2)", 100*f.Tolerance/math.Abs(f.Value))
	}
	a.fill(&m.Youngs, path+"youngs-modulus", table.E.Tolerance, 2, relative(table.E), source)
	a.fill(&m.Poisson, path+"poisson-ratio", table.Poisson.Tolerance, 2, fmt.Sprintf("± %.3g (k=2)", table.Poisson.Tolerance), source)
	a.fill(&m.Expansion, path+"expansion", table.Expansion.Tolerance, 2, fmt.Sprintf("± %.3g ppm/K (k=2)", 1e6*table.Expansion.Tolerance), source)
	a.fill(&m.YoungsDrift, path+"youngs-drift", table.YoungsDrift.Tolerance, 2, fmt.Sprintf("± %.3g ppm/K (k=2)", 1e6*table.YoungsDrift.Tolerance), source)
	if m.ShearDrift.Set {
		a.fill(&m.ShearDrift, path+"shear-drift", table.ShearDrift.Tolerance, 2, fmt.Sprintf("± %.3g ppm/K (k=2)", 1e6*table.ShearDrift.Tolerance), source)
	}
}

func (a *assumer) gauge(g *design.Gauge) {
	path := "gauges." + g.Name + "."
	for i := range g.GaugeFactor {
		n := &g.GaugeFactor[i]
		a.fill(n, path+"gauge-factor", 0.01*math.Abs(n.SI), 2, "± 1 % (k=2)", "common practice: lots are stated to 0.5 to 1 %")
	}
	for i := range g.Resistance {
		n := &g.Resistance[i]
		a.fill(n, path+"resistance", 0.003*n.SI, 0, "± 0.3 %", "common practice: transducer gauges are stated to 0.1 to 0.3 %")
	}
	for i := range g.Transverse {
		n := &g.Transverse[i]
		if n.Set {
			a.fill(n, path+"transverse-sensitivity", 0.002, 0, "± 0.2 %", "common practice, percentage points")
		} else {
			a.fill(n, path+"transverse-sensitivity", 0.01, 0, "± 1 %", "common practice, percentage points: foil gauges lie from -1 to 1.5 %, and none is stated")
		}
	}
	a.fill(&g.StandOff, path+"stand-off", 0.5*g.StandOff.SI, 0, "± 50 %", "common practice: a bond line is known to half of it")
	if g.Drift.Set {
		a.fill(&g.Drift, path+"gauge-factor-drift", 0.3e-4, 2, "± 0.3 %/100K (k=2)", "common practice for constantan foil")
	}
	if s := &g.Thermal.Spread; !s.Set {
		s.SI, s.Coverage, s.Set = 0.27e-6, 2, true
		a.note(path+"thermal-output.spread", "0.27 µε/K (k=2)", "common practice for constantan foil, each grid")
	}
}
