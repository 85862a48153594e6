package boundary

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"
)

func near(t testing.TB, what string, got, want, rel float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > rel*math.Max(math.Abs(want), 1e-300) {
		t.Errorf("%s = %.14g, want %.14g within %g relative", what, got, want, rel)
	}
}

func solution(t testing.TB, o Outline, want Accuracy) *Solution {
	t.Helper()
	s, err := Solve(&o, want)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func box(width, height, wall, radius float64) Outline {
	return Outline{Outer: RoundedRectangle(nil, width, height, radius),
		Holes: []Loop{RoundedRectangle(nil, width-2*wall, height-2*wall, max(radius-wall, 0))}}
}

// Closed forms of torsion: circle and ring Jₚ, ellipse πa³b³/(a²+b²) with stress
// 2T/πab² at the ends of the minor axis, equilateral triangle √3s⁴/80 with 20T/s³ at
// mid-side (Timoshenko and Goodier, Theory of Elasticity, from memory; each is a
// polynomial stress function that vanishes on the outline).
func TestTorsionClosedForms(t *testing.T) {
	s := solution(t, Outline{Outer: Circle(0.3+0.2i, 0.7)}, Accuracy{})
	near(t, "circle", s.J, math.Pi/2*math.Pow(0.7, 4), 1e-13)
	near(t, "circle, stress", s.Shear(0, 1.234)[Torsion], 0.7, 1e-12)

	s = solution(t, Outline{Outer: Circle(0, 1), Holes: []Loop{Circle(0, 0.6)}}, Accuracy{})
	near(t, "ring", s.J, math.Pi/2*(1-math.Pow(0.6, 4)), 1e-8)
	near(t, "ring, stress outside", s.Shear(0, 2)[Torsion], 1, 1e-7)
	near(t, "ring, stress inside", s.Shear(1, 2)[Torsion], -0.6, 1e-7) // a hole runs clockwise

	s = solution(t, Outline{Outer: Ellipse(2, 1)}, Accuracy{J: 1e-10, Stress: 1e-8})
	near(t, "ellipse", s.J, math.Pi*8/5, 1e-12)
	quarter := s.Perimeter(0) / 4
	near(t, "ellipse, minor axis", s.Shear(0, quarter)[Torsion]/s.J, 2/math.Pi/2, 1e-8)
	near(t, "ellipse, major axis", s.Shear(0, 0)[Torsion]/s.J, 2/math.Pi/4, 1e-8)

	side := 1.3
	s = solution(t, Outline{Outer: Polygon([]complex128{0, complex(side, 0), complex(side/2, side*math.Sqrt(3)/2)})}, Accuracy{J: 1e-9, Stress: 1e-8})
	near(t, "triangle", s.J, math.Sqrt(3)*math.Pow(side, 4)/80, 1e-8)
	near(t, "triangle, mid-side", s.Shear(0, side/2)[Torsion]/s.J, 20/math.Pow(side, 3), 1e-8)
}

// Flexure of the ring: on its outer surface the stress of Vy is −K sin φ whatever the
// outline is made of (Love, Mathematical Theory of Elasticity, art. 231, from memory).
func TestFlexureOfTheRing(t *testing.T) {
	const b, a, nu = 1.0, 0.5, 0.3
	s := solution(t, Outline{Outer: Circle(0, b), Holes: []Loop{Circle(0, a)}}, Accuracy{J: 1e-9, Stress: 1e-8})
	i := math.Pi / 4 * (b*b*b*b - a*a*a*a)
	near(t, "Iy", s.Properties.Iy, i, 1e-13)
	for _, phi := range []float64{0.3, 1.1, 2.5, 4} {
		f := s.Shear(0, b*phi)
		tau := (f[PullY] + nu/(1+nu)*f[TurnY]) / i
		near(t, "τ of Vy", tau, -((3+2*nu)*a*a+(1+2*nu)*b*b)/(4*(1+nu)*i)*math.Sin(phi), 1e-7)
	}
}

// A section turned, mirrored or moved has the same J, the same stress at the same
// place of its outline, and its shear centre where it belongs.
func TestTurnedAndMirrored(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64Range(0, 40).Draw(rt, "outline")
		angle := rapid.Float64Range(-math.Pi, math.Pi).Draw(rt, "angle")
		mirror := rapid.Bool().Draw(rt, "mirror")
		fixed := Accuracy{Points: 9, Reach: 3}
		o := randomOutline(seed)
		image := func(p complex128) complex128 {
			if mirror {
				p = cmplx.Conj(p)
			}
			return p*cmplx.Rect(1, angle) + 0.3 - 0.7i
		}
		var turned Outline
		for i, l := range o.loops() {
			c := make(Loop, len(l))
			for j := range l {
				c[j] = Line(image(l[j].From), image(l[j].To))
			}
			if i == 0 {
				turned.Outer = c
			} else {
				turned.Holes = append(turned.Holes, c)
			}
		}
		a, b := solution(t, o, fixed), solution(t, turned, fixed)
		near(t, "J", b.J, a.J, 1e-9)
		for _, part := range []float64{0.1, 0.35, 0.6, 0.9} {
			at := part * a.Perimeter(0)
			there := at
			if mirror { // the loop is run the other way, from the other end of its first side
				there = a.Perimeter(0) - at
			}
			want, got := a.Shear(0, at)[Torsion], b.Shear(0, there)[Torsion]
			if math.Abs(got-want) > 1e-7 {
				t.Errorf("outline %d turned by %g, mirrored %v: stress %g, was %g", seed, angle, mirror, got, want)
			}
		}
	})
}

// Mirror axes halve the equations; the same section turned a little has none, and
// the same solution.
func TestMirrorsChangeNothing(t *testing.T) {
	o := box(60, 40, 3, 6)
	s := solution(t, o, Accuracy{Points: 8, Reach: 3})
	turn := cmplx.Rect(1, 0.1)
	turned := Outline{}
	for i, l := range o.loops() {
		var c Loop
		for j := range l {
			g := l[j]
			if !g.Straight() {
				g.Start += 0.1
			}
			g.From, g.To, g.Centre = g.From*turn, g.To*turn, g.Centre*turn
			c = append(c, g)
		}
		if i == 0 {
			turned.Outer = c
		} else {
			turned.Holes = []Loop{c}
		}
	}
	u := solution(t, turned, Accuracy{Points: 8, Reach: 3})
	near(t, "J", u.J, s.J, 1e-10)
	for _, at := range []float64{3, 17, 40, 51, 100} {
		near(t, "stress", u.Shear(0, at)[Torsion], s.Shear(0, at)[Torsion], 1e-9)
	}
}

// A circle drawn in 400 sides is no section of 400 corners: it takes little time,
// and its J is that of the polygon, which for many sides is the circle's of the same
// area to the order of one over their number cubed.
func TestCurveDrawnInSides(t *testing.T) {
	const n = 400
	var p []complex128
	for k := range n {
		p = append(p, cmplx.Rect(1, 2*math.Pi*(float64(k)+0.3)/n))
	}
	s := solution(t, Outline{Outer: Polygon(p)}, Accuracy{})
	near(t, "J", s.J, s.Properties.Area*s.Properties.Area/(2*math.Pi), 1e-6)
	if s.Unknowns > 3*n {
		t.Errorf("%d unknowns for %d sides", s.Unknowns, n)
	}
	k := 2 * math.Sin(math.Pi/n) * 57.5 // the middle of a side
	near(t, "stress", s.Shear(0, k)[Torsion], 1, 1e-4)
}

// The walk integrates what the moments say: ½∮r²τ ds − Ip is J.
func TestWalkIntegrates(t *testing.T) {
	for _, o := range []Outline{box(60, 40, 3, 6), {Outer: Ellipse(3, 2)}, randomOutline(3), randomOutline(8)} {
		s := solution(t, o, Accuracy{})
		sum, length := 0.0, 0.0
		for loop := range s.Loops() {
			var w Walk
			cut := 0.377 * s.Perimeter(loop)
			for _, part := range [2][2]float64{{cut, s.Perimeter(loop)}, {s.Perimeter(loop), s.Perimeter(loop) + cut}} {
				for w.Start(s, loop, part[0], part[1]); w.Next(); {
					sum += sq(w.At) / 2 * w.Shear[Torsion]
					length += w.Step
				}
			}
		}
		near(t, "J", sum-s.Properties.Iy-s.Properties.Iz, s.J, 1e-9)
		total := 0.0
		for _, l := range s.Loops() {
			total += l.Length()
		}
		near(t, "length", length, total, 1e-12)
	}
}

func sq(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// The thin-walled limit of Bredt, J = 4A₀²t/s for an even wall, is approached from
// above as the wall gets thinner, the difference falling with the wall.
func TestBoxTendsToBredt(t *testing.T) {
	last := math.Inf(1)
	for _, wall := range []float64{0.08, 0.04, 0.02, 0.01} {
		s := solution(t, box(1, 1, wall, 0), Accuracy{})
		m := 1 - wall
		bredt := math.Pow(m, 3) * wall
		over := s.J/bredt - 1
		if over <= 0 || over > 0.62*last {
			t.Errorf("wall %g: J exceeds Bredt's by %g, before that %g", wall, over, last)
		}
		last = over
		// at mid-wall the mean of the stresses of both faces is T/2A₀t
		mid := (s.Shear(0, 0.5)[Torsion] - s.Shear(1, (1-2*wall)/2)[Torsion]) / 2
		near(t, "stress at mid-wall", mid/s.J, 1/(2*m*m*wall), 2*over)
	}
	if last > 0.02 {
		t.Errorf("at a wall of 1/100 J exceeds Bredt's by %g", last)
	}
}

// Shear centre of a thin channel: 3b²/(6b + h) behind the web's middle line (any text
// on thin-walled bars; from memory), reached as the wall gets thin.
func TestShearCentreOfAChannel(t *testing.T) {
	const b, h = 1.0, 2.0 // of the middle lines
	last := math.Inf(1)
	for _, w := range []float64{0.2, 0.1, 0.05, 0.025} {
		o := Outline{Outer: Polygon([]complex128{
			complex(-w/2, -(h+w)/2), complex(b, -(h+w)/2), complex(b, -(h-w)/2), complex(w/2, -(h-w)/2),
			complex(w/2, (h-w)/2), complex(b, (h-w)/2), complex(b, (h+w)/2), complex(-w/2, (h+w)/2)})}
		s := solution(t, o, Accuracy{})
		const k = 0.3 / 1.3
		// Vz = 1: y_s is its torque about the centroid
		p := &s.Properties
		y := real(p.Centroid) + (s.Moment[PullZ]+k*s.Moment[TurnZ])/p.Iy
		off := math.Abs(y - -3*b*b/(6*b+h))
		if off > 0.6*last {
			t.Errorf("wall %g: shear centre off the thin wall's by %g, before that %g", w, off, last)
		}
		last = off
	}
	if last > 1e-2 {
		t.Errorf("shear centre still off by %g", last)
	}
}

func BenchmarkBox(b *testing.B) {
	for range b.N {
		o := box(0.060, 0.040, 0.003, 0.006)
		s, err := Solve(&o, Accuracy{J: 1e-4, Stress: 1e-4})
		if err != nil || s.StressError > 1e-4 {
			b.Fatal(err, s.StressError)
		}
	}
}

func BenchmarkL(b *testing.B) {
	for range b.N {
		o := Outline{Outer: Polygon([]complex128{0, 2, 2 + 1i, 1 + 1i, 1 + 2i, 2i})}
		if _, err := Solve(&o, Accuracy{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCircleOf400Sides(b *testing.B) {
	var p []complex128
	for k := range 400 {
		p = append(p, cmplx.Rect(1, 2*math.Pi*(float64(k)+0.3)/400))
	}
	for range b.N {
		o := Outline{Outer: Polygon(p)}
		if _, err := Solve(&o, Accuracy{}); err != nil {
			b.Fatal(err)
		}
	}
}
