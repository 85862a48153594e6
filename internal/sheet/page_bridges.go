package sheet

import (
	"fmt"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/quantity"
)

// bridges is the chapter of the bridges: of each a diagram, what it gives, and
// the list to solder by.
func (b *book) bridges() {
	b.chapter("3  Bridges and wiring")
	if len(b.d.Result.Bridges) == 0 {
		b.paragraph("No bridge is defined.", 8, drawing.Regular)
		return
	}
	b.paragraph("Each grid has two ends, a and b: which is which is free, but mark it and keep to it. Boxes with lines are grids, empty boxes fixed resistors. "+
		"An arm that rises gains resistance under a positive load. Where a lead is dashed, that corner is made at the instrument.", 8, drawing.Regular)
	for i := range b.d.Result.Bridges {
		b.bridge(i)
	}
}

func (b *book) bridge(i int) {
	name := b.d.Result.Bridges[i].Name
	facts := b.facts(i).fit(b.width() - diagramWidth)
	b.heading("Bridge "+name, max(diagramHeight, min(facts.height(), 120))+30)
	b.mark("bridge " + name)
	b.page.Bookmark("Bridge "+name, 1, b.y)
	top := b.y
	b.page.Place(bridgeDiagram(b.d, b.drawn(), i), drawing.At(margin, top))
	if facts.height() <= b.left() {
		y := top
		for k := range facts.rows {
			facts.drawRow(b.page, margin+diagramWidth, y, k)
			y += facts.rowHeight(k)
		}
		b.y = max(top+diagramHeight, y)
		b.space(1)
	} else {
		b.y = top + diagramHeight
		b.space(1)
		b.table(b.facts(i))
	}
	b.wiringTable(i)
}

// facts of a bridge that stand beside its diagram.
func (b *book) facts(i int) *table {
	br, db, w := &b.d.Result.Bridges[i], &b.d.Design.Bridges[i], b.w
	t := keyTable()
	load, _ := b.d.Design.Load(br.Measures)
	t.add("measures", component(br.Measures)+", rated "+w.show(load.Rated.SI, br.Measures.Kind()))
	t.add("polarity", b.polarity(i))
	t.add("rated output", w.output(br.Rated))
	t.add("excitation", excitation(w, *db))
	t.add("signal at rated", signal(br, *db))
	t.add("sensitivity", w.sensitivity(br.Sensitivity[br.Target], br.Measures))
	t.add("zero, nominal", w.output(br.Balance.Nominal))
	t.add("zero, limit", "± "+w.show(br.Balance.Worst, quantity.VoltageRatio)+" about that")
	t.add("leads", leadsInWords(w, db.Leads))
	return t
}

// polarity says which arms a positive load raises.
func (b *book) polarity(i int) string {
	br := &b.d.Result.Bridges[i]
	var up, down []string
	for k, arm := range elements(b.d, b.w, i) {
		switch n := fmt.Sprint(k + 1); rises(b.d, i, arm) {
		case 1:
			up = append(up, n)
		case -1:
			down = append(down, n)
		}
	}
	var parts []string
	if len(up) > 0 {
		parts = append(parts, "raises arm "+listed(up))
	}
	if len(down) > 0 {
		parts = append(parts, "lowers arm "+listed(down))
	}
	if len(parts) == 0 {
		return "positive " + component(br.Measures) + " changes no arm"
	}
	s := "positive " + component(br.Measures) + " " + strings.Join(parts, ", ")
	moves := map[bool]string{true: "rises", false: "FALLS"}
	switch {
	case br.Blind:
		return s + "; the output does not move"
	case b.d.Result.Model.Rated[br.Target] < 0:
		return s + "; the output " + moves[br.Rated < 0] + ", and at the negative rated load it " + moves[br.Rated > 0]
	}
	return s + "; the output " + moves[br.Rated > 0]
}

func leadsInWords(w words, l design.Leads) string {
	if l.Wires == 0 {
		return "not stated; the figures are for none"
	}
	s := fmt.Sprintf("%d wires of %s", l.Wires, w.stated(l.Each, quantity.Resistance))
	if l.AtInstrument {
		s += ", completion at the instrument"
	} else {
		s += ", completion at the part"
	}
	if l.FollowPart {
		s += ", at the part's temperature"
	}
	return s
}

func (b *book) wiringTable(i int) {
	list := wire(b.d, b.w, i)
	count := map[string]int{}
	t := newTable(number("no."), text("from"), text("to"), label("what"), blank("done, by", 26))
	for n, c := range list.connections {
		count[strings.TrimSuffix(c.what, ", not stated")]++
		t.add(fmt.Sprint(n+1), c.from, c.to, c.what)
	}
	b.heading(fmt.Sprintf("Wiring list of bridge %s: %s, %s, %s", b.d.Result.Bridges[i].Name,
		plural(count["jumper"], "jumper"), plural(count["wire"], "wire"), plural(count["lead"], "lead")), 16)
	b.table(t)
}
