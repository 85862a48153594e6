package report

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/dossier"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/trim"
)

// Trimmed is the published shape of the resistors of all bridges.
type Trimmed struct {
	Format  int             `json:"gridwright"`
	Title   string          `json:"title"`
	Program string          `json:"program"`
	Digest  string          `json:"input_sha256"`
	Bridges []TrimmedBridge `json:"bridges"`
}

// TrimmedBridge is the resistors of one bridge and what they achieve.
type TrimmedBridge struct {
	Name      string               `json:"name"`
	Measures  string               `json:"measures"`
	From      map[string]string    `json:"from"`
	Equal     []float64            `json:"made_equal_at_celsius"`
	Material  string               `json:"material"`
	Resistors []TrimmedResistor    `json:"resistors"`
	InSeries  *TrimmedSeries       `json:"balance_in_series"`
	Before    TrimmedFigures       `json:"before"`
	Exact     TrimmedFigures       `json:"exact"`
	After     TrimmedFigures       `json:"after"`
	Limits    TrimmedFigures       `json:"limits"`
	Rows      []TrimmedRow         `json:"temperature"`
	Allowance map[string]*float64  `json:"allowance"`
	Choices   []TrimmedSpanChoices `json:"span_resistor_of"`
	Order     []string             `json:"order_of_work"`
	Notes     []string             `json:"notes"`
}

// TrimmedResistor is one resistor; ohm is at 20 °C, of each of the pieces.
type TrimmedResistor struct {
	Role      string   `json:"role"`
	Arm       *int     `json:"arm"`
	Pieces    int      `json:"pieces"`
	Material  string   `json:"material"`
	Exact     *float64 `json:"exact_ohm"`
	Fitted    *float64 `json:"fitted_ohm"`
	Length    *float64 `json:"length_mm"`
	Tolerance *float64 `json:"tolerance_percent"`
}

// TrimmedSeries is the alternative to the balance shunt.
type TrimmedSeries struct {
	Arm int     `json:"arm"`
	Ohm float64 `json:"ohm"`
}

// TrimmedFigures of a bridge. In limits, output and input are the largest change.
type TrimmedFigures struct {
	Zero      *float64 `json:"zero_mv_per_v"`
	ZeroDrift *float64 `json:"zero_drift_mv_per_v_per_10k"`
	SpanDrift *float64 `json:"span_drift_percent_per_10k"`
	Output    *float64 `json:"rated_output_mv_per_v"`
	Input     *float64 `json:"input_resistance_ohm"`
}

// TrimmedRow is the bridge at one temperature.
type TrimmedRow struct {
	Celsius    float64  `json:"celsius"`
	ZeroBefore *float64 `json:"zero_before_mv_per_v"`
	ZeroAfter  *float64 `json:"zero_after_mv_per_v"`
	SpanBefore *float64 `json:"span_ratio_before"`
	SpanAfter  *float64 `json:"span_ratio_after"`
}

// TrimmedSpanChoices is the span resistor of one metal.
type TrimmedSpanChoices struct {
	Material string   `json:"material"`
	Ohm      *float64 `json:"ohm"`
	Loss     *float64 `json:"output_lost_percent"`
}

// roles in the order in which resistors are listed.
var roles = []trim.Role{trim.BalanceShunt, trim.DriftWire, trim.DriftPartner, trim.SpanResistor, trim.SpanParallel, trim.SpanSetting, trim.InputSetting}

// TrimmedOf puts plans into their published shape.
func TrimmedOf(d *dossier.Dossier, plans []*trim.Plan) Trimmed {
	out := Trimmed{Format: 1, Title: d.Design.Title, Program: "gridwright " + dossier.Version, Digest: d.Digest, Bridges: []TrimmedBridge{}}
	figures := func(f trim.Figures) TrimmedFigures {
		return TrimmedFigures{ratio(predict.Some(f.Zero), 1e3), ratio(f.ZeroDrift, 1e4), ratio(f.SpanDrift, 1e3), ratio(f.Output, 1e3), ratio(predict.Some(f.Input), 1)}
	}
	for _, p := range plans {
		b := TrimmedBridge{Name: p.Name, Measures: d.Result.Bridges[p.Bridge].Measures.String(),
			From:  map[string]string{"zero": string(p.Zero), "zero_drift": string(p.Drift), "span": string(p.Span)},
			Equal: []float64{}, Material: p.Material.Name, Resistors: []TrimmedResistor{}, Rows: []TrimmedRow{}, Choices: []TrimmedSpanChoices{},
			Before: figures(p.Before), Exact: figures(p.Best), After: figures(p.After), Limits: figures(p.Limits),
			Order: p.Order(), Notes: append([]string{}, p.Notes...)}
		if p.High > 0 {
			b.Equal = []float64{toCelsius(p.Low), toCelsius(p.High)}
		}
		for _, role := range roles {
			exact, hasExact := trim.OfRole(p.Exact, role)
			fitted, hasFitted := trim.OfRole(p.Fitted, role)
			one := fitted
			if !hasFitted {
				one = exact
			}
			if !hasExact && !hasFitted {
				continue
			}
			r := TrimmedResistor{Role: string(role), Pieces: pieces(one), Material: metal(one)}
			if one.Arm > 0 {
				r.Arm = &one.Arm
			}
			if hasExact {
				r.Exact = ratio(predict.Some(exact.Each()), 1)
			}
			if hasFitted {
				r.Fitted, r.Tolerance = ratio(predict.Some(fitted.Each()), 1), ratio(predict.Some(fitted.Tolerance), 100)
				if fitted.Length > 0 {
					r.Length = ratio(predict.Some(fitted.Length), 1e3)
				}
			}
			b.Resistors = append(b.Resistors, r)
		}
		if p.InSeries.OK() {
			b.InSeries = &TrimmedSeries{p.InSeriesArm, p.InSeries.Value}
		}
		for _, r := range p.Rows {
			b.Rows = append(b.Rows, TrimmedRow{toCelsius(r.Kelvin), ratio(predict.Some(r.ZeroBefore), 1e3), ratio(predict.Some(r.ZeroAfter), 1e3), ratio(r.SpanBefore, 1), ratio(r.SpanAfter, 1)})
		}
		a := p.Allowance
		balance := predict.None("measured")
		if p.Zero == trim.Predicted {
			balance = predict.Some(a.Balance)
		}
		b.Allowance = map[string]*float64{"zero_mv_per_v": ratio(balance, 1e3), "series_at_most_ohm": ratio(a.Series, 1), "shunt_at_least_ohm": ratio(a.Shunt, 1),
			"zero_drift_mv_per_v_per_10k": ratio(a.Drift, 1e4), "wire_at_most_ohm": ratio(a.Wire, 1)}
		for _, c := range p.Choices {
			b.Choices = append(b.Choices, TrimmedSpanChoices{c.Wire.Name, ratio(c.Ohm, 1), ratio(c.Loss, 100)})
		}
		out.Bridges = append(out.Bridges, b)
	}
	return out
}

// temperature without the zeros at its end.
func (t Text) temperature(kelvin float64) string {
	number, unit, _ := strings.Cut(t.show(kelvin, quantity.Temperature), " ")
	return trimZeros(number) + " " + unit
}

// toCelsius drops what the rounding of 273.15 leaves behind.
func toCelsius(kelvin float64) float64 { return math.Round((kelvin-273.15)*1e9) / 1e9 }

func pieces(p trim.Part) int {
	if p.Halves {
		return 2
	}
	return 1
}

func metal(p trim.Part) string {
	if p.Wire != nil {
		return p.Wire.Name
	}
	return "low coefficient"
}

// place says where a resistor goes.
func place(p trim.Part) string {
	switch {
	case p.Role == trim.BalanceShunt:
		return fmt.Sprintf("across arm %d", p.Arm)
	case p.Arm > 0:
		return fmt.Sprintf("in arm %d", p.Arm)
	case p.Role == trim.InputSetting:
		return "across the supply"
	case p.Role == trim.SpanParallel:
		return "across each span resistor"
	}
	return "in each supply lead"
}

// Trim writes the resistors of each bridge, what remains, and the order of work.
func (t Text) Trim(d *dossier.Dossier, plans []*trim.Plan) {
	t.printf("%s\n", d.Design.Title)
	for _, p := range plans {
		t.plan(d, p)
	}
	t.assumed(d)
	t.Cautions()
	t.Trace(d.Digest)
}

func (t Text) plan(d *dossier.Dossier, p *trim.Plan) {
	t.printf("\nBRIDGE %s, %s\n", p.Name, d.Result.Bridges[p.Bridge].Measures)
	from := fmt.Sprintf("zero %s, drift of zero %s, span %s", p.Zero, p.Drift, p.Span)
	if p.High > 0 {
		from += fmt.Sprintf("; made equal at %s and %s", t.temperature(p.Low), t.temperature(p.High))
	}
	t.say("  from: ", from)
	t.say("  wire: ", fmt.Sprintf("%s (%s)", p.Material.Name, p.Material.Source))
	t.resistors(p)
	t.remains(d, p)
	t.trimRows(p)
	t.allowance(p)
	t.choices(p)
	t.printf("\n  ORDER OF WORK\n")
	for i, s := range p.Order() {
		t.say(fmt.Sprintf("  %d. ", i+1), s)
	}
	if len(p.Notes) > 0 {
		t.printf("\n  NOTES\n")
		for _, n := range p.Notes {
			t.say("  - ", n)
		}
	}
}

func (t Text) ohm(v float64) string { return t.digits(v, quantity.Resistance, 5) }

func (t Text) resistors(p *trim.Plan) {
	t.printf("\n  RESISTORS, at 20 °C, each piece\n")
	tab := table{align: "llrrrrl"}
	tab.row("resistor", "where", "exact", "fitted", "length", "tolerance", "of")
	for _, role := range roles {
		exact, hasExact := trim.OfRole(p.Exact, role)
		fitted, hasFitted := trim.OfRole(p.Fitted, role)
		if !hasExact && !hasFitted {
			continue
		}
		one, cells := exact, []string{"—", "none", "—", "—"}
		if hasExact {
			cells[0] = t.ohm(exact.Each())
		}
		if hasFitted {
			one = fitted
			cells[1] = t.show(fitted.Each(), quantity.Resistance)
			if fitted.Length > 0 {
				cells[2] = t.show(fitted.Length, quantity.Length)
			}
			if fitted.Tolerance > 0 {
				cells[3] = "± " + t.digits(fitted.Tolerance, quantity.Ratio, 2)
			}
		}
		tab.row(append(append([]string{string(role), place(one)}, cells...), metal(one))...)
	}
	if len(tab.rows) == 1 {
		t.printf("  none\n")
		return
	}
	tab.writeTo(t.W, "  ")
	if p.InSeries.OK() {
		t.say("  ", fmt.Sprintf("instead of the balance shunt: %s of low coefficient in series with arm %d", t.ohm(p.InSeries.Value), p.InSeriesArm))
	}
}

func (t Text) remains(d *dossier.Dossier, p *trim.Plan) {
	t.printf("\n  WHAT REMAINS; limits: at most, with every resistor at the end of its tolerance\n")
	reference := t.temperature(d.Design.Temperature.Reference.SI)
	tab := table{align: "lr"}
	tab.row("", "before", "exact", "fitted", "limits")
	line := func(label string, cell func(f *trim.Figures) string, limit string) {
		tab.row(label, cell(&p.Before), cell(&p.Best), cell(&p.After), limit)
	}
	per := func(f predict.Figure) string {
		if !f.OK() {
			return "—"
		}
		return t.output(f.Value*10) + "/10K"
	}
	change := func(s string) string {
		if s == "—" {
			return s
		}
		return "± " + s
	}
	line("zero at "+reference, func(f *trim.Figures) string { return t.output(f.Zero) }, change(t.output(p.Limits.Zero)))
	line("drift of zero", func(f *trim.Figures) string { return per(f.ZeroDrift) }, per(p.Limits.ZeroDrift))
	line("drift of span", func(f *trim.Figures) string { return t.per10K(f.SpanDrift) }, t.per10K(p.Limits.SpanDrift))
	line("output at rated load", func(f *trim.Figures) string { return t.figure(f.Output, quantity.VoltageRatio) },
		change(t.figure(p.Limits.Output, quantity.VoltageRatio)))
	line("input resistance", func(f *trim.Figures) string { return t.ohm(f.Input) }, change(t.digits(p.Limits.Input, quantity.Resistance, 2)))
	tab.writeTo(t.W, "  ")
}

// every is the step between the temperatures that the text shows.
const every = 5

func (t Text) trimRows(p *trim.Plan) {
	if len(p.Rows) == 0 {
		return
	}
	t.printf("\n  TEMPERATURE, zero from that at reference, span over that at reference\n")
	tab := table{align: "r"}
	tab.row("", "zero before", "fitted", "span before", "fitted")
	span := func(f predict.Figure) string {
		if !f.OK() {
			return "—"
		}
		return fmt.Sprintf("%.5f", f.Value)
	}
	for i, r := range p.Rows {
		if i%every == 0 {
			tab.row(t.temperature(r.Kelvin), t.output(r.ZeroBefore), t.output(r.ZeroAfter), span(r.SpanBefore), span(r.SpanAfter))
		}
	}
	tab.writeTo(t.W, "  ")
}

func (t Text) allowance(p *trim.Plan) {
	a := p.Allowance
	if p.Zero != trim.Predicted && !a.Wire.OK() {
		return
	}
	t.printf("\n  WHAT TOLERANCES MAY ASK FOR once the bridge is bonded\n")
	if p.Zero == trim.Predicted {
		if a.Series.OK() && a.Shunt.OK() {
			t.say("  zero balance: ", fmt.Sprintf("up to ± %s: a shunt of %s or more, or up to %s in series, in an arm of either sign",
				t.output(a.Balance), t.ohm(a.Shunt.Value), t.ohm(a.Series.Value)))
		} else {
			t.say("  zero balance: ", "unknown, as no resistance of the bridge has a tolerance")
		}
	}
	if p.Drift == trim.Predicted && a.Drift.OK() {
		switch {
		case a.Wire.OK():
			t.say("  drift of zero: ", fmt.Sprintf("up to ± %s/10K from the spread of the lot beside the predicted: up to %s of %s in an arm of either sign",
				t.output(a.Drift.Value*10), t.ohm(a.Wire.Value), p.Material.Name))
		case a.Drift.Value > 0:
			t.say("  drift of zero: ", fmt.Sprintf("up to ± %s/10K from the spread of the lot", t.output(a.Drift.Value*10)))
		default:
			t.say("  drift of zero: ", "unknown, as the lots state no spread of thermal output")
		}
	}
}

func (t Text) choices(p *trim.Plan) {
	var words []string
	for _, c := range p.Choices {
		if c.Ohm.OK() {
			words = append(words, fmt.Sprintf("%s %s (%s of the output)", c.Wire.Name, t.ohm(c.Ohm.Value), t.percent(c.Loss)))
		} else {
			words = append(words, fmt.Sprintf("%s: %s", c.Wire.Name, c.Ohm.Missing))
		}
	}
	if len(words) > 0 {
		t.printf("\n")
		t.say("  span resistor by material, both halves: ", strings.Join(words, "; "))
	}
}
