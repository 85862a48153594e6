package record

import (
	"fmt"

	"gridwright/internal/calibration"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

// fits is the chapter of the fits of each bridge.
func (b *book) fits() {
	b.Chapter("3  Fits")
	if len(b.r.Bridges) == 0 {
		b.Paragraph("No bridge has a reading.", 8, drawing.Regular)
	}
	for i := range b.r.Bridges {
		b.fit(&b.r.Bridges[i])
	}
}

func (b *book) fit(br *calibration.Bridge) {
	b.Heading("Bridge "+br.Name+" against "+layout.Component(br.Load), 40)
	b.Mark("bridge " + br.Name)
	b.Page.Bookmark("Bridge "+br.Name, 1, b.Y)
	f := br.Forward
	if f == nil {
		b.Paragraph("No fit: "+br.Missing+".", 8, drawing.Regular)
		return
	}
	b.Paragraph(sentence(br.DegreeWhy), 8, drawing.Regular)
	b.coefficients(br)
	t := layout.KeyTable()
	t.Add("readings in the fit", fmt.Sprintf("%d, %s", f.Readings, layout.Plural(f.Freedom, "degree")+" of freedom"))
	t.Add("standard deviation of the outputs", milli(f.ResidualSD, 4)+" mV/V")
	if br.Inverse != nil {
		t.Add("standard deviation of the loads", b.w.Show(br.Inverse.ResidualSD, br.Load.Kind()))
	}
	t.Add("lack of fit", lackOfFit(&f.LackOfFit))
	if len(br.Choice) > 0 {
		b.Beside(t, choice(br))
	} else {
		b.Table(t)
	}
	for _, n := range br.Notes {
		b.Note(sentence(n))
	}
	b.residuals(br)
}

// coefficients forward and inverse, each with its standard deviation.
func (b *book) coefficients(br *calibration.Bridge) {
	unit := br.Load.Kind().Unit
	t := layout.NewTable(layout.Label("term"), layout.Number("output against load"), layout.Number("standard deviation"), layout.Text("in"),
		layout.Number("load against output"), layout.Number("standard deviation"), layout.Text("in"))
	for k := range br.Forward.Coefficients {
		f, x := br.Forward, b.w.Dual(func(w layout.Words) string {
			if k == 0 {
				return "mV/V"
			}
			return "mV/V per " + power(unit(w.Sys), k)
		})
		cells := []string{"a" + subscript[k], b.forward(rounded(f.Coefficients[k], f.SD[k]), br.Load, k, significant(f.Coefficients[k], f.SD[k])), deviation(f, k, b.forward(f.SD[k], br.Load, k, 2)), x}
		if g := br.Inverse; g != nil {
			y := b.w.Dual(func(w layout.Words) string {
				if k == 0 {
					return unit(w.Sys)
				}
				return unit(w.Sys) + " per " + power("mV/V", k)
			})
			cells = append(cells, b.inverse(rounded(g.Coefficients[k], g.SD[k]), br.Load, k, significant(g.Coefficients[k], g.SD[k])), deviation(g, k, b.inverse(g.SD[k], br.Load, k, 2)), y)
		} else {
			cells = append(cells, layout.Dash, layout.Dash, "")
		}
		t.Add(cells...)
	}
	b.Table(t)
}

var subscript = []string{"₀", "₁", "₂", "₃", "₄", "₅"}

// deviation of a coefficient; a constant that was not fitted has none.
func deviation(p *calibration.Polynomial, k int, s string) string {
	if k == 0 && !p.Constant {
		return "not fitted"
	}
	return s
}

func lackOfFit(l *calibration.LackOfFit) string {
	if l.Missing != "" {
		return layout.Dash + ", " + l.Missing
	}
	verdict := "not significant"
	if l.Significant {
		verdict = "significant: the curve does not follow the readings within their scatter"
	}
	return fmt.Sprintf("F = %s with %d and %d degrees of freedom, 95 %% limit %s: %s; repeats scatter by %s mV/V",
		number(l.F, 4), l.Freedom[0], l.Freedom[1], number(l.Limit, 4), verdict, milli(l.PureError, 4))
}

// choice of the degree step by step.
func choice(br *calibration.Bridge) *layout.Table {
	t := layout.NewTable(layout.Label("degree m"), layout.Number("s(m), mV/V"), layout.Number("s(m−1)/s(m)"), layout.Number("needed above"))
	for _, s := range br.Choice {
		ratio := layout.Dash
		if s.Ratio.OK() {
			ratio = number(s.Ratio.Value, 5)
		}
		t.Rows = append(t.Rows, layout.Row{Bold: br.Forward != nil && s.Degree == br.Forward.Degree,
			Cells: []string{fmt.Sprint(s.Degree), milli(s.SD, 4), ratio, number(s.Limit, 5)}})
	}
	return t
}

const plotHeight = 52.0 // mm

// residuals draws the residuals and the hysteresis of a bridge.
func (b *book) residuals(br *calibration.Bridge) {
	marks, left, every := b.residualPlot(br)
	right := b.hysteresisPlot(br)
	b.Need(plotHeight + 12)
	b.Pair(left, right, plotHeight, "No hysteresis plot: no falling steps to compare.")
	b.legend(marks)
	s := "Left: residuals of the fit. Dashed: ± the standard deviation of the outputs"
	if br.E74 != nil && br.E74.Factor.OK() {
		s += "; dash-dot: ± the lower limit factor, " + b.w.Show(br.E74.Factor.Value, br.Load.Kind()) + ", as an output by the mean slope"
	}
	s += "."
	if every > 1 {
		s += fmt.Sprintf(" One of %d readings is drawn, and every outlier.", every)
	}
	if right != nil {
		s += " Right: reversibility at each step, mean of the series."
	}
	b.Note(s)
}

func (b *book) loadAxis(br *calibration.Bridge) string {
	return layout.Component(br.Load) + ", " + br.Load.Kind().Unit(b.w.Sys)
}

// onAxis is a load in the unit of the plots.
func (b *book) onAxis(v float64, br *calibration.Bridge) float64 {
	x, err := quantity.Convert(v, br.Load.Kind(), br.Load.Kind().Unit(b.w.Sys))
	if err != nil {
		return 0
	}
	return x
}
