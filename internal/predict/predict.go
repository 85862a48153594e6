// Package predict computes the nominal figures of one design: what each bridge
// gives, what it confuses it with, how temperature moves it, and what the part
// bears. Everything is exact within package model; uncertainty is another room's.
//
// A figure whose input the file leaves out is not assumed: it is missing, with
// the reason.
package predict

import (
	"math"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/section"
)

// Figure is a number in SI units, or the reason why there is none.
type Figure struct {
	Value   float64
	Missing string // "" when Value holds
}

// Some is a figure that holds; what is not finite does not.
func Some(v float64) Figure {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Figure{Missing: "the value is not finite"}
	}
	return Figure{Value: v}
}

// None is a missing figure.
func None(why string) Figure { return Figure{Missing: why} }

// OK reports whether the figure holds.
func (f Figure) OK() bool { return f.Missing == "" }

// Result is everything predicted of a design.
type Result struct {
	Model     *model.Model
	State     *model.State // at the nominal inputs
	Section   section.Properties
	Grids     []Grid
	Bridges   []Bridge
	Matrix    Matrix
	Strength  Strength
	Stiffness Stiffness

	// Tolerated goes with Bridges; nil until somebody has propagated the tolerances.
	Tolerated []Tolerated
}

// Tolerated is what the tolerances make of one bridge: figures that hang on
// distributions, which this package does not know.
type Tolerated struct {
	Expanded    Figure   // uncertainty of the sensitivity, k = 2, ratio
	Crosstalk95 []Figure // 95 % quantile of |crosstalk| of each component, ratio of rated output
}

// Grid is one grid at rated loads. Lists go with Model.Components.
type Grid struct {
	Name       string
	Station    float64   // m
	Around     float64   // rad, in [0, 2π)
	Direction  float64   // rad, in (−π/2, π/2]
	Along      []float64 // strain along the grid at each rated load
	Across     []float64 // strain across it
	Change     []float64 // ΔR/R
	TotalAlong float64   // Σ|strain along the grid| over all rated loads
}

// Of predicts a design.
func Of(d *design.Design) (*Result, error) {
	m, err := model.Compile(d)
	if err != nil {
		return nil, err
	}
	s := m.NewExact()
	if err := m.Set(m.Nominal, s); err != nil {
		return nil, err
	}
	r := &Result{Model: m, State: s, Section: s.Section.Properties()}
	for i := range m.Grids {
		r.Grids = append(r.Grids, gridOf(m, s, i))
	}
	for b := range m.Bridges {
		out, err := bridgeOf(m, s, b)
		if err != nil {
			return nil, err
		}
		r.Bridges = append(r.Bridges, out)
	}
	r.Matrix = matrixOf(m, r.Bridges)
	r.Strength = strengthOf(m, s)
	r.Stiffness = stiffnessOf(d, s, r.Section)
	return r, nil
}

func gridOf(m *model.Model, s *model.State, i int) Grid {
	gs := &s.Grids[i]
	g := Grid{Name: m.Grids[i].Name, Station: gs.Station, Direction: direction(gs.Sin, gs.Cos)}
	g.Around = math.Mod(gs.Around, 2*math.Pi)
	if g.Around < 0 {
		g.Around += 2 * math.Pi
	}
	if 2*math.Pi-g.Around < 1e-12 { // 359.9999999999° is 0°
		g.Around = 0
	}
	for j := range m.Components {
		e := s.Strain(i, j)
		g.Along = append(g.Along, e.Along*m.Rated[j])
		g.Across = append(g.Across, e.Across*m.Rated[j])
		g.Change = append(g.Change, s.Row(i, j)*m.Rated[j])
		g.TotalAlong += math.Abs(e.Along * m.Rated[j])
	}
	return g
}

// direction of a line from its sine and cosine, in (−π/2, π/2]; within 1e-12 of
// −90° it is 90°.
func direction(sin, cos float64) float64 {
	a := math.Atan2(sin, cos)
	if a > math.Pi/2+1e-12 {
		a -= math.Pi
	}
	if a <= -math.Pi/2+1e-12 {
		a += math.Pi
	}
	return a
}
