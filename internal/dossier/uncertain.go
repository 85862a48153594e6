package dossier

import (
	"math"

	"gridwright/internal/uncertainty"
)

// uncertain adds to the published bridge i what the tolerances make of it. What
// only Monte Carlo tells is null where none was run.
func (d *Dossier) uncertain(pub *Bridge, i int) {
	u := d.Uncertainty
	b := &u.Bridges[i]
	pub.Uncertainty = &Uncertainty{Budget: []Share{}, Agrees: b.FirstOrder.Agrees, Why: b.FirstOrder.Why}
	out := pub.Uncertainty
	for _, s := range b.FirstOrder.Budget {
		out.Budget = append(out.Budget, Share{u.Inputs[s.Input].Label, s.Percent})
	}
	if !b.FirstOrder.Blind && b.FirstOrder.Nominal != 0 {
		percent := 100 / math.Abs(b.FirstOrder.Nominal)
		out.FirstOrder = number(b.FirstOrder.Standard, percent)
		if b.Tighten.From != "" {
			out.Tighten = &Tighten{b.Tighten.From, number(b.Tighten.Standard, percent)}
		}
	}
	for k, band := range b.Bands {
		pub.Temperature[k].ZeroBand = number(band.Zero, 1e3)
		if pub.Temperature[k].Span != nil {
			pub.Temperature[k].SpanBand = number(band.Span, 1)
		}
	}
	if b.Sensitivity.OK() {
		out.Interval = [2]*float64{number(b.Sensitivity.Interval[0], 1e3), number(b.Sensitivity.Interval[1], 1e3)}
		if r := b.Relative(); r.OK() {
			out.Standard, out.Expanded = number(r.Value, 100), number(r.Value, 200)
		}
	}
	if u.Trials == 0 {
		return
	}
	pub.Crosstalk95 = map[string]*float64{}
	for j, c := range b.Crosstalk {
		if j != b.Target {
			pub.Crosstalk95[d.Result.Model.Components[j].String()] = quantile(c, 100)
		}
	}
	pub.ZeroSpread = quantile(b.ZeroSpread, 1000)
}

func quantile(f uncertainty.Figure, scale float64) *float64 {
	if !f.OK() {
		return nil
	}
	return number(f.Quantile, scale)
}
