// Package model is the kernel where part, grids and bridges meet. Compile turns
// a design into a Model whose inputs, every number that the prediction depends
// on, are one flat vector; Eval gives the small-signal figures for any value of
// that vector, Output the exact ones.
//
// Strain is linear in the loads, so a grid is one row of ΔR/R for each load
// component and a bridge one weight ∂(V/E)/∂R for each arm: sensitivity is
// weights times rows. The model does not know requirements, verdicts or
// distributions of the inputs beyond their stated tolerances.
package model

import (
	"fmt"
	"math"
	"sync"

	"gridwright/internal/bridge"
	"gridwright/internal/design"
	"gridwright/internal/section"
)

// CopperTCR is the temperature coefficient of annealed copper near 20 °C, 1/K
// (IEC 60028).
const CopperTCR = 3.93e-3

// Model is a compiled design. It does not change after Compile and may be shared
// by any number of goroutines, each with its own State.
type Model struct {
	Design     *design.Design
	Components []design.Component // the loads of the file, in canonical order
	Rated      []float64          // of each of Components
	Grids      []Grid             // of all placements, in their order
	Bridges    []Bridge
	Inputs     []Input
	Nominal    []float64 // of the inputs

	shape      section.Shape
	dimensions []int
	nominal    section.Section // at the nominal dimensions
	varied     *varied
	material   struct{ e, nu, g, alpha, eDrift, gDrift int }
	lots       []lot
	placements []placement
	reference  float64 // K

	known map[string]int // inputs by place, while the model is compiled
}

// varied is the section prepared for many values near the nominal ones, once it is
// asked for; models that differ in their bridges alone share it.
type varied struct {
	once sync.Once
	make func() section.Section
	err  error
}

// Grid is one grid of one placement.
type Grid struct {
	Ref   design.GridRef
	Name  string
	Gauge int

	number                int // in its pattern
	sin, cos              float64
	resistance            int
	scatter, spread       int
	length, width         int
	centreAlong, centreAc int
}

// Bridge is one bridge with the grids of its arms as indexes into Model.Grids.
type Bridge struct {
	Name     string
	Measures int // index into Model.Components
	Arms     [4]Arm
	Wiring   bridge.Wiring // Each is set from the inputs
	Follow   bool          // leads at the part's temperature
	each     int
	meter    int
}

// Arm is the grids in series of one arm, or a fixed resistor.
type Arm struct {
	Grids []int
	Fixed bool

	atPart        bool
	resistor, tcr int
}

type lot struct {
	factor, factorScale         []float64 // nominal, and change for one unit of the lot's input
	transverse, transverseScale []float64
	factorIn, transverseIn      int
	drift                       int
	layer                       bool
	layerExpansion, layerNu     int
	thermal                     bool
	coefficients                []int
	fahrenheit                  bool
	forFactor, forExpansion     int // forExpansion < 0: the part's
}

type placement struct {
	gauge, station, direction, standOff int
	around                              int // -1 on a face
	face, across                        int // across: -1 where around holds
	first, grids                        int // into Model.Grids
}

// Compile builds the model of a design. The design is one that package
// designfile accepted, or was built alike; what cannot be computed is an error.
func Compile(d *design.Design) (*Model, error) {
	shape, ok := section.Find(d.Part.Section.Shape)
	if !ok {
		return nil, fmt.Errorf("no section shape %q", d.Part.Section.Shape)
	}
	m := &Model{Design: d, shape: shape, varied: &varied{}, reference: d.Temperature.Reference.SI, known: map[string]int{}}
	for _, c := range d.Loads {
		m.Components = append(m.Components, c.Component)
		m.Rated = append(m.Rated, c.Rated.SI)
	}
	keys := shape.Keys(d.Part.Section.Counts)
	if len(keys) != len(d.Part.Section.Dimensions) {
		return nil, fmt.Errorf("shape %s takes %d numbers, not %d", shape.Name, len(keys), len(d.Part.Section.Dimensions))
	}
	for i, n := range d.Part.Section.Dimensions {
		m.dimensions = append(m.dimensions, m.number(n, "part.section."+keys[i]))
	}
	var err error
	if m.nominal, err = section.Of(d.Part); err != nil {
		return nil, err
	}
	for _, l := range d.Loads {
		if err := m.nominal.Bears(l.Component); err != nil {
			return nil, fmt.Errorf("load %v: %w", l.Component, err)
		}
	}
	mat := d.Part.Material
	m.material.e = m.number(mat.Youngs, "part.material.youngs-modulus")
	m.material.nu = m.number(mat.Poisson, "part.material.poisson-ratio")
	m.material.g, m.material.gDrift = -1, -1
	if mat.Shear.Set {
		m.material.g = m.number(mat.Shear, "part.material.shear-modulus")
	}
	m.material.alpha = m.number(mat.Expansion, "part.material.expansion")
	m.material.eDrift = m.number(mat.YoungsDrift, "part.material.youngs-drift")
	if mat.ShearDrift.Set {
		m.material.gDrift = m.number(mat.ShearDrift, "part.material.shear-drift")
	}
	for i := range d.Gauges {
		m.addLot(&d.Gauges[i])
	}
	for i := range d.Placements {
		m.addPlacement(i)
	}
	for i := range d.Bridges {
		if err := m.addBridge(&d.Bridges[i]); err != nil {
			return nil, err
		}
	}
	m.known = nil
	m.Nominal = make([]float64, len(m.Inputs))
	for i, in := range m.Inputs {
		m.Nominal[i] = in.Nominal
	}
	s := m.NewExact()
	if err := m.Set(m.Nominal, s); err != nil {
		return nil, err
	}
	return m, nil
}

func (m *Model) addLot(g *design.Gauge) {
	path := "gauges." + g.Name
	l := lot{layer: g.StandOffExpansion.Set, thermal: g.Thermal.Set, fahrenheit: g.Thermal.Fahrenheit, forExpansion: -1}
	l.factor, l.factorScale, l.factorIn = m.shared(g.GaugeFactor, path+".gauge-factor")
	l.transverse, l.transverseScale, l.transverseIn = m.shared(g.Transverse, path+".transverse-sensitivity")
	l.drift = m.number(g.Drift, path+".gauge-factor-drift")
	if l.layer {
		l.layerExpansion = m.number(g.StandOffExpansion, path+".stand-off-expansion")
		l.layerNu = m.number(g.StandOffPoisson, path+".stand-off-poisson")
	}
	l.forFactor = m.number(g.Thermal.ForFactor, path+".thermal-output.for-factor")
	if l.thermal {
		for i, c := range g.Thermal.Coefficients {
			l.coefficients = append(l.coefficients, m.number(c, fmt.Sprintf("%s.thermal-output[%d]", path, i)))
		}
		if g.Thermal.ForExpansion.Set {
			l.forExpansion = m.number(g.Thermal.ForExpansion, path+".thermal-output.for-expansion")
		}
	}
	m.lots = append(m.lots, l)
}

func (m *Model) addPlacement(i int) {
	d := m.Design
	p := &d.Placements[i]
	g := &d.Gauges[p.Gauge]
	path := "placements." + p.Name
	station, around, direction := p.AsBonded(d.Tolerance)
	out := placement{gauge: p.Gauge, first: len(m.Grids), grids: len(g.Directions)}
	out.station = m.number(station, path+".station")
	out.around, out.across = -1, -1
	if p.Face == "" {
		out.around = m.number(around, path+".around")
	} else {
		out.face, out.across = p.FaceIndex, m.number(p.AcrossAsBonded(d.Tolerance), path+".across")
	}
	out.direction = m.number(direction, path+".direction")
	out.standOff = m.each(g.StandOff, "gauges."+g.Name+".stand-off", p.Name)
	for k, dir := range g.Directions {
		ref := design.GridRef{Placement: i, Grid: k}
		name := d.GridName(ref)
		grid := Grid{Ref: ref, Name: name, Gauge: p.Gauge, number: k}
		grid.sin, grid.cos = math.Sincos(dir)
		grid.resistance = m.each(d.GridResistance(ref), "gauges."+g.Name+".resistance", name)
		grid.scatter = m.about0(g.Scatter, "gauges."+g.Name+".gauge-factor-scatter", name)
		grid.spread = m.about0(g.Thermal.Spread, "gauges."+g.Name+".thermal-output.spread", name)
		grid.length = m.number(g.GridLength, "gauges."+g.Name+".grid.length")
		grid.width = m.number(g.GridWidth, "gauges."+g.Name+".grid.width")
		grid.centreAlong = m.number(g.Centres[k][0], fmt.Sprintf("gauges.%s.centres[%d][0]", g.Name, k))
		grid.centreAc = m.number(g.Centres[k][1], fmt.Sprintf("gauges.%s.centres[%d][1]", g.Name, k))
		m.Grids = append(m.Grids, grid)
	}
	m.placements = append(m.placements, out)
}

func (m *Model) addBridge(b *design.Bridge) error {
	measures := -1
	for i, c := range m.Components {
		if c == b.Measures {
			measures = i
		}
	}
	if measures < 0 {
		return fmt.Errorf("bridge %s measures %v, which is no load of the design", b.Name, b.Measures)
	}
	out := Bridge{Name: b.Name, Measures: measures, Follow: b.Leads.FollowPart}
	for k, a := range b.Arms {
		arm := Arm{Fixed: a.Fixed(), atPart: !b.Leads.AtInstrument, resistor: -1}
		if arm.Fixed {
			path := fmt.Sprintf("bridges.%s.arms[%d]", b.Name, k)
			arm.resistor, arm.tcr = m.number(a.Resistor, path), m.number(a.TCR, path+".tcr")
		}
		for _, r := range a.Grids {
			arm.Grids = append(arm.Grids, m.placements[r.Placement].first+r.Grid)
		}
		out.Arms[k] = arm
	}
	out.Wiring = bridge.Wiring{Wires: b.Leads.Wires, Remote: b.Remote(), Meter: m.Design.Instrument.InputResistance.SI}
	out.each, out.meter = -1, -1
	if r := m.Design.Instrument.InputResistance; r.Set {
		out.meter = m.once(r, "instrument.input-resistance")
	}
	if b.Leads.Wires > 0 {
		out.each = m.once(b.Leads.Each, "leads.each")
		out.Wiring.Each = b.Leads.Each.SI
	}
	if err := out.Wiring.Validate(); err != nil {
		return fmt.Errorf("bridge %s: %w", b.Name, err)
	}
	m.Bridges = append(m.Bridges, out)
	return nil
}
