package record

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gridwright/internal/calibration"
	"gridwright/internal/design"
	"gridwright/internal/diagnosis"
	"gridwright/internal/quantity"
)

// aNumber is a number as it is printed.
var aNumber = regexp.MustCompile(`[−-]?[0-9]+(?:\.[0-9]+)?(?:e[−-]?[0-9]+)?`)

// numbers are those of texts, each with half a step of its last digit.
type numbers []struct{ value, half float64 }

func numbersOf(texts []string) numbers {
	var out numbers
	for _, text := range texts {
		for _, s := range aNumber.FindAllString(text, -1) {
			v, err := strconv.ParseFloat(strings.ReplaceAll(s, "−", "-"), 64)
			if err != nil {
				continue
			}
			mantissa, power, _ := strings.Cut(strings.ReplaceAll(s, "−", "-"), "e")
			decimals := 0
			if _, after, ok := strings.Cut(mantissa, "."); ok {
				decimals = len(after)
			}
			exponent, _ := strconv.Atoi(power)
			half := 0.5 * math.Pow(10, float64(exponent-decimals))
			if decimals == 0 && power == "" && math.Abs(v) >= 1e4 {
				half = 0.5 * math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-3) // four digits of a large number
			}
			out = append(out, struct{ value, half float64 }{v, half})
		}
	}
	return out
}

// say tells whether a value stands there, equal after rounding to the printed digits,
// two at least.
func (n numbers) say(v float64) bool {
	for _, x := range n {
		if math.Abs(x.value-v) <= x.half*(1+1e-6) && (x.half <= 0.051*math.Abs(v) || x.value == v) {
			return true
		}
	}
	return false
}

// near tells whether a number stands there that is no farther off.
func (n numbers) near(v, off float64) bool {
	return slices.ContainsFunc(n, func(x struct{ value, half float64 }) bool {
		return math.Abs(x.value-v) <= off*(1+1e-6) && x.half <= off*(1+1e-6)
	})
}

// chapters are the texts of the pages of each chapter, by its number.
func chapters(b *book) map[byte][]string {
	out := map[byte][]string{}
	for _, p := range b.Pages {
		boxes := p.TextBoxes()
		n := boxes[0].Text[0]
		for _, x := range boxes {
			out[n] = append(out[n], strings.ReplaceAll(x.Text, "\u00A0", " "))
		}
	}
	return out
}

// figure is one number of the published result, in the unit in which it is printed,
// with its place in the record.
type figure struct {
	what    string
	value   float64
	chapter byte
	u       float64 // below a thousandth of which it is printed as zero
	loose   bool    // printed to a thousandth, however small
	percent bool    // below 0.0001 it is printed as a bound
}

// published lists the figures that a record must print.
func published(r *calibration.Result, diag *diagnosis.Diagnosis) []figure {
	p := calibration.Publish(r)
	var out []figure
	add := func(what string, v *float64, by float64, chapter byte) {
		if v != nil {
			out = append(out, figure{what: what, value: *v * by, chapter: chapter})
		}
	}
	list := func(what string, values []float64, chapter byte) {
		for i := range values {
			add(what, &values[i], 1, chapter)
		}
	}
	percent := func(what string, v *float64, chapter byte) {
		if v != nil {
			out = append(out, figure{what: what, value: *v, chapter: chapter, percent: true})
		}
	}
	for _, b := range p.Bridges {
		n := b.Name + " "
		add(n+"sensitivity", b.Sensitivity, 1e3, '1')
		for k := range b.Coefficients {
			out = append(out, figure{what: n + "coefficient", value: b.Coefficients[k], u: b.SD[k], chapter: '3'})
		}
		list(n+"coefficient sd", b.SD, '3')
		for k := range b.Inverse {
			out = append(out, figure{what: n + "inverse", value: b.Inverse[k], u: b.InverseSD[k], chapter: '3'})
		}
		list(n+"inverse sd", b.InverseSD, '3')
		add(n+"standard deviation", b.StandardDev, 1, '3')
		if l := b.LackOfFit; l != nil {
			list(n+"lack of fit", []float64{l.F, l.Limit, l.PureError}, '3')
		}
		f := b.Figures
		for what, v := range map[string]*float64{"repeatability": f.Repeatability, "reproducibility": f.Reproducibility, "interpolation": f.Interpolation, "zero": f.Zero, "reversibility": f.Reversibility, "creep": f.Creep} {
			percent(n+what, v, '4')
		}
		add(n+"resolution", f.Resolution, 1, '4')
		add(n+"lower limit factor", f.LowerLimitFactor, 1, '4')
		add(n+"class from", b.Class.From, 1, '1')
		add(n+"class to", b.Class.To, 1, '1')
		for _, c := range b.Class.Ranges {
			list(n+"range of class "+c.Name, []float64{c.From, c.To}, '4')
		}
		if v := b.Verified; v != nil {
			add(n+"class AA", v.AA, 1, '4')
			add(n+"class A", v.A, 1, '4')
		}
		for _, s := range b.Steps {
			add(n+"step", &s.Load, 1, '4')
			out = append(out, figure{what: n + "step fitted", value: *s.Fitted, chapter: '4'})
			add(n+"step mean", s.Mean, 1, '4')
			for what, v := range map[string]*float64{"repeatability": s.Repeatability, "reproducibility": s.Reproducibility, "interpolation": s.Interpolation, "reversibility": s.Reversibility, "standard": s.Standard, "expanded": s.Expanded} {
				percent(n+"step "+what, v, '4')
			}
		}
		if k := len(b.Steps); k > 0 {
			for _, t := range b.Steps[k-1].Budget {
				percent(n+"budget "+t.Name, t.Standard, '4')
			}
		}
		add(n+"in use absolute", b.InUse.Absolute, 1, '4')
		percent(n+"in use relative", b.InUse.Relative, '4')
	}
	m := p.Matrix
	for k, name := range m.Bridges {
		for j, load := range m.Components {
			out = append(out, figure{what: name + "." + load, value: m.Sensitivity[k][j] * 1e3, chapter: '5', u: m.Standard[k][j] * 1e3},
				figure{what: name + "." + load + " standard", value: m.Standard[k][j] * 1e3, chapter: '5'})
			percent("crosstalk of "+load+" on "+name, m.Crosstalk[k][j], '5')
		}
	}
	for _, row := range m.Inverse {
		list("inverse", row, '5')
	}
	add("condition", m.Condition, 1, '5')
	list("coverage", m.Coverage, '5')
	for i := range m.Residual {
		percent("rms", &m.Residual[i].RMS, '5')
		percent("largest", &m.Residual[i].Largest, '5')
	}
	if m.Second != nil {
		for _, row := range m.Second.Coefficients {
			for i := range row {
				add("second-order term", &row[i], 1e3, '5')
			}
		}
	}
	for _, c := range p.Comparison {
		by := 1.0
		if !strings.Contains(c.Figure, ".zero") && !strings.Contains(c.Figure, ".shunt") {
			by = 1e3
		}
		out = append(out, figure{what: "predicted " + c.Figure, value: *c.Predicted * by, chapter: '6', u: *c.PredictedStandard * by})
		if c.MeasuredStandard != nil {
			out = append(out, figure{what: "measured " + c.Figure, value: *c.Measured * by, chapter: '6', u: *c.MeasuredStandard * by})
		}
		add("u of "+c.Figure, c.MeasuredStandard, by, '6')
		if c.NormalisedError != nil {
			out = append(out, figure{what: "En of " + c.Figure, value: *c.NormalisedError, chapter: '6', loose: true})
		}
	}
	for i := range p.Outliers {
		list("outlier", []float64{float64(p.Outliers[i].Line), p.Outliers[i].Residual, p.Outliers[i].Studentised}, '2')
	}
	if diag != nil {
		d := diag.Published()
		add("chi-square", d.ChiSquare, 1, '7')
		for _, c := range d.Causes {
			share := 100 * c.Share
			percent("share of "+c.Cause, &share, '7')
			if c.Estimate != nil {
				add("estimate of "+c.Cause, c.Estimate.Value, 1, '7')
				add("its u", c.Estimate.Standard, 1, '7')
			}
		}
	}
	return out
}

// printed tells whether a figure stands among the numbers of its chapter.
func (f *figure) printed(n numbers) bool {
	return n.say(f.value) || f.loose && math.Abs(f.value) < 0.02 && n.near(f.value, 0.0005) || f.percent && math.Abs(f.value) < 1e-4 || math.Abs(f.value) < 1e-3*f.u ||
		math.Abs(f.value) < 10*f.u && n.near(f.value, 0.05*math.Abs(f.value)) || // two digits, the last of whole numbers zeros
		strings.Contains(f.what, "fitted") && math.Abs(f.value) < 1e-5 // outputs are printed to the indicator's digits
}

// TestFiguresPrinted: the figures of the published result stand in their chapters,
// equal after rounding; the same figures a few percent off mostly do not, so the
// comparison can fail.
func TestFiguresPrinted(t *testing.T) {
	for _, m := range calibration.Methods {
		r, diag := ofExample(t, calibration.Options{Method: m, SecondOrder: m == calibration.ForceE74}, func(b *bench) {
			b.outlier, b.mirror = m == calibration.Plain, m == calibration.ForceE74
			b.plan.All = true
		})
		for _, opt := range []Options{{}, {Sys: quantity.US}} { // in US units the SI value stands beside
			b, err := build(r, diag, opt)
			if err != nil {
				t.Fatal(err)
			}
			everyFigure(t, fmt.Sprintf("%s %+v", m, opt), r, diag, chapters(b))
		}
	}
}

func everyFigure(t *testing.T, what string, r *calibration.Result, diag *diagnosis.Diagnosis, texts map[byte][]string) {
	t.Helper()
	in := map[byte]numbers{}
	for n, list := range texts {
		in[n] = numbersOf(list)
	}
	list := published(r, diag)
	wrong, tried := 0, 0
	for i := range list {
		f := &list[i]
		if !f.printed(in[f.chapter]) {
			t.Errorf("%s: %s: %v does not stand in chapter %c", what, f.what, f.value, f.chapter)
		}
		if f.value != 0 && !(f.percent && math.Abs(f.value) < 1e-3) && !(math.Abs(f.value) < 0.1*f.u) {
			other := *f
			other.value *= 1.137
			tried++
			if other.printed(in[f.chapter]) {
				wrong++
			}
		}
	}
	if tried < 50 || wrong*3 > tried {
		t.Errorf("%s: %d of %d figures that are off are found all the same", what, wrong, tried)
	}
	all := strings.Join(texts['1'], " ")
	for _, s := range []string{r.Title, r.Options.DesignDigest, r.Options.DataDigest, r.Design.Part.Number, r.Design.Part.Drawing, r.Options.Date} {
		if !strings.Contains(all, s) {
			t.Errorf("%s: %q does not stand in chapter 1", what, s)
		}
	}
}

// TestReadingsPrinted: every reading stands in the table of data with its outputs.
func TestReadingsPrinted(t *testing.T) {
	r, diag := ofExample(t, calibration.Options{}, nil)
	b, err := build(r, diag, Options{})
	if err != nil {
		t.Fatal(err)
	}
	in := numbersOf(chapters(b)['2'])
	for i := range r.Data.Readings {
		for k, v := range r.Data.Readings[i].Outputs {
			if !in.say(v*1e3) && math.Abs(v) > 1e-6 {
				t.Errorf("line %d, bridge %d: %g mV/V does not stand there", r.Data.Readings[i].Line, k+1, v*1e3)
			}
		}
	}
	if in.say(7.7777) {
		t.Error("the comparison finds what is not there")
	}
}

// TestUSUnits: in US customary units coefficients and sensitivities are those per
// lbf·in and lbf, the SI values beside them. 1 lbf = 4.4482216152605 N exactly, 1 in =
// 0.0254 m exactly (NIST SP 811, appendix B).
func TestUSUnits(t *testing.T) {
	const lbf, inch = 4.4482216152605, 0.0254
	unit := map[design.Component]float64{design.Torque: lbf * inch, design.BendingY: lbf * inch, design.BendingZ: lbf * inch, design.Axial: lbf, design.ShearZ: lbf}
	r, diag := ofExample(t, calibration.Options{Degree: 3}, func(b *bench) { b.plan.All = true })
	b, err := build(r, diag, Options{Sys: quantity.US})
	if err != nil {
		t.Fatal(err)
	}
	texts := chapters(b)
	in := map[byte]numbers{}
	for n, list := range texts {
		in[n] = numbersOf(list)
	}
	found, tried := 0, 0
	want := func(what string, v, u float64, chapter byte) {
		t.Helper()
		tried++
		f := figure{what: what, value: v, u: u}
		if !f.printed(in[chapter]) {
			t.Errorf("%s: %v does not stand in chapter %c", what, v, chapter)
		}
		if f.value *= 1.137; math.Abs(v) > 0.1*u && f.printed(in[chapter]) {
			found++
		}
	}
	for i := range r.Bridges {
		br := &r.Bridges[i]
		x := unit[br.Load]
		want(br.Name+" sensitivity", br.Sensitivity.Value*1e6*x, 0, '1')
		for k, c := range br.Forward.Coefficients {
			p := math.Pow(x, float64(k))
			want(fmt.Sprint(br.Name, " coefficient ", k), c*1e3*p, br.Forward.SD[k]*1e3*p, '3')
		}
		for k, c := range br.Inverse.Coefficients {
			p := math.Pow(1e-3, float64(k)) / x
			want(fmt.Sprint(br.Name, " inverse ", k), c*p, br.Inverse.SD[k]*p, '3')
		}
		for _, s := range br.Steps {
			want(br.Name+" step", s.Load/x, 0, '4')
		}
		want(br.Name+" in use", br.InUse.Absolute/x, 0, '4')
	}
	m := r.Matrix
	for k := range m.Bridges {
		for n, j := range m.Components {
			x := unit[r.Data.Components[j]]
			want("matrix", m.Sensitivity[k][n]*1e6*x, m.Standard[k][n]*1e6*x, '5')
			want("its u", m.Standard[k][n]*1e6*x, 0, '5')
		}
	}
	for row, n := range m.Measured {
		for _, v := range m.Inverse[row] {
			want("inverse", v*1e-3/unit[r.Data.Components[m.Components[n]]], 0, '5')
		}
	}
	if found*3 > tried {
		t.Errorf("%d of %d figures that are off are found all the same", found, tried)
	}
	for _, s := range []string{"lbf·in (N·m)", "lbf (N)"} {
		if !strings.Contains(strings.Join(texts['5'], " "), s) {
			t.Errorf("%q does not stand in chapter 5: %s", s, texts['5'])
		}
	}
}
