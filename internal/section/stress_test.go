package section

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/boundary"
	"gridwright/internal/design"
)

// A circle by the boundary equations is the closed form in everything.
func TestGeneralCircleIsRound(t *testing.T) {
	ring := func(d []float64, _ []int, o *boundary.Outline) error {
		o.Outer = append(o.Outer[:0], boundary.Circle(0, d[0]/2)...)
		o.Holes = o.Holes[:0]
		holeOf(o, 0)
		o.Holes[0] = boundary.Circle(0, d[1]/2)
		o.Holes[0].Reverse()
		return nil
	}
	g := newGeneral("ring of arcs", false, nil, ring)
	if err := g.Set([]float64{0.06, 0.044}, 0.3); err != nil {
		t.Fatal(err)
	}
	r := tube(t, 0.06, 0.044, 0.3)
	a, b := g.Properties(), r.Properties()
	near(t, "A", a.Area, b.Area, 1e-13)
	near(t, "Iy", a.Iy, b.Iy, 1e-13)
	near(t, "J", a.J, b.J, 1e-8)
	rapid.Check(t, func(t *rapid.T) {
		phi := rapid.Float64Range(-7, 14).Draw(t, "phi")
		alpha := rapid.Float64Range(-2, 2).Draw(t, "alpha")
		c, d := g.Around(phi), r.Around(phi)
		if math.Abs(c.S-d.S) > 1e-12 || math.Abs(g.Angle(c)-phi) > 1e-10 {
			t.Fatalf("φ %g: S %g, %g; back %g", phi, c.S, d.S, g.Angle(c))
		}
		p := Patch{Centre: c, Station: 0.02, Length: 9e-3, Width: 5e-3, StandOff: 4e-4}
		p.Sin, p.Cos = math.Sincos(alpha)
		var x, y Unit
		g.Mean(&p, &x)
		r.Mean(&p, &y)
		for k := range x {
			if design.Component(k) == design.Pressure {
				continue
			}
			if e := math.Abs(x[k].Axial-y[k].Axial) + math.Abs(x[k].Shear-y[k].Shear); e > 1e-6*(1/b.Area+b.Depth/b.J*0.1) {
				t.Fatalf("%v: %v, closed form %v", design.Component(k), x[k], y[k])
			}
		}
	})
}

// On a flat at the distance c bending grows by (c+h)/c and torsion by 2h/J per unit
// torque; axial force and the shear of a shear force through the shear centre do not.
func TestStandOffOnAFlat(t *testing.T) {
	s := general(t, "rectangle", nil, 0.3, 0.04, 0.02, 0)
	const h = 1e-4
	p := Patch{Centre: s.Around(math.Pi / 2), Sin: math.Sqrt2 / 2, Cos: math.Sqrt2 / 2, Length: 3e-3, Width: 2e-3, Station: 0.05}
	var at0, at1 Unit
	s.Mean(&p, &at0)
	p.StandOff = h
	s.Mean(&p, &at1)
	near(t, "bending-y", at1[design.BendingY].Axial, at0[design.BendingY].Axial*(0.01+h)/0.01, 1e-12)
	near(t, "torque", at1[design.Torque].Shear, at0[design.Torque].Shear+2*h/s.Properties().J, 1e-12)
	near(t, "axial", at1[design.Axial].Axial, at0[design.Axial].Axial, 0)
	near(t, "shear-y", at1[design.ShearY].Shear, at0[design.ShearY].Shear, 1e-8)
	near(t, "moment of shear-z", at1[design.ShearZ].Axial, at0[design.ShearZ].Axial*(0.01+h)/0.01, 1e-12)
}

// A shear force at the centroid has no moment about it, one without twist that of the
// shear centre; both are the force. By the integrals of the surface stress
//
//	∫(y τz − z τy) dA = ½∮ r²τ ds − ½∫ r² curl τ dA
//
// with curl τ = 2T/J + ν/(1+ν)·(B y − A z).
func TestShearForceThroughTheCentroid(t *testing.T) {
	const nu = 0.3
	for _, c := range []named{
		{"L", general(t, "polygon", []int{6}, nu, 0, 0, 0.040, 0, 0.040, 0.010, 0.008, 0.010, 0.008, 0.050, 0, 0.050)},
		{"keyed", general(t, "keyed-round", nil, nu, 0.040, 0.012, 0.005, 100*deg, 0)},
		{"flats", general(t, "flatted-round", []int{2}, nu, 0.040, 10*deg, 0.017, 120*deg, 0.016)},
	} {
		g := c.s.(*General)
		p := g.Properties()
		bp := g.now().Properties
		var u Unit
		const n = 4000
		ds := g.Perimeter(0) / n
		var half, y, z [2]float64
		for k := range n {
			at := Coordinate{S: (float64(k) + 0.5) * ds}
			g.Surface(at, 0, &u)
			WithoutTwist(p, &u)
			q := g.at(at)
			for i, s := range [2]float64{u[design.ShearY].Shear, u[design.ShearZ].Shear} {
				half[i] += sq(q) / 2 * s * ds
				y[i] += real(q) * s * ds
				z[i] += imag(q) * s * ds
			}
		}
		kappa := nu / (1 + nu)
		for i := range 2 {
			a, b := g.shear[i][boundary.PullY], g.shear[i][boundary.PullZ]
			torque := half[i] - kappa*(b*bp.HalfY-a*bp.HalfZ)
			fz := y[i] - kappa*(b*p.Iz-a*p.Iyz)
			fy := -z[i] + kappa*(b*p.Iyz-a*p.Iy)
			want := [2][2]float64{{1, 0}, {0, 1}}[i]
			if math.Abs(fy-want[0]) > 2e-3 || math.Abs(fz-want[1]) > 2e-3 {
				t.Errorf("%s, force %d without twist is (%g, %g)", c.name, i, fy, fz)
			}
			arm := [2]float64{-(p.ShearCentreZ - p.CentroidZ), p.ShearCentreY - p.CentroidY}[i]
			if math.Abs(torque-arm) > 2e-3*p.Depth {
				t.Errorf("%s, force %d without twist has the moment %g about the centroid, its shear centre says %g", c.name, i, torque, arm)
			}
		}
	}
}

// A section turned about x by ψ answers loads in the turned axes with the same stress
// at the same place: of an L, whose axes y and z are not principal ones, and of a
// rectangle, which turned has a product of inertia and unturned none.
func TestTurningAGeneralSection(t *testing.T) {
	for name, points := range map[string][]complex128{
		"L":         {0, 0.040, 0.040 + 0.010i, 0.008 + 0.010i, 0.008 + 0.050i, 0.050i},
		"rectangle": {0, 0.040, 0.040 + 0.020i, 0.020i},
	} {
		for _, psi := range []float64{25 * deg, -70 * deg, 130 * deg} {
			var a, b []float64
			for _, p := range points {
				q := p * complex(math.Cos(psi), math.Sin(psi))
				a, b = append(a, real(p), imag(p)), append(b, real(q), imag(q))
			}
			s := general(t, "polygon", []int{len(points)}, 0.3, a...)
			turned := general(t, "polygon", []int{len(points)}, 0.3, b...)
			sin, cos := math.Sincos(psi)
			var u, v Unit
			for i := range s.Faces() {
				const station = 0.07
				s.Surface(s.OnFace(i, 2e-3), station, &u)
				turned.Surface(turned.OnFace(i, 2e-3), station, &v)
				scale := 1 / s.Properties().J * 0.01
				compare := func(what string, got, want Stress) {
					if math.Abs(got.Axial-want.Axial)+math.Abs(got.Shear-want.Shear) > 1e-4*scale {
						t.Errorf("%s turned by %.0f°, face %d, %s: %v, unturned %v", name, psi/deg, i, what, got, want)
					}
				}
				compare("torque", v[design.Torque], u[design.Torque])
				compare("axial", v[design.Axial], u[design.Axial])
				for _, pair := range [][2]design.Component{{design.ShearY, design.ShearZ}, {design.BendingY, design.BendingZ}} {
					// the turned axis y' is y cos ψ + z sin ψ
					y, z := v[pair[0]], v[pair[1]]
					compare(pair[0].String(), Stress{Axial: cos*y.Axial + sin*z.Axial, Shear: cos*y.Shear + sin*z.Shear}, u[pair[0]])
					compare(pair[1].String(), Stress{Axial: cos*z.Axial - sin*y.Axial, Shear: cos*z.Shear - sin*y.Shear}, u[pair[1]])
				}
			}
			p := s.Properties()
			if name == "rectangle" { // elementary bending of the unturned one
				s.Surface(s.OnFace(2, 5e-3), 0, &u) // +z, growing φ toward −y
				near(t, "σ of My", u[design.BendingY].Axial, 0.010/p.Iy, 1e-12)
				near(t, "σ of Mz", u[design.BendingZ].Axial, 0.005/p.Iz, 1e-12)
				s.Surface(s.OnFace(2, 5e-3), 0.07, &u)
				near(t, "σ of Vz", u[design.ShearZ].Axial, 0.07*0.010/p.Iy, 1e-12)
				near(t, "σ of Vy", u[design.ShearY].Axial, -0.07*0.005/p.Iz, 1e-12)
			}
		}
	}
}
