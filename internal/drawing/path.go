package drawing

import "math"

type verb uint8

const (
	move verb = iota
	line
	curve // two control points, then the end
	shut
)

// Path is an outline of straight lines, arcs and cubic curves, in one piece or
// several. The zero Path is empty and ready for use; its methods return it, so
// that an outline reads as one expression. Areas are filled by the even-odd
// rule: a piece inside another is a hole.
type Path struct {
	verbs  []verb
	points []Point
}

// Move starts a new piece.
func (p *Path) Move(to Point) *Path { return p.add(move, to) }

// Line goes straight on. On an empty path it starts the first piece.
func (p *Path) Line(to Point) *Path {
	if p.resting() {
		return p.add(move, to)
	}
	return p.add(line, to)
}

// Curve goes on along a cubic Bézier curve with control points c1, c2.
func (p *Path) Curve(c1, c2, to Point) *Path {
	if p.resting() {
		p.add(move, c1)
	}
	return p.add(curve, c1, c2, to)
}

// Arc goes straight to the start of a circular arc and along it: radius r,
// from the angle start over sweep, radians counterclockwise as seen.
//
// The arc is drawn as cubic curves of at most 45° each, control points
// 4/3 tan(sweep/4) r along the tangents; they leave the circle by less than
// 5e-6 r.
func (p *Path) Arc(centre Point, r, start, sweep float64) *Path {
	p.Line(centre.Polar(r, start))
	n := int(math.Ceil(math.Min(math.Abs(sweep)/(math.Pi/4)-1e-9, 1e4)))
	if n < 1 {
		n = 1
	}
	step := sweep / float64(n)
	reach := 4.0 / 3 * math.Tan(step/4) * r
	for i := range n {
		a := start + float64(i)*step
		b := start + float64(i+1)*step
		from, to := centre.Polar(r, a), centre.Polar(r, b)
		p.Curve(from.Polar(reach, a+math.Pi/2), to.Polar(-reach, b+math.Pi/2), to)
	}
	return p
}

// Close goes straight back to where the piece began.
func (p *Path) Close() *Path {
	if !p.resting() {
		p.add(shut)
	}
	return p
}

// PolygonPath is the closed outline through the points.
func PolygonPath(points ...Point) *Path {
	p := new(Path)
	for _, q := range points {
		p.Line(q)
	}
	return p.Close()
}

// CirclePath is a full circle.
func CirclePath(centre Point, r float64) *Path {
	return new(Path).Arc(centre, r, 0, 2*math.Pi).Close()
}

// And is the path with the pieces of q added: holes, for instance.
func (p *Path) And(q *Path) *Path {
	p.verbs = append(p.verbs, q.verbs...)
	p.points = append(p.points, q.points...)
	return p
}

// resting tells that no piece is under way.
func (p *Path) resting() bool {
	return len(p.verbs) == 0 || p.verbs[len(p.verbs)-1] == shut
}

func (p *Path) add(v verb, points ...Point) *Path {
	p.verbs = append(p.verbs, v)
	p.points = append(p.points, points...)
	return p
}

func (p *Path) finite() bool {
	for _, q := range p.points {
		if !q.finite() {
			return false
		}
	}
	return true
}

// moved is a copy, shifted by v.
func (p *Path) moved(v Point) *Path {
	q := &Path{verbs: p.verbs, points: make([]Point, len(p.points))}
	for i, pt := range p.points {
		q.points[i] = pt.plus(v)
	}
	return q
}

// each calls visit for every part with its points: one for move and line,
// three for curve, none for shut.
func (p *Path) each(visit func(v verb, points []Point)) {
	rest := p.points
	for _, v := range p.verbs {
		n := 1
		switch v {
		case curve:
			n = 3
		case shut:
			n = 0
		}
		visit(v, rest[:n])
		rest = rest[n:]
	}
}

// pieces is the path as polygons whose corners lie on it and whose sides are
// off it by at most tolerance (mm).
func (p *Path) pieces(tolerance float64) [][]Point {
	var out [][]Point
	var cur []Point
	p.each(func(v verb, q []Point) {
		switch v {
		case move:
			if len(cur) > 0 {
				out = append(out, cur)
			}
			cur = []Point{q[0]}
		case line:
			cur = append(cur, q[0])
		case curve:
			a := cur[len(cur)-1]
			// A chord of a cubic is off by at most 1/8 h² max|B″|, and
			// |B″| <= 6 times the larger second difference.
			d := math.Max(q[1].plus(a).minus(q[0].times(2)).length(), q[2].plus(q[0]).minus(q[1].times(2)).length())
			n := int(math.Ceil(math.Sqrt(6.0 / 8 * d / tolerance)))
			n = min(max(n, 1), 1000)
			for i := 1; i < n; i++ {
				t := float64(i) / float64(n)
				s := 1 - t
				cur = append(cur, a.times(s*s*s).plus(q[0].times(3*s*s*t)).plus(q[1].times(3*s*t*t)).plus(q[2].times(t*t*t)))
			}
			cur = append(cur, q[2])
		case shut:
			out = append(out, cur)
			cur = nil
		}
	})
	if len(cur) > 0 {
		out = append(out, cur)
	}
	return out
}

func (p Point) length() float64 { return math.Hypot(p.X, p.Y) }
