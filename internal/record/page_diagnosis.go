package record

import (
	"fmt"
	"math"

	"gridwright/internal/diagnosis"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/predict"
)

func missing(why string) predict.Figure { return predict.None(why) }

// diagnosis is the chapter of what most likely happened on the bench.
func (b *book) diagnosis() {
	b.Chapter("7  Diagnosis")
	d := b.diag
	if d == nil {
		b.Paragraph("No diagnosis was made.", 8, drawing.Regular)
		return
	}
	b.Paragraph(sentence(d.Sentence), 8.5, drawing.Regular)
	b.Paragraph("Matrix, zero balances and shunt readings together against the design under its stated tolerances: chi-square "+orDash(d.ChiSquare, 4)+" of "+
		layout.Plural(d.Freedom, "figure")+", as large by chance with probability "+orDash(d.Probability, 3)+".", 8, drawing.Regular)
	if d.Unexplained {
		b.Paragraph("The data agree neither with the design nor with any cause of the list.", 8, drawing.Bold)
	}
	b.causes(d)
	if d.SeparateBy != "" {
		b.Heading("To separate the causes of group 1", 10)
		b.Paragraph(sentence(d.SeparateBy), 8.5, drawing.Regular)
	}
	b.Note("One cause at a time is supposed; creep, hysteresis and friction of the rig are not. Causes of one group cannot be told apart by these data. Share: probability among the causes of the list, those that are not listed left out.")
}

func (b *book) causes(d *diagnosis.Diagnosis) {
	b.Heading("Causes, the likelier first", 14)
	if len(d.Causes) == 0 {
		b.Paragraph("None is listed.", 8, drawing.Regular)
		return
	}
	t := layout.NewTable(layout.Number("group"), layout.Text("cause"), layout.Number("share"), layout.Text("estimate, ± standard uncertainty"), layout.Number("chi-square"))
	for i := range d.Causes {
		c := &d.Causes[i]
		estimate := layout.Dash
		if e := c.Estimate; e != nil {
			unit := e.Unit
			if unit != "" && unit != "°" {
				unit = " " + unit
			}
			estimate = e.Quantity + " " + orDash(e.Value, significant(e.Value, e.Standard)) + " ± " + orDash(e.Standard, 2) + unit
		}
		t.Rows = append(t.Rows, layout.Row{Bold: c.Group == 1, Cells: []string{fmt.Sprint(c.Group), c.Text, b.w.Percent(finite(c.Share)), estimate, orDash(c.ChiSquare, 4)}})
	}
	b.Table(t)
}

// orDash is a number, or a dash where it is not finite.
func orDash(v float64, digits int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return layout.Dash
	}
	return number(v, digits)
}

// cautions is the last chapter.
func (b *book) cautions() {
	b.Chapter("8  Assumptions and cautions")
	list := []string{
		"This record is the evaluation of readings. It is not a certificate of an accredited laboratory, and says nothing of the traceability of the standard that was used: keep its certificate with this record.",
		"Formulas and limits of the standards are from memory unless said otherwise; before a class is relied on, compare them with the standard that is to be named.",
		"Standard, indicator and resolution are what the design states in its calibration block; what it does not state is in no uncertainty.",
		"The figures hold for the range, temperature, direction of stepping and mounting of these readings. Drift since, and what the temperature in use does, are in no figure.",
		"Outliers are named and not left out. A reading that was not taken is left out and named.",
	}
	if !b.r.Options.LimitsConfirmed {
		list = append(list, "Limits of the classes were not confirmed against the standard. When they are, the design says so under calibration: {limits: confirmed}.")
	}
	list = append(list, dossier.Cautions[1:2]...)
	for _, s := range list {
		b.Paragraph("– "+s, 8, drawing.Regular)
	}
	if a := b.r.Design.Assume; a != "" {
		b.Paragraph("– The design asks for assumptions of "+a+" where it states no tolerance; the uncertainty of the prediction rests on them.", 8, drawing.Regular)
	}
	b.Paragraph("– Written by "+b.Doc.Creator+", design sha256 "+layout.OrDash(b.r.Options.DesignDigest)+", data sha256 "+layout.OrDash(b.r.Options.DataDigest)+".", 8, drawing.Regular)
}
