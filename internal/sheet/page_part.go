package sheet

import (
	"math"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

// part is the chapter of the part and its gauges: three views and the
// coordinates of every grid.
func (b *book) part() {
	b.Chapter("2  Part and gauges")
	b.Mark("part")
	b.Scenes(sideView(b.d, b.drawn(), b.Width()-sectionWidth), sectionView(b.d, b.drawn()))
	surfaces := b.surfaces()
	for _, l := range surfaces {
		b.Scenes(l.scene)
	}
	b.details()
	b.coordinates(surfaces)
}

// surfaces draws the developed surface as large as leaves room for details and
// coordinates on the same page; where that would make it small, in its own size.
func (b *book) surfaces() []*surfaceLayout {
	const step = 8.0
	least := 72.0
	if !isRound(outlineOf(b.d)) { // faces and two lines of dimensions take room
		least = 96
	}
	full := developedSurfaces(b.d, b.drawn(), b.Width(), surfaceHeight)
	if len(full) != 1 || len(b.d.Design.Placements) == 0 {
		return full
	}
	table, notes := b.coordinateTable(full)
	below := table.Fit(b.Width()).Height() + 12 + detailHeight + 2
	below += float64(len(drawing.Wrap(notes, drawing.Italic, 7, b.Width()))) * drawing.LineHeight(drawing.Italic, 7)
	for height := surfaceHeight; height >= least; height -= step {
		if l := developedSurfaces(b.d, b.drawn(), b.Width(), height); len(l) == 1 && l[0].scene.Height+2+below <= b.Left() {
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
			b.Scenes(row...)
			row = nil
		}
	}
	if len(row) > 0 {
		b.Scenes(row...)
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
		b.Paragraph("No gauge is placed.", 8, drawing.Regular)
		return
	}
	t, notes := b.coordinateTable(surfaces)
	b.Heading("Coordinates of gauges and grids, to their centres", 14)
	b.Table(t)
	b.Note(notes)
}

// coordinateTable lists every gauge and its grids, and says what the columns mean.
func (b *book) coordinateTable(surfaces []*surfaceLayout) (*layout.Table, string) {
	unit := b.w.Dual(layout.Words.LengthUnit)
	columns := []layout.Column{layout.Text("gauge, grid"), layout.Text("type"), layout.Number("station x, " + unit)}
	faced := slices.ContainsFunc(b.d.Design.Placements, func(p design.Placement) bool { return p.Face != "" })
	if faced {
		columns = append(columns, layout.Text("face"), layout.Number("across, "+unit))
	}
	t := layout.NewTable(append(columns, layout.Number("from reference line, "+unit), layout.Number("around φ, °"), layout.Number("direction α, °"),
		layout.Number("length × width, "+unit))...)
	measured := false
	for _, l := range surfaces {
		for _, g := range l.backings {
			p := b.d.Design.Placements[g.placement]
			name := g.name
			if g.measured {
				name, measured = name+" *", true
			}
			t.Rows = append(t.Rows, layout.Row{Bold: true, Cells: append([]string{name, b.d.Design.Gauges[p.Gauge].Name}, b.coordinate(g, faced)...)})
			for _, s := range l.grids {
				if s.placement == g.placement {
					t.Add(append([]string{s.name, "grid"}, b.coordinate(s, faced)...)...)
				}
			}
		}
	}
	tol := b.d.Design.Tolerance
	var notes []string
	if faced {
		notes = append(notes, "Across: from the middle of the face along it, + toward +φ.")
	}
	notes = append(notes, "From reference line: along the surface, + toward +φ. Direction: from +x toward +φ, clockwise in the developed view.")
	if measured {
		notes = append(notes, "* as measured after bonding.")
	}
	notes = append(notes, "Placement tolerance unless a placement states its own: station ± "+b.w.Plain(tol.Station.SI, quantity.Length)+
		", around ± "+b.w.Plain(tol.Around.SI, quantity.Angle)+", direction ± "+b.w.Plain(tol.Direction.SI, quantity.Angle)+
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

func (b *book) coordinate(p spot, faced bool) []string {
	place := func(si float64) string { return b.w.Dual(func(w layout.Words) string { return w.Place(si) }) }
	cells := []string{place(p.x)}
	switch {
	case faced && p.face != "":
		cells = append(cells, p.face, place(p.across))
	case faced:
		cells = append(cells, layout.Dash, layout.Dash)
	}
	return append(cells, place(p.s), layout.Fixed(p.around*180/math.Pi, 2), layout.Fixed(p.stated*180/math.Pi, 2),
		b.w.Dual(func(w layout.Words) string { return w.Place(p.length) + " × " + w.Place(p.width) }))
}
