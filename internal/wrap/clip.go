package wrap

import (
	"math"

	"gridwright/internal/drawing"
)

// window is an upright rectangle of a piece: u to the right and v up, mm.
type window struct{ u0, u1, v0, v1 float64 }

func (w window) has(p drawing.Point) bool {
	const hair = 1e-9
	return p.X >= w.u0-hair && p.X <= w.u1+hair && p.Y >= w.v0-hair && p.Y <= w.v1+hair
}

func (w window) and(o window) window {
	return window{max(w.u0, o.u0), min(w.u1, o.u1), max(w.v0, o.v0), min(w.v1, o.v1)}
}

func (w window) empty() bool { return !(w.u1 > w.u0 && w.v1 > w.v0) }

// segment is the part of a straight line that lies in the window; before is how
// much of the line was cut off at its start. (Y.-D. Liang and B. A. Barsky, ACM
// Transactions on Graphics 3 (1984); from memory.)
func (w window) segment(a, b drawing.Point) (from, to drawing.Point, before float64, ok bool) {
	du, dv := b.X-a.X, b.Y-a.Y
	t0, t1 := 0.0, 1.0
	for _, side := range [4][2]float64{{-du, a.X - w.u0}, {du, w.u1 - a.X}, {-dv, a.Y - w.v0}, {dv, w.v1 - a.Y}} {
		p, q := side[0], side[1]
		switch {
		case p == 0:
			if q < -1e-9 {
				return a, b, 0, false
			}
		case p < 0:
			t0 = max(t0, q/p)
		default:
			t1 = min(t1, q/p)
		}
	}
	if !(t1 > t0) {
		return a, b, 0, false
	}
	at := func(t float64) drawing.Point { return drawing.At(a.X+t*du, a.Y+t*dv) }
	return at(t0), at(t1), t0 * math.Hypot(du, dv), true
}
