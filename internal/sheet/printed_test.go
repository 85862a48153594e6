package sheet

import (
	"context"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"gridwright/internal/dossier"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
)

// printed are the lines of text of all pages of a sheet.
func printed(t testing.TB, d *dossier.Dossier, opt Options) []string {
	t.Helper()
	b, err := build(d, opt)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, p := range b.Pages {
		for _, x := range p.TextBoxes() {
			all = append(all, strings.ReplaceAll(x.Text, "\u00A0", " "))
		}
	}
	return all
}

var leading = regexp.MustCompile(`^(?:± |\+)?([−-]?[0-9.]+(?:e-?[0-9]+)?)(.*)$`)

// says tells whether a line begins with the value, rounded to its own digits,
// and goes on with the unit.
func says(lines []string, v float64, unit string) bool {
	return slices.ContainsFunc(lines, func(line string) bool {
		m := leading.FindStringSubmatch(line)
		if m == nil || !strings.HasPrefix(strings.TrimSpace(m[2]), unit) || unit == "" && m[2] != "" {
			return false
		}
		n, err := strconv.ParseFloat(strings.Replace(m[1], "−", "-", 1), 64)
		mantissa, power, _ := strings.Cut(m[1], "e")
		decimals := 0
		if _, after, ok := strings.Cut(mantissa, "."); ok {
			decimals = len(after)
		}
		exponent, _ := strconv.Atoi(power)
		step := math.Pow(10, float64(exponent-decimals))
		if decimals == 0 && math.Abs(v) >= 1e4 {
			step = math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-3) // four digits of a large number
		}
		return err == nil && math.Abs(n-v) <= step/2*(1+1e-9)
	})
}

// TestFiguresPrinted: the figures of the published result stand on the sheet,
// equal after rounding.
func TestFiguresPrinted(t *testing.T) {
	d := propagatedExample(t)
	lines := printed(t, d, Options{})
	said := func(v float64, unit string) bool {
		return says(lines, v, unit) || math.Abs(v) < 1e-4 && slices.Contains(lines, "< 0.0001 "+unit)
	}
	everyFigure(t, d, said)
	if said(123.45, "mV/V") {
		t.Error("the comparison finds what is not there")
	}
}

// propagatedExample is the example with its tolerances propagated.
func propagatedExample(t testing.TB) *dossier.Dossier {
	t.Helper()
	text, err := os.ReadFile(example)
	if err != nil {
		t.Fatal(err)
	}
	d := readExample(t)
	out, err := dossier.WithUncertainty(context.Background(), "agitator-tube.yaml", text, d.Design, uncertainty.Options{Trials: 20_000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// everyFigure asks for each figure of the published result that a sheet prints.
func everyFigure(t testing.TB, d *dossier.Dossier, said func(v float64, unit string) bool) {
	t.Helper()
	p := d.Published()
	want := func(what string, v *float64, unit string) {
		t.Helper()
		if v != nil && !said(*v, unit) && !(math.Abs(*v) < 1e-4 && said(0, unit)) {
			t.Errorf("%s: %v %s is not on the sheet", what, *v, unit)
		}
	}
	for _, b := range p.Bridges {
		want(b.Name+" rated output", b.Rated, "mV/V")
		want(b.Name+" nonlinearity", b.Nonlinearity, "%")
		want(b.Name+" zero worst", b.ZeroBalance.Worst, "mV/V")
		want(b.Name+" zero rss", b.ZeroBalance.RSS, "mV/V")
		want(b.Name+" zero drift", b.ZeroDrift, "%/10 K")
		want(b.Name+" zero from gradient", b.ZeroGradient, "%")
		want(b.Name+" span drift", b.SpanDrift, "%/10 K")
		for load, v := range b.Crosstalk {
			want(b.Name+" crosstalk of "+load, v, "%")
		}
		own := *b.Sensitivity[b.Measures] * 1e3
		want(b.Name+" sensitivity", &own, "µV/V per N·m")
		want(b.Name+" standard uncertainty", b.Uncertainty.Standard, "%")
		want(b.Name+" expanded uncertainty", b.Uncertainty.Expanded, "%")
		for load, v := range b.Crosstalk95 {
			want(b.Name+" crosstalk-95 of "+load, v, "%")
		}
		for _, input := range b.Uncertainty.Budget {
			if input.Percent > 0.2 {
				want(b.Name+" budget of "+input.Input, &input.Percent, "%")
			}
		}
		for _, s := range b.Shunt {
			want(b.Name+" shunt", s.Output, "mV/V")
			want(b.Name+" shunt equivalent", s.Equivalent, "N·m")
		}
	}
	for _, g := range p.Grids {
		for load, v := range g.Strain {
			want(g.ID+" strain of "+load, v, "")
		}
		want(g.ID+" around", &g.Around, "")
		want(g.ID+" direction", &g.Direction, "")
		want(g.ID+" station", &g.Station, "")
	}
	want("von Mises", p.Strength.VonMises, "MPa")
	want("yield factor", p.Strength.YieldFactor, "")
	want("overload yield factor", p.Strength.OverloadYield, "")
	want("torsional stiffness", p.Stiffness.Torsional, "N·m/rad")
	want("axial stiffness", p.Stiffness.Axial, "N/mm")
	want("natural frequency", p.Stiffness.Frequency, "Hz")
	want("area", &p.Section.Area, "mm²")
	want("torsion constant", &p.Section.J, "mm⁴")
	for _, s := range p.Signal {
		want("power", s.Power, "mW")
		want("smallest step", s.Smallest, "N·m")
		want("Johnson noise", s.Johnson, "µV")
	}
	for i, row := range p.Matrix.Inverse {
		for _, v := range row {
			want("inverse of "+p.Matrix.Measured[i], v, "N·m")
		}
	}
}

// TestUnits: the same sheet in US units prints the exact conversions (1 in =
// 25.4 mm, 1 lbf = 4.4482216152605 N: NIST SP 811, app. B.8).
func TestUnits(t *testing.T) {
	d := readExample(t)
	lines := printed(t, d, Options{Sys: quantity.US})
	if !slices.ContainsFunc(lines, func(s string) bool {
		return strings.Contains(s, "D 2.3622 in ± 0.00197 in (D 60 mm") || strings.Contains(s, "D 2.3622 in ± 0.00197 in (60 mm ± 0.05 mm)")
	}) {
		t.Error("the outside diameter of 60 mm ± 0.05 mm does not stand as 2.3622 in")
	}
	torque := 1200 / 4.4482216152605 / 0.0254
	if !says(lines, torque, "lbf·in") {
		t.Errorf("rated torque %v lbf·in is not on the sheet", torque)
	}
	if !says(bracketed(lines), 1200, "N·m") {
		t.Error("the rated torque of 1200 N·m does not stand in brackets beside its value in lbf·in")
	}
	for _, line := range lines {
		if inBrackets.ReplaceAllString(line, "") != line {
			line = strings.TrimSpace(inBrackets.ReplaceAllString(line, ""))
		}
		if strings.Contains(line, " N·m") || strings.HasSuffix(line, " MPa") || strings.HasSuffix(line, " mm") && !strings.Contains(line, "mm ") {
			if !fromTheFile(d, line) {
				t.Errorf("%q in a sheet of US units", line)
			}
		}
	}
}

var inBrackets = regexp.MustCompile(`\(([^()]*)\)?`)

// bracketed is what stands in brackets in the lines.
func bracketed(lines []string) (all []string) {
	for _, line := range lines {
		for _, m := range inBrackets.FindAllStringSubmatch(line, -1) {
			all = append(all, strings.TrimSpace(m[1]))
		}
	}
	return all
}

// fromTheFile tells whether a line repeats the lot record or the name of the
// material, which stand as given.
func fromTheFile(d *dossier.Dossier, line string) bool {
	return strings.Contains(line, "quenched") || strings.HasPrefix(line, "3.2 mm") || strings.HasPrefix(line, "9 mm") || strings.HasPrefix(line, "0.05 mm")
}

// TestUndefined: figures that the design does not define stand as a dash, never
// as a number, NaN or infinity.
func TestUndefined(t *testing.T) {
	d := read(t, "bare.yaml", []byte(`gridwright: 1
title: A shaft of which little is known
part:
  material: {name: invented, youngs-modulus: 200 GPa, poisson-ratio: 0.3}
  section: {shape: round, outside-diameter: 30 mm}
loads: {torque: {rated: 100 N·m, use: measure}}
gauges: {S: {pattern: shear-pair, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2}}
placements: {A: {gauge: S, around: 0°}, B: {gauge: S, around: 180°}}
bridges: {T: {measures: torque, arms: [A2, B2, A1, B1]}}
`))
	if !d.Result.Bridges[0].Blind {
		t.Fatal("the bridge with its arms in the wrong order is to be blind")
	}
	lines := printed(t, d, Options{})
	dashes := 0
	for _, line := range lines {
		if strings.Contains(line, "NaN") || strings.Contains(line, "Inf") {
			t.Errorf("%q", line)
		}
		if line == layout.Dash {
			dashes++
		}
	}
	if dashes < 10 {
		t.Errorf("%d dashes for what is undefined", dashes)
	}
	for _, want := range []string{"positive torque raises arm 1 and 2, lowers arm 3 and 4; the output does not move", "Check: FAIL"} {
		if !strings.Contains(strings.Join(lines, " "), want) {
			t.Errorf("%q is not on the sheet", want)
		}
	}
}

// TestWords: numbers of a design stand as a person would write them.
func TestWords(t *testing.T) {
	for _, c := range []struct {
		si   float64
		kind quantity.Kind
		sys  quantity.System
		want string
	}{
		{273.15, quantity.Temperature, quantity.SI, "0 °C"},
		{263.15, quantity.Temperature, quantity.SI, "−10 °C"},
		{293.15, quantity.Temperature, quantity.US, "68 °F"},
		{0.06, quantity.Length, quantity.SI, "60 mm"},
		{0.0381, quantity.Length, quantity.US, "1.5 in"},
		{math.Pi / 2, quantity.Angle, quantity.SI, "90°"},
		{math.NaN(), quantity.Length, quantity.SI, layout.Dash},
	} {
		if got := (layout.Words{Sys: c.sys, Alone: true}).Plain(c.si, c.kind); got != c.want {
			t.Errorf("%v as %v: %q, want %q", c.si, c.kind, got, c.want)
		}
	}
	for x, want := range map[float64]string{-0.001: "0.00", -1.005e3: "−1005.00", 2.5: "2.50", math.Inf(1): layout.Dash} {
		if got := layout.Fixed(x, 2); got != want {
			t.Errorf("%v: %q, want %q", x, got, want)
		}
	}
}

// TestNothingPlaced: a design without gauges still makes a sheet that says so.
func TestNothingPlaced(t *testing.T) {
	d := read(t, "empty.yaml", []byte(`gridwright: 1
title: Nothing placed
part:
  material: 42CrMo4+QT
  section: {shape: round, outside-diameter: 30 mm}
loads: {torque: {rated: 100 N·m, use: measure}}
`))
	lines := printed(t, d, Options{})
	for _, want := range []string{"No gauge is placed.", "No bridge is defined."} {
		if !slices.Contains(lines, want) {
			t.Errorf("%q is not on the sheet", want)
		}
	}
}

// TestMeasured: places found after bonding replace the plan and are marked.
func TestMeasured(t *testing.T) {
	d := readExample(t)
	m := &d.Design.Placements[0].Measured
	m.Station.SI, m.Station.Set = 0.00123, true
	m.Direction.SI, m.Direction.Set = 2*math.Pi/180, true
	m.Resistance = slices.Clone(d.Design.Gauges[0].Resistance)
	m.Resistance[0].SI, m.Resistance[0].Text = 350.4, "350.4 Ω"
	d, err := predicted(d)
	if err != nil {
		t.Fatal(err)
	}
	lines := printed(t, d, Options{})
	for _, want := range []string{"A *", "1.23", "47.00", "350.4 Ω"} {
		if !slices.Contains(lines, want) {
			t.Errorf("%q is not on the sheet", want)
		}
	}
}

// TestRecord: the lot stands on the sheet as given, and every grid and bridge
// has a line to write on, with the predicted limit beside the blank.
func TestRecord(t *testing.T) {
	d := readExample(t)
	lines := printed(t, d, Options{})
	for _, want := range []string{"2.09 ± 0.5 %", "350 Ω ± 0.2 %", "1.2 %/100K", "−30.1 µε = −95.4086 µε", "2.45 µε/°C = 2.77961 µε/°F", "−4.4e-7 µε/°C⁴ = −4.19143e-8 µε/°F⁴", "11.3 ppm/K", "0.15 µε/K", "invented lot 26-114, for the example",
		"T, 2", "By, 1"} {
		if !slices.Contains(lines, want) {
			t.Errorf("%q is not on the sheet", want)
		}
	}
	for _, b := range d.Published().Bridges {
		want := fmt.Sprintf("0 mV/V ± %.4g", *b.ZeroBalance.Worst)
		if !slices.ContainsFunc(lines, func(s string) bool { return strings.HasPrefix(s, want) }) {
			t.Errorf("%q is not on the sheet", want)
		}
	}
	text := strings.Join(lines, " ")
	for _, c := range dossier.Cautions {
		if !strings.Contains(text, c) {
			t.Errorf("the caution %q is not on the sheet", c)
		}
	}
}

// TestKeyFigures: under each head of the table on the first page stands the
// figure that the head names, bridge below bridge.
func TestKeyFigures(t *testing.T) {
	d := readExample(t)
	b, err := build(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	boxes := b.Pages[0].TextBoxes()
	under := func(head string) (column []string) {
		for i, h := range boxes {
			if h.Text != head {
				continue
			}
			_, corner := h.Bounds()
			for _, x := range boxes[i+1:] {
				if lo, hi := x.Bounds(); lo.Y > corner.Y && math.Abs(hi.X-corner.X) < 0.1 {
					column = append(column, strings.ReplaceAll(x.Text, "\u00A0", " "))
				}
			}
		}
		return column
	}
	for i, br := range d.Published().Bridges {
		for _, c := range []struct {
			head, unit string
			value      *float64
		}{{"rated output", "mV/V", br.Rated}, {"span drift", "%/10 K", br.SpanDrift}, {"zero, limit", "mV/V", br.ZeroBalance.Worst}} {
			column := under(c.head)
			if len(column) <= i || !says(column[i:i+1], *c.value, c.unit) {
				t.Errorf("bridge %s: below %q stands %q, want %v in place %d", br.Name, c.head, column, *c.value, i+1)
			}
		}
	}
}
