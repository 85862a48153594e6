package sheet

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/check"
	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// identity is the first chapter: what the transducer is, whether it is fit, and
// what it gives.
func (b *book) identity() {
	b.chapter("1  Identity and verdict")
	d := b.d.Design
	size := 15.0
	lines := drawing.Wrap(d.Title, drawing.Bold, size, b.width())
	if len(lines) > 2 {
		size = 10
		lines = drawing.Wrap(d.Title, drawing.Bold, size, b.width())
	}
	for _, line := range lines {
		b.need(drawing.LineHeight(drawing.Bold, size))
		b.page.Text(drawing.TextStyle{Font: drawing.Bold, Size: size, Level: drawing.Top}, drawing.At(margin, b.y), line)
		b.y += drawing.LineHeight(drawing.Bold, size)
	}
	b.space(1)
	b.paragraph(measures(d)+" "+b.standing(), 8.5, drawing.Regular)
	b.beside(b.partTable(), b.materialTable())
	b.loads()
	b.verdict()
	b.keyFigures()
	b.findings()
}

// measures says in words what the transducer is for.
func measures(d *design.Design) string {
	var names []string
	for _, l := range d.Loads {
		if l.Measure {
			names = append(names, component(l.Component))
		}
	}
	if len(names) == 0 {
		return "No load is marked to be measured."
	}
	return "Measures " + listed(names) + " with " + plural(len(d.Bridges), "bridge") + "."
}

// listed joins names as a sentence does.
func listed(names []string) string {
	s := ""
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			s += " and "
		default:
			s += ", "
		}
		s += n
	}
	return s
}

func (b *book) partTable() *table {
	d, t := b.d.Design, keyTable()
	p := &d.Part
	for _, e := range [][2]string{{"part number", p.Number}, {"maker", p.Maker}, {"serial", p.Serial}, {"drawing", p.Drawing},
		{"revision", p.Revision}, {"date", p.Date}, {"note", p.Note}} {
		if e[1] != "" {
			t.add(e[0], e[1])
		}
	}
	t.add("section", b.w.section(d))
	if p.StraightLength.Set {
		t.add("straight length", "station "+b.w.stated(p.StraightLength.From, quantity.Length)+" to "+b.w.stated(p.StraightLength.To, quantity.Length))
	} else {
		t.add("straight length", dash)
	}
	for i, f := range p.Features {
		t.add(fmt.Sprintf("feature F%d", i+1), f.Name+", station "+b.w.stated(f.Station, quantity.Length)+concentration(f))
	}
	if p.Speed.Set {
		turns := "turns at " + b.w.stated(p.Speed, quantity.RotationalSpeed)
		if p.Transmission != "" {
			turns += ", signal by " + p.Transmission
		}
		t.add("rotation", turns)
	}
	return t
}

// concentration lists the stated factors on nominal stress.
func concentration(f design.Feature) string {
	var factors []string
	for _, e := range []struct {
		name string
		n    design.Number
	}{{"torque", f.Torque}, {"bending", f.Bending}, {"axial", f.Axial}} {
		if e.n.Set {
			factors = append(factors, fmt.Sprintf("%s %.3g", e.name, e.n.SI))
		}
	}
	if factors == nil {
		return ""
	}
	return "; stress concentration " + strings.Join(factors, ", ")
}

func (b *book) materialTable() *table {
	m, t, w := &b.d.Design.Part.Material, keyTable(), b.w
	t.add("material", m.Name)
	line := func(name string, n design.Number, k quantity.Kind) {
		if n.Set {
			t.add(name, w.stated(n, k))
		}
	}
	line("Young's modulus E", m.Youngs, quantity.Stress)
	line("Poisson's ratio ν", m.Poisson, quantity.Number)
	if m.Shear.Set {
		line("shear modulus G", m.Shear, quantity.Stress)
	} else {
		t.add("shear modulus G", w.show(m.ModulusOfRigidity(), quantity.Stress)+" = E/(2(1+ν))")
	}
	line("expansion", m.Expansion, quantity.PerKelvin)
	if !m.Expansion.Set {
		t.add("expansion", "not stated, taken as 0")
	}
	line("yield strength", m.Yield, quantity.Stress)
	line("tensile strength", m.Ultimate, quantity.Stress)
	line("endurance", m.Endurance, quantity.Stress)
	line("density", m.Density, quantity.Density)
	line("drift of E", m.YoungsDrift, quantity.PerKelvin)
	line("drift of G", m.ShearDrift, quantity.PerKelvin)
	source := "as stated in the design"
	if m.Source != "" {
		source = m.Source
	} else if m.BuiltIn {
		source = "built-in table; `gridwright materials --sources` names each source"
	}
	t.add("source", source)
	return t
}

func (b *book) loads() {
	b.heading("Loads, at station 0", 10)
	t := newTable(text("load"), number("rated"), label("use"), text("positive means"))
	for _, l := range b.d.Design.Loads {
		use := "reject"
		if l.Measure {
			use = "measure"
		}
		t.add(component(l.Component), b.w.stated(l.Rated, l.Component.Kind()), use, positive[l.Component])
	}
	b.table(t)
	d := b.d.Design
	more := "Overload " + b.w.plain(d.Overload.SI, quantity.Number) + " × rated."
	if d.Cycles.Set {
		more += " Cycles " + b.w.given(d.Cycles, quantity.Number) + "."
	}
	more += " Reference temperature " + b.w.stated(d.Temperature.Reference, quantity.Temperature)
	if d.Temperature.HasRange {
		more += ", range " + b.w.stated(d.Temperature.Low, quantity.Temperature) + " to " + b.w.stated(d.Temperature.High, quantity.Temperature)
	}
	b.note(more + ".")
}

// positive says what a positive load does, on the face whose outward normal is +x.
var positive = [design.Components]string{
	design.Axial:    "tension",
	design.ShearY:   "toward +y on the +x face",
	design.ShearZ:   "toward +z on the +x face",
	design.Torque:   "about +x on the +x face; stretches lines at +45°",
	design.BendingY: "about +y; stretches the +z side (φ = 90°)",
	design.BendingZ: "about +z; stretches the −y side (φ = 180°)",
	design.Pressure: "inside",
}

// verdict of the check in words, in a box.
func (b *book) verdict() {
	count := map[check.Level]int{}
	for _, f := range b.d.Findings {
		count[f.Level]++
	}
	word := "FAIL"
	if check.Pass(b.d.Findings) {
		word = "PASS"
	}
	const height = 8.5
	b.need(height + 2)
	b.mark("verdict")
	pen := drawing.Outline
	b.page.Rectangle(pen, drawing.None, drawing.At(margin, b.y), b.width(), height)
	b.page.Text(drawing.TextStyle{Font: drawing.Bold, Size: 13, Level: drawing.Middle}, drawing.At(margin+3, b.y+height/2), "Check: "+word)
	s := fmt.Sprintf("%s, %s, %s; %s", plural(count["fail"], "fail"), plural(count["warning"], "warning"), plural(count["note"], "note"), b.strengthInBrief())
	s, size := drawing.Fit(s, drawing.Regular, 8.5, 6, b.width()-45)
	b.page.Text(drawing.TextStyle{Size: size, Level: drawing.Middle}, drawing.At(margin+42, b.y+height/2), s)
	b.y += height
	b.space(2)
}

func (b *book) strengthInBrief() string {
	s := b.d.Result.Strength
	return "yield over surface stress " + b.w.figure(s.YieldFactor, quantity.Number) + ", at overload " + b.w.figure(s.OverloadYield, quantity.Number)
}

func (b *book) keyFigures() {
	r := b.d.Result
	if len(r.Bridges) == 0 {
		b.paragraph("No bridge is defined.", 8, drawing.Regular)
		return
	}
	b.heading("Key figures of each bridge", 14)
	t := newTable(text("bridge"), text("measures"), number("rated output"), number("sensitivity"), number("expanded, k = 2"), text("worst crosstalk"), text("crosstalk, 95 %"),
		number("zero drift"), number("span drift"), number("zero, limit"))
	for i := range r.Bridges {
		br := &r.Bridges[i]
		t.rows = append(t.rows, row{target: "bridge " + br.Name, cells: []string{br.Name, component(br.Measures), b.w.output(br.Rated),
			b.w.sensitivity(br.Sensitivity[br.Target], br.Measures),
			b.expanded(i), b.worstCrosstalk(br), b.crosstalk95(i), b.w.per10K(br.Temperature.ZeroDrift), b.w.per10K(br.Temperature.SpanDrift),
			"± " + b.w.show(br.Balance.Worst, quantity.VoltageRatio)}})
	}
	b.table(t)
	b.note("Crosstalk: output at the other load's rated value in % of rated output. Zero, limit: greatest departure from the nominal zero that the stated resistance tolerances allow. " + b.standing())
}

// worstCrosstalk names the load that disturbs most.
func (b *book) worstCrosstalk(br *predict.Bridge) string {
	worst, at := math.Inf(-1), -1
	for j, f := range br.Crosstalk {
		if j != br.Target && f.OK() && f.Value > worst {
			worst, at = f.Value, j
		}
	}
	if at < 0 {
		return dash
	}
	return nonbreaking(b.w.percent(br.Crosstalk[at])) + " " + component(b.d.Result.Model.Components[at])
}

func (b *book) findings() {
	b.heading("Findings, worst first", 12)
	if len(b.d.Findings) == 0 {
		b.paragraph("None.", 8, drawing.Regular)
		return
	}
	t := newTable(label("level"), label("rule"), text("bridge"), text("finding and remedy"))
	t.columns[3].least = b.width() * 0.6
	for _, f := range b.d.Findings {
		words := f.Message
		if f.Remedy != "" {
			words += "\nRemedy: " + f.Remedy
		}
		target := ""
		if f.Bridge != "" {
			target = "bridge " + f.Bridge
		}
		t.rows = append(t.rows, row{bold: f.Level == "fail", target: target, cells: []string{string(f.Level), f.Rule, orDash(f.Bridge), words}})
	}
	b.table(t)
}
