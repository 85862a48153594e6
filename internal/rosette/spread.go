package rosette

import (
	"math"

	"gridwright/internal/uncertainty"
)

// Tolerances are standard uncertainties of what a reduction takes in.
type Tolerances struct {
	Reading       float64   // of each reading, m/m, independent
	Factor        []float64 // of each grid's gauge factor, relative, fully correlated: one lot; nil: exact
	Scatter       float64   // of each grid's gauge factor beside it, relative, independent
	Transverse    []float64 // of each grid's Kt, fully correlated: one lot; nil: exact
	Direction     float64   // of the rosette as a whole, rad
	GridDirection float64   // of each grid in it, rad, independent
	Young         float64   // Pa
	Poisson       float64
}

// Standard is the standard uncertainty of each figure of a Reduction.
type Standard struct {
	Strain
	Max, Min, Shear    float64
	FromGrid, FromAxis Angle
	Stress             Stress // Young, Poisson and ThicknessStrain as the others
	Covariance         [3][3]float64
	// Undetermined says that the principal strains differ by less than twice the
	// uncertainty of that difference, so that their direction means little. "" otherwise.
	Undetermined string
}

// outputs of the propagation, in their order.
const (
	outX = iota
	outPhi
	outGamma
	outMax
	outMin
	outShear
	outFromGrid
	outFromAxis
	outSX
	outSPhi
	outTau
	outSMax
	outSMin
	outSShear
	outMises
	outGreatest
	outThickness
	outputs
)

// Propagation is the measurement model of Reduce with the distributions of t about the
// given values, for first order or Monte Carlo. Angles are continuous about their nominal
// value, 0 where they have none.
func Propagation(grids []Grid, readings []float64, young, poisson float64, t Tolerances) (*uncertainty.Propagation, error) {
	nominal, err := Reduce(grids, readings, young, poisson)
	if err != nil {
		return nil, err
	}
	n := len(grids)
	p := &uncertainty.Propagation{Outputs: outputs}
	add := func(name string, u float64) {
		p.Inputs = append(p.Inputs, uncertainty.Quantity{Name: name, Form: uncertainty.Normal, Width: u})
	}
	unit := func(list []float64) float64 {
		if list == nil {
			return 0
		}
		return 1
	}
	add("Young's modulus", t.Young)
	add("Poisson's ratio", t.Poisson)
	add("direction of the rosette", t.Direction)
	add("gauge factor of the lot", unit(t.Factor))
	add("transverse sensitivity of the lot", unit(t.Transverse))
	const first = 5
	for range n {
		add("reading", t.Reading)
		add("gauge factor of a grid", t.Scatter)
		add("direction of a grid", t.GridDirection)
	}
	p.New = func() (func(x, y []float64) error, error) {
		g, e := make([]Grid, n), make([]float64, n)
		return func(x, y []float64) error {
			for k := range grids {
				d := x[first+3*k:]
				g[k], e[k] = grids[k], readings[k]+d[0]
				g[k].Instrument = instrument(grids[k])
				relative := d[1]
				if t.Factor != nil {
					relative += x[3] * t.Factor[k]
				}
				if t.Transverse != nil {
					g[k].Transverse += x[4] * t.Transverse[k]
				}
				g[k].Factor *= 1 + relative
				g[k].Direction += x[2] + d[2]
			}
			if n == 2 { // the pair stands at right angles whatever each of them does
				g[1].Direction = g[0].Direction + grids[1].Direction - grids[0].Direction
			}
			r, err := Reduce(g, e, young+x[0], poisson+x[1])
			if err != nil {
				return err
			}
			s := &r.Stress
			copy(y, []float64{r.X, r.Phi, r.Gamma, r.Max, r.Min, r.Shear, about(r.FromGrid, nominal.FromGrid), about(r.FromAxis, nominal.FromAxis),
				s.X, s.Phi, s.Tau, s.Max, s.Min, s.Shear, s.VonMises, s.GreatestShear, s.ThicknessStrain})
			return nil
		}, nil
	}
	return p, nil
}

// about is an angle continuous about its nominal value.
func about(a, nominal Angle) float64 {
	if a.Missing != "" || nominal.Missing != "" {
		return 0
	}
	return nominal.Value + math.Remainder(a.Value-nominal.Value, math.Pi)
}

// Uncertainty is that of every figure of Reduce, of first order (JCGM 100:2008, equation
// 10), by central differences of Reduce itself.
func Uncertainty(grids []Grid, readings []float64, young, poisson float64, t Tolerances) (*Standard, error) {
	p, err := Propagation(grids, readings, young, poisson, t)
	if err != nil {
		return nil, err
	}
	f, err := p.FirstOrder()
	if err != nil {
		return nil, err
	}
	nominal, err := Reduce(grids, readings, young, poisson)
	if err != nil {
		return nil, err
	}
	u := f.Standard
	s := &Standard{
		Strain: Strain{u[outX], u[outPhi], u[outGamma]}, Max: u[outMax], Min: u[outMin], Shear: u[outShear],
		FromGrid: Angle{Value: u[outFromGrid]}, FromAxis: Angle{Value: u[outFromAxis]},
		Stress: Stress{X: u[outSX], Phi: u[outSPhi], Tau: u[outTau], Max: u[outSMax], Min: u[outSMin], Shear: u[outSShear],
			VonMises: u[outMises], GreatestShear: u[outGreatest], Young: t.Young, Poisson: t.Poisson, ThicknessStrain: u[outThickness]},
	}
	for i := range 3 {
		for j := range 3 {
			s.Covariance[i][j] = f.Covariance[i][j]
		}
	}
	if m := nominal.FromAxis.Missing; m != "" {
		s.FromGrid, s.FromAxis, s.Undetermined = Angle{Missing: m}, Angle{Missing: m}, m
	} else if nominal.Shear < 2*u[outShear] {
		s.Undetermined = "the principal strains differ by less than twice the uncertainty of their difference: their direction is not determined"
	}
	return s, nil
}
