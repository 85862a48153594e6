package pick

import (
	"fmt"
	"math"
	"slices"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

const deg = math.Pi / 180

// maxPositions is the greatest number of gauges on one ring.
const maxPositions = 8

// layout is one set of placements.
type layout struct {
	given      bool // by the file
	rings      []ring
	placements []design.Placement // in the order of their names
}

// ring is the gauges of one type at one station.
type ring struct {
	gauge   int       // index into Design.Gauges
	turn    int       // of the pattern, degrees
	angles  []float64 // of the positions, degrees
	free    bool      // not equally spaced
	station design.Number
	spots   []spot // of the positions on a part that is not round
	class   string // of the spots, up to the symmetries of the section
}

// layouts lists the placement sets to search: the file's own when it places
// gauges, else every family that fits.
func (p *problem) layouts() ([]layout, error) {
	if len(p.design.Placements) > 0 {
		return p.givenLayout()
	}
	if !p.round {
		p.chart()
		return p.faceLayouts(p.preserving()), nil
	}
	var out []layout
	for _, g := range p.gauges() {
		turns := p.turns(g)
		for _, at := range p.ringStations() {
			for n := 1; n <= maxPositions; n++ {
				if n*len(at) > p.atMost() || p.tooMany(n*len(at)*len(p.design.Gauges[g].Directions)) {
					continue
				}
				for _, turn := range turns {
					found := p.spaced(g, turn, n, at)
					if len(found) == 0 && len(at) == 1 {
						found = p.free(g, turn, n, at[0])
					}
					out = append(out, found...)
				}
			}
		}
	}
	return append(out, p.mixtures()...), nil
}

// tooMany reports whether there are more grids than can be compared, and notes it.
func (p *problem) tooMany(grids int) bool {
	if grids <= maxGrids {
		return false
	}
	p.left = fmt.Sprintf("placement sets of more than %d grids are left out", maxGrids)
	return true
}

// ringStations lists where one ring, or two alike, may stand.
func (p *problem) ringStations() (out [][]design.Number) {
	stations := p.stationsAscending()
	for _, s := range stations {
		out = append(out, []design.Number{s})
	}
	for i := range stations {
		for _, s := range stations[i+1:] {
			out = append(out, []design.Number{stations[i], s})
		}
	}
	return out
}

// turns lists the multiples of 45° by which the pattern of a gauge is turned, but
// for those that bring it onto itself as turned before. Where no load varies along
// the part, where its grids lie along it is of no matter either, and its mirror
// image in a cross section counts as the same: that turns the sign of torque alone.
func (p *problem) turns(g int) (out []int) {
	var seen []string
	for turn := 0; turn < 360; turn += 45 {
		key := p.outline(g, turn, 1)
		if slices.Contains(seen, key) {
			continue
		}
		seen = append(seen, key)
		if !p.variesAlong() {
			seen = append(seen, p.outline(g, turn, -1))
		}
		out = append(out, turn)
	}
	return out
}

// outline is everything of a turned pattern that the part sees, whatever the
// numbers of its grids; with mirror −1, of its mirror image in a cross section.
func (p *problem) outline(gauge, turn int, mirror float64) string {
	g := &p.design.Gauges[gauge]
	along := mirror
	if !p.variesAlong() {
		along = 0
	}
	sin, cos := math.Sincos(float64(turn) * deg)
	round := func(x float64) float64 { return math.Round(x*1e8)/1e8 + 0 }
	var grids []string
	for k, dir := range g.Directions {
		a := math.Mod(mirror*(math.Round(dir/deg*1e6)/1e6+float64(turn)), 180)
		if a < 0 {
			a += 180
		}
		x, y := g.Centres[k][0].SI, g.Centres[k][1].SI
		grids = append(grids, fmt.Sprint(a+0, round(along*(x*cos-y*sin)), round(x*sin+y*cos),
			g.GaugeFactor[k].SI, g.Transverse[k].SI, g.Resistance[k].SI))
	}
	slices.Sort(grids)
	length, width := g.Backing.Length.SI, g.Backing.Width.SI
	side := turn % 180
	if mirror < 0 {
		side = (180 - side) % 180
	}
	if side >= 90 {
		side, length, width = side-90, width, length
	}
	return fmt.Sprint(side, round(length), round(width), grids)
}

// spaced lists the start angles of n positions equally spaced on each ring that
// fit: the multiples of 15° below the pitch or, where the sectors kept out exclude
// all of them, those of 5°. One is enough when no load varies round the part.
func (p *problem) spaced(gauge, turn, n int, stations []design.Number) (out []layout) {
	for _, step := range []int{15, 5} {
		for start := 0; float64(start) < 360/float64(n)-1e-9; start += step {
			var l layout
			for _, s := range stations {
				r := ring{gauge: gauge, turn: turn, station: s}
				for i := range n {
					r.angles = append(r.angles, float64(start)+float64(i)*360/float64(n))
				}
				l.rings = append(l.rings, r)
			}
			l.place()
			if start == 0 && step == 15 && (!p.fitsAlong(l.placements) || p.overlap(l.placements)) {
				return nil
			}
			if !p.fitsAround(l.placements) {
				continue
			}
			if out = append(out, l); !p.variesAround() {
				return out
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

// place sets the placements of the rings, named in their order.
func (l *layout) place() {
	l.placements = nil
	for _, r := range l.rings {
		for i, angle := range r.angles {
			n := letters(len(l.placements))
			path := "placements." + n
			pl := design.Placement{
				Name: n, Gauge: r.gauge, Place: design.Place{Path: path},
				Station:   si(r.station.SI, path+".station"),
				Around:    si(angle*deg, path+".around"),
				Direction: si(float64(r.turn)*deg, path+".direction"),
			}
			if r.spots != nil && r.spots[i].face != "" {
				at := &r.spots[i]
				pl.Face, pl.FaceIndex, pl.Across = at.face, at.index, si(at.across, path+".across")
				// The angle stays for the reader of it; Face is what holds.
				pl.Around = design.Number{Value: quantity.Exact(angle * deg)}
			}
			l.placements = append(l.placements, pl)
		}
	}
}

// letters is the name of placement i: A, B, …, Z, AA, AB, …. Names without digits
// never give two grids one name.
func letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letters(i/26-1) + letters(i%26)
}

func (p *problem) givenLayout() ([]layout, error) {
	d := p.design
	grids := 0
	for _, pl := range d.Placements {
		grids += len(d.Gauges[pl.Gauge].Directions)
	}
	if grids > maxGrids {
		return nil, fmt.Errorf("placements: %d grids; wirings of at most %d can be compared: take placements out, or write the bridges", grids, maxGrids)
	}
	return []layout{{given: true, placements: d.Placements}}, nil
}

// start angle, for the order among equals.
func (l *layout) start() int {
	if l.given {
		return 0
	}
	return int(math.Round(l.rings[0].angles[0]))
}

// room is the width of the narrowest face or curve with a gauge, m; 0 on a round
// part.
func (l *layout) room() float64 {
	least := 0.0
	for i := range l.rings {
		for _, s := range l.rings[i].spots {
			if least == 0 || s.room < least {
				least = s.room
			}
		}
	}
	return least
}

// off is how many gauges stand off the middle of their face.
func (l *layout) off() (n int) {
	for i := range l.rings {
		for _, s := range l.rings[i].spots {
			if s.face != "" && !s.middle {
				n++
			}
		}
	}
	return n
}

// turned is by how much the patterns are turned, for the order among equals.
func (l *layout) turned() int {
	total := 0
	for i := range l.rings {
		if i == 0 || l.rings[i].gauge != l.rings[i-1].gauge {
			total += l.rings[i].turn
		}
	}
	return total
}
