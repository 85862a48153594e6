package sheet

import (
	"fmt"
	"math"

	"gridwright/internal/drawing"
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
		return dash
	}
	r := b.d.Uncertainty.Bridges[i].Relative()
	return b.w.percent(predict.Figure{Value: 2 * r.Value, Missing: r.Missing})
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
		return dash
	}
	return nonbreaking(b.w.percent(predict.Some(worst))) + " " + component(b.components()[at])
}

// uncertainties is what the tolerances make of the figures, and where it comes
// from.
func (b *book) uncertainties() {
	if !b.tolerated() || len(b.d.Result.Bridges) == 0 {
		return
	}
	u := b.d.Uncertainty
	b.heading("Uncertainty under the stated tolerances", 16)
	t := newTable(text("bridge"), number("standard"), number("expanded, k = 2"), text("95 % interval of the sensitivity, µV/V per unit"),
		number("zero drift, 95 %"), number("of it the grids' spread"))
	for i := range u.Bridges {
		ub, br := &u.Bridges[i], &b.d.Result.Bridges[i]
		interval := dash
		if ub.Sensitivity.OK() {
			interval = b.w.dual(func(w words) string {
				return w.perUnit(ub.Sensitivity.Interval[0], br.Measures) + " to " + w.perUnit(ub.Sensitivity.Interval[1], br.Measures)
			})
		}
		t.add(ub.Name, b.w.percent(ub.Relative()), b.expanded(i), interval, b.quantilePer10K(ub.ZeroDrift), b.quantilePer10K(ub.ZeroSpread))
	}
	b.table(t)
	b.heading("Crosstalk that 95 % of all do not pass, % of the bridge's rated output", 14)
	x := newTable(text("bridge"))
	for _, c := range b.components() {
		x.columns = append(x.columns, number(component(c)))
	}
	for i := range u.Bridges {
		cells := []string{u.Bridges[i].Name}
		for _, f := range u.Bridges[i].Crosstalk {
			cells = append(cells, b.w.percent(predict.Figure{Value: f.Quantile, Missing: f.Missing}))
		}
		x.add(cells...)
	}
	b.table(x)
	settled := "stable to two digits"
	if !u.Stable {
		settled = "the limit, not every figure stable to two digits"
	}
	b.note(fmt.Sprintf("Monte Carlo by JCGM 101, %d trials (%s), seed %d, %s.", u.Trials, settled, u.Seed, u.Generator))
	for i := range u.Bridges {
		b.budget(i)
	}
}

func (b *book) quantilePer10K(f uncertainty.Figure) string {
	return b.w.per10K(predict.Figure{Value: f.Quantile, Missing: f.Missing})
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
	b.heading("Budget of bridge "+u.Bridges[i].Name+", share of the variance of its sensitivity", float64(len(list))*barPitch+4)
	for _, s := range list {
		label, size := drawing.Fit(u.Inputs[s.Input].Label, drawing.Regular, 7.5, 5.5, barFrom-4)
		middle := b.y + barPitch/2
		b.page.Text(drawing.TextStyle{Size: size, Level: drawing.Middle}, drawing.At(margin+1, middle), label)
		if length := barLength * s.Percent / 100; length > 0.05 {
			b.page.Rectangle(drawing.Hair, drawing.Mist, drawing.At(margin+barFrom, middle-1.2), length, 2.4)
		}
		b.page.Text(drawing.TextStyle{Size: 7.5, Level: drawing.Middle}, drawing.At(margin+barFrom+barLength*s.Percent/100+1.5, middle), fmt.Sprintf("%.3g %%", s.Percent))
		b.y += barPitch
	}
	b.space(1)
	if t := u.Bridges[i].Tighten; t.From != "" {
		n := math.Abs(u.Bridges[i].FirstOrder.Nominal)
		b.note(fmt.Sprintf("To tighten first: %s; halved, the standard uncertainty is %s instead of %s.", t.From,
			b.w.percent(predict.Some(t.Standard/n)), b.w.percent(predict.Some(u.Bridges[i].FirstOrder.Standard/n))))
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
