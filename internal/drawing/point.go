package drawing

import "math"

// Point is a place on the paper, mm from the top left corner, y down.
type Point struct{ X, Y float64 }

// At is the point x to the right and y down.
func At(x, y float64) Point { return Point{X: x, Y: y} }

// Polar is the point at distance r from p in the direction angle, radians
// counterclockwise from the right as seen on the paper.
func (p Point) Polar(r, angle float64) Point {
	sin, cos := math.Sincos(angle)
	return Point{p.X + r*cos, p.Y - r*sin}
}

func (p Point) plus(v Point) Point       { return Point{p.X + v.X, p.Y + v.Y} }
func (p Point) minus(v Point) Point      { return Point{p.X - v.X, p.Y - v.Y} }
func (p Point) times(f float64) Point    { return Point{p.X * f, p.Y * f} }
func (p Point) dot(v Point) float64      { return p.X*v.X + p.Y*v.Y }
func (p Point) distance(v Point) float64 { return math.Hypot(p.X-v.X, p.Y-v.Y) }
func (p Point) finite() bool             { return finite(p.X) && finite(p.Y) }

// toward is the unit vector from p to q; zero when they coincide.
func (p Point) toward(q Point) Point {
	d := p.distance(q)
	if d == 0 {
		return Point{}
	}
	return q.minus(p).times(1 / d)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
