package record

import (
	"math"
	"strconv"

	"gridwright/internal/calibration"
	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

// comparison is the chapter of the measured figures against the predicted ones.
func (b *book) comparison() {
	b.Chapter("6  Comparison with the prediction")
	b.Paragraph(sentence(b.r.Agreement), 8.5, drawing.Regular)
	if !b.compares() {
		b.Paragraph("Nothing was compared.", 8, drawing.Regular)
	} else {
		b.Paragraph("Prediction at "+b.w.Show(b.r.At, quantity.Temperature)+", its standard uncertainty by the stated tolerances. "+
			"En = (measured − predicted)/√(U² of the one + U² of the other), U = 2 u: |En| ≤ 1 agrees.", 8, drawing.Regular)
		b.compared()
		b.bars()
	}
	b.zerosAndShunts()
}

func (b *book) compared() {
	t := layout.NewTable(layout.Text("figure"), layout.Number("predicted"), layout.Number("standard u"), layout.Number("measured"), layout.Number("standard u"),
		layout.Text("in"), layout.Number("En"), layout.Label("agrees"))
	var why reasons
	for i := range b.r.Comparison {
		c := &b.r.Comparison[i]
		show, unit := b.shower(c)
		um, en, agrees := layout.Dash, layout.Dash, layout.Dash
		digits := 2
		why.add("standard u of "+c.Figure, c.Standard)
		if c.Standard.OK() {
			um = show(c.Standard.Value, digits)
		}
		why.add("En of "+c.Figure, c.NormalisedError)
		outside := false
		if c.NormalisedError.OK() {
			outside = math.Abs(c.NormalisedError.Value) > 1
			en, agrees = signed(c.NormalisedError.Value), map[bool]string{true: "no", false: "yes"}[outside]
		}
		t.Rows = append(t.Rows, layout.Row{Bold: outside, Cells: []string{c.Figure, show(rounded(c.Predicted.Value, c.Predicted.Standard), significant(c.Predicted.Value, c.Predicted.Standard)), show(c.Predicted.Standard, digits),
			show(rounded(c.Measured, c.Standard.Value), significant(c.Measured, c.Standard.Value)), um, unit, en, agrees}})
	}
	b.Heading("Figures compared", 14)
	b.Table(t)
	b.tell(&why)
	var lines []string
	for i := range b.r.Comparison {
		if e := b.r.Comparison[i].NormalisedError; e.OK() && math.Abs(e.Value) > 1 {
			lines = append(lines, b.r.Comparison[i].Sentence)
		}
	}
	for _, s := range lines {
		b.Paragraph("– "+s+".", 8, drawing.Regular)
	}
}

// signed is a normalised error; below a thousandth it is zero.
func signed(v float64) string {
	switch {
	case math.Abs(v) >= 1000:
		return number(v, 3)
	case v > 0.0005:
		return "+" + layout.Fixed(v, 3)
	}
	return layout.Fixed(v, 3)
}

// shower prints the values of a comparison in its unit.
func (b *book) shower(c *calibration.Comparison) (show func(v float64, digits int) string, unit string) {
	if c.Kind == calibration.SensitivityFigure {
		load := b.r.Data.Components[c.Index]
		return func(v float64, digits int) string { return b.slope(v, load, digits) }, b.slopeUnit(load)
	}
	return milli, "mV/V"
}

// bars of the normalised errors.
const (
	barPitch = 4.4 // mm
	barFrom  = 62.0
	barRight = 24.0 // at the right, for the number
	barReach = 2.0  // |En| that the axis shows at least
	barMost  = 6.0  // and at most; what is longer is cut
)

// bars draws En of each figure with lines at ±1, its name left and its value right.
func (b *book) bars() {
	reach := barReach
	for i := range b.r.Comparison {
		if e := b.r.Comparison[i].NormalisedError; e.OK() {
			reach = math.Max(reach, math.Min(math.Ceil(math.Abs(e.Value)), barMost))
		}
	}
	half := (b.Width() - barFrom - barRight) / 2
	x := func(en float64) float64 {
		return layout.Margin + barFrom + half + half*math.Max(-1, math.Min(1, en/reach))
	}
	head := func() {
		for _, v := range []float64{-1, 0, 1} {
			b.Page.Text(drawing.TextStyle{Size: 7, Align: drawing.Centre, Level: drawing.Middle}, drawing.At(x(v), b.Y+barPitch/2), map[float64]string{-1: "−1", 0: "0", 1: "+1"}[v])
		}
		b.Y += barPitch
	}
	b.Heading("Normalised errors; outside the dashed lines the figures do not agree", 5*barPitch)
	head()
	for i := range b.r.Comparison {
		c := &b.r.Comparison[i]
		if b.Left() < barPitch {
			b.Need(2 * barPitch)
			head()
		}
		middle := b.Y + barPitch/2
		for _, v := range []float64{-1, 1} {
			b.Page.Line(drawing.Pen{Width: 0.18, Colour: drawing.Grey, Dash: []float64{1, 0.6}}, drawing.At(x(v), b.Y), drawing.At(x(v), b.Y+barPitch))
		}
		b.Page.Line(drawing.Hair, drawing.At(x(0), b.Y), drawing.At(x(0), b.Y+barPitch))
		name, size := drawing.Fit(c.Figure, drawing.Regular, 7.5, 5.5, barFrom-4)
		b.Page.Text(drawing.TextStyle{Size: size, Level: drawing.Middle}, drawing.At(layout.Margin+1, middle), name)
		value := layout.Dash
		if e := c.NormalisedError; e.OK() {
			value = signed(e.Value)
			from, to := math.Min(x(0), x(e.Value)), math.Max(x(0), x(e.Value))
			fill := drawing.Mist
			if math.Abs(e.Value) > 1 {
				fill = drawing.Second
			}
			if to-from > 0.05 {
				b.Page.Rectangle(drawing.Hair, fill, drawing.At(from, middle-1.2), to-from, 2.4)
			}
			if math.Abs(e.Value) > reach {
				value += ", cut"
			}
		}
		b.Page.Text(drawing.TextStyle{Size: 7.5, Align: drawing.Right, Level: drawing.Middle}, drawing.At(layout.Margin+b.Width()-1, middle), value)
		b.Y += barPitch
	}
	b.Space(2)
}

// zerosAndShunts are the readings without load, with the reason where there is none.
func (b *book) zerosAndShunts() {
	b.Heading("Zero balance and shunt readings", 14)
	t := layout.NewTable(layout.Text("bridge"), layout.Text("figure"), layout.Number("measured, mV/V"), layout.Number("standard u"), layout.Number("readings"))
	var why reasons
	add := func(name, what string, m calibration.Measured) {
		if m.Missing != "" {
			why.add(what+" of "+name, missing(m.Missing))
			t.Add(name, what, layout.Dash, layout.Dash, layout.Dash)
			return
		}
		u := layout.Dash
		why.add("standard u of the "+what+" of "+name, m.Standard)
		if m.Standard.OK() {
			u = milli(m.Standard.Value, 2)
		}
		t.Add(name, what, milli(rounded(m.Value, m.Standard.Value), significant(m.Value, m.Standard.Value)), u, strconv.Itoa(m.Readings))
	}
	for _, i := range b.r.Matrix.Bridges {
		add(b.r.Data.Bridges[i], "zero balance", b.r.Zeros[i])
		for s := range b.r.Data.Shunts {
			add(b.r.Data.Bridges[i], "change by "+b.shunt(&b.r.Data.Shunts[s]), b.r.Shunts[i][s])
		}
	}
	b.Table(t)
	b.tell(&why)
	if len(b.r.Data.Shunts) == 0 {
		b.Note("No shunt reading is in the data.")
	}
}

// shunt in words.
func (b *book) shunt(s *design.Shunt) string {
	name := b.w.Plain(s.Resistor.SI, quantity.Resistance) + " across arm " + strconv.Itoa(s.Arm)
	if s.AtInstrument {
		name += " at the instrument"
	}
	return name
}
