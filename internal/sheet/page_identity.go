package sheet

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/check"
	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// identity is the first chapter: what the transducer is, whether it is fit, and
// what it gives.
func (b *book) identity() {
	b.Chapter("1  Identity and verdict")
	d := b.d.Design
	b.Title(d.Title)
	b.Paragraph(measures(d)+" "+b.standing(), 8.5, drawing.Regular)
	b.Beside(b.partTable(), b.materialTable())
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
			names = append(names, layout.Component(l.Component))
		}
	}
	if len(names) == 0 {
		return "No load is marked to be measured."
	}
	return "Measures " + layout.Listed(names) + " with " + layout.Plural(len(d.Bridges), "bridge") + "."
}

func (b *book) partTable() *layout.Table {
	d, t := b.d.Design, layout.KeyTable()
	p := &d.Part
	for _, e := range [][2]string{{"part number", p.Number}, {"maker", p.Maker}, {"serial", p.Serial}, {"drawing", p.Drawing},
		{"revision", p.Revision}, {"date", p.Date}, {"note", p.Note}} {
		if e[1] != "" {
			t.Add(e[0], e[1])
		}
	}
	t.Add("section", sectionWords(b.w, d, false))
	if p.StraightLength.Set {
		t.Add("straight length", "station "+b.w.Stated(p.StraightLength.From, quantity.Length)+" to "+b.w.Stated(p.StraightLength.To, quantity.Length))
	} else {
		t.Add("straight length", layout.Dash)
	}
	for i, f := range p.Features {
		t.Add(fmt.Sprintf("feature F%d", i+1), f.Name+", station "+b.w.Stated(f.Station, quantity.Length)+concentration(f))
	}
	if p.Speed.Set {
		turns := "turns at " + b.w.Stated(p.Speed, quantity.RotationalSpeed)
		if p.Transmission != "" {
			turns += ", signal by " + p.Transmission
		}
		t.Add("rotation", turns)
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

func (b *book) materialTable() *layout.Table {
	m, t, w := &b.d.Design.Part.Material, layout.KeyTable(), b.w
	t.Add("material", m.Name)
	line := func(name string, n design.Number, k quantity.Kind) {
		if n.Set {
			t.Add(name, w.Stated(n, k))
		}
	}
	line("Young's modulus E", m.Youngs, quantity.Stress)
	line("Poisson's ratio ν", m.Poisson, quantity.Number)
	if m.Shear.Set {
		line("shear modulus G", m.Shear, quantity.Stress)
	} else {
		t.Add("shear modulus G", w.Show(m.ModulusOfRigidity(), quantity.Stress)+" = E/(2(1+ν))")
	}
	line("expansion", m.Expansion, quantity.PerKelvin)
	if !m.Expansion.Set {
		t.Add("expansion", "not stated, taken as 0")
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
	t.Add("source", source)
	return t
}

func (b *book) loads() {
	b.Heading("Loads, at station 0", 10)
	t := layout.NewTable(layout.Text("load"), layout.Number("rated"), layout.Label("use"), layout.Text("positive means"))
	for _, l := range b.d.Design.Loads {
		use := "reject"
		if l.Measure {
			use = "measure"
		}
		t.Add(layout.Component(l.Component), b.w.Stated(l.Rated, l.Component.Kind()), use, positive[l.Component])
	}
	b.Table(t)
	d := b.d.Design
	more := "Overload " + b.w.Plain(d.Overload.SI, quantity.Number) + " × rated."
	if d.Cycles.Set {
		more += " Cycles " + b.w.Given(d.Cycles, quantity.Number) + "."
	}
	more += " Reference temperature " + b.w.Stated(d.Temperature.Reference, quantity.Temperature)
	if d.Temperature.HasRange {
		more += ", range " + b.w.Stated(d.Temperature.Low, quantity.Temperature) + " to " + b.w.Stated(d.Temperature.High, quantity.Temperature)
	}
	b.Note(more + ".")
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
	b.VerdictBox("Check: "+word, 42, fmt.Sprintf("%s, %s, %s; %s", layout.Plural(count["fail"], "fail"), layout.Plural(count["warning"], "warning"), layout.Plural(count["note"], "note"), b.strengthInBrief()))
	b.Mark("verdict")
}

func (b *book) strengthInBrief() string {
	s := b.d.Result.Strength
	return "yield over surface stress " + b.w.Figure(s.YieldFactor, quantity.Number) + ", at overload " + b.w.Figure(s.OverloadYield, quantity.Number)
}

func (b *book) keyFigures() {
	r := b.d.Result
	if len(r.Bridges) == 0 {
		b.Paragraph("No bridge is defined.", 8, drawing.Regular)
		return
	}
	b.Heading("Key figures of each bridge", 14)
	t := layout.NewTable(layout.Text("bridge"), layout.Text("measures"), layout.Number("rated output"), layout.Number("sensitivity"), layout.Number("expanded, k = 2"), layout.Text("worst crosstalk"), layout.Text("crosstalk, 95 %"),
		layout.Number("zero drift"), layout.Number("span drift"), layout.Number("zero, limit"))
	for i := range r.Bridges {
		br := &r.Bridges[i]
		t.Rows = append(t.Rows, layout.Row{Target: "bridge " + br.Name, Cells: []string{br.Name, layout.Component(br.Measures), b.w.Output(br.Rated),
			b.w.Sensitivity(br.Sensitivity[br.Target], br.Measures),
			b.expanded(i), b.worstCrosstalk(br), b.crosstalk95(i), b.w.Per10K(br.Temperature.ZeroDrift), b.w.Per10K(br.Temperature.SpanDrift),
			"± " + b.w.Show(br.Balance.Worst, quantity.VoltageRatio)}})
	}
	b.Table(t)
	b.Note("Crosstalk: output at the other load's rated value in % of rated output. Zero, limit: greatest departure from the nominal zero that the stated resistance tolerances allow. " + b.standing())
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
		return layout.Dash
	}
	return layout.Nonbreaking(b.w.Percent(br.Crosstalk[at])) + " " + layout.Component(b.d.Result.Model.Components[at])
}

func (b *book) findings() {
	b.Heading("Findings, worst first", 12)
	if len(b.d.Findings) == 0 {
		b.Paragraph("None.", 8, drawing.Regular)
		return
	}
	t := layout.NewTable(layout.Label("level"), layout.Label("rule"), layout.Text("bridge"), layout.Text("finding and remedy"))
	t.Columns[3].Least = b.Width() * 0.6
	for _, f := range b.d.Findings {
		words := quantity.Sentence(f.Message, b.w.Sys)
		if f.Remedy != "" {
			words += "\nRemedy: " + quantity.Sentence(f.Remedy, b.w.Sys)
		}
		target := ""
		if f.Bridge != "" {
			target = "bridge " + f.Bridge
		}
		t.Rows = append(t.Rows, layout.Row{Bold: f.Level == "fail", Target: target, Cells: []string{string(f.Level), f.Rule, layout.OrDash(f.Bridge), words}})
	}
	b.Table(t)
}
