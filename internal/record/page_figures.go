package record

import (
	"fmt"
	"strings"

	"gridwright/internal/calibration"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/predict"
)

// k2 stands in heads that must not be broken.
const k2 = "k\u00A0=\u00A02"

const mostSteps = 200 // of a bridge that are printed

// figures is the chapter of the figures of the method and their uncertainty.
func (b *book) figures() {
	b.Chapter("4  Figures of the method")
	if len(b.r.Bridges) == 0 {
		b.Paragraph("No bridge has a reading.", 8, drawing.Regular)
		return
	}
	b.worst()
	b.classes()
	b.definitions()
	for i := range b.r.Bridges {
		br := &b.r.Bridges[i]
		if br.Forward == nil {
			continue
		}
		b.steps(br)
		b.budget(br)
	}
}

// worst is the worst of all steps, for each bridge.
func (b *book) worst() {
	b.Heading("Worst of all steps", 14)
	t := layout.NewTable(layout.Text("bridge"), layout.Number("repeatability"), layout.Number("reproducibility"), layout.Number("interpolation"), layout.Number("zero"),
		layout.Number("reversibility"), layout.Number("creep"), layout.Number("resolution"), layout.Number("lower limit factor"))
	var why reasons
	for i := range b.r.Bridges {
		br := &b.r.Bridges[i]
		f, n := &br.Figures, " of "+br.Name
		t.Add(br.Name, why.percent(b.w, "repeatability"+n, f.Repeatability), why.percent(b.w, "reproducibility"+n, f.Reproducibility), why.percent(b.w, "interpolation"+n, f.Interpolation),
			why.percent(b.w, "zero"+n, f.Zero), why.percent(b.w, "reversibility"+n, f.Reversibility), why.percent(b.w, "creep"+n, f.Creep),
			why.figure(b.w, "resolution"+n, f.Resolution, br.Load.Kind()), why.figure(b.w, "lower limit factor"+n, f.LowerLimitFactor, br.Load.Kind()))
	}
	b.Table(t)
	b.tell(&why)
}

// classes are where each class holds.
func (b *book) classes() {
	t := layout.NewTable(layout.Text("bridge"), layout.Label("class"), layout.Number("from"), layout.Number("to"))
	var why reasons
	for i := range b.r.Bridges {
		br := &b.r.Bridges[i]
		kind := br.Load.Kind()
		if e := br.E74; e != nil {
			for k, name := range []string{"AA", "A"} {
				from := why.figure(b.w, "lowest load of class "+name+" of "+br.Name, e.Lower[k], kind)
				t.Add(br.Name, name, from, b.w.Show(e.Upper, kind))
			}
			continue
		}
		for _, c := range br.Class.Ranges {
			t.Add(br.Name, c.Name, b.w.Show(c.From, kind), b.w.Show(c.To, kind))
		}
	}
	b.Heading("Classes, and the loads between which they hold", 14)
	if len(t.Rows) == 0 {
		b.Paragraph(layout.Dash+" none; the reasons stand under Identity and verdict.", 8, drawing.Regular)
		return
	}
	b.Table(t)
	b.tell(&why)
}

// definitions are the same for all bridges of a method.
func (b *book) definitions() {
	for i := range b.r.Bridges {
		if list := b.r.Bridges[i].Figures.Definitions; len(list) > 0 {
			b.Heading("Definitions, their source and status", 12)
			for _, s := range list {
				b.Paragraph("– "+spelled(s), 7.5, drawing.Regular)
			}
			return
		}
	}
}

// spelled is a text without the bar over a letter, which the fonts lack.
func spelled(s string) string { return strings.ReplaceAll(s, "X\u0304", "Xmean") }

// steps is the table of one bridge.
func (b *book) steps(br *calibration.Bridge) {
	b.Heading("Bridge "+br.Name+" step by step", 20)
	t := layout.NewTable(layout.Number(b.headed(br.Load)), layout.Number("mean, mV/V"), layout.Number("fitted, mV/V"), layout.Number("repeatability"), layout.Number("reproducibility"),
		layout.Number("interpolation"), layout.Number("reversibility"), layout.Number("standard w"), layout.Number("expanded W, "+k2))
	var why reasons
	head, tail := abridged(len(br.Steps), mostSteps)
	for k := range br.Steps {
		if k >= head && k < tail {
			continue
		}
		s := &br.Steps[k]
		at := " at " + layout.Nonbreaking(b.load(s.Load, br.Load))
		cells := []string{b.bareLoad(s.Load, br.Load), b.outputOf(&why, "mean"+at, s.Mean), b.outputOf(&why, "fitted"+at, s.Fitted),
			why.percent(b.w, "repeatability"+b.where(at, s.Repeatability, br.Figures.Repeatability), s.Repeatability),
			why.percent(b.w, "reproducibility"+b.where(at, s.Reproducibility, br.Figures.Reproducibility), s.Reproducibility),
			why.percent(b.w, "interpolation"+b.where(at, s.Interpolation, br.Figures.Interpolation), s.Interpolation),
			why.percent(b.w, "reversibility"+b.where(at, s.Reversibility, br.Figures.Reversibility), s.Reversibility),
			why.percent(b.w, "uncertainty"+at, s.Uncertainty.Standard), b.w.Percent(s.Uncertainty.Expanded)}
		t.Add(cells...)
	}
	b.Table(t)
	if head < len(br.Steps) {
		b.Note(fmt.Sprintf("The first %d and the last %d of %d steps.", head, len(br.Steps)-tail, len(br.Steps)))
	}
	b.tell(&why)
	left, right := b.interpolationPlot(br), b.uncertaintyPlot(br)
	switch {
	case left == nil && right != nil:
		left, right = right, nil
		b.Pair(left, right, plotHeight, "No plot of the interpolation error: no step was read rising.")
	case left != nil:
		b.Pair(left, right, plotHeight, "No plot of the uncertainty: nothing is known.")
	}
}

// where names the step only when the figure is missing there and not everywhere.
func (b *book) where(at string, s, all predict.Figure) string {
	if s.Missing == all.Missing {
		return ""
	}
	return at
}

func (b *book) outputOf(why *reasons, what string, f predict.Figure) string {
	why.add(what, f)
	if !f.OK() {
		return layout.Dash
	}
	return b.output(f.Value)
}

// budget is where the uncertainty at the largest load comes from, and its bound as a
// function of the load.
func (b *book) budget(br *calibration.Bridge) {
	top := largest(br)
	if top == nil {
		return
	}
	b.Heading("Uncertainty budget of bridge "+br.Name+" at its largest load, "+b.load(top.Load, br.Load), 24)
	t := layout.NewTable(layout.Text("what makes a load uncertain"), layout.Number("standard, of the load"), layout.Text("how, and what it does with the load"))
	for _, x := range top.Uncertainty.Terms {
		how := x.Distribution
		if !x.Standard.OK() {
			how = "not in the sum: " + x.Standard.Missing
		} else if x.Absolute {
			how += "; the same load at every step"
		}
		t.Add(x.Name, b.w.Percent(x.Standard), how)
	}
	u := &top.Uncertainty
	t.Rows = append(t.Rows, layout.Row{Bold: true, Cells: []string{"combined, w", b.w.Percent(u.Standard), "root of the sum of squares" + reason(u.Standard)}},
		layout.Row{Bold: true, Cells: []string{"expanded, W", b.w.Percent(u.Expanded), "k = 2"}})
	b.Table(t)
	in := &br.InUse
	if u.Standard.OK() {
		b.Paragraph("In use, for a load F: u(F) = √(a² + (w F)²) with a = "+b.w.Show(in.Absolute, br.Load.Kind())+" and w = "+b.w.Percent(predict.Some(in.Relative))+
			", U = 2 u; it bounds the budgets of all steps (dashed in the plot) and does not hold beyond the largest load.", 8, drawing.Regular)
	}
	if len(in.Missing) > 0 {
		s := "Not included: "
		for i, m := range in.Missing {
			if i > 0 {
				s += "; "
			}
			s += m
		}
		b.Note(s + ".")
	}
}
