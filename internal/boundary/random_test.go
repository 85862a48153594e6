package boundary

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// randomOutline is a polygon of 3 to 9 corners, about half of them with re-entrant
// ones, some with a hole, from a seed.
func randomOutline(seed uint64) Outline {
	r := rand.New(rand.NewPCG(seed, 77))
	star := func(n int, centre complex128, lo, hi float64) Loop {
		var p []complex128
		for k := range n {
			angle := 2 * math.Pi * (float64(k) + 0.6*r.Float64()) / float64(n)
			p = append(p, centre+cmplx.Rect(lo+(hi-lo)*r.Float64(), angle))
		}
		return Polygon(p)
	}
	o := Outline{Outer: star(3+r.IntN(7), complex(r.Float64(), r.Float64()), 0.5, 1)}
	if r.IntN(3) == 0 {
		p := PropertiesOf(&o)
		var inside float64 = math.Inf(1)
		for i := range o.Outer {
			inside = min(inside, o.Outer[i].nearest(p.Centroid))
		}
		o.Holes = []Loop{star(3+r.IntN(4), p.Centroid, 0.3*inside, 0.7*inside)}
	}
	return o
}

// balance returns the greatest relative error of equilibrium and of energy.
//
// The force that the surface stress of each field stands for is what its divergence
// alone demands. The work of torsion, T θ' = GJ θ'², is the strain energy, which is an
// integral along the outline of the warping and its normal derivative,
//
//	J = Ip − ∮ ω ∂ω/∂n ds,  ∂ω/∂s = τ − p,  ∂ω/∂n = d(r²/2)/ds
func balance(s *Solution) (force, energy float64) {
	p := &s.Properties
	scale := p.Iy + p.Iz
	for f, want := range [5][2]float64{PullY: {p.Iz, p.Iyz}, PullZ: {p.Iyz, p.Iy}} {
		for k, v := range want {
			off := math.Abs(s.Force[f][k] - v)
			if f == Torsion {
				off *= math.Sqrt(p.Area) // that field is one degree lower
			}
			force = max(force, off/scale)
		}
	}
	sum := 0.0
	for loop, l := range s.loops {
		omega := 0.0
		for i := range l {
			for _, k := range s.of[loop][i] {
				q := &s.panels[k]
				// ω at the points of the panel by integrating the interpolated stress
				for j, x := range gauss(q.count).x {
					w := omega + s.warpTo(q, x)
					t, dt := q.at(x)
					z, v := l[i].At(t), l[i].Velocity(t)*complex(dt, 0)
					// ∂ω/∂n ds = (z n_y − y n_z) ds = d(r²/2)
					sum += gauss(q.count).w[j] * w * (real(z)*real(v) + imag(z)*imag(v))
				}
				omega += s.warpTo(q, 1)
			}
		}
	}
	return force, math.Abs(scale-sum-s.J) / s.J
}

// warpTo is the change of ω along a panel from its start to u.
func (s *Solution) warpTo(q *panel, u float64) float64 {
	g := gauss(mostPoints)
	own := gauss(q.count)
	var l [mostPoints]float64
	side := &s.loops[q.loop][q.side]
	sum := 0.0
	for j, x := range g.x {
		v := u * x
		own.basis(v, l[:])
		t, dt := q.at(v)
		z, step := side.At(t), side.Velocity(t)*complex(dt, 0)
		mu := 0.0
		for k, d := range s.nodes(q) {
			mu += l[k] * d[Torsion] / q.shape(own.x[k])
		}
		sum += g.w[j] * u * (mu*q.shape(v) - (real(z)*imag(step) - imag(z)*real(step)))
	}
	return sum
}

func randomPolygons(t *testing.T, from, to uint64) {
	loose, unknowns := 0, 0
	worstForce, worstEnergy := 0.0, 0.0
	for seed := from; seed < to; seed++ {
		o := randomOutline(seed)
		s, err := Solve(&o, Accuracy{})
		if err != nil {
			t.Errorf("outline %d: %v", seed, err)
			continue
		}
		unknowns = max(unknowns, s.Unknowns)
		force, energy := balance(s)
		worstForce, worstEnergy = max(worstForce, force), max(worstEnergy, energy)
		what := fmt.Sprintf("outline %d (%d unknowns, J %g to %.1g, stress to %.1g)", seed, s.Unknowns, s.J, s.JError, s.StressError)
		if s.JError > 1e-6 || s.StressError > 1e-4 {
			loose++
			t.Logf("%s: not to the accuracy asked for", what)
		}
		if allowed := 1e-6 + 0.1*s.StressError; force > allowed {
			t.Errorf("%s: forces out of balance by %.2g", what, force)
		}
		if allowed := 1e-6 + 0.1*s.StressError; energy > allowed {
			t.Errorf("%s: energy out of balance by %.2g", what, energy)
		}
	}
	t.Logf("forces within %.2g, energy within %.2g, at most %d unknowns, %d not to the accuracy asked for", worstForce, worstEnergy, unknowns, loose)
	if loose*50 > int(to-from) {
		t.Errorf("%d of %d outlines not to the accuracy asked for", loose, to-from)
	}
}

// Sixty of the thousand; the rest is behind the build tag crosscheck.
func TestRandomPolygonsBalance(t *testing.T) { randomPolygons(t, 0, 60) }

// The moment of the turning fields about the centroid by Betti's reciprocity, from the
// warping of torsion alone. The field of curl −z is (z²/2, 0) and a gradient, so that
//
//	∫(y τz − z τy) dA = −½∫z³ dA + ½∮ ω z² dz
//
// and that of curl y likewise ½∫y³ dA − ½∮ ω y² dy. The integrals of z² dz round a hole
// vanish, and with them the level of ω on it; but both hold only for a warping that
// returns to itself round every hole.
func TestReciprocityAroundHoles(t *testing.T) {
	holed := 0
	for seed := uint64(0); holed < 6; seed++ {
		o := randomOutline(seed)
		if len(o.Holes) == 0 {
			continue
		}
		holed++
		if holed%2 == 0 {
			o.Holes[0] = Circle(o.Holes[0][0].From, 0.02)
		}
		s, err := Solve(&o, Accuracy{J: 1e-8, Stress: 1e-6})
		if err != nil {
			t.Fatal(err)
		}
		var zzz, yyy, wz, wy float64
		for loop, l := range s.loops {
			omega := 0.0
			for i := range l {
				for _, k := range s.of[loop][i] {
					q := &s.panels[k]
					for j, x := range gauss(q.count).x {
						at, dt := q.at(x)
						p, v := l[i].At(at), l[i].Velocity(at)*complex(dt*gauss(q.count).w[j], 0)
						y, z := real(p), imag(p)
						w := omega + s.warpTo(q, x)
						zzz += y * z * z * z * imag(v)
						yyy -= y * y * y * z * real(v)
						wz += w * z * z * imag(v)
						wy += w * y * y * real(v)
					}
					omega += s.warpTo(q, 1)
				}
			}
			if math.Abs(omega) > 2e-6 {
				t.Errorf("outline %d: the warping returns to loop %d off by %g", seed, loop, omega)
			}
		}
		for f, want := range map[int]float64{TurnY: (wz - zzz) / 2, TurnZ: (yyy - wy) / 2} {
			if math.Abs(s.Moment[f]-want) > 1e-7 {
				t.Errorf("outline %d: moment of field %d is %g, by reciprocity %g", seed, f, s.Moment[f], want)
			}
		}
	}
}

// The errors that a solution states are not smaller than those it has, against one on
// panels half as long with more points.
func TestStatedErrorsHold(t *testing.T) { statedErrors(t, 0, 12) }

func statedErrors(t *testing.T, from, to uint64) {
	worstJ, worstStress := 0.0, 0.0
	for seed := from; seed < to; seed++ {
		o := randomOutline(seed)
		s := solution(t, o, Accuracy{})
		fine := solution(t, o, Accuracy{Points: 22, Reach: 1.5})
		stated := [2]float64{s.JError, s.StressError}
		s.compare(fine)
		j := math.Abs(s.J/fine.J - 1)
		worstJ, worstStress = max(worstJ, j), max(worstStress, s.StressError)
		if j > stated[0]+1e-9 || s.StressError > 1.5*stated[1]+1e-6 {
			t.Errorf("outline %d: errors of %.2g and %.2g are stated, they are %.2g and %.2g", seed, stated[0], stated[1], j, s.StressError)
		}
	}
	t.Logf("J within %.2g, stress within %.2g", worstJ, worstStress)
}
