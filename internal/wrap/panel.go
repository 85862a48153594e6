package wrap

import (
	"errors"
	"math"

	"gridwright/internal/dossier"
	"gridwright/internal/gauge"
)

// panel is a developed strip of the part's surface: the whole girth of a round
// part, or one face of another. It knows no paper yet but how much longer the
// paper is.
type panel struct {
	name     string  // of the face or curve; empty for a whole girth
	girth    float64 // around, on the surface, m
	stretch  float64 // paper over surface, around
	closed   bool    // its ends meet: 0 and girth are one line
	datum    float64 // arc length of its reference line, m
	backings []rect
	grids    []rect
	keepOut  []sector

	// Of a part that is not round:
	knots       []knot // where the paper lies
	faces       []face // from left to right
	left, right string // of one face: what meets it at its edges
	curved      bool   // a curve and not a flat face
	phi         bool   // of a whole girth: there is a surface at φ = 0
}

// round tells whether the panel is the whole girth of a round part.
func (p *panel) round() bool { return p.closed && p.knots == nil }

// rect is a rectangle on a panel: a grid, or the backing of a gauge.
type rect struct {
	name      string
	gauge     string
	placement int
	x         float64 // station of the centre, m
	s         float64 // arc length of the centre from the panel's left edge, m
	around    float64 // φ of the centre, rad
	face      string  // on which the design places it; "" where it is placed by φ
	across    float64 // m from the middle of that face
	direction float64 // of the length, from +x toward growing s, rad
	length    float64 // m
	width     float64 // m
}

// sector is a range along one direction.
type sector struct{ from, to float64 }

// reach is half of what a rectangle spans along the part and around it, m.
func (r rect) reach() (axial, around float64) {
	sin, cos := math.Sincos(r.direction)
	return gauge.Extent(r.length, r.width, cos, sin) / 2, gauge.Extent(r.length, r.width, sin, cos) / 2
}

// corner is a point of the rectangle: u, v from −1 to 1 along its length and,
// clockwise from that, across.
func (r rect) corner(u, v float64) (x, s float64) {
	sin, cos := math.Sincos(r.direction)
	dx, ds := gauge.Offset(u*r.length/2, v*r.width/2, sin, cos)
	return r.x + dx, r.s + ds
}

var errNothing = errors.New("the design places nothing, so there is nothing to mark; `gridwright pick` chooses placements")

// roundPanel is the developed girth of a round part, cut open at φ = 0, for paper
// of thickness t.
func roundPanel(d *dossier.Dossier, t float64) (panel, error) {
	if len(d.Design.Placements) == 0 {
		return panel{}, errNothing
	}
	section := d.Result.State.Section
	girth := section.Perimeter(0)
	diameter := girth / math.Pi
	p := panel{girth: girth, stretch: (diameter + t) / diameter, closed: true}
	on := func(s float64) float64 { // within [0, girth)
		if s = math.Mod(s, girth); s < 0 {
			s += girth
		}
		if girth-s < 1e-9*girth {
			return 0
		}
		return s
	}
	for i, pl := range d.Design.Placements {
		station, phi, direction := pl.AsBonded(d.Design.Tolerance)
		g := &d.Design.Gauges[pl.Gauge]
		s := on(section.Around(phi.SI).S)
		p.backings = append(p.backings, rect{name: pl.Name, gauge: g.Name, placement: i, x: station.SI, s: s, around: s / girth * 2 * math.Pi,
			direction: direction.SI, length: g.Backing.Length.SI, width: g.Backing.Width.SI})
	}
	for i, g := range d.Result.Grids {
		state := &d.Result.State.Grids[i]
		s := on(state.Coordinate.S)
		p.grids = append(p.grids, rect{name: g.Name, placement: d.Result.Model.Grids[i].Ref.Placement, x: state.Station, s: s, around: s / girth * 2 * math.Pi,
			direction: math.Atan2(state.Sin, state.Cos), length: state.Length, width: state.Width})
	}
	for _, k := range d.Design.Pick.KeepOut {
		sweep := k.To.SI - k.From.SI
		if sweep < 0 { // through φ = 0
			sweep += 2 * math.Pi
		}
		if sweep >= 2*math.Pi {
			p.keepOut = append(p.keepOut, sector{0, girth})
			continue
		}
		from := on(section.Around(k.From.SI).S)
		to := from + sweep/(2*math.Pi)*girth
		p.keepOut = append(p.keepOut, sector{from, min(to, girth)})
		if to > girth {
			p.keepOut = append(p.keepOut, sector{0, to - girth})
		}
	}
	return p, nil
}

// images are where a rectangle shows on the panel: on a whole girth one that lies
// over the seam is seen at both ends.
func (p *panel) images(r rect) []rect {
	if !p.closed {
		return []rect{r}
	}
	_, half := r.reach()
	var all []rect
	for turn := -1.0; turn <= 1; turn++ {
		image := r
		image.s += turn * p.girth
		if image.s+half > 0 && image.s-half < p.girth || image.s == 0 || image.s == p.girth {
			all = append(all, image)
		}
	}
	return all
}
