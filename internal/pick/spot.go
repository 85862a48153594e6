package pick

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// spot is a place round a part that is not round: on a straight face, or on a
// curved one by its angle.
type spot struct {
	at     float64 // arc length, m in [0, girth)
	angle  float64 // of the place as the centroid sees it, degrees in [0, 360)
	face   string  // as a design file names it; "" on a curve
	index  int     // of the face in Section.Faces
	across float64 // from the middle of the face, m
	middle bool    // of a straight face
	room   float64 // length of the face or curve round the part, m
}

// words of a spot.
func (s *spot) words() string {
	switch {
	case s.face == "":
		return strconv.FormatFloat(math.Round(s.angle*1e4)/1e4, 'f', -1, 64) + "°"
	case s.middle:
		return "the middle of face " + s.face
	}
	return fmt.Sprintf("face %s %s from its middle", s.face, quantity.Format(s.across, quantity.Length, quantity.SI, -1))
}

// run is a stretch of the outline that a backing may cover: a straight face, or
// curved sides that meet without a corner.
type run struct {
	index      int // of its face in Section.Faces
	straight   bool
	closed     bool    // all round
	middle     float64 // arc length, m
	half       float64 // half its length, m
	normal     float64 // outward at its middle, rad
	name       string  // of a straight face, as a design file names it
	holdsPlace bool    // gauges may be placed on it
}

// runs of the outer loop. The short straight sides of a curve that is drawn in them
// are one curve. No place for a gauge are curves shorter than the flats beside them,
// as corner radii are, hollow curves, as grooves and fillets are, and what lies inside
// slots and keyways: floors, which the outline leaves toward the outside at both ends,
// and walls, which look at the part itself.
func (p *problem) runs() []run {
	faces := p.section.Faces()
	girth := p.section.Perimeter(0)
	var out []run
	for i, f := range faces {
		drawn := f.Before+f.Behind > f.Length*(1+1e-9)
		r := run{index: i, straight: f.Straight && !drawn, normal: f.Normal, half: (f.Before + f.Behind) / 2}
		r.middle = wrapped(f.Middle.S+(f.Behind-f.Before)/2, girth)
		if r.closed = r.half*2 > girth*(1-1e-9); r.closed {
			r.middle, r.half = 0, girth/2
		}
		if drawn && slices.ContainsFunc(out, func(o run) bool { return !o.straight && apart(o.middle, r.middle, girth) < 1e-9*girth }) {
			continue
		}
		if r.straight {
			for _, name := range []string{f.Name, strconv.Itoa(f.Edge)} {
				if at, err := section.FaceNamed(p.section, name); name != "" && err == nil && at == i {
					r.name = name
					break
				}
			}
		}
		out = append(out, r)
	}
	for i := range out {
		r := &out[i]
		before, behind := &out[(i+len(out)-1)%len(out)], &out[(i+1)%len(out)]
		beside := math.Inf(1)
		for _, o := range []*run{before, behind} {
			if o.straight {
				beside = math.Min(beside, o.half)
			}
		}
		from, to := r.middle-r.half, r.middle+r.half
		if !r.closed && (p.hollow(from) && p.hollow(to) || !r.straight && p.hollow(r.middle) || r.straight && p.facesItself(r)) {
			continue
		}
		r.holdsPlace = r.straight && r.name != "" || !r.straight && (r.closed || math.IsInf(beside, 1) || r.half >= beside)
	}
	return out
}

// hollow reports whether the outline turns toward the outside at an arc length.
func (p *problem) hollow(s float64) bool {
	step := 1e-4 * p.section.Perimeter(0)
	var y, z [3]float64
	for k := range y {
		y[k], z[k] = p.section.Point(section.Coordinate{S: s + float64(k-1)*step})
	}
	cross := (y[1]-y[0])*(z[2]-z[1]) - (z[1]-z[0])*(y[2]-y[1])
	return cross < -1e-6*step*step
}

// facesItself reports whether the outward normal at the middle of a run meets the part
// again.
func (p *problem) facesItself(r *run) bool {
	girth := p.section.Perimeter(0)
	y0, z0 := p.section.Point(section.Coordinate{S: r.middle})
	sin, cos := math.Sincos(r.normal)
	// along and beside the normal
	point := func(s float64) (a, b float64) {
		y, z := p.section.Point(section.Coordinate{S: s})
		return (y-y0)*cos + (z-z0)*sin, (z-z0)*cos - (y-y0)*sin
	}
	const n = 720
	a, b := point(0)
	for k := 1; k <= n; k++ {
		c, d := point(girth * float64(k) / n)
		if (b > 0) != (d > 0) && a+(c-a)*b/(b-d) > girth/n {
			return true
		}
		a, b = c, d
	}
	return false
}

// wrapped brings an arc length into [0, girth).
func wrapped(s, girth float64) float64 {
	s = math.Mod(s, girth)
	if s < 0 {
		s += girth
	}
	if girth-s < 1e-9*girth {
		s = 0
	}
	return s
}

// apart is the distance of two arc lengths, the shorter way round.
func apart(a, b, girth float64) float64 { return math.Abs(math.Remainder(a-b, girth)) }

// spotAt is the spot at an arc length; false where no gauge is placed.
func (p *problem) spotAt(s float64) (spot, bool) {
	girth := p.section.Perimeter(0)
	s = wrapped(s, girth)
	angle := math.Round(turn(p.section.Angle(section.Coordinate{S: s}))/deg*1e7) / 1e7
	out := spot{at: s, angle: math.Mod(angle, 360)}
	for _, r := range p.stretches {
		d := math.Remainder(s-r.middle, girth)
		if !r.holdsPlace || math.Abs(d) > r.half*(1+1e-9) {
			continue
		}
		out.room = 2 * r.half
		if !r.straight {
			// A design file gives it by its angle, which has to lead back to it.
			if phi := out.angle * deg; p.section.Meets(phi) != nil || apart(p.section.Around(phi).S, s, girth) > 1e-6*girth {
				return out, false
			}
			return out, true
		}
		out.face, out.index = r.name, r.index
		out.across = math.Round(d*1e9)/1e9 + 0
		out.middle = math.Abs(out.across) < 1e-8
		return out, true
	}
	return out, false
}

// above is by how much the torsion shear of a place has to exceed that at the
// other places of its face for it to count besides: the rest is rounding of the
// solution, or not worth a gauge off the middle.
const above = 1.02

// sees is the share of the greatest bending stress below which the middles of the
// faces count as blind to that bending.
const sees = 0.3

// spots lists the places for a gauge, its pattern turned, in the order round the
// part: those of
//
//   - the middles of straight faces,
//   - the middles of curved runs, and every 45° on them,
//   - the places of greatest torsion shear, where it is 2 % above that at these,
//   - pairs to either side of the middle of straight faces, a quarter of the face
//     from it: with shear forces among the loads, whose shear differs there where it
//     is none at the middle; as far out as the backing goes where a bending is to be
//     measured that the places so far do not see,
//
// where the run holds the backing and every grid, and all that the symmetries of the
// section make of these.
func (p *problem) spots(g, turned int) []spot {
	girth := p.section.Perimeter(0)
	reach := p.reachAround(g, turned)
	var seeds []float64
	var held []*run
	for i := range p.stretches {
		r := &p.stretches[i]
		if !r.holdsPlace || r.half < reach-slack {
			continue
		}
		held = append(held, r)
		if !r.closed {
			seeds = append(seeds, r.middle)
		}
		if !r.straight {
			seeds = append(seeds, p.every45(r, reach)...)
		}
	}
	farOut := p.blind(seeds)
	for _, r := range held {
		room := math.Floor((r.half-reach+slack)*1e4) / 1e4
		off := 0.0
		switch {
		case !r.straight || room < 1e-3:
		case farOut:
			off = room
		case p.shears():
			off = math.Min(room, math.Max(reach, math.Round(r.half/2*1e4)/1e4))
		}
		if off > 0 {
			seeds = append(seeds, r.middle-off, r.middle+off)
		}
	}
	seeds = append(seeds, p.peaks...)
	var out []spot
	for _, s := range seeds {
		for _, e := range p.symmetries {
			at, ok := p.spotAt(e.image(s))
			if !ok || !p.holds(g, turned, &at) || slices.ContainsFunc(out, func(o spot) bool { return apart(o.at, at.at, girth) < 1e-6 }) {
				continue
			}
			out = append(out, at)
		}
	}
	slices.SortFunc(out, func(a, b spot) int { return cmp.Or(cmp.Compare(a.angle, b.angle), cmp.Compare(a.at, b.at)) })
	return out
}

// reachAround is how far a turned backing reaches round the part from its middle, m.
func (p *problem) reachAround(g, turned int) float64 {
	b := &p.design.Gauges[g].Backing
	sin, cos := math.Sincos(float64(turned) * deg)
	return gauge.Extent(b.Length.SI, b.Width.SI, sin, cos) / 2
}

// holds tells whether backing and grids of a gauge lie on one run.
func (p *problem) holds(g, turned int, at *spot) bool {
	girth := p.section.Perimeter(0)
	reach := p.reachAround(g, turned)
	if !slices.ContainsFunc(p.stretches, func(r run) bool {
		d := apart(at.at, r.middle, girth)
		return r.closed && 2*reach <= girth || d <= r.half && d+reach <= r.half+slack
	}) {
		return false
	}
	source := &p.design.Gauges[g]
	sinP, cosP := math.Sincos(float64(turned) * deg)
	for k, dir := range source.Directions {
		sin, cos := math.Sincos(dir + float64(turned)*deg)
		_, ds := gauge.Offset(source.Centres[k][0].SI, source.Centres[k][1].SI, sinP, cosP)
		patch := section.Patch{Centre: section.Coordinate{S: at.at + ds}, Sin: sin, Cos: cos, Length: source.GridLength.SI, Width: source.GridWidth.SI}
		if p.section.Within(&patch) != nil {
			return false
		}
	}
	return true
}

// shears reports whether a shear force is among the loads.
func (p *problem) shears() bool {
	return slices.ContainsFunc(p.design.Loads, func(l design.Load) bool {
		return l.Component == design.ShearY || l.Component == design.ShearZ
	})
}

// blind reports whether a bending is to be measured of whose greatest stress none of
// the places sees as much as the share `sees`.
func (p *problem) blind(places []float64) bool {
	girth := p.section.Perimeter(0)
	var u section.Unit
	stress := func(s float64, c design.Component) float64 {
		p.section.Surface(section.Coordinate{S: s}, 0, &u)
		return math.Abs(u[c].Axial)
	}
	for _, t := range p.measured {
		c := p.component(t)
		if !bending(c) {
			continue
		}
		most, seen := 0.0, 0.0
		const n = 240
		for k := range n {
			most = math.Max(most, stress(girth*(float64(k)+0.5)/n, c))
		}
		for _, s := range places {
			seen = math.Max(seen, stress(s, c))
		}
		if seen < sees*most {
			return true
		}
	}
	return false
}

// every45 are the places on a curve at multiples of 45° that are reach from its ends.
func (p *problem) every45(r *run, reach float64) (out []float64) {
	for a := 0; a < 360; a += 45 {
		phi := float64(a) * deg
		if s := p.section.Around(phi).S; p.section.Meets(phi) == nil && apart(s, r.middle, p.section.Perimeter(0)) <= r.half-reach+slack {
			out = append(out, s)
		}
	}
	return out
}

// shearOnCurve is the greatest torsion shear at the middle of a curve and every 45°.
func (p *problem) shearOnCurve(r *run) float64 {
	var u section.Unit
	most := 0.0
	for _, s := range append(p.every45(r, 0), r.middle) {
		p.section.Surface(section.Coordinate{S: s}, 0, &u)
		most = math.Max(most, math.Abs(u[design.Torque].Shear))
	}
	return most
}

// torsionPeaks are the places of greatest torsion shear that count besides the
// middles and, on curves, every 45°, as arc lengths: to 0.1 mm on straight faces, to
// 1° on curves. Shear that grows right up to a re-entrant corner has no place of greatest
// value on the face: it changes too fast there for a grid.
func (p *problem) torsionPeaks() (out []float64) {
	girth := p.section.Perimeter(0)
	var u section.Unit
	for _, peak := range section.Peaks(p.section, design.Torque) {
		for i := range p.stretches {
			r := &p.stretches[i]
			d := math.Remainder(peak.At.S-r.middle, girth)
			if !r.holdsPlace || math.Abs(d) > r.half {
				continue
			}
			if !r.closed && math.Abs(d) > 0.899*r.half {
				break
			}
			if !r.straight {
				phi := math.Round(p.section.Angle(peak.At)/deg) * deg
				if p.section.Meets(phi) == nil && math.Abs(peak.Shear) > above*p.shearOnCurve(r) {
					out = append(out, p.section.Around(phi).S)
				}
				break
			}
			p.section.Surface(section.Coordinate{S: r.middle}, 0, &u)
			if math.Abs(peak.Shear) > above*math.Abs(u[design.Torque].Shear) {
				out = append(out, r.middle+math.Round(d*1e4)/1e4)
			}
			break
		}
	}
	return out
}
