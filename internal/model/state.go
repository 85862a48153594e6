package model

import (
	"math"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/section"
)

// State is what one worker keeps of a Model for one value of its inputs. It is
// made by NewState and filled by Set.
type State struct {
	Section    section.Section
	Grids      []GridState
	Placements []PlacementState

	model   *Model
	inputs  []float64
	dims    []float64
	e, g    float64
	nu      float64
	alpha   float64
	outputs []gauge.Output // of each lot
	patch   section.Patch  // scratch that a Section is handed: here, so that nothing escapes
	unit    section.Unit
}

// PlacementState is the origin of one placement's pattern as it lies on the part.
type PlacementState struct {
	Station    float64 // m
	Coordinate section.Coordinate
	Around     float64 // φ, rad
	Sin, Cos   float64 // of its direction
}

// GridState is one grid as it lies on the part.
type GridState struct {
	Station    float64 // of its centre, m
	Coordinate section.Coordinate
	Around     float64 // φ of its centre, rad
	Sin, Cos   float64 // of its direction
	Length     float64 // m
	Width      float64 // m
	Resistance float64 // Ω
	Factor     float64 // at the reference temperature
	Transverse float64

	// Normal and Shear are its strain for a unit of each component of the model
	// and a modulus of 1: strain is Normal/E + Shear/G.
	Normal, Shear [design.Components]gauge.Strain

	gain, drift, spread float64
	curvature           gauge.Strain // per kelvin
}

// NewState makes scratch space for one worker that sets many values near the
// nominal ones: a section that is not round follows them by its response, within
// the accuracy that section states, and solves anew only far from them.
func (m *Model) NewState() *State {
	m.varied.once.Do(func() { m.varied.make, m.varied.err = m.nominal.Propagate(m.spread()) })
	s := m.NewExact()
	if m.varied.err == nil {
		s.Section = m.varied.make()
	}
	return s
}

// spread is how far each dimension goes: half a range, or two standard
// uncertainties.
func (m *Model) spread() []float64 {
	out := make([]float64, len(m.dimensions))
	for i, k := range m.dimensions {
		in := &m.Inputs[k]
		out[i] = in.Tolerance
		if in.Coverage > 0 {
			out[i] = 2 * in.Tolerance / in.Coverage
		}
	}
	return out
}

// NewExact makes scratch space whose section is solved for every value that is set.
func (m *Model) NewExact() *State {
	sec, err := m.shape.Make(m.Design.Part.OpenEnds, m.Design.Part.Section.Counts)
	if err != nil {
		panic(err) // Compile made one
	}
	return &State{
		Section:    sec,
		Grids:      make([]GridState, len(m.Grids)),
		Placements: make([]PlacementState, len(m.placements)),
		model:      m,
		inputs:     make([]float64, len(m.Inputs)),
		dims:       make([]float64, len(m.dimensions)),
		outputs:    make([]gauge.Output, len(m.lots)),
	}
}

// Set resolves the inputs x into s: section, and for every grid its place, its
// strain per unit load and its electrical constants. An input out of range, such
// as a bore drawn larger than the outside, is an error.
func (m *Model) Set(x []float64, s *State) error {
	copy(s.inputs, x) // what the caller does to x afterwards changes nothing
	for i, k := range m.dimensions {
		s.dims[i] = x[k]
	}
	s.e, s.nu, s.alpha = x[m.material.e], x[m.material.nu], x[m.material.alpha]
	s.g = s.e / (2 * (1 + s.nu))
	if m.material.g >= 0 {
		s.g = x[m.material.g]
	}
	if err := s.Section.Set(s.dims, s.nu); err != nil {
		return err
	}
	for i := range m.lots {
		m.lots[i].output(x, s.alpha, &s.outputs[i])
	}
	for i := range m.placements {
		m.place(&m.placements[i], x, s, &s.Placements[i])
	}
	return nil
}

func (l *lot) output(x []float64, alpha float64, o *gauge.Output) {
	*o = gauge.Output{ForExpansion: alpha}
	if !l.thermal {
		return
	}
	for i, k := range l.coefficients {
		o.Coefficients[i] = x[k]
	}
	o.Fahrenheit, o.ForFactor = l.fahrenheit, x[l.forFactor]
	if l.forExpansion >= 0 {
		o.ForExpansion = x[l.forExpansion]
	}
}

func (m *Model) place(p *placement, x []float64, s *State, at *PlacementState) {
	l := &m.lots[p.gauge]
	sinP, cosP := math.Sincos(x[p.direction])
	var base section.Coordinate
	if p.across < 0 {
		base = s.Section.Around(x[p.around])
	} else {
		base = s.Section.OnFace(p.face, x[p.across])
	}
	*at = PlacementState{Station: x[p.station], Coordinate: base, Around: s.Section.Angle(base), Sin: sinP, Cos: cosP}
	standOff := x[p.standOff]
	unit, patch := &s.unit, &s.patch
	for i := p.first; i < p.first+p.grids; i++ {
		grid, gs := &m.Grids[i], &s.Grids[i]
		dx, ds := gauge.Offset(x[grid.centreAlong], x[grid.centreAc], sinP, cosP)
		*patch = section.Patch{
			Centre:   section.Coordinate{Loop: base.Loop, S: base.S + ds},
			Station:  x[p.station] + dx,
			Sin:      sinP*grid.cos + cosP*grid.sin,
			Cos:      cosP*grid.cos - sinP*grid.sin,
			Length:   x[grid.length],
			Width:    x[grid.width],
			StandOff: standOff,
		}
		s.Section.Mean(patch, unit)
		gs.Station, gs.Coordinate = patch.Station, patch.Centre
		gs.Around = s.Section.Angle(patch.Centre)
		gs.Sin, gs.Cos = patch.Sin, patch.Cos
		gs.Length, gs.Width = patch.Length, patch.Width
		gs.Resistance = x[grid.resistance]
		gs.Factor = (l.factor[grid.number] + l.factorScale[grid.number]*x[l.factorIn]) * (1 + x[grid.scatter])
		gs.Transverse = l.transverse[grid.number] + l.transverseScale[grid.number]*x[l.transverseIn]
		gs.gain = gauge.Gain(gs.Factor, gs.Transverse)
		gs.drift, gs.spread = x[l.drift], x[l.forFactor]*x[grid.spread]
		gs.curvature = gauge.Strain{}
		if l.layer {
			gs.curvature = gauge.Curvature(standOff, s.Section.Curvature(patch.Centre),
				x[l.layerNu], x[l.layerExpansion], s.alpha, gs.Sin, gs.Cos)
		}
		for j, c := range m.Components {
			gs.Normal[j], gs.Shear[j] = gauge.Elastic(unit[c], s.nu, gs.Sin, gs.Cos)
		}
	}
}

// Strain of a grid for a unit of component j of the model, at the reference
// temperature.
func (s *State) Strain(grid, j int) gauge.Strain {
	g := &s.Grids[grid]
	return gauge.Strain{
		Along:  g.Normal[j].Along/s.e + g.Shear[j].Along/s.g,
		Across: g.Normal[j].Across/s.e + g.Shear[j].Across/s.g,
	}
}

// Row is ΔR/R of a grid for a unit of component j, at the reference temperature.
func (s *State) Row(grid, j int) float64 {
	return s.Grids[grid].row(j, 1/s.e, 1/s.g)
}

func (g *GridState) row(j int, perE, perG float64) float64 {
	n, sh := &g.Normal[j], &g.Shear[j]
	return g.gain * ((n.Along+g.Transverse*n.Across)*perE + (sh.Along+g.Transverse*sh.Across)*perG)
}

// Young and Rigidity are E and G at the reference temperature, Pa.
func (s *State) Young() float64    { return s.e }
func (s *State) Rigidity() float64 { return s.g }

// Thermal is ΔR/R of a grid that no load strains, at its own temperature, K.
func (s *State) Thermal(grid int, kelvin float64) float64 {
	g, t0 := &s.Grids[grid], s.model.reference
	d := kelvin - t0
	if d == 0 {
		return 0
	}
	return s.outputs[s.model.Grids[grid].Gauge].Change(kelvin, t0, g.Factor, g.Transverse, s.alpha) +
		g.gain*(g.curvature.Along+g.Transverse*g.curvature.Across)*d +
		g.spread*d
}
