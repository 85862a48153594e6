package section

import (
	"fmt"
	"math"
	"math/cmplx"

	"gridwright/internal/boundary"
)

// along is the arc length of the outer loop, from its first point, at which the ray
// at angle φ from the centroid leaves the section last; where the centroid lies
// outside the section and the ray misses it, that of the end of a side whose angle
// is nearest.
func (g *General) along(phi float64) float64 {
	at, _ := g.ray(phi)
	return at
}

// ray also tells whether the ray meets the section at all.
func (g *General) ray(phi float64) (at float64, hit bool) {
	s := g.now()
	outer := s.Loops()[0]
	sin, cos := math.Sincos(phi)
	far := 0.0
	near, fallback := math.Inf(1), 0.0
	for i := range outer {
		side := &outer[i]
		crossings(side, sin, cos, func(t float64) {
			p := side.At(t)
			if r := real(p)*cos + imag(p)*sin; r > far {
				far, hit = r, true
				at = s.Start(0, i) + lengthTo(side, t)
			}
		})
		if d := math.Abs(cmplx.Phase(side.From * complex(cos, -sin))); d < near {
			near, fallback = d, s.Start(0, i)
		}
	}
	if !hit {
		return fallback, false
	}
	return at, true
}

// Meets refuses an angle at which the ray from the centroid misses the section.
func (g *General) Meets(phi float64) error {
	if _, hit := g.ray(phi); !hit {
		return fmt.Errorf("at %.4g° from the centroid, which lies outside the material, there is no surface; place the grid by `face` and `across`", math.Mod(phi*180/math.Pi, 360))
	}
	return nil
}

func lengthTo(s *boundary.Segment, t float64) float64 {
	if s.Straight() || s.Circular() {
		return t * s.Length()
	}
	return s.ArcTo(t)
}

// crossings calls found with every parameter of a side on the line through the
// centroid along (cos, sin).
func crossings(s *boundary.Segment, sin, cos float64, found func(t float64)) {
	const tiny = 1e-12
	if s.Straight() {
		a, b := imag(s.From)*cos-real(s.From)*sin, imag(s.To)*cos-real(s.To)*sin
		if a == b {
			if a == 0 {
				found(0)
				found(1)
			}
			return
		}
		if t := a / (a - b); t >= -tiny && t <= 1+tiny {
			found(min(max(t, 0), 1))
		}
		return
	}
	c := imag(s.Centre)*cos - real(s.Centre)*sin
	u, v := -s.SemiY*sin, s.SemiZ*cos
	m := math.Hypot(u, v)
	if math.Abs(c) > m {
		return
	}
	base, open := math.Atan2(v, u), math.Acos(-c/m)
	for _, theta := range [2]float64{base + open, base - open} {
		t := math.Mod((theta-s.Start)/s.Sweep, 2*math.Pi/math.Abs(s.Sweep))
		if t < -tiny {
			t += 2 * math.Pi / math.Abs(s.Sweep)
		}
		if t <= 1+tiny {
			found(min(max(t, 0), 1))
		}
	}
}

// Around is where the ray at angle φ from the centroid leaves the section last.
func (g *General) Around(phi float64) Coordinate {
	turns := math.Floor(phi / (2 * math.Pi))
	s := g.now()
	total := s.Perimeter(0)
	at := s.Wrap(0, g.along(phi)-g.origin)
	// where the turn closes, S and φ may be a rounding apart
	switch part := phi/(2*math.Pi) - turns; {
	case at < 1e-9*total && part > 0.5:
		at += total
	case at > (1-1e-9)*total && part < 0.5:
		at -= total
	}
	return Coordinate{S: at + turns*total}
}

// Angle is that at which the centroid sees the coordinate, one more turn for each
// time round the loop.
func (g *General) Angle(c Coordinate) float64 {
	p := g.at(c)
	phi := cmplx.Phase(p)
	if phi < -1e-12 {
		phi += 2 * math.Pi
	}
	s := g.now()
	if c.Loop != 0 {
		return phi
	}
	turns := math.Floor(c.S / s.Perimeter(0))
	rest := c.S - turns*s.Perimeter(0)
	// beside the start, where S and φ may be a rounding apart
	switch half := s.Perimeter(0) / 2; {
	case rest < half/4 && phi > 3*math.Pi/2:
		phi -= 2 * math.Pi
	case rest > 7*half/4 && phi < math.Pi/2:
		phi += 2 * math.Pi
	}
	return phi + turns*2*math.Pi
}

// at is the point about the centroid.
func (g *General) at(c Coordinate) complex128 {
	side, t := g.locate(c)
	return side.At(t)
}

func (g *General) locate(c Coordinate) (*boundary.Segment, float64) {
	s := g.now()
	length := c.S
	if c.Loop == 0 {
		length += g.origin
	}
	side, t := s.Locate(c.Loop, length)
	return &s.Loops()[c.Loop][side], t
}

// Point in the axes of the dimensions.
func (g *General) Point(c Coordinate) (y, z float64) {
	p := g.at(c) + g.now().Properties.Centroid
	return real(p), imag(p)
}

// Curvature of the outline, positive where it bulges outward.
func (g *General) Curvature(c Coordinate) float64 {
	side, t := g.locate(c)
	return side.Curvature(t)
}

// Perimeter of a loop: 0 the outer one, then the holes.
func (g *General) Perimeter(loop int) float64 { return g.now().Perimeter(loop) }
