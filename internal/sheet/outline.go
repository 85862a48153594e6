package sheet

import (
	"math"
	"math/cmplx"

	"gridwright/internal/boundary"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/section"
)

// outlineOf is the part's section as drawings need it, about the centroid.
func outlineOf(d *dossier.Dossier) section.Section { return d.Result.State.Section }

// isRound tells whether the part is a circle outside: then it has neither faces nor
// edges, and φ alone says where a grid is.
func isRound(s section.Section) bool {
	outer := s.Loops()[0]
	return len(outer) == 1 && outer[0].Circular()
}

// point of the surface about the centroid, m.
func point(s section.Section, at float64) complex128 {
	p := s.Properties()
	y, z := s.Point(section.Coordinate{S: at})
	return complex(y-p.CentroidY, z-p.CentroidZ)
}

// span is a rectangle about a section, m.
type span struct{ y0, y1, z0, z1 float64 }

// spanOf a loop: of a curved side where its tangent is upright or level.
func spanOf(l boundary.Loop) span {
	b := span{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	take := func(p complex128) {
		b.y0, b.y1 = min(b.y0, real(p)), max(b.y1, real(p))
		b.z0, b.z1 = min(b.z0, imag(p)), max(b.z1, imag(p))
	}
	for i := range l {
		side := &l[i]
		take(side.From)
		take(side.To)
		if side.Straight() {
			continue
		}
		lo, hi := min(side.Start, side.Start+side.Sweep), max(side.Start, side.Start+side.Sweep)
		for k := math.Ceil(lo / (math.Pi / 2)); k*math.Pi/2 <= hi; k++ {
			quarter := int(math.Mod(k, 4)+4) % 4
			take(side.Centre + complex([4]float64{1, 0, -1, 0}[quarter]*side.SemiY, [4]float64{0, 1, 0, -1}[quarter]*side.SemiZ))
		}
	}
	return b
}

// loopPath is a loop on paper, its origin at c, k mm for each metre; z is up.
func loopPath(l boundary.Loop, c drawing.Point, k scale) *drawing.Path {
	at := func(p complex128) drawing.Point { return drawing.At(c.X+k.mm(real(p)), c.Y-k.mm(imag(p))) }
	path := new(drawing.Path)
	for i := range l {
		side := &l[i]
		switch {
		case side.Straight():
			if i == 0 {
				path.Line(at(side.From))
			}
			path.Line(at(side.To))
		case side.Circular():
			path.Arc(at(side.Centre), k.mm(side.SemiY), side.Start, side.Sweep)
		default:
			ellipsePath(path, side, at)
		}
	}
	return path.Close()
}

// ellipsePath goes along an arc of an ellipse as drawing.Path goes along one of a
// circle, stretched.
func ellipsePath(path *drawing.Path, side *boundary.Segment, at func(complex128) drawing.Point) {
	n := max(int(math.Ceil(math.Abs(side.Sweep)/(math.Pi/4)-1e-9)), 1)
	step := side.Sweep / float64(n)
	reach := 4.0 / 3 * math.Tan(step/4)
	path.Line(at(side.From))
	for i := range n {
		t, u := float64(i)/float64(n), float64(i+1)/float64(n)
		along := complex(reach/side.Sweep, 0)
		path.Curve(at(side.At(t)+along*side.Velocity(t)), at(side.At(u)-along*side.Velocity(u)), at(side.At(u)))
	}
}

// cut is where a level line at z cuts a loop: each y.
func cut(l boundary.Loop, z float64, found func(y float64)) {
	for i := range l {
		side := &l[i]
		if side.Straight() {
			a, b := imag(side.From)-z, imag(side.To)-z
			if a == b {
				if a == 0 {
					found(real(side.From))
					found(real(side.To))
				}
				continue
			}
			if t := a / (a - b); t >= 0 && t <= 1 {
				found(real(side.From) + t*real(side.To-side.From))
			}
			continue
		}
		sin := (z - imag(side.Centre)) / side.SemiZ
		if math.Abs(sin) > 1 {
			continue
		}
		for _, theta := range [2]float64{math.Asin(sin), math.Pi - math.Asin(sin)} {
			t := math.Mod((theta-side.Start)/side.Sweep, 2*math.Pi/math.Abs(side.Sweep))
			if t < 0 {
				t += 2 * math.Pi / math.Abs(side.Sweep)
			}
			if t <= 1 {
				found(real(side.At(t)))
			}
		}
	}
}

// seen tells whether a place on the surface is seen from −y, be it on its edge: its
// normal does not point away, and nothing of the outer loop lies before a point just
// off it.
func seen(s section.Section, at float64) bool {
	normal := s.Normal(section.Coordinate{S: at})
	if math.Cos(normal) > 1e-9 {
		return false
	}
	p := point(s, at) + cmplx.Rect(1e-6*s.Perimeter(0), normal)
	clear := true
	cut(s.Loops()[0], imag(p), func(y float64) { clear = clear && y > real(p) })
	return clear
}

// nearest is the distance from the centroid to the outline, m, and whether the
// centroid lies in the material.
func nearest(loops []boundary.Loop) (distance float64, inside bool) {
	distance = math.Inf(1)
	for _, l := range loops {
		for i := range l {
			const n = 32
			side := &l[i]
			if side.Circular() && side.Centre == 0 {
				distance = min(distance, side.SemiY)
				continue
			}
			for k := range n + 1 {
				t := float64(k) / n
				if side.Straight() {
					v := side.To - side.From
					t = min(max(-real(side.From*cmplx.Conj(v))/real(v*cmplx.Conj(v)), 0), 1)
				}
				distance = min(distance, cmplx.Abs(side.At(t)))
				if side.Straight() {
					break
				}
			}
		}
	}
	inside = loops[0].Encloses(0)
	for _, h := range loops[1:] {
		inside = inside && !h.Encloses(0)
	}
	return distance, inside
}

// normalAt is the angle of the outward normal in the middle of a rectangle, which on
// a round part is φ.
func normalAt(s section.Section, p spot) float64 {
	if isRound(s) {
		return p.around
	}
	return s.Normal(section.Coordinate{S: p.s})
}
