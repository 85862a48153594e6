package pick

import (
	"math"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/section"
)

// slack is by how much outlines may touch: rounding, not room.
const slack = 1e-9 // m

// fitsAlong reports whether the backings lie inside the straight length, and
// whether every grid wraps round less than half of the part.
func (p *problem) fitsAlong(placements []design.Placement) bool {
	span := p.design.Part.StraightLength
	half := p.section.Perimeter(0) / 2
	for _, pl := range placements {
		g := &p.design.Gauges[pl.Gauge]
		sin, cos := math.Sincos(pl.Direction.SI)
		reach := gauge.Extent(g.Backing.Length.SI, g.Backing.Width.SI, cos, sin) / 2
		if span.Set && (pl.Station.SI-reach < span.From.SI-slack || pl.Station.SI+reach > span.To.SI+slack) {
			return false
		}
		for _, dir := range g.Directions {
			sin, cos := math.Sincos(dir + pl.Direction.SI)
			if gauge.Extent(g.GridLength.SI, g.GridWidth.SI, sin, cos) > half {
				return false
			}
		}
	}
	return true
}

// fitsAround reports whether no backing reaches into a sector kept out.
func (p *problem) fitsAround(placements []design.Placement) bool {
	for _, pl := range placements {
		g := &p.design.Gauges[pl.Gauge]
		sin, cos := math.Sincos(pl.Direction.SI)
		half := gauge.Extent(g.Backing.Length.SI, g.Backing.Width.SI, sin, cos) / 2
		for _, k := range p.design.Pick.KeepOut {
			width := turn(k.To.SI - k.From.SI)
			if width == 0 && k.To.SI != k.From.SI {
				return false // the whole round
			}
			if !p.round {
				if p.intrudes(p.along(&pl), half-slack, k.From.SI, width) {
					return false
				}
				continue
			}
			// The gap between the two middles, less both half widths, is the room left.
			gap := turn(pl.Around.SI - (k.From.SI + width/2))
			gap = math.Min(gap, 2*math.Pi-gap)
			if (gap-width/2)*p.radius < half-slack {
				return false
			}
		}
	}
	return true
}

// along is the place of a placement round a part that is not round, as an arc length,
// m.
func (p *problem) along(pl *design.Placement) float64 {
	if pl.Face != "" {
		return p.section.OnFace(pl.FaceIndex, pl.Across.SI).S
	}
	return p.section.Around(pl.Around.SI).S
}

// intrudes reports whether the outline from s − half to s + half has a point that the
// centroid sees in a sector from an angle on. Between the points that are looked at
// the angle grows or falls throughout, on any but the most jagged outline.
func (p *problem) intrudes(s, half, from, width float64) bool {
	const n = 20
	for k := -n; k <= n; k++ {
		phi := p.section.Angle(section.Coordinate{S: s + half*float64(k)/n})
		if in := turn(phi - from); in > 1e-9 && in < width-1e-9 {
			return true
		}
	}
	middle := from + width/2 // of a sector narrower than the backing
	return p.section.Meets(middle) == nil && apart(p.section.Around(middle).S, s, p.section.Perimeter(0)) < half
}

// turn brings an angle into [0, 2π); a full turn less rounding is 0.
func turn(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	if a < 0 {
		a += 2 * math.Pi
	}
	if 2*math.Pi-a < 1e-12 {
		a = 0
	}
	return a
}

// overlap reports whether the backings of two placements overlap on the surface,
// or one backing itself round the part. Two rectangles are apart when a line along
// a side of one of them parts them.
func (p *problem) overlap(placements []design.Placement) bool {
	girth := p.section.Perimeter(0)
	for i, a := range placements {
		one := p.rectangle(&a)
		for j, b := range placements[i:] {
			two := p.rectangle(&b)
			dx, ds := b.Station.SI-a.Station.SI, p.apartAround(&a, &b)
			for k := -1.0; k <= 1; k++ {
				if j == 0 && k == 0 {
					continue
				}
				if !one.parts(two, dx, ds+k*girth) && !two.parts(one, dx, ds+k*girth) {
					return true
				}
			}
		}
	}
	return false
}

// apartAround is how far b lies round the part from a, m.
func (p *problem) apartAround(a, b *design.Placement) float64 {
	if p.round {
		return (b.Around.SI - a.Around.SI) * p.radius
	}
	return p.along(b) - p.along(a)
}

// rectangle is a backing: half its sides, and the direction of its length.
type rectangle struct{ length, width, sin, cos float64 }

func (p *problem) rectangle(pl *design.Placement) rectangle {
	g := &p.design.Gauges[pl.Gauge]
	sin, cos := math.Sincos(pl.Direction.SI)
	return rectangle{(g.Backing.Length.SI - slack) / 2, (g.Backing.Width.SI - slack) / 2, sin, cos}
}

// parts reports whether a line along a side of r parts it from o, whose middle is
// dx along the part and ds round it away.
func (r rectangle) parts(o rectangle, dx, ds float64) bool {
	cos, sin := math.Abs(r.cos*o.cos+r.sin*o.sin), math.Abs(r.sin*o.cos-r.cos*o.sin)
	return math.Abs(dx*r.cos+ds*r.sin) >= r.length+o.length*cos+o.width*sin ||
		math.Abs(ds*r.cos-dx*r.sin) >= r.width+o.length*sin+o.width*cos
}
