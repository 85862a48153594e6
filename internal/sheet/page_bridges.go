package sheet

import (
	"fmt"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

// bridges is the chapter of the bridges: of each a diagram, what it gives, and
// the list to solder by.
func (b *book) bridges() {
	b.Chapter("3  Bridges and wiring")
	if len(b.d.Result.Bridges) == 0 {
		b.Paragraph("No bridge is defined.", 8, drawing.Regular)
		return
	}
	b.Paragraph("Each grid has two ends, a and b: which is which is free, but mark it and keep to it. Boxes with lines are grids, empty boxes fixed resistors. "+
		"An arm that rises gains resistance under a positive load. Where a lead is dashed, that corner is made at the instrument.", 8, drawing.Regular)
	for i := range b.d.Result.Bridges {
		b.bridge(i)
	}
}

func (b *book) bridge(i int) {
	name := b.d.Result.Bridges[i].Name
	facts := b.facts(i).Fit(b.Width() - diagramWidth)
	b.Heading("Bridge "+name, max(diagramHeight, min(facts.Height(), 120))+30)
	b.Mark("bridge " + name)
	b.Page.Bookmark("Bridge "+name, 1, b.Y)
	top := b.Y
	b.Page.Place(bridgeDiagram(b.d, b.drawn(), i), drawing.At(layout.Margin, top))
	if facts.Height() <= b.Left() {
		y := top
		for k := range facts.Rows {
			facts.DrawRow(b.Page, layout.Margin+diagramWidth, y, k)
			y += facts.RowHeight(k)
		}
		b.Y = max(top+diagramHeight, y)
		b.Space(1)
	} else {
		b.Y = top + diagramHeight
		b.Space(1)
		b.Table(b.facts(i))
	}
	b.wiringTable(i)
}

// facts of a bridge that stand beside its diagram.
func (b *book) facts(i int) *layout.Table {
	br, db, w := &b.d.Result.Bridges[i], &b.d.Design.Bridges[i], b.w
	t := layout.KeyTable()
	load, _ := b.d.Design.Load(br.Measures)
	t.Add("measures", layout.Component(br.Measures)+", rated "+w.Show(load.Rated.SI, br.Measures.Kind()))
	t.Add("polarity", b.polarity(i))
	t.Add("rated output", w.Output(br.Rated))
	t.Add("excitation", excitation(w, *db))
	t.Add("signal at rated", signal(br, *db))
	t.Add("sensitivity", w.Sensitivity(br.Sensitivity[br.Target], br.Measures))
	t.Add("zero, nominal", w.Output(br.Balance.Nominal))
	t.Add("zero, limit", "± "+w.Show(br.Balance.Worst, quantity.VoltageRatio)+" about that")
	t.Add("leads", leadsInWords(w, db.Leads))
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
		parts = append(parts, "raises arm "+layout.Listed(up))
	}
	if len(down) > 0 {
		parts = append(parts, "lowers arm "+layout.Listed(down))
	}
	if len(parts) == 0 {
		return "positive " + layout.Component(br.Measures) + " changes no arm"
	}
	s := "positive " + layout.Component(br.Measures) + " " + strings.Join(parts, ", ")
	moves := map[bool]string{true: "rises", false: "FALLS"}
	switch {
	case br.Blind:
		return s + "; the output does not move"
	case b.d.Result.Model.Rated[br.Target] < 0:
		return s + "; the output " + moves[br.Rated < 0] + ", and at the negative rated load it " + moves[br.Rated > 0]
	}
	return s + "; the output " + moves[br.Rated > 0]
}

func leadsInWords(w layout.Words, l design.Leads) string {
	if l.Wires == 0 {
		return "not stated; the figures are for none"
	}
	s := fmt.Sprintf("%d wires of %s", l.Wires, w.Stated(l.Each, quantity.Resistance))
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
	t := layout.NewTable(layout.Number("no."), layout.Text("from"), layout.Text("to"), layout.Label("what"), layout.Blank("done, by", 26))
	for n, c := range list.connections {
		count[strings.TrimSuffix(c.what, ", not stated")]++
		t.Add(fmt.Sprint(n+1), c.from, c.to, c.what)
	}
	b.Heading(fmt.Sprintf("Wiring list of bridge %s: %s, %s, %s", b.d.Result.Bridges[i].Name,
		layout.Plural(count["jumper"], "jumper"), layout.Plural(count["wire"], "wire"), layout.Plural(count["lead"], "lead")), 16)
	b.Table(t)
}
