package boundary

import (
	"math"
	"math/cmplx"
)

// Segment is one side of a loop: straight, an arc of a circle, or an arc of an
// ellipse whose axes are y and z. A point (y, z) is the complex number y + iz, m.
type Segment struct {
	From, To complex128
	// Of a curved side: the centre, the semi-axes along y and z (equal for a
	// circle, both 0 on a straight side), the eccentric angle at From and the
	// signed change of angle to To, positive from y toward z.
	Centre       complex128
	SemiY, SemiZ float64
	Start, Sweep float64
	// Edge is the number that the side's owner knows it by, 0 when it has none.
	Edge int
}

// Line is a straight side.
func Line(from, to complex128) Segment { return Segment{From: from, To: to} }

// Arc is a side about a centre from an angle through sweep, rad.
func Arc(centre complex128, radius, start, sweep float64) Segment {
	return EllipseArc(centre, radius, radius, start, sweep)
}

// EllipseArc is a side on the ellipse (y, z) = centre + (a cos θ, b sin θ).
func EllipseArc(centre complex128, a, b, start, sweep float64) Segment {
	s := Segment{Centre: centre, SemiY: a, SemiZ: b, Start: start, Sweep: sweep}
	s.From, s.To = s.At(0), s.At(1)
	if math.Abs(sweep) == 2*math.Pi {
		s.To = s.From
	}
	return s
}

// Straight tells whether the side is a straight line.
func (s *Segment) Straight() bool { return s.SemiY == 0 }

// Circular tells whether the side is an arc of a circle.
func (s *Segment) Circular() bool { return s.SemiY > 0 && s.SemiY == s.SemiZ }

// At is the point at the parameter t, 0 at From and 1 at To.
func (s *Segment) At(t float64) complex128 {
	if s.Straight() {
		return s.From + complex(t, 0)*(s.To-s.From)
	}
	sin, cos := math.Sincos(s.Start + t*s.Sweep)
	return s.Centre + complex(s.SemiY*cos, s.SemiZ*sin)
}

// Velocity is the derivative of the point with t.
func (s *Segment) Velocity(t float64) complex128 {
	if s.Straight() {
		return s.To - s.From
	}
	sin, cos := math.Sincos(s.Start + t*s.Sweep)
	return complex(-s.SemiY*sin*s.Sweep, s.SemiZ*cos*s.Sweep)
}

// Curvature at t, 1/m: positive where the side bends toward its left, as the
// outer loop of a convex section does everywhere.
func (s *Segment) Curvature(t float64) float64 {
	if s.Straight() {
		return 0
	}
	sin, cos := math.Sincos(s.Start + t*s.Sweep)
	v := math.Hypot(s.SemiY*sin, s.SemiZ*cos)
	return math.Copysign(s.SemiY*s.SemiZ/(v*v*v), s.Sweep)
}

// Length of the side, m: of an arc of an ellipse by Gauss-Legendre quadrature of
// 16 points on pieces short enough for the last digits.
func (s *Segment) Length() float64 { return s.arc(1) }

// ArcTo is the length from From to the parameter t, m.
func (s *Segment) ArcTo(t float64) float64 { return s.arc(t) }

// arc is the length from From to the parameter t.
func (s *Segment) arc(t float64) float64 {
	switch {
	case s.Straight():
		return t * cmplx.Abs(s.To-s.From)
	case s.SemiY == s.SemiZ:
		return t * s.SemiY * math.Abs(s.Sweep)
	}
	ratio := max(s.SemiY/s.SemiZ, s.SemiZ/s.SemiY)
	n := int(math.Ceil(t * math.Abs(s.Sweep) * (2 + math.Sqrt(ratio))))
	sum, x, w := 0.0, gauss(16).x, gauss(16).w
	for k := range n {
		for j := range x {
			sum += w[j] * cmplx.Abs(s.Velocity(t*(float64(k)+x[j])/float64(n)))
		}
	}
	return sum * t / float64(max(n, 1))
}

// parameter is the inverse of arc: t at a length, m, from From.
func (s *Segment) parameter(length float64) float64 {
	total := s.Length()
	t := length / total
	if s.SemiY == s.SemiZ {
		return t
	}
	for range 40 {
		step := (s.arc(t) - length) / cmplx.Abs(s.Velocity(t))
		t -= step
		if math.Abs(step) < 1e-13 {
			break
		}
	}
	return t
}

// reversed is the same side run from To to From.
func (s Segment) reversed() Segment {
	s.From, s.To = s.To, s.From
	s.Start, s.Sweep = s.Start+s.Sweep, -s.Sweep
	return s
}

// moved is the side shifted by d.
func (s Segment) moved(d complex128) Segment {
	s.From += d
	s.To += d
	s.Centre += d
	return s
}

// Loop is a closed chain of sides, each starting where the one before ended.
type Loop []Segment

// Length of the loop, m.
func (l Loop) Length() float64 {
	sum := 0.0
	for i := range l {
		sum += l[i].Length()
	}
	return sum
}

// Outline is the boundary of a section: one outer loop and the holes in it.
type Outline struct {
	Outer Loop
	Holes []Loop
}

// loops lists the outer loop and then the holes.
func (o *Outline) loops() []Loop {
	return append([]Loop{o.Outer}, o.Holes...)
}

// Polygon is the loop of straight sides through the points, edge k from point k
// to the next, counted from 1.
func Polygon(points []complex128) Loop {
	l := make(Loop, len(points))
	for i, p := range points {
		l[i] = Line(p, points[(i+1)%len(points)])
		l[i].Edge = i + 1
	}
	return l
}

// Circle is the loop of one arc about a centre.
func Circle(centre complex128, radius float64) Loop {
	return Loop{Arc(centre, radius, 0, 2*math.Pi)}
}

// Ellipse is the loop of one arc of an ellipse with the semi-axes a along y and b
// along z, in twelve arcs: lengths along short ones are quickly found.
func Ellipse(a, b float64) Loop {
	const n = 12
	l := make(Loop, n)
	for k := range l {
		l[k] = EllipseArc(0, a, b, 2*math.Pi*float64(k)/n, 2*math.Pi/n)
	}
	for k := range l {
		l[k].To = l[(k+1)%n].From
	}
	return l
}

// RoundedRectangle appends to l the loop of a rectangle about the origin, width along
// y and height along z, its corners rounded; edges 1 to 4 are the faces +y, +z, −y, −z.
// Where twice the radius is the width or the height, that face has vanished.
func RoundedRectangle(l Loop, width, height, radius float64) Loop {
	a, b, r := width/2, height/2, radius
	for k, c := range [4]complex128{complex(a-r, b-r), complex(-a+r, b-r), complex(-a+r, -b+r), complex(a-r, -b+r)} {
		sin, cos := [4]float64{0, 1, 0, -1}[k], [4]float64{1, 0, -1, 0}[k]
		// half the length of face k, which ends where corner k begins
		half := [2]float64{b - r, a - r}[k%2]
		n := complex(cos, sin)
		end := c + n*complex(r, 0)
		if half > 1e-12*(a+b) {
			f := Line(end-n*complex(0, 2*half), end)
			f.Edge = k + 1
			l = append(l, f)
		}
		if r > 0 {
			arc := Arc(c, r, float64(k)*math.Pi/2, math.Pi/2)
			arc.From, arc.To = end, c+n*complex(0, r)
			l = append(l, arc)
		}
	}
	return l
}
