package record

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/calibration"
	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// identity is the first chapter: what was calibrated, how, and what came out.
func (b *book) identity() {
	b.Chapter("1  Identity and verdict")
	b.Title(b.r.Title)
	b.Paragraph("Record of a calibration: "+layout.Plural(len(b.r.Data.Readings), "reading")+" of "+layout.Plural(len(b.r.Matrix.Bridges), "bridge")+
		" under "+layout.Listed(b.components())+", evaluated by "+methods[b.r.Options.Method]+".", 8.5, drawing.Regular)
	b.Beside(b.partTable(), b.blockTable())
	b.verdict()
	b.keyFigures()
	b.origin()
}

// methods in words.
var methods = map[calibration.Method]string{
	calibration.Force376: "the scheme of ISO 376 (method force-376)",
	calibration.ForceE74: "the scheme of ASTM E74 (method force-e74)",
	calibration.Torque:   "the scheme of DIN 51309 (method torque)",
	calibration.Plain:    "least squares through every loaded reading (method plain, no standard)",
}

// zeros in words.
var zeros = map[calibration.Zero]string{
	calibration.ZeroNone:         "none: outputs as they are",
	calibration.ZeroInitial:      "initial: less the zero reading before the loads of each run",
	calibration.ZeroMean:         "mean: less the mean of the zero readings of each run",
	calibration.ZeroInterpolated: "interpolated: less the straight line between the zero readings before and after",
}

// components are the names of the loads that the data move.
func (b *book) components() []string {
	var names []string
	for _, j := range b.r.Matrix.Components {
		names = append(names, layout.Component(b.r.Data.Components[j]))
	}
	return names
}

func (b *book) partTable() *layout.Table {
	t, p := layout.KeyTable(), &b.r.Design.Part
	t.Add("part number", layout.OrDash(p.Number))
	t.Add("serial", layout.OrDash(p.Serial))
	t.Add("drawing, revision", layout.OrDash(p.Drawing)+", "+layout.OrDash(p.Revision))
	if p.Maker != "" {
		t.Add("maker", p.Maker)
	}
	t.Add("date, as the design states it", layout.OrDash(b.r.Options.Date))
	for _, l := range b.r.Design.Loads {
		use := "to be rejected"
		if l.Measure {
			use = "to be measured"
		}
		t.Add("rated "+layout.Component(l.Component), b.w.Stated(l.Rated, l.Component.Kind())+", "+use)
	}
	if p.Note != "" {
		t.Add("note", p.Note)
	}
	return t
}

// blockTable is what the design states of the calibration, and what was chosen.
func (b *book) blockTable() *layout.Table {
	t, o, c := layout.KeyTable(), &b.r.Options, &b.r.Design.Calibration
	t.Add("method", string(o.Method))
	t.Add("zero reduction", zeros[o.Zero])
	t.Add("constant term", map[bool]string{true: "fitted", false: "none, through zero"}[b.r.Constant])
	t.Add("temperature, mean of readings", b.w.Figure(b.r.Kelvin, quantity.Temperature)+reason(b.r.Kelvin))
	if b.compares() {
		t.Add("prediction made for", b.w.Show(b.r.At, quantity.Temperature))
	}
	t.Add("standard, u of the load", stated(b.w, c.StandardUncertainty, quantity.Ratio))
	t.Add("indicator, resolution", stated(b.w, c.IndicatorResolution, quantity.VoltageRatio))
	t.Add("indicator, u", stated(b.w, c.IndicatorUncertainty, quantity.Ratio))
	t.Add("limits of the classes", map[bool]string{true: "confirmed by the user", false: "from memory, not confirmed"}[o.LimitsConfirmed])
	return t
}

func reason(f predict.Figure) string {
	if f.OK() {
		return ""
	}
	return ", " + f.Missing
}

func stated(w layout.Words, n design.Number, k quantity.Kind) string {
	if !n.Set {
		return "not stated"
	}
	return w.Given(n, k)
}

// compares reports whether anything was compared with the prediction.
func (b *book) compares() bool { return !b.r.Options.NoCompare && len(b.r.Comparison) > 0 }

// verdict is the agreement with the prediction and the classes.
func (b *book) verdict() {
	word := "DOES NOT AGREE"
	switch {
	case !b.compares():
		word = "NOT COMPARED"
	case b.r.Agrees:
		word = "AGREES"
	}
	var classes []string
	for i := range b.r.Bridges {
		br := &b.r.Bridges[i]
		classes = append(classes, br.Name+" "+class(br))
	}
	b.VerdictBox("Prediction: "+word, 78, "class: "+strings.Join(classes, ", "))
	b.Mark("verdict")
	b.Paragraph(sentence(b.r.Agreement), 8.5, drawing.Regular)
	if b.diag != nil {
		b.Paragraph("Diagnosis: "+sentence(b.diag.Sentence), 8.5, drawing.Regular)
	}
}

// class of a bridge in a word or two.
func class(br *calibration.Bridge) string {
	switch {
	case br.E74 != nil && br.E74.Lower[0].OK():
		return "AA"
	case br.E74 != nil && br.E74.Lower[1].OK():
		return "A"
	case br.Class.Name != "" && br.Class.Confirmed:
		return br.Class.Name
	case br.Class.Name != "":
		return br.Class.Name + " (limits from memory)"
	}
	return layout.Dash
}

// best is the best class of a bridge and where it holds.
func (b *book) best(br *calibration.Bridge) string {
	switch e, c := br.E74, &br.Class; {
	case e != nil && e.Lower[0].OK():
		return "AA, " + b.between(e.Lower[0].Value, e.Upper, br.Load)
	case e != nil && e.Lower[1].OK():
		return "A, " + b.between(e.Lower[1].Value, e.Upper, br.Load)
	case e == nil && c.Name != "":
		return c.Name + ", " + b.between(c.From, c.To, br.Load)
	}
	return layout.Dash
}

// keyFigures are one line for each bridge.
func (b *book) keyFigures() {
	if len(b.r.Bridges) == 0 {
		b.Paragraph("No bridge has a reading.", 8, drawing.Regular)
		return
	}
	b.Heading("Key figures of each bridge", 14)
	t := layout.NewTable(layout.Text("bridge"), layout.Text("load"), layout.Label("degree"), layout.Number("sensitivity"), layout.Number("standard deviation"),
		layout.Number("expanded, "+k2+", at the largest load"), layout.Text("class and its range"))
	var missing reasons
	for i := range b.r.Bridges {
		br := &b.r.Bridges[i]
		row := layout.Row{Target: "bridge " + br.Name, Cells: []string{br.Name, layout.Component(br.Load)}}
		degree, sd, expanded := layout.Dash, layout.Dash, layout.Dash
		missing.add("sensitivity of "+br.Name, br.Sensitivity)
		if f := br.Forward; f != nil {
			degree, sd = fmt.Sprint(f.Degree), b.w.Show(f.ResidualSD, quantity.VoltageRatio)
		}
		if top := largest(br); top != nil {
			expanded = missing.percent(b.w, "expanded uncertainty of "+br.Name, top.Uncertainty.Expanded)
		}
		t.Rows = append(t.Rows, row)
		t.Rows[i].Cells = append(t.Rows[i].Cells, degree, b.sensitivity(br), sd, expanded, b.best(br))
	}
	b.Table(t)
	b.tell(&missing)
	for i := range b.r.Bridges {
		b.Note("Class of " + b.r.Bridges[i].Name + ": " + b.classWords(&b.r.Bridges[i]))
	}
	b.Note("Sensitivity: mean slope of the fit up to the largest load. Expanded uncertainty: of a load that the calibrated bridge gives, terms and what is not in them under Figures.")
}

// sensitivity of a bridge with as many digits as the standard uncertainty of its
// entry in the matrix leaves.
func (b *book) sensitivity(br *calibration.Bridge) string {
	if !br.Sensitivity.OK() {
		return layout.Dash
	}
	digits := significant(br.Sensitivity.Value, b.standard(br.Index, br.Target))
	return b.w.Dual(func(w layout.Words) string {
		o := *b
		o.w = w
		return layout.Nonbreaking(o.slope(br.Sensitivity.Value, br.Load, digits) + " " + o.slopeUnit(br.Load))
	})
}

// standard uncertainty of an entry of the matrix, 0 where it has none.
func (b *book) standard(bridge, component int) float64 {
	m := b.r.Matrix
	for k, i := range m.Bridges {
		for n, j := range m.Components {
			if i == bridge && j == component {
				return m.Standard[k][n]
			}
		}
	}
	return 0
}

// largest step of a bridge by the magnitude of its load.
func largest(br *calibration.Bridge) *calibration.Step {
	var top *calibration.Step
	for k := range br.Steps {
		if s := &br.Steps[k]; top == nil || math.Abs(s.Load) > math.Abs(top.Load) {
			top = s
		}
	}
	return top
}

// classWords says what the class rests on, or why there is none.
func (b *book) classWords(br *calibration.Bridge) string {
	if e := br.E74; e != nil {
		s := "verified ranges by the scheme of ASTM E74, formulas from memory, to be confirmed against the standard"
		for i, name := range []string{"AA", "A"} {
			if f := e.Lower[i]; !f.OK() {
				s += "; no class " + name + ", " + f.Missing
			}
		}
		if e.Resolved {
			s += "; the factor was raised to the resolution"
		}
		if e.Remark != "" {
			s += "; " + e.Remark
		}
		return s + "."
	}
	c := &br.Class
	s := c.Source
	if c.Missing != "" {
		s = "none, " + c.Missing
		if c.Source != "" {
			s += " (" + c.Source + ")"
		}
	}
	if len(c.Unjudged) > 0 {
		s += ". Not judged: " + strings.Join(c.Unjudged, "; ")
	}
	return s + "."
}

// origin are the digests in full.
func (b *book) origin() {
	b.Heading("Where the figures come from", 14)
	t := layout.KeyTable()
	t.Add("design, sha256", layout.OrDash(b.r.Options.DesignDigest))
	t.Add("data, sha256", layout.OrDash(b.r.Options.DataDigest))
	t.Add("written by", b.Doc.Creator)
	b.Table(t)
}
