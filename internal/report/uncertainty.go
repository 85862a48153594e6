package report

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/dossier"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
)

// shares is how many inputs of a budget are listed.
const shares = 6

// uncertainty writes what the tolerances make of the figures, and what was
// assumed of them.
func (t Text) uncertainty(d *dossier.Dossier) {
	u := d.Uncertainty
	if u == nil {
		return
	}
	t.printf("\nUNCERTAINTY\n")
	if u.Trials > 0 {
		settled := "stable to two digits"
		if !u.Stable {
			settled = "the limit of trials, with some figure not yet stable to two digits"
		}
		t.say("  ", fmt.Sprintf("Monte Carlo, %d trials (%s), seed %d, %s; budgets of first order", u.Trials, settled, u.Seed, u.Generator))
	} else {
		t.say("  ", "of first order alone: no Monte Carlo was run, and its figures are not printed")
	}
	for i := range u.Bridges {
		t.bridgeUncertainty(d, &u.Bridges[i])
	}
	t.recovered(u)
	if len(d.Assumed) > 0 {
		t.printf("\nASSUMED by common practice, where the file states no tolerance\n")
		for _, a := range d.Assumed {
			t.say("  "+a.Path+" "+a.Value+": ", a.Source)
		}
	}
}

func (t Text) bridgeUncertainty(d *dossier.Dossier, b *uncertainty.Bridge) {
	c := d.Result.Model.Components
	target := c[b.Target]
	t.printf("\n  bridge %s, %v\n", b.Name, target)
	if b.FirstOrder.Blind {
		t.say("    ", "the bridge gives no output for the load that it measures, so nothing is relative to it")
		return
	}
	tab := table{align: "l"}
	r := b.Relative()
	tab.row("sensitivity", t.sensitivity(b.FirstOrder.Nominal, target))
	tab.row("  standard uncertainty", t.percent(r))
	tab.row("  expanded, k = 2", t.percent(predict.Figure{Value: 2 * r.Value, Missing: r.Missing}))
	if b.Sensitivity.OK() {
		tab.row("  95 % interval", t.sensitivity(b.Sensitivity.Interval[0], target)+" to "+t.sensitivity(b.Sensitivity.Interval[1], target))
	}
	for j, f := range b.Crosstalk {
		if j != b.Target && f.OK() {
			tab.row("crosstalk of "+c[j].String()+", 95 %", t.percent(predict.Some(f.Quantile)))
		}
	}
	if b.Balance.OK() {
		tab.row("zero balance, 95 %", t.output(b.Balance.Interval[0])+" to "+t.output(b.Balance.Interval[1]))
	}
	for _, f := range []struct {
		name string
		fig  uncertainty.Figure
	}{{"zero drift, 95 %", b.ZeroDrift}, {"  from the grids' spread alone", b.ZeroSpread}} {
		if f.fig.OK() {
			tab.row(f.name, t.per10K(predict.Some(f.fig.Quantile)))
		}
	}
	if rows := t.rows(d, b); len(b.Bands) > 0 {
		for _, k := range []int{0, len(rows) - 1} {
			tab.row("zero at "+t.show(rows[k].Kelvin, quantity.Temperature)+", 95 %", t.output(rows[k].Zero)+" ± "+t.output(b.Bands[k].Zero))
		}
	}
	if b.SpanDrift.OK() {
		tab.row("span drift, 95 %", t.per10K(predict.Some(b.SpanDrift.Interval[0]))+" to "+t.per10K(predict.Some(b.SpanDrift.Interval[1])))
	}
	tab.writeTo(t.W, "    ")
	if len(b.FirstOrder.Budget) > 0 {
		var parts []string
		rest := 100.0
		for k, s := range b.FirstOrder.Budget {
			if k == shares || s.Percent < 0.05 {
				break
			}
			in := d.Uncertainty.Inputs[s.Input]
			place := in.Label
			if in.Place.Line > 0 {
				place += fmt.Sprintf(" (line %d)", in.Place.Line)
			}
			parts = append(parts, fmt.Sprintf("%s %.3g %%", place, s.Percent))
			rest -= s.Percent
		}
		if rest > 0.05 {
			parts = append(parts, fmt.Sprintf("others %.2g %%", rest))
		}
		t.under("budget, share of the variance", strings.Join(parts, "; "))
	}
	if b.Tighten.From != "" {
		t.under("to tighten first", fmt.Sprintf("%s; halved, the standard uncertainty is %s instead of %s", b.Tighten.From,
			t.percent(predict.Some(b.Tighten.Standard/math.Abs(b.FirstOrder.Nominal))), t.percent(predict.Some(b.FirstOrder.Standard/math.Abs(b.FirstOrder.Nominal)))))
	}
	if d.Uncertainty.Trials > 0 && !b.FirstOrder.Agrees {
		t.under("first order and Monte Carlo differ", b.FirstOrder.Why)
	}
	t.whyCrosstalk(d, b)
}

// under writes a heading and, below it, a text.
func (t Text) under(heading, text string) {
	t.say("    ", heading+":")
	t.say("      ", text)
}

// whyCrosstalk says once why the crosstalk of first order is not that of Monte
// Carlo.
func (t Text) whyCrosstalk(d *dossier.Dossier, b *uncertainty.Bridge) {
	if d.Uncertainty.Trials == 0 {
		return
	}
	var order []string
	names := map[string][]string{}
	for j, l := range b.FirstOrderCrosstalk {
		if l.Missing != "" || l.Agrees {
			continue
		}
		if names[l.Why] == nil {
			order = append(order, l.Why)
		}
		names[l.Why] = append(names[l.Why], d.Result.Model.Components[j].String())
	}
	for _, why := range order {
		t.under("crosstalk of "+strings.Join(names[why], ", ")+" by Monte Carlo alone", why)
	}
}

// recovered writes the uncertainty of the loads that an uncalibrated transducer
// shows at rated loads.
func (t Text) recovered(u *uncertainty.Result) {
	r := u.Recovered
	covariance := r.Covariance
	if covariance == nil {
		covariance = r.FirstOrder
	}
	if r.Missing != "" || covariance == nil {
		return
	}
	t.printf("\n  loads by the nominal matrix at rated loads, before calibration\n")
	tab := table{align: "lr"}
	head := []string{"", "expanded (k = 2)"}
	for _, c := range r.Components {
		name := "correlation with " + c.String()
		if len(r.Components) > 2 { // what fits on a line
			name = "corr. " + c.String()
		}
		head = append(head, name)
	}
	tab.row(head...)
	for i, c := range r.Components {
		cells := []string{c.String(), t.digits(2*math.Sqrt(covariance[i][i]), c.Kind(), 2)}
		for j := range r.Components {
			scale := math.Sqrt(covariance[i][i] * covariance[j][j])
			if scale == 0 {
				cells = append(cells, "—")
				continue
			}
			cells = append(cells, quantity.Format(covariance[i][j]/scale, quantity.Number, t.Sys, 2))
		}
		tab.row(cells...)
	}
	tab.writeTo(t.W, "    ")
}

// rows of the temperature curves of a bridge.
func (t Text) rows(d *dossier.Dossier, b *uncertainty.Bridge) []predict.Point {
	for i := range d.Result.Bridges {
		if d.Result.Bridges[i].Name == b.Name {
			return d.Result.Bridges[i].Temperature.Rows
		}
	}
	return nil
}
