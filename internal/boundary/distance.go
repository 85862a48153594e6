package boundary

import (
	"math"
	"math/cmplx"
)

// nearest is the distance from p to a side, m: exact for straight and circular
// sides, by sampling and bisection for an elliptical one.
func (s *Segment) nearest(p complex128) float64 {
	ends := min(cmplx.Abs(p-s.From), cmplx.Abs(p-s.To))
	switch {
	case s.Straight():
		d := s.To - s.From
		t := real((p-s.From)*cmplx.Conj(d)) / real(d*cmplx.Conj(d))
		if t <= 0 || t >= 1 {
			return ends
		}
		return math.Abs(imag((p - s.From) * cmplx.Conj(d) / complex(cmplx.Abs(d), 0)))
	case s.Circular():
		v := p - s.Centre
		if v == 0 || s.covers(cmplx.Phase(v)) {
			return math.Abs(cmplx.Abs(v) - s.SemiY)
		}
		return ends
	}
	_, best := lowest(48, 0, 1, func(t float64) float64 { return cmplx.Abs(s.At(t) - p) })
	return min(best, ends)
}

// covers tells whether an angle lies within the sweep.
func (s *Segment) covers(angle float64) bool {
	d := math.Mod((angle-s.Start)*math.Copysign(1, s.Sweep), 2*math.Pi)
	if d < 0 {
		d += 2 * math.Pi
	}
	return d <= math.Abs(s.Sweep)
}

// gap is the smallest distance between two sides, the parameters of the first
// limited to lo..hi, and where on the first it is.
func gap(a, b *Segment, lo, hi float64) (distance, at float64) {
	if a.Straight() && b.Straight() {
		da, db := a.At(hi)-a.At(lo), b.To-b.From
		w, cross := b.From-a.At(lo), imag(cmplx.Conj(da)*db)
		if cross != 0 {
			t, u := imag(cmplx.Conj(w)*db)/cross, imag(cmplx.Conj(w)*da)/cross
			if t >= 0 && t <= 1 && u >= 0 && u <= 1 {
				return 0, lo + t*(hi-lo)
			}
		}
		distance, at = b.nearest(a.At(lo)), lo
		if d := b.nearest(a.At(hi)); d < distance {
			distance, at = d, hi
		}
		for _, p := range [2]complex128{b.From, b.To} {
			t := real((p-a.At(lo))*cmplx.Conj(da)) / real(da*cmplx.Conj(da))
			t = lo + min(max(t, 0), 1)*(hi-lo)
			if d := cmplx.Abs(a.At(t) - p); d < distance {
				distance, at = d, t
			}
		}
		return distance, at
	}
	n := 24
	if !a.Straight() && !b.Straight() {
		n = 48
	}
	at, distance = lowest(n, lo, hi, func(t float64) float64 { return b.nearest(a.At(t)) })
	return distance, at
}

// lowest finds the smallest value of f on lo..hi: the best of n+1 samples,
// narrowed by golden sections of the intervals beside it.
func lowest(n int, lo, hi float64, f func(float64) float64) (at, value float64) {
	at, value = lo, math.Inf(1)
	h := (hi - lo) / float64(n)
	for i := range n + 1 {
		t := lo + float64(i)*h
		if v := f(t); v < value {
			at, value = t, v
		}
	}
	const g = 0.6180339887498949
	a, b := max(lo, at-h), min(hi, at+h)
	for range 50 {
		c, d := b-g*(b-a), a+g*(b-a)
		if f(c) < f(d) {
			b = d
		} else {
			a = c
		}
	}
	if v := f((a + b) / 2); v < value {
		at, value = (a+b)/2, v
	}
	return at, value
}

// box bounds a side, for skipping pairs that are far from each other.
func (s *Segment) box() (lo, hi complex128) {
	if !s.Straight() {
		r := complex(s.SemiY, s.SemiZ)
		return s.Centre - r, s.Centre + r
	}
	return complex(min(real(s.From), real(s.To)), min(imag(s.From), imag(s.To))),
		complex(max(real(s.From), real(s.To)), max(imag(s.From), imag(s.To)))
}

// apart is a lower bound of the distance between two sides.
func apart(a, b *Segment) float64 {
	al, ah := a.box()
	bl, bh := b.box()
	return math.Hypot(max(0, real(al)-real(bh), real(bl)-real(ah)), max(0, imag(al)-imag(bh), imag(bl)-imag(ah)))
}
