package pick

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

const deg = math.Pi / 180

// layout is one set of placements.
type layout struct {
	given      bool // by the file
	gauge      int  // index into Design.Gauges, when not given
	count      int  // positions on each ring
	turned     bool // the pattern by 45°
	start      int  // of the first position, degrees
	stations   []design.Number
	placements []design.Placement // in the order of their names
}

// counts are the numbers of equally spaced positions on a ring.
var counts = []int{1, 2, 3, 4, 6}

// layouts lists the placement sets to search: the file's own when it places
// gauges, else every family that fits.
func (p *problem) layouts() ([]layout, error) {
	d := p.design
	if len(d.Placements) > 0 {
		return p.givenLayout()
	}
	if _, round := p.section.(*section.Round); !round {
		return nil, fmt.Errorf("part.section: gauges are placed on round parts only; place them under `placements`, then they are wired")
	}
	stations := p.stationsAscending()
	var rings [][]design.Number
	for _, s := range stations {
		rings = append(rings, []design.Number{s})
	}
	for i := range stations {
		for _, s := range stations[i+1:] {
			rings = append(rings, []design.Number{stations[i], s})
		}
	}
	var out []layout
	for _, g := range p.gauges() {
		for _, ring := range rings {
			for _, n := range counts {
				if n*len(ring) > p.atMost() {
					continue
				}
				if n*len(ring)*len(d.Gauges[g].Directions) > maxGrids {
					p.left = fmt.Sprintf("placement sets of more than %d grids are left out", maxGrids)
					continue
				}
				for _, turned := range []bool{false, true} {
					out = append(out, p.turnedFamily(layout{gauge: g, count: n, turned: turned, stations: ring})...)
				}
			}
		}
	}
	return out, nil
}

// turnedFamily lists the start angles of a family that fit on the part: the
// multiples of 15° below the pitch or, where the sectors kept out exclude all of
// them, those of 5°. One is enough when no load varies round the part.
func (p *problem) turnedFamily(l layout) []layout {
	l.place(p.design, 0)
	if !p.fitsAlong(l.placements) || overlap(p.design.Gauges, l.placements, p.radius) {
		return nil
	}
	pitch := 360 / l.count
	for _, step := range []int{15, 5} {
		var out []layout
		for start := 0; start < pitch; start += step {
			one := l
			one.place(p.design, start)
			if !p.fitsAround(one.placements) {
				continue
			}
			out = append(out, one)
			if !p.variesAround() {
				break
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

// place sets the placements for a start angle in degrees.
func (l *layout) place(d *design.Design, start int) {
	l.start = start
	l.placements = nil
	direction := 0.0
	if l.turned {
		direction = 45 * deg
	}
	for _, s := range l.stations {
		for i := range l.count {
			n := letters(len(l.placements))
			path := "placements." + n
			around := float64(start+i*360/l.count) * deg
			l.placements = append(l.placements, design.Placement{
				Name: n, Gauge: l.gauge, Place: design.Place{Path: path},
				Station:   si(s.SI, path+".station"),
				Around:    si(around, path+".around"),
				Direction: si(direction, path+".direction"),
			})
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
	return []layout{{given: true, count: len(d.Placements), placements: d.Placements}}, nil
}

// words describe a layout.
func (l *layout) words(d *design.Design) string {
	if l.given {
		return fmt.Sprintf("the %s placed in the file", plural(len(l.placements), "gauge"))
	}
	var b strings.Builder
	g := d.Gauges[l.gauge]
	pattern := strings.ReplaceAll(g.Pattern, "-", " ")
	if g.Pattern == "single" || g.Pattern == "custom" {
		pattern += " gauge"
	}
	fmt.Fprintf(&b, "%s (%s)", plural(len(l.placements), pattern), g.Name)
	angles := make([]string, l.count)
	for i := range angles {
		angles[i] = fmt.Sprintf("%d°", l.start+i*360/l.count)
	}
	fmt.Fprintf(&b, " at %s", list(angles))
	if len(l.stations) > 1 || l.stations[0].SI != 0 {
		at := make([]string, len(l.stations))
		for i, s := range l.stations {
			at[i] = quantity.Format(s.SI, quantity.Length, quantity.SI, -1)
		}
		fmt.Fprintf(&b, ", station %s", list(at))
	}
	if l.turned {
		b.WriteString(", pattern turned 45°")
	}
	return b.String()
}
