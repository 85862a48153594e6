package boundary

import (
	"math"
	"math/cmplx"
)

// Walk goes along a loop from one arc length to another and stops at the points
// of Gauss-Legendre rules that integrate the stress, times a polynomial of the
// first few degrees in the arc length, to the last digits. It never spans two
// panels with one rule.
//
//	var w boundary.Walk
//	for w.Start(solution, 0, from, to); w.Next(); {
//		sum += w.Shear[boundary.Torsion] // already times the step ds
//	}
type Walk struct {
	// At a stop: arc length, weight ds, point and unit tangent about the centroid,
	// curvature, and the five stresses times ds.
	Length, Step float64
	At, Tangent  complex128
	Curvature    float64
	Shear        Fields

	s        *Solution
	loop     int
	now, end float64 // arc lengths, not wrapped

	p        *panel
	side     *Segment
	nodes    [][5]float64
	lo, hi   float64 // of u
	origin   float64 // arc length at t = 0 of the side, not wrapped
	length   float64 // of the side
	t0, arc0 float64 // the last parameter of an elliptical side and its arc length
	rule     *rule
	k        int
	basis    [mostPoints]float64
	over     []float64 // 1/shape at the panel's points
}

// Start begins a walk; to is not before from.
func (w *Walk) Start(s *Solution, loop int, from, to float64) {
	w.s, w.loop, w.now, w.end = s, loop, from, to
	w.rule, w.k = nil, 0
}

// Next goes to the next stop; false at the end of the walk.
func (w *Walk) Next() bool {
	for w.rule == nil || w.k == len(w.rule.x) {
		if !w.panel() {
			return false
		}
	}
	p, s := w.p, w.side
	u := w.lo + (w.hi-w.lo)*w.rule.x[w.k]
	c := (w.hi - w.lo) * w.rule.w[w.k]
	w.k++
	t, dt := p.at(u)
	v := s.Velocity(t)
	a := cmplx.Abs(v)
	w.At, w.Tangent, w.Step = s.At(t), v/complex(a, 0), c*dt*a
	w.Curvature = s.Curvature(t)
	if s.SemiY == s.SemiZ {
		w.Length = w.origin + t*w.length
	} else {
		// from the stop before, a short way that few points measure to the last digit
		w.arc0 += s.arcOver(w.t0, t, 5)
		w.t0 = t
		w.Length = w.origin + w.arc0
	}
	gauss(p.count).basis(u, w.basis[:])
	c *= p.shape(u)
	var f Fields
	for j := range w.nodes {
		l, d := w.basis[j]*w.over[j], &w.nodes[j]
		f[0] += l * d[0]
		f[1] += l * d[1]
		f[2] += l * d[2]
		f[3] += l * d[3]
		f[4] += l * d[4]
	}
	for i := range f {
		w.Shear[i] = c * f[i]
	}
	return true
}

// panel opens the next panel, or what the walk needs of it.
func (w *Walk) panel() bool {
	s := w.s
	total := s.lengths[w.loop]
	left := w.end - w.now
	if !(left > 1e-13*total) {
		return false
	}
	wrapped := s.Wrap(w.loop, w.now)
	side, t := s.Locate(w.loop, wrapped)
	g := &s.loops[w.loop][side]
	p := s.panelAt(w.loop, side, t)
	length := s.starts[w.loop][side+1] - s.starts[w.loop][side]
	// what remains of the panel, in arc length and in the side's parameter
	rest := g.arcFrom(t, p.hi)
	if rest <= 1e-13*total { // at the very end of a panel: the next one
		if p.hi < 1 {
			t, p = p.hi, s.panelAt(w.loop, side, math.Nextafter(p.hi, 2))
		} else {
			side = (side + 1) % len(s.loops[w.loop])
			g, t = &s.loops[w.loop][side], 0
			p = s.panelAt(w.loop, side, 0)
			length = s.starts[w.loop][side+1] - s.starts[w.loop][side]
		}
		rest = g.arcFrom(t, p.hi)
	}
	w.lo, w.hi = p.inverse(t), 1
	w.t0 = t
	if g.SemiY == g.SemiZ {
		w.arc0 = t * length
	} else {
		w.arc0 = g.arc(t)
	}
	w.origin = w.now - w.arc0
	if left < rest {
		w.hi = p.inverse(g.after(t, left, length))
		rest = left
	}
	w.now += rest
	w.p, w.side, w.length, w.k = p, g, length, 0
	w.nodes = s.nodes(p)
	w.over = s.over[p.first : p.first+p.count]
	// the density is of degree count−1 and the stretch of 3 or 5; arcs and odd powers
	// of a re-entrant corner take more
	n := (p.count+2)/2 + 1
	if p.m > 1 || p.n > 1 || p.singular[0] || p.singular[1] {
		n += 4
	}
	if !g.Straight() || p.singular[0] || p.singular[1] {
		n = max(n+2, 12)
	}
	w.rule = gauss(min(n, mostPoints))
	return true
}

// arcFrom is the length of a side between two parameters.
func (s *Segment) arcFrom(a, b float64) float64 {
	if s.SemiY == s.SemiZ {
		return (b - a) * s.Length()
	}
	return s.arcOver(a, b, 16)
}

func (s *Segment) arcOver(a, b float64, points int) float64 {
	sum, g := 0.0, gauss(points)
	for j, x := range g.x {
		sum += g.w[j] * cmplx.Abs(s.Velocity(a+(b-a)*x))
	}
	return sum * (b - a)
}

// after is the parameter that lies a length beyond t.
func (s *Segment) after(t, length, total float64) float64 {
	if s.SemiY == s.SemiZ {
		return t + length/total
	}
	b := t + length/total
	for range 30 {
		step := (s.arcFrom(t, b) - length) / cmplx.Abs(s.Velocity(b))
		b -= step
		if math.Abs(step) < 1e-13 {
			break
		}
	}
	return b
}
