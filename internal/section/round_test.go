package section

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"gridwright/internal/design"
)

func near(t testing.TB, what string, got, want, rel float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > rel*math.Max(math.Abs(want), 1e-300) {
		t.Errorf("%s = %.12g, want %.12g within %g relative", what, got, want, rel)
	}
}

func tube(t rapid.TB, outer, inner, poisson float64) *Round {
	t.Helper()
	r := &Round{}
	if err := r.Set([]float64{outer, inner}, poisson); err != nil {
		t.Fatal(err)
	}
	return r
}

// The stresses of each component must add up to that component: equilibrium of
// the section, by quadrature of the exact interior field of axial force, bending
// and torsion, and of the outer-surface shear against VQ/It bounds.
func TestSurfaceStressIsInEquilibrium(t *testing.T) {
	r := tube(t, 0.060, 0.044, 0.29)
	p := r.Properties()
	near(t, "A", p.Area, math.Pi*(0.030*0.030-0.022*0.022), 1e-14)
	near(t, "J", p.J, math.Pi/2*(math.Pow(0.030, 4)-math.Pow(0.022, 4)), 1e-14)
	// ∫σx z dA with σx growing linearly from the centroid to its surface value.
	var u Unit
	my := 2 * quad.Fixed(func(rad float64) float64 {
		return quad.Fixed(func(phi float64) float64 {
			r.Surface(r.Around(phi), 0, &u)
			return u[design.BendingY].Axial * rad / 0.030 * rad * math.Sin(phi) * rad
		}, 0, math.Pi, 24, nil, 0)
	}, 0.022, 0.030, 16, nil, 0)
	near(t, "∫σx z dA per unit My", my, 1, 1e-12)
	mz := -2 * quad.Fixed(func(rad float64) float64 {
		return quad.Fixed(func(phi float64) float64 {
			r.Surface(r.Around(phi), 0, &u)
			return u[design.BendingZ].Axial * rad / 0.030 * rad * math.Cos(phi) * rad
		}, -math.Pi/2, math.Pi/2, 24, nil, 0)
	}, 0.022, 0.030, 16, nil, 0)
	near(t, "−∫σx y dA per unit Mz", mz, 1, 1e-12)
}

func TestMeanIsTheQuadratureOfTheSurface(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outer := rapid.Float64Range(0.008, 0.2).Draw(t, "D")
		r := tube(t, outer, outer*rapid.Float64Range(0, 0.97).Draw(t, "d/D"), 0.3)
		alpha := rapid.Float64Range(-math.Pi/2, math.Pi/2).Draw(t, "alpha")
		phi := rapid.Float64Range(0, 2*math.Pi).Draw(t, "phi")
		p := Patch{Centre: r.Around(phi), Station: rapid.Float64Range(-0.1, 0.1).Draw(t, "x"),
			Length: rapid.Float64Range(1e-4, 0.5).Draw(t, "L") * outer, Width: rapid.Float64Range(1e-4, 0.5).Draw(t, "W") * outer}
		p.Sin, p.Cos = math.Sincos(alpha)
		var got, want, u Unit
		r.Mean(&p, &got)
		for c := range want {
			f := func(pick func(Stress) float64) float64 {
				return quad.Fixed(func(a float64) float64 {
					return quad.Fixed(func(b float64) float64 {
						x := p.Station + a*p.Cos - b*p.Sin
						s := p.Centre.S + a*p.Sin + b*p.Cos
						r.Surface(Coordinate{S: s}, x, &u)
						return pick(u[c])
					}, -p.Width/2, p.Width/2, 12, nil, 0)
				}, -p.Length/2, p.Length/2, 12, nil, 0) / (p.Length * p.Width)
			}
			want[c] = Stress{f(func(s Stress) float64 { return s.Axial }), f(func(s Stress) float64 { return s.Hoop }), f(func(s Stress) float64 { return s.Shear })}
			scale := (math.Abs(p.Station) + outer) / r.i * outer // largest value of the component on the surface
			if c == int(design.Axial) || c == int(design.Pressure) {
				scale = math.Abs(want[c].Axial) + want[c].Hoop + 1e-30
			}
			for i, d := range []float64{got[c].Axial - want[c].Axial, got[c].Hoop - want[c].Hoop, got[c].Shear - want[c].Shear} {
				if math.Abs(d) > 1e-9*scale {
					t.Fatalf("component %v part %d: mean %v, quadrature %v", design.Component(c), i, got[c], want[c])
				}
			}
		}
	})
}

func TestStandOffMagnifiesBendingAndTorsionOnly(t *testing.T) {
	r := tube(t, 0.05, 0.03, 0.3)
	p := Patch{Centre: r.Around(0.4), Station: 0.01, Sin: 0.6, Cos: 0.8, Length: 3e-3, Width: 2e-3}
	var at0, at1 Unit
	r.Mean(&p, &at0)
	p.StandOff = 5e-5
	r.Mean(&p, &at1)
	m := (0.025 + 5e-5) / 0.025
	near(t, "torque", at1[design.Torque].Shear, m*at0[design.Torque].Shear, 1e-14)
	near(t, "bending", at1[design.BendingY].Axial, m*at0[design.BendingY].Axial, 1e-14)
	near(t, "moment of the shear force", at1[design.ShearZ].Axial, m*at0[design.ShearZ].Axial, 1e-14)
	near(t, "shear of the shear force", at1[design.ShearZ].Shear, at0[design.ShearZ].Shear, 0)
	near(t, "axial", at1[design.Axial].Axial, at0[design.Axial].Axial, 0)
}

// Turning the part about x by ψ turns the answer: a load in the turned axes gives
// the same stress at the turned point.
func TestTurningThePart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := tube(t, 0.05, 0.03, 0.3)
		psi := rapid.Float64Range(-4, 4).Draw(t, "psi")
		phi := rapid.Float64Range(-4, 4).Draw(t, "phi")
		x := rapid.Float64Range(-0.2, 0.2).Draw(t, "x")
		var at, turned Unit
		r.Surface(r.Around(phi), x, &at)
		r.Surface(r.Around(phi+psi), x, &turned)
		s, c := math.Sincos(psi)
		for _, pair := range [][2]design.Component{{design.ShearY, design.ShearZ}, {design.BendingY, design.BendingZ}} {
			// the unit vector y' of the turned part is y cos ψ + z sin ψ
			axial := c*turned[pair[0]].Axial + s*turned[pair[1]].Axial
			shear := c*turned[pair[0]].Shear + s*turned[pair[1]].Shear
			if math.Abs(axial-at[pair[0]].Axial) > 1e-9*r.b/r.i || math.Abs(shear-at[pair[0]].Shear) > 1e-9*r.k {
				t.Fatalf("%v turned by %g", pair[0], psi)
			}
		}
	})
}

func TestShearForceIsTheGradientOfTheMoment(t *testing.T) {
	// dMy/dx = Vz, dMz/dx = −Vy: the axial stress of Vz at x is that of My = Vz x.
	r := tube(t, 0.05, 0.03, 0.3)
	var u Unit
	r.Surface(r.Around(0.7), 0.12, &u)
	near(t, "Vz", u[design.ShearZ].Axial, 0.12*u[design.BendingY].Axial, 1e-14)
	near(t, "Vy", u[design.ShearY].Axial, -0.12*u[design.BendingZ].Axial, 1e-14)
}

// The rotation stress: equilibrium d(rσr)/dr = σφ − ρω²r² of the plane-strain
// field and no axial resultant.
func TestRotation(t *testing.T) {
	const nu, rho, w = 0.3, 7850.0, 300.0
	r := tube(t, 0.2, 0.12, nu)
	a, b := 0.06, 0.1
	q := rho * w * w / (8 * (1 - nu))
	sr := func(x float64) float64 { return (3 - 2*nu) * q * (a*a + b*b - a*a*b*b/x/x - x*x) }
	sp := func(x float64) float64 {
		return q * ((3-2*nu)*(a*a+b*b+a*a*b*b/x/x) - (1+2*nu)*x*x)
	}
	for _, x := range []float64{0.065, 0.08, 0.095} {
		const h = 1e-5
		d := ((x+h)*sr(x+h) - (x-h)*sr(x-h)) / (2 * h)
		near(t, "equilibrium", d, sp(x)-rho*w*w*x*x, 1e-6)
	}
	got := r.Rotation(rho, w)
	near(t, "hoop at the surface", got.Hoop, sp(b), 1e-12)
	mean := quad.Fixed(func(x float64) float64 { return nu * (sr(x) + sp(x)) * 2 * x }, a, b, 20, nil, 0) / (b*b - a*a)
	near(t, "axial at the surface", got.Axial, nu*(sr(b)+sp(b))-mean, 1e-9)
}

func TestLame(t *testing.T) {
	// Thin-wall limit of the hoop stress: p r/t at both surfaces.
	r := tube(t, 0.1001, 0.0999, 0.3)
	var u Unit
	r.Surface(Coordinate{}, 0, &u)
	near(t, "hoop", u[design.Pressure].Hoop, 0.05/0.0001, 2e-3)
	near(t, "closed end", u[design.Pressure].Axial, u[design.Pressure].Hoop/2, 1e-12)
	bore, ok := r.Bore()
	if !ok {
		t.Fatal("a tube has a bore")
	}
	// Force balance of half the tube: ∫σφ dr = p a; Lamé's mean of bore and
	// surface is exact only in the thin limit.
	near(t, "bore hoop", bore.Hoop-u[design.Pressure].Hoop, 1, 1e-9)
	open := &Round{OpenEnds: true}
	if err := open.Set([]float64{0.05, 0.03}, 0.3); err != nil {
		t.Fatal(err)
	}
	open.Surface(Coordinate{}, 0, &u)
	if u[design.Pressure].Axial != 0 {
		t.Error("open ends carry no axial stress")
	}
}

func TestSetRefuses(t *testing.T) {
	for _, c := range []struct{ d, b, nu float64 }{{0, 0, .3}, {-1, 0, .3}, {1, 1, .3}, {1, 2, .3}, {math.NaN(), 0, .3}, {math.Inf(1), 0, .3}, {1, 0.5, 0.7}, {1, .5, math.NaN()}} {
		if err := (&Round{}).Set([]float64{c.d, c.b}, c.nu); err == nil {
			t.Errorf("Set(%v) was accepted", c)
		}
	}
}

func TestMeanAllocatesNothing(t *testing.T) {
	var s Section = tube(t, 0.05, 0.03, 0.3)
	p := Patch{Centre: s.Around(0.4), Station: 0.01, Sin: 0.6, Cos: 0.8, Length: 3e-3, Width: 2e-3}
	var u Unit
	if n := testing.AllocsPerRun(100, func() { s.Mean(&p, &u) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}
