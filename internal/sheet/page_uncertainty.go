package sheet

import (
	"fmt"
	"math"

	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/predict"
	"gridwright/internal/uncertainty"
)

// standing says what the figures are worth.
func (b *book) standing() string {
	if !b.tolerated() {
		return "Figures are nominal; uncertainty not evaluated."
	}
	return "Figures are nominal; what the stated tolerances make of them stands under Uncertainty."
}

// tolerated reports whether the tolerances were propagated by Monte Carlo.
func (b *book) tolerated() bool { return b.d.Uncertainty != nil && b.d.Uncertainty.Trials > 0 }

// expanded is the expanded uncertainty of bridge i's sensitivity, or a dash.
func (b *book) expanded(i int) string {
	if !b.tolerated() {
		return layout.Dash
	}
	r := b.d.Uncertainty.Bridges[i].Relative()
	return b.w.Percent(predict.Figure{Value: 2 * r.Value, Missing: r.Missing})
}

// crosstalk95 is the worst crosstalk of bridge i that 95 % of all do not pass,
// and of which load.
func (b *book) crosstalk95(i int) string {
	worst, at := math.Inf(-1), -1
	if b.tolerated() {
		for j, f := range b.d.Uncertainty.Bridges[i].Crosstalk {
			if f.OK() && f.Quantile > worst {
				worst, at = f.Quantile, j
			}
		}
	}
	if at < 0 {
		return layout.Dash
	}
	return layout.Nonbreaking(b.w.Percent(predict.Some(worst))) + " " + layout.Component(b.components()[at])
}

// uncertainties is what the tolerances make of the figures, and where it comes
// from.
func (b *book) uncertainties() {
	if !b.tolerated() || len(b.d.Result.Bridges) == 0 {
		return
	}
	u := b.d.Uncertainty
	b.Heading("Uncertainty under the stated tolerances", 16)
	t := layout.NewTable(layout.Text("bridge"), layout.Number("standard"), layout.Number("expanded, k = 2"), layout.Text("95 % interval of the sensitivity, µV/V per unit"),
		layout.Number("zero drift, 95 %"), layout.Number("of it the grids' spread"))
	for i := range u.Bridges {
		ub, br := &u.Bridges[i], &b.d.Result.Bridges[i]
		interval := layout.Dash
		if ub.Sensitivity.OK() {
			interval = b.w.Dual(func(w layout.Words) string {
				return w.PerUnit(ub.Sensitivity.Interval[0], br.Measures) + " to " + w.PerUnit(ub.Sensitivity.Interval[1], br.Measures)
			})
		}
		t.Add(ub.Name, b.w.Percent(ub.Relative()), b.expanded(i), interval, b.quantilePer10K(ub.ZeroDrift), b.quantilePer10K(ub.ZeroSpread))
	}
	b.Table(t)
	b.Heading("Crosstalk that 95 % of all do not pass, % of the bridge's rated output", 14)
	x := layout.NewTable(layout.Text("bridge"))
	for _, c := range b.components() {
		x.Columns = append(x.Columns, layout.Number(layout.Component(c)))
	}
	for i := range u.Bridges {
		cells := []string{u.Bridges[i].Name}
		for _, f := range u.Bridges[i].Crosstalk {
			cells = append(cells, b.w.Percent(predict.Figure{Value: f.Quantile, Missing: f.Missing}))
		}
		x.Add(cells...)
	}
	b.Table(x)
	settled := "stable to two digits"
	if !u.Stable {
		settled = "the limit, not every figure stable to two digits"
	}
	b.Note(fmt.Sprintf("Monte Carlo by JCGM 101, %d trials (%s), seed %d, %s.", u.Trials, settled, u.Seed, u.Generator))
	for i := range u.Bridges {
		b.budget(i)
	}
}

func (b *book) quantilePer10K(f uncertainty.Figure) string {
	return b.w.Per10K(predict.Figure{Value: f.Quantile, Missing: f.Missing})
}

// bars of a budget: how many, and their pitch and length, mm.
const (
	mostBars  = 6
	barPitch  = 4.2
	barLength = 70.0
	barFrom   = 92.0 // right of the left margin
)

// budget draws the shares of the inputs in a bridge's variance as bars.
func (b *book) budget(i int) {
	u := b.d.Uncertainty
	list := u.Bridges[i].FirstOrder.Budget
	if len(list) == 0 {
		return
	}
	if len(list) > mostBars {
		list = list[:mostBars]
	}
	b.Heading("Budget of bridge "+u.Bridges[i].Name+", share of the variance of its sensitivity", float64(len(list))*barPitch+4)
	for _, s := range list {
		label, size := drawing.Fit(u.Inputs[s.Input].Label, drawing.Regular, 7.5, 5.5, barFrom-4)
		middle := b.Y + barPitch/2
		b.Page.Text(drawing.TextStyle{Size: size, Level: drawing.Middle}, drawing.At(layout.Margin+1, middle), label)
		if length := barLength * s.Percent / 100; length > 0.05 {
			b.Page.Rectangle(drawing.Hair, drawing.Mist, drawing.At(layout.Margin+barFrom, middle-1.2), length, 2.4)
		}
		b.Page.Text(drawing.TextStyle{Size: 7.5, Level: drawing.Middle}, drawing.At(layout.Margin+barFrom+barLength*s.Percent/100+1.5, middle), fmt.Sprintf("%.3g %%", s.Percent))
		b.Y += barPitch
	}
	b.Space(1)
	if t := u.Bridges[i].Tighten; t.From != "" {
		n := math.Abs(u.Bridges[i].FirstOrder.Nominal)
		b.Note(fmt.Sprintf("To tighten first: %s; halved, the standard uncertainty is %s instead of %s.", t.From,
			b.w.Percent(predict.Some(t.Standard/n)), b.w.Percent(predict.Some(u.Bridges[i].FirstOrder.Standard/n))))
	}
}

// assumed lists the tolerances of common practice that were filled in.
func (b *book) assumed() string {
	if len(b.d.Assumed) == 0 {
		return "none was missing."
	}
	s := "filled in:"
	for i, a := range b.d.Assumed {
		if i > 0 {
			s += ";"
		}
		s += " " + a.Path + " " + a.Value
	}
	return s + "."
}
