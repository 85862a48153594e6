package rosette_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/rosette"
	"gridwright/internal/uncertainty"
)

const (
	deg    = math.Pi / 180
	micro  = 1e-6
	young  = 206e9
	nu     = 0.29
	factor = 2.08
)

func near(t interface{ Errorf(string, ...any) }, what string, got, want, tol float64) {
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s = %.15g, want %.15g ± %g", what, got, want, tol)
	}
}

// grids in directions of °, with unlike gauge factors and transverse sensitivities.
func grids(directions ...float64) []rosette.Grid {
	var g []rosette.Grid
	for k, d := range directions {
		g = append(g, rosette.Grid{Direction: d * deg, Factor: factor + 0.01*float64(k), Transverse: 0.009 - 0.004*float64(k)})
	}
	return g
}

func indicated(g []rosette.Grid, s rosette.Strain) []float64 {
	var e []float64
	for _, x := range g {
		e = append(e, x.Indicated(s))
	}
	return e
}

func reduce(t interface{ Fatal(...any) }, g []rosette.Grid, e []float64) *rosette.Reduction {
	r, err := rosette.Reduce(g, e, young, nu)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

var anyStrain = rapid.Custom(func(t *rapid.T) rosette.Strain {
	u := rapid.Float64Range(-2000, 2000)
	return rosette.Strain{X: u.Draw(t, "εx") * micro, Phi: u.Draw(t, "εφ") * micro, Gamma: u.Draw(t, "γ") * micro}
})

// turned is the same strain in axes turned back by a, the Mohr circle.
func turned(s rosette.Strain, a float64) rosette.Strain {
	mean, half := (s.X+s.Phi)/2, (s.X-s.Phi)/2
	sin, cos := math.Sincos(2 * a)
	x := half*cos - s.Gamma/2*sin
	return rosette.Strain{X: mean + x, Phi: mean - x, Gamma: 2 * (half*sin + s.Gamma/2*cos)}
}

// line is the angle between two directions of lines.
func line(a, b float64) float64 { return math.Abs(math.Remainder(a-b, math.Pi)) }

// A pure torque, γ > 0, stretches along +45° from the axis: 45° from grid 1 of a rosette
// that is numbered clockwise from the axis, −45° of one numbered counterclockwise.
func TestAnglesOfTorque(t *testing.T) {
	s := rosette.Strain{Gamma: 800 * micro}
	for _, c := range []struct {
		directions []float64
		fromGrid   float64
	}{
		{[]float64{0, 45, 90}, 45}, {[]float64{0, -45, -90}, -45}, {[]float64{-45, 0, 45}, 90}, {[]float64{45, 0, -45}, 0},
		{[]float64{-60, 0, 60}, -75}, {[]float64{60, 0, -60}, 15}, {[]float64{10, 70, 130}, 35}, {[]float64{170, 215, 260}, 55},
		{[]float64{0, 90, 45}, 45}, {[]float64{0, -90, -45}, -45}, // grid 2 at a right angle, either way
	} {
		g := grids(c.directions...)
		r := reduce(t, g, indicated(g, s))
		near(t, "ε1, µε", r.Max/micro, 400, 1e-9)
		near(t, "ε2, µε", r.Min/micro, -400, 1e-9)
		near(t, "angle from the axis, °", r.FromAxis.Value/deg, 45, 1e-9)
		if d := line(r.FromGrid.Value, c.fromGrid*deg); d > 1e-9 {
			t.Errorf("%v: %g° from grid 1, want %g°", c.directions, r.FromGrid.Value/deg, c.fromGrid)
		}
		near(t, "τ, MPa", r.Stress.Tau/1e6, young/(2*(1+nu))*800e-12, 1e-9)
		near(t, "greatest shear stress, MPa", r.Stress.Shear/1e6, r.Stress.Tau/1e6, 1e-9)
	}
}

// Uniaxial stress: σ1 = E ε, σ2 = 0, along the axis.
func TestUniaxialStress(t *testing.T) {
	g := grids(-45, 0, 45)
	r := reduce(t, g, indicated(g, rosette.Strain{X: 500 * micro, Phi: -nu * 500 * micro}))
	near(t, "σ1, MPa", r.Stress.Max/1e6, young*500e-12, 1e-9)
	near(t, "σ2, MPa", r.Stress.Min/1e6, 0, 1e-9)
	near(t, "von Mises, MPa", r.Stress.VonMises/1e6, young*500e-12, 1e-9)
	near(t, "angle from the axis, °", r.FromAxis.Value/deg, 0, 1e-9)
	near(t, "angle from grid 1, °", r.FromGrid.Value/deg, 45, 1e-9)
	near(t, "across the thickness, µε", r.Stress.ThicknessStrain/micro, -nu*500, 1e-9)
}

func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anyStrain.Draw(t, "strain")
		pattern := rapid.SampledFrom([][]float64{{0, 45, 90}, {0, 60, 120}, {-45, 0, 45}, {0, 30, 75}, {0, 36, 72, 108, 144}}).Draw(t, "pattern")
		start := rapid.Float64Range(-180, 180).Draw(t, "direction")
		d := make([]float64, len(pattern))
		for k := range d {
			d[k] = pattern[k] + start
		}
		g := grids(d...)
		scale := math.Max(math.Abs(s.X), math.Max(math.Abs(s.Phi), math.Abs(s.Gamma))) + micro
		tol := 1e-11 * scale
		r := reduce(t, g, indicated(g, s))
		near(t, "εx there and back", r.X, s.X, tol)
		near(t, "εφ there and back", r.Phi, s.Phi, tol)
		near(t, "γ there and back", r.Gamma, s.Gamma, tol)
		for k := range g {
			near(t, "residual", r.Residual[k], 0, tol)
		}
		near(t, "invariant", r.Max+r.Min, s.X+s.Phi, tol)
		near(t, "greatest shear", r.Max-r.Min, math.Hypot(s.X-s.Phi, s.Gamma), tol)
		near(t, "stress by the moduli", r.Stress.X, young/(1-nu*nu)*(s.X+nu*s.Phi), 1e12*tol)

		// strain and rosette turned together: what grids read and what is told from grid 1 stays
		a := rapid.Float64Range(-3, 3).Draw(t, "turn")
		h := append([]rosette.Grid(nil), g...)
		for k := range h {
			h[k].Direction += a
		}
		q := reduce(t, h, indicated(h, turned(s, a)))
		for k := range g {
			near(t, "indicated", h[k].Indicated(turned(s, a)), g[k].Indicated(s), tol)
			near(t, "corrected", q.Corrected[k], r.Corrected[k], tol)
		}
		near(t, "ε1 turned", q.Max, r.Max, tol)
		near(t, "σ1 turned", q.Stress.Max, r.Stress.Max, 1e12*tol)
		if r.Shear > 1e-3*scale {
			near(t, "angle from grid 1, turned", line(q.FromGrid.Value, r.FromGrid.Value), 0, 1e-7)
			near(t, "angle from the axis, turned", line(q.FromAxis.Value, r.FromAxis.Value+a), 0, 1e-7)
		}

		// any order of the grids gives the same strain
		last := len(g) - 1
		p := append([]rosette.Grid(nil), g...)
		p[0], p[last] = p[last], p[0]
		o := reduce(t, p, indicated(p, s))
		near(t, "ε1 in another order", o.Max, r.Max, tol)
		near(t, "γ in another order", o.Gamma, r.Gamma, tol)

		// an instrument set to another gauge factor is scaled and nothing else
		i := append([]rosette.Grid(nil), g...)
		for k := range i {
			i[k].Instrument = 2
			near(t, "indicated at 2.0", i[k].Indicated(s), g[k].Indicated(s)*g[k].Factor/2, tol)
		}
		near(t, "ε1 at 2.0", reduce(t, i, indicated(i, s)).Max, r.Max, tol)

		// the mirror image: numbered the other way round, γ the other way round
		m := append([]rosette.Grid(nil), g...)
		for k := range m {
			m[k].Direction = -m[k].Direction
		}
		v := reduce(t, m, indicated(m, rosette.Strain{X: s.X, Phi: s.Phi, Gamma: -s.Gamma}))
		near(t, "ε1 mirrored", v.Max, r.Max, tol)
		if r.Shear > 1e-3*scale {
			near(t, "angle from grid 1, mirrored", line(v.FromGrid.Value, r.FromGrid.Value), 0, 1e-7)
		}
	})
}

func TestEqualPrincipalStrains(t *testing.T) {
	g := grids(0, 60, 120)
	r := reduce(t, g, indicated(g, rosette.Strain{X: 300 * micro, Phi: 300 * micro}))
	if !strings.Contains(r.FromGrid.Missing, "every direction") || !strings.Contains(r.FromAxis.Missing, "every direction") {
		t.Errorf("%+v", r)
	}
	near(t, "σ1, MPa", r.Stress.Max/1e6, young*300e-12/(1-nu), 1e-9)
	near(t, "greatest shear stress over all planes, MPa", r.Stress.GreatestShear/1e6, young*150e-12/(1-nu), 1e-9)
	u, err := rosette.Uncertainty(g, indicated(g, rosette.Strain{X: 300 * micro, Phi: 300 * micro}), young, nu, rosette.Tolerances{Reading: micro})
	if err != nil || u.FromGrid.Missing == "" || u.Undetermined == "" {
		t.Errorf("%+v, %v", u, err)
	}
	r = reduce(t, g, []float64{0, 0, 0})
	if r.FromGrid.Missing == "" {
		t.Error("no strain has a direction")
	}
}

// A tee reads the principal strains along its grids, and says that it takes them to be that.
func TestTee(t *testing.T) {
	for _, start := range []float64{0, 90, 30, -45} {
		g := grids(start, start+90)
		s := turned(rosette.Strain{X: 700 * micro, Phi: -150 * micro}, start*deg)
		r := reduce(t, g, indicated(g, s))
		near(t, "ε1, µε", r.Max/micro, 700, 1e-9)
		near(t, "ε2, µε", r.Min/micro, -150, 1e-9)
		near(t, "γ, µε", r.Gamma/micro, s.Gamma/micro, 1e-9)
		near(t, "angle from grid 1, °", r.FromGrid.Value/deg, 0, 1e-9)
		if r.Assumed == "" {
			t.Error("the assumption is not said")
		}
	}
}

// Five grids with a reading that is wrong: the least squares of an independent solution of
// the normal equations, with the wrong one showing.
func TestLeastSquares(t *testing.T) {
	g := []rosette.Grid{}
	for _, d := range []float64{0, 45, 90, 135} {
		g = append(g, rosette.Grid{Direction: d * deg, Factor: 2})
	}
	// a + c and b + d are both εx + εφ: a misclosure of 40 is shared as ±10
	r := reduce(t, g, []float64{140 * micro, 50 * micro, 0, 50 * micro})
	for k, want := range []float64{10, -10, 10, -10} {
		near(t, "residual, µε", r.Residual[k]/micro, want, 1e-9)
	}
	near(t, "εx, µε", r.X/micro, 130, 1e-9)
	near(t, "εφ, µε", r.Phi/micro, -10, 1e-9)
	near(t, "γ, µε", r.Gamma/micro, 0, 1e-9)
	near(t, "corrected keeps the reading, µε", r.Corrected[0]/micro, 140, 1e-9)
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		g      []rosette.Grid
		e      []float64
		young  float64
		nu     float64
		reason string
	}{
		{grids(0), []float64{0}, young, nu, "three directions"},
		{grids(0, 45), []float64{0, 0}, young, nu, "45° apart"},
		{grids(0, 90, 180), []float64{0, 0, 0}, young, nu, "fewer than three directions"},
		{grids(0, 45, 90), []float64{0, 0}, young, nu, "2 readings for 3 grids"},
		{grids(0, 45, 90), []float64{0, 0, math.NaN()}, young, nu, "grid 3 is not a finite"},
		{grids(0, 45, math.Inf(1)), []float64{0, 0, 0}, young, nu, "direction of grid 3"},
		{[]rosette.Grid{{}, {}, {}}, []float64{0, 0, 0}, young, nu, "gauge factor of grid 1"},
		{[]rosette.Grid{{Factor: 2, Transverse: 0.5}, {}, {}}, []float64{0, 0, 0}, young, nu, "transverse sensitivity of grid 1"},
		{grids(0, 45, 90), []float64{0, 0, 0}, 0, nu, "Young's modulus"},
		{grids(0, 45, 90), []float64{0, 0, 0}, young, 0.5, "Poisson's ratio 0.5"},
	} {
		if _, err := rosette.Reduce(c.g, c.e, c.young, c.nu); err == nil || !strings.Contains(err.Error(), c.reason) {
			t.Errorf("%v, want %q", err, c.reason)
		}
	}
}

// First order is Monte Carlo with everything drawn, within what 40 000 trials tell.
func TestUncertaintyIsThatOfMonteCarlo(t *testing.T) {
	g := grids(-45, 0, 45)
	e := indicated(g, rosette.Strain{X: 900 * micro, Phi: -200 * micro, Gamma: 500 * micro})
	tol := rosette.Tolerances{Reading: 2 * micro, Factor: []float64{3e-3, 3e-3, 4e-3}, Scatter: 1e-3, Transverse: []float64{2e-3, 1e-3, 2e-3},
		Direction: 0.6 * deg, GridDirection: 0.3 * deg, Young: 2e9, Poisson: 0.004}
	u, err := rosette.Uncertainty(g, e, young, nu, tol)
	if err != nil {
		t.Fatal(err)
	}
	p, err := rosette.Propagation(g, e, young, nu, tol)
	if err != nil {
		t.Fatal(err)
	}
	mc, err := p.MonteCarlo(context.Background(), uncertainty.Run{Trials: 40_000, All: true, Seed: 9})
	if err != nil {
		t.Fatal(err)
	}
	first := []float64{u.X, u.Phi, u.Gamma, u.Max, u.Min, u.Shear, u.FromGrid.Value, u.FromAxis.Value, u.Stress.X, u.Stress.Phi, u.Stress.Tau,
		u.Stress.Max, u.Stress.Min, u.Stress.Shear, u.Stress.VonMises, u.Stress.GreatestShear, u.Stress.ThicknessStrain}
	for k, v := range first {
		if v == 0 {
			t.Errorf("output %d has no uncertainty", k)
		}
		near(t, "first order over Monte Carlo", v/mc.Outputs[k].Standard, 1, 0.02)
	}
	if u.Undetermined != "" {
		t.Error(u.Undetermined)
	}
	// a rosette turned as a whole moves the angle from the axis and nothing that is told from grid 1
	only, err := rosette.Uncertainty(g, e, young, nu, rosette.Tolerances{Direction: deg})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u of the angle from the axis, °", only.FromAxis.Value/deg, 1, 1e-6)
	near(t, "u of the angle from grid 1, °", only.FromGrid.Value/deg, 0, 1e-6)
	near(t, "u of ε1, µε", only.Max/micro, 0, 1e-6)
}

// Each tolerance alone does what Reduce does when that number is changed.
func TestEachTolerance(t *testing.T) {
	g := grids(-45, 0, 45)
	e := indicated(g, rosette.Strain{X: 900 * micro, Phi: -200 * micro, Gamma: 500 * micro})
	all := func(change func(g *rosette.Grid, k int)) []rosette.Grid {
		h := append([]rosette.Grid(nil), g...)
		for k := range h {
			h[k].Instrument = h[k].Factor // the instrument stays as it was set
			change(&h[k], k)
		}
		return h
	}
	const d = 1e-5
	for _, c := range []struct {
		name string
		tol  rosette.Tolerances
		g    []rosette.Grid
		e, v float64 // Young's modulus and Poisson's ratio
	}{
		{"factor", rosette.Tolerances{Factor: []float64{d, 2 * d, d}}, all(func(g *rosette.Grid, k int) { g.Factor *= 1 + []float64{d, 2 * d, d}[k] }), young, nu},
		{"transverse", rosette.Tolerances{Transverse: []float64{d, d, 3 * d}}, all(func(g *rosette.Grid, k int) { g.Transverse += []float64{d, d, 3 * d}[k] }), young, nu},
		{"direction", rosette.Tolerances{Direction: d}, all(func(g *rosette.Grid, k int) { g.Direction += d }), young, nu},
		{"Young", rosette.Tolerances{Young: d * young}, all(func(*rosette.Grid, int) {}), young * (1 + d), nu},
		{"Poisson", rosette.Tolerances{Poisson: d}, all(func(*rosette.Grid, int) {}), young, nu + d},
	} {
		u, err := rosette.Uncertainty(g, e, young, nu, c.tol)
		if err != nil {
			t.Fatal(err)
		}
		before := reduce(t, g, e)
		after, err := rosette.Reduce(c.g, e, c.e, c.v)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range []struct {
			name         string
			u, from, to  float64
			unit, digits float64
		}{
			{"εx", u.X, before.X, after.X, micro, 1e-6}, {"γ", u.Gamma, before.Gamma, after.Gamma, micro, 1e-6}, {"ε1", u.Max, before.Max, after.Max, micro, 1e-6},
			{"ε2", u.Min, before.Min, after.Min, micro, 1e-6}, {"angle", u.FromGrid.Value, before.FromGrid.Value, after.FromGrid.Value, 1, 1e-9},
			{"σ1", u.Stress.Max, before.Stress.Max, after.Stress.Max, 1e6, 1e-6}, {"von Mises", u.Stress.VonMises, before.Stress.VonMises, after.Stress.VonMises, 1e6, 1e-6},
		} {
			near(t, c.name+": u("+f.name+")", f.u/f.unit, math.Abs(f.to-f.from)/f.unit, 1e-4*math.Abs(f.to-f.from)/f.unit+f.digits)
		}
	}
	// the same relative change of all factors scales the strain
	u, err := rosette.Uncertainty(g, e, young, nu, rosette.Tolerances{Factor: []float64{0.01, 0.01, 0.01}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u(εx), µε", u.X/micro, 9, 1e-3)
	near(t, "u(γ), µε", u.Gamma/micro, 5, 1e-3)
	// of one grid alone, along +45° and −45°: γ = ε3 − ε1
	u, err = rosette.Uncertainty([]rosette.Grid{{Direction: -45 * deg, Factor: 2}, {Direction: 0, Factor: 2}, {Direction: 45 * deg, Factor: 2}},
		[]float64{100 * micro, 0, 300 * micro}, young, nu, rosette.Tolerances{Scatter: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u(γ), µε", u.Gamma/micro, math.Hypot(1, 3), 1e-3)
}

// Readings of one uncertainty u on a rectangular rosette, closed forms: u(εx) = u(εφ) = u
// and u(γ) = √6 u, by γ = 2b − a − c.
func TestUncertaintyOfReadings(t *testing.T) {
	g := []rosette.Grid{{Direction: 0, Factor: 2}, {Direction: 45 * deg, Factor: 2}, {Direction: 90 * deg, Factor: 2}}
	u, err := rosette.Uncertainty(g, []float64{1e-3, 2e-4, -3e-4}, young, nu, rosette.Tolerances{Reading: micro})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u(εx), µε", u.X/micro, 1, 1e-6)
	near(t, "u(εφ), µε", u.Phi/micro, 1, 1e-6)
	near(t, "u(γ), µε", u.Gamma/micro, math.Sqrt(6), 1e-6)
	// a difference of the principal strains that the readings cannot tell from nothing
	u, err = rosette.Uncertainty(g, []float64{1e-3, 1e-3 + 5e-7, 1e-3}, young, nu, rosette.Tolerances{Reading: micro})
	if err != nil || !strings.Contains(u.Undetermined, "not determined") {
		t.Errorf("%v, %v", u, err)
	}
}
