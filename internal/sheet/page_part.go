package sheet

import (
	"math"
	"strings"

	"gridwright/internal/drawing"
	"gridwright/internal/quantity"
)

// part is the chapter of the part and its gauges: three views and the
// coordinates of every grid.
func (b *book) part() {
	b.chapter("2  Part and gauges")
	b.mark("part")
	b.scenes(sideView(b.d, b.drawn(), b.width()-sectionWidth), sectionView(b.d, b.drawn()))
	surfaces := b.surfaces()
	for _, l := range surfaces {
		b.scenes(l.scene)
	}
	b.details()
	b.coordinates(surfaces)
}

// surfaces draws the developed surface as large as leaves room for details and
// coordinates on the same page; where that would make it small, in its own size.
func (b *book) surfaces() []*surfaceLayout {
	const least, step = 72.0, 8.0
	full := developedSurfaces(b.d, b.drawn(), b.width(), surfaceHeight)
	if len(full) != 1 || len(b.d.Design.Placements) == 0 {
		return full
	}
	table, notes := b.coordinateTable(full)
	below := table.fit(b.width()).height() + 12 + detailHeight + 2
	below += float64(len(drawing.Wrap(notes, drawing.Italic, 7, b.width()))) * drawing.LineHeight(drawing.Italic, 7)
	for height := surfaceHeight; height >= least; height -= step {
		if l := developedSurfaces(b.d, b.drawn(), b.width(), height); len(l) == 1 && l[0].scene.Height+2+below <= b.left() {
			return l
		}
	}
	return full
}

// details draws the gauges that are placed at a larger scale, four abreast.
func (b *book) details() {
	var row []*drawing.Scene
	for i := range b.d.Design.Gauges {
		if !b.placed(i) {
			continue
		}
		if row = append(row, gaugeDetail(b.d, i)); len(row) == 4 {
			b.scenes(row...)
			row = nil
		}
	}
	if len(row) > 0 {
		b.scenes(row...)
	}
}

func (b *book) placed(gauge int) bool {
	for _, p := range b.d.Design.Placements {
		if p.Gauge == gauge {
			return true
		}
	}
	return false
}

func (b *book) coordinates(surfaces []*surfaceLayout) {
	if len(b.d.Design.Placements) == 0 {
		b.paragraph("No gauge is placed.", 8, drawing.Regular)
		return
	}
	t, notes := b.coordinateTable(surfaces)
	b.heading("Coordinates of gauges and grids, to their centres", 14)
	b.table(t)
	b.note(notes)
}

// coordinateTable lists every gauge and its grids, and says what the columns mean.
func (b *book) coordinateTable(surfaces []*surfaceLayout) (*table, string) {
	unit := b.w.dual(words.lengthUnit)
	t := newTable(text("gauge, grid"), text("type"), number("station x, "+unit), number("from reference line, "+unit), number("around φ, °"), number("direction α, °"),
		number("length × width, "+unit))
	measured := false
	for _, l := range surfaces {
		for _, g := range l.backings {
			p := b.d.Design.Placements[g.placement]
			name := g.name
			if g.measured {
				name, measured = name+" *", true
			}
			t.rows = append(t.rows, row{bold: true, cells: append([]string{name, b.d.Design.Gauges[p.Gauge].Name}, b.coordinate(g)...)})
			for _, s := range l.grids {
				if s.placement == g.placement {
					t.add(append([]string{s.name, "grid"}, b.coordinate(s)...)...)
				}
			}
		}
	}
	tol := b.d.Design.Tolerance
	notes := []string{"From reference line: along the surface, + toward +φ. Direction: from +x toward +φ, clockwise in the developed view."}
	if measured {
		notes = append(notes, "* as measured after bonding.")
	}
	notes = append(notes, "Placement tolerance unless a placement states its own: station ± "+b.w.plain(tol.Station.SI, quantity.Length)+
		", around ± "+b.w.plain(tol.Around.SI, quantity.Angle)+", direction ± "+b.w.plain(tol.Direction.SI, quantity.Angle)+
		b.defaulted()+".")
	return t, strings.Join(notes, " ")
}

// defaulted says so when the file leaves a placement tolerance out.
func (b *book) defaulted() string {
	t := b.d.Design.Tolerance
	if t.Station.Set && t.Around.Set && t.Direction.Set {
		return ""
	}
	return " (defaults where the design states none)"
}

func (b *book) coordinate(p spot) []string {
	place := func(si float64) string { return b.w.dual(func(w words) string { return w.place(si) }) }
	return []string{place(p.x), place(p.s), fixed(p.around*180/math.Pi, 2), fixed(p.stated*180/math.Pi, 2),
		b.w.dual(func(w words) string { return w.place(p.length) + " × " + w.place(p.width) })}
}
