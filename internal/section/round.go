package section

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

var roundShape = Shape{
	Name:       "round",
	Dimensions: []Dimension{{Key: "outside-diameter", Symbol: "D", Kind: quantity.Length}},
	Example:    "{shape: round, outside-diameter: 40 mm ± 0.02 mm}",
	New:        func(open bool) Section { return &Round{OpenEnds: open} },
}

var roundTubeShape = Shape{
	Name: "round-tube",
	Dimensions: []Dimension{
		{Key: "outside-diameter", Symbol: "D", Kind: quantity.Length},
		{Key: "inside-diameter", Symbol: "d", Kind: quantity.Length},
	},
	Example: "{shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.10 mm}",
	New:     func(open bool) Section { return &Round{OpenEnds: open} },
}

// Round is a solid or hollow circular section; every answer is a closed form of
// exact elasticity.
type Round struct {
	OpenEnds bool

	b, a    float64 // outer and inner radius, m
	poisson float64
	area    float64
	i       float64 // π(b⁴ − a⁴)/4, m⁴
	k       float64 // surface shear per unit shear force, 1/m²
}

// Set takes the outside diameter and, for a tube, the inside diameter.
//
// The shear of a transverse force V at the outer surface is V·K·cos of the angle
// from the diameter across V,
//
//	K = [(3+2ν)a² + (1+2ν)b²] / [4(1+ν) I],  I = π(b⁴ − a⁴)/4
//
// exact Saint-Venant flexure of the hollow circle (Love, Mathematical Theory of
// Elasticity, art. 231; solid limit Sadd, Elasticity, eq. 9.9.10).
func (r *Round) Set(d []float64, poisson float64) error {
	b, a := d[0]/2, 0.0
	if len(d) > 1 {
		a = d[1] / 2
	}
	if !(b > 0) || !(a >= 0) || !(a < b) || math.IsInf(b, 0) {
		return fmt.Errorf("an outside diameter of %.6g mm and a bore of %.6g mm make no section", 2e3*b, 2e3*a)
	}
	if !(poisson > -1 && poisson <= 0.5) {
		return fmt.Errorf("Poisson's ratio %g is outside -1 to 0.5", poisson)
	}
	a2, b2 := a*a, b*b
	r.a, r.b, r.poisson = a, b, poisson
	r.area = math.Pi * (b - a) * (b + a)
	r.i = r.area * (a2 + b2) / 4
	r.k = ((3+2*poisson)*a2 + (1+2*poisson)*b2) / (4 * (1 + poisson) * r.i)
	return nil
}

// Properties of the circle or ring.
func (r *Round) Properties() Properties {
	return Properties{Area: r.area, Iy: r.i, Iz: r.i, J: 2 * r.i, Depth: 2 * r.b}
}

// Perimeter of the outer circle, 2πb.
func (r *Round) Perimeter(int) float64 { return 2 * math.Pi * r.b }

// Around is s = bφ.
func (r *Round) Around(phi float64) Coordinate { return Coordinate{S: r.b * phi} }

// Angle is φ = s/b.
func (r *Round) Angle(c Coordinate) float64 { return c.S / r.b }

// Point on the circle.
func (r *Round) Point(c Coordinate) (y, z float64) {
	sin, cos := math.Sincos(c.S / r.b)
	return r.b * cos, r.b * sin
}

// Curvature is 1/b.
func (r *Round) Curvature(Coordinate) float64 { return 1 / r.b }

// Surface stress for unit loads at station 0,
//
//	axial  σx = 1/A                torque  τ = b/J
//	My     σx = z/I                Mz      σx = −y/I
//	Vy     σx = x y/I, τ = −K sin φ
//	Vz     σx = x z/I, τ =  K cos φ
//	p      σφ = 2a²/(b² − a²), σx = a²/(b² − a²) with closed ends
func (r *Round) Surface(c Coordinate, station float64, u *Unit) {
	sin, cos := math.Sincos(c.S / r.b)
	r.fill(sin, cos, station*sin, station*cos, r.b, u)
}

// Mean of the surface stress over a wrapped rectangle: with w = s/2b the mean of
// cos φ is cos φ0·S(a)S(b') and that of x sin φ
//
//	x0 sin φ0 S(a)S(b') + m cos φ0
//	m = ½ L cos α g(a) S(b') − ½ W sin α g(b') S(a)
//	a = L sin α/2b, b' = W cos α/2b, S(w) = sin w/w, g(w) = (sin w − w cos w)/w²
//
// Bending and torsion grow by (b+h)/b at the stand-off h; axial force, pressure
// and the shear of a transverse force do not.
func (r *Round) Mean(p *Patch, u *Unit) {
	half := 0.5 / r.b
	wa, wb := p.Length*p.Sin*half, p.Width*p.Cos*half
	sa, ga := sinc(wa)
	sb, gb := sinc(wb)
	m := 0.5 * (p.Length*p.Cos*ga*sb - p.Width*p.Sin*gb*sa)
	sin, cos := math.Sincos(p.Centre.S / r.b)
	s := sa * sb
	r.fill(sin*s, cos*s, p.Station*sin*s+m*cos, p.Station*cos*s-m*sin, r.b+p.StandOff, u)
}

// fill sets u from the means of sin φ, cos φ, x sin φ and x cos φ; reach is the
// radius at which bending and torsion are taken.
func (r *Round) fill(sin, cos, xsin, xcos, reach float64, u *Unit) {
	bend := reach / r.i
	u[design.Axial] = Stress{Axial: 1 / r.area}
	u[design.ShearY] = Stress{Axial: bend * xcos, Shear: -r.k * sin}
	u[design.ShearZ] = Stress{Axial: bend * xsin, Shear: r.k * cos}
	u[design.Torque] = Stress{Shear: bend / 2}
	u[design.BendingY] = Stress{Axial: bend * sin}
	u[design.BendingZ] = Stress{Axial: -bend * cos}
	wall := r.a * r.a / ((r.b - r.a) * (r.b + r.a))
	u[design.Pressure] = Stress{Hoop: 2 * wall}
	if !r.OpenEnds {
		u[design.Pressure].Axial = wall
	}
}

// Rotation stress at the outer surface of a long ring that spins about x with its
// ends free (plane sections, no axial resultant),
//
//	σφ = ρω²/(4(1−ν))·[(3−2ν)a² + (1−2ν)b²],  σx = −ρω²ν/(4(1−ν))·(b² − a²)
//
// Timoshenko and Goodier, Theory of Elasticity, rotating disks and cylinders
// (from memory; the tests check equilibrium and the zero axial resultant).
func (r *Round) Rotation(density, speed float64) Stress {
	q := density * speed * speed / (4 * (1 - r.poisson))
	a2, b2 := r.a*r.a, r.b*r.b
	return Stress{
		Axial: -q * r.poisson * (b2 - a2),
		Hoop:  q * ((3-2*r.poisson)*a2 + (1-2*r.poisson)*b2),
	}
}

// Bore is the stress on the inner surface per unit of internal pressure: hoop
// (b²+a²)/(b²−a²), axial as outside, and −1 radially (Lamé). ok is false for a
// solid section.
func (r *Round) Bore() (s Stress, ok bool) {
	if r.a == 0 {
		return Stress{}, false
	}
	d := (r.b - r.a) * (r.b + r.a)
	s.Hoop = (r.b*r.b + r.a*r.a) / d
	if !r.OpenEnds {
		s.Axial = r.a * r.a / d
	}
	return s, true
}

// sinc returns S(w) = sin w/w and g(w) = (sin w − w cos w)/w².
func sinc(w float64) (s, g float64) {
	w2 := w * w
	if w2 < 0.0025 { // |w| < 0.05: the next terms are below 1e-17
		s = 1 - w2/6*(1-w2/20*(1-w2/42*(1-w2/72)))
		g = w / 3 * (1 - w2/10*(1-w2/28*(1-w2/54)))
		return s, g
	}
	sin, cos := math.Sincos(w)
	return sin / w, (sin - w*cos) / w2
}

// Faces of a round section: none is flat, so the whole surface is one curved run.
func (r *Round) Faces() []Face {
	half := math.Pi * r.b
	return []Face{{Middle: Coordinate{}, Length: 2 * half, Before: half, Behind: half}}
}

// OnFace is the coordinate across metres from φ = 0.
func (r *Round) OnFace(_ int, across float64) Coordinate { return Coordinate{S: across} }

// Within refuses a patch that reaches more than half way round.
func (r *Round) Within(p *Patch) error {
	extent := math.Abs(p.Length*p.Sin) + math.Abs(p.Width*p.Cos)
	if half := math.Pi * r.b; extent > half {
		return fmt.Errorf("reaches %.4g mm around the part, more than half its girth of %.4g mm", extent*1e3, 2*half*1e3)
	}
	return nil
}

// Meets is nil: a round section has a surface all round.
func (r *Round) Meets(float64) error { return nil }

// Bears is nil: every component is computed.
func (r *Round) Bears(design.Component) error { return nil }

// Spins is nil: rotation is computed.
func (r *Round) Spins() error { return nil }

// Symmetries of the circle: every turn and every mirror.
func (r *Round) Symmetries() Symmetries { return Symmetries{} }

// Walls of the ring; a round section does not warp, so that ends disturb along a
// diameter.
func (r *Round) Walls() Walls {
	t := r.b - r.a
	if r.a == 0 {
		t = 2 * r.b
	}
	return Walls{Thinnest: t, Decay: 2 * r.b}
}

// Propagate needs no response: closed forms are quick.
func (r *Round) Propagate([]float64) (func() Section, error) {
	return func() Section { c := *r; return &c }, nil
}
