package report

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/calibration"
	"gridwright/internal/design"
	"gridwright/internal/diagnosis"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// Calibration writes an evaluation, its comparison with the prediction and the
// diagnosis (nil where none was made).
func (t Text) Calibration(r *calibration.Result, d *diagnosis.Diagnosis) {
	t.printf("%s\n", r.Title)
	t.printf("calibration by method %s, zero reduction %s, %d readings", r.Options.Method, r.Options.Zero, len(r.Data.Readings))
	if r.Kelvin.OK() {
		t.printf(" at %s", t.show(r.Kelvin.Value, quantity.Temperature))
	}
	t.printf("\n")
	for i := range r.Bridges {
		t.calibrated(r, &r.Bridges[i])
	}
	t.calibratedMatrix(r)
	t.comparison(r)
	if d != nil {
		t.diagnosis(d)
		if r.Agrees && !d.Agrees {
			t.say("  ", "Each figure alone lies within its limits, but not all together: what they share, such as a lot's gauge factor or a diameter, would move them alike.")
		}
	}
	if len(r.Outliers) > 0 {
		t.printf("\nREADINGS FAR FROM THE OTHERS, kept in the evaluation\n")
		for _, o := range r.Outliers {
			t.say("  ", o.String())
		}
	}
	if len(r.Notes) > 0 {
		t.printf("\nNOTES\n")
		for _, n := range r.Notes {
			t.say("  ", n)
		}
	}
}

func (t Text) calibrated(r *calibration.Result, b *calibration.Bridge) {
	t.printf("\nBRIDGE %s against %v\n", b.Name, b.Load)
	if b.Missing != "" {
		t.say("  ", "not evaluated: "+b.Missing)
		return
	}
	kind := b.Load.Kind()
	f := b.Forward
	terms := make([]string, 0, len(f.Coefficients))
	for n, c := range f.Coefficients {
		if n == 0 && !f.Constant {
			continue
		}
		terms = append(terms, fmt.Sprintf("%.8g ± %.2g  F^%d", c*1e3, f.SD[n]*1e3, n))
	}
	t.printf("  output in mV/V as a polynomial of the load F in %s, with standard deviations:\n", kind.SIUnit())
	for _, s := range terms {
		t.printf("    %s\n", s)
	}
	t.say("  ", "degree "+fmt.Sprint(f.Degree)+": "+b.DegreeWhy)
	tab := table{align: "lrl"}
	tab.row("standard deviation of the fit", fmt.Sprintf("%.3g mV/V", f.ResidualSD*1e3))
	if l := f.LackOfFit; l.Missing == "" {
		verdict := "not significant"
		if l.Significant {
			verdict = "SIGNIFICANT: the curve does not follow the data"
		}
		tab.row("lack of fit", fmt.Sprintf("F = %.3g, limit %.3g, %s", l.F, l.Limit, verdict))
	}
	tab.row("sensitivity", t.perLoad(b.Sensitivity, b.Load))
	percent := func(name string, f predict.Figure) {
		if f.OK() {
			tab.row(name, fmt.Sprintf("%.4f %%", 100*f.Value))
		} else {
			tab.row(name, "—", f.Missing)
		}
	}
	percent("repeatability", b.Figures.Repeatability)
	percent("reproducibility", b.Figures.Reproducibility)
	percent("interpolation", b.Figures.Interpolation)
	percent("zero", b.Figures.Zero)
	percent("reversibility", b.Figures.Reversibility)
	percent("creep", b.Figures.Creep)
	if f := b.Figures.LowerLimitFactor; f.OK() {
		tab.row("lower limit factor", t.show(f.Value, kind))
	}
	tab.writeTo(t.W, "  ")
	if e := b.E74; e != nil {
		for i, name := range []string{"class AA", "class A"} {
			if e.Lower[i].OK() {
				t.printf("  %s from %s to %s\n", name, t.show(e.Lower[i].Value, kind), t.show(e.Upper, kind))
			} else {
				t.say("  ", name+": —, "+e.Lower[i].Missing)
			}
		}
		if e.Remark != "" {
			t.say("  ", e.Remark)
		}
	}
	t.class(b)
	if u := b.InUse; len(b.Steps) > 0 {
		t.printf("  a load in use: U = 2·√((%s)² + (%.4f %% of the load)²)\n", t.show(u.Absolute, kind), 100*u.Relative)
		if len(u.Missing) > 0 {
			t.say("  ", "not in it: "+strings.Join(u.Missing, "; "))
		}
	}
	for _, n := range b.Notes {
		t.say("  ", "note: "+n)
	}
}

func (t Text) class(b *calibration.Bridge) {
	c := b.Class
	kind := b.Load.Kind()
	switch {
	case c.Name != "":
		t.printf("  class %s from %s to %s\n", c.Name, t.show(c.From, kind), t.show(c.To, kind))
		for _, n := range c.Ranges {
			if n.Name != c.Name {
				t.printf("  class %s from %s\n", n.Name, t.show(n.From, kind))
			}
		}
	case c.Missing != "":
		t.say("  ", "class: —, "+c.Missing)
	}
	if len(c.Unjudged) > 0 {
		t.say("  ", "not judged: "+strings.Join(c.Unjudged, "; "))
	}
	if c.Name != "" && !c.Confirmed {
		t.say("  ", "the limits of the classes ("+c.Source+") are from memory: compare them with the standard, then write `calibration: {limits: confirmed}` in the design")
	}
}

// perLoad is a sensitivity in mV/V per unit of the report.
func (t Text) perLoad(f predict.Figure, c design.Component) string {
	if !f.OK() {
		return "—"
	}
	unit := c.Kind().Unit(t.Sys)
	one, err := quantity.Convert(1, c.Kind(), unit)
	if err != nil || one == 0 {
		return "—"
	}
	return fmt.Sprintf("%.7g mV/V per %s", f.Value*1e3/one, unit)
}

func (t Text) calibratedMatrix(r *calibration.Result) {
	m := r.Matrix
	if m == nil || len(m.Bridges) == 0 {
		return
	}
	t.printf("\nMATRIX from all %d readings, µV/V per unit of the load, with standard uncertainty\n", m.Rows)
	tab := table{align: "lr"}
	head := []string{"bridge"}
	for _, j := range m.Components {
		c := r.Design.Loads[j].Component
		head = append(head, fmt.Sprintf("%v, per %s", c, c.Kind().Unit(t.Sys)))
	}
	tab.row(head...)
	for k, b := range m.Bridges {
		cells := []string{r.Design.Bridges[b].Name}
		for p, j := range m.Components {
			kind := r.Design.Loads[j].Component.Kind()
			one, err := quantity.Convert(1, kind, kind.Unit(t.Sys))
			if err != nil || one == 0 {
				cells = append(cells, "—")
				continue
			}
			cells = append(cells, fmt.Sprintf("%.6g ± %.2g", m.Sensitivity[k][p]*1e6/one, m.Standard[k][p]*1e6/one))
		}
		tab.row(cells...)
	}
	tab.writeTo(t.W, "  ")
	if m.Inverse == nil {
		t.say("  ", "no inverse: "+m.Missing)
		return
	}
	t.printf("  its inverse, load per mV/V of each bridge")
	if m.Condition.OK() {
		t.printf(" (condition number %.3g)", m.Condition.Value)
	}
	t.printf("\n")
	inv := table{align: "lr"}
	head = []string{""}
	for _, b := range m.Bridges {
		head = append(head, r.Design.Bridges[b].Name)
	}
	inv.row(head...)
	for q, p := range m.Measured {
		c := r.Design.Loads[m.Components[p]].Component
		cells := []string{c.String()}
		for _, v := range m.Inverse[q] {
			cells = append(cells, t.digits(v*1e-3, c.Kind(), 6))
		}
		inv.row(cells...)
	}
	inv.writeTo(t.W, "  ")
	for _, c := range m.Recovery {
		t.printf("  %v recovered from these readings: rms %.4f %% of rated, at most %.4f %% (line %d)\n", r.Design.Loads[c.Component].Component, 100*c.RMS, 100*c.Largest, c.Line)
	}
}

// AsCalibrated writes what a calibration found beside the prediction.
func (t Text) AsCalibrated(a *calibration.AsCalibrated, r *predict.Result) {
	t.printf("\nAS CALIBRATED by method %s; design sha256 %.12s, data sha256 %.12s\n", a.Method, a.Design, a.Data)
	tab := table{align: "llrrr"}
	tab.row("bridge", "load", "measured", "predicted", "rated output by the calibration")
	for _, name := range a.Bridges {
		for i := range r.Bridges {
			br := &r.Bridges[i]
			if br.Name != name {
				continue
			}
			for j, c := range r.Model.Components {
				s, ok := a.Slope(name, c)
				if !ok {
					continue
				}
				rated := "—"
				if j == br.Target {
					rated = t.output(s * r.Model.Rated[j])
				}
				tab.row(name, c.String(), t.perLoad(predict.Some(s), c), t.perLoad(predict.Some(br.Sensitivity[j]), c), rated)
			}
		}
	}
	tab.writeTo(t.W, "  ")
	t.printf("  loads from outputs, load per mV/V of each bridge\n")
	inv := table{align: "lr"}
	inv.row(append([]string{""}, a.Bridges...)...)
	for q, m := range a.Measured {
		cells := []string{m}
		for _, v := range a.Inverse[q] {
			cells = append(cells, t.digits(v, kindOf(m), 6))
		}
		inv.row(cells...)
	}
	inv.writeTo(t.W, "  ")
}

// kindOf is the kind of a load by its name.
func kindOf(name string) quantity.Kind {
	for c := design.Component(0); c < design.Components; c++ {
		if c.String() == name {
			return c.Kind()
		}
	}
	return quantity.Number
}

func (t Text) comparison(r *calibration.Result) {
	if len(r.Comparison) == 0 {
		return
	}
	t.printf("\nCOMPARISON with the prediction; |En| up to 1 agrees\n")
	tab := table{align: "lrrr"}
	tab.row("figure", "predicted", "measured", "En")
	for _, c := range r.Comparison {
		scale, unit := 1e3, "mV/V"
		if c.Kind == calibration.SensitivityFigure {
			comp := r.Design.Loads[c.Index].Component
			unit = "µV/V per " + comp.Kind().Unit(t.Sys)
			one, err := quantity.Convert(1, comp.Kind(), comp.Kind().Unit(t.Sys))
			if err != nil || one == 0 {
				continue
			}
			scale = 1e6 / one
		}
		en := "—"
		if c.NormalisedError.OK() {
			en = fmt.Sprintf("%+.2f", c.NormalisedError.Value)
		}
		tab.row(c.Figure, pair(c.Predicted.Value, c.Predicted.Standard, scale), pair(c.Measured, orZero(c.Standard), scale)+" "+unit, en)
	}
	tab.writeTo(t.W, "  ")
	t.say("  ", r.Agreement)
}

func orZero(f predict.Figure) float64 {
	if f.OK() {
		return f.Value
	}
	return 0
}

// pair is a value with its standard uncertainty, both scaled.
func pair(x, u, scale float64) string {
	x, u = x*scale, u*scale
	if math.Abs(x) < 1e-9 {
		x = 0
	}
	if u == 0 {
		return fmt.Sprintf("%.5g", x)
	}
	return fmt.Sprintf("%.5g ± %.2g", x, u)
}

func (t Text) diagnosis(d *diagnosis.Diagnosis) {
	t.printf("\nDIAGNOSIS\n")
	t.say("  ", d.Sentence)
	if d.Agrees && len(d.Causes) == 0 {
		return
	}
	tab := table{align: "rrll"}
	group := 0
	for _, c := range d.Causes {
		mark := ""
		if c.Group != group {
			group, mark = c.Group, fmt.Sprint(c.Group)
		}
		text := quantity.Sentence(c.Text, t.Sys)
		tab.row(mark, fmt.Sprintf("%.1f %%", 100*c.Share), text)
	}
	if len(d.Causes) > 0 {
		t.printf("  group, share and cause; the data cannot tell apart what stands in one group\n")
		tab.writeTo(t.W, "  ")
	}
	if d.SeparateBy != "" {
		t.say("  ", "to tell them apart: "+d.SeparateBy)
	}
}
