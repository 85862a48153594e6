package report

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/profile"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
	"gridwright/internal/uncertainty"
)

func examples(t *testing.T) map[string]*dossier.Dossier {
	t.Helper()
	files, err := filepath.Glob("../../designs/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*dossier.Dossier{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		d, err := designfile.Read(f, text)
		if err != nil {
			t.Fatal(err)
		}
		if len(d.Bridges) == 0 {
			continue
		}
		x, err := dossier.WithUncertainty(context.Background(), f, text, d, uncertainty.Options{Trials: 5000, Seed: 3})
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(f)] = x
	}
	if len(out) < 4 {
		t.Fatalf("%d examples", len(out))
	}
	return out
}

var numeral = regexp.MustCompile(`-?[0-9]+(\.[0-9]+)?(e-?[0-9]+)?`)

// numbers of a cell, in their order.
func numbers(cell string) (out []float64) {
	for _, s := range numeral.FindAllString(cell, -1) {
		x, err := strconv.ParseFloat(s, 64)
		if err == nil {
			out = append(out, x)
		}
	}
	return out
}

// cells of the row of a table that starts with a label, after a heading.
func cells(text, heading, label string) []string {
	_, text, _ = strings.Cut(text, heading)
	for _, line := range strings.Split(text, "\n") {
		parts := regexp.MustCompile(`\s{2,}`).Split(strings.TrimSpace(line), -1)
		if parts[0] == label {
			return parts[1:]
		}
	}
	return nil
}

// bridgeCells are those of a row of the bridges, which may stand in several tables, one
// below the other.
func bridgeCells(text, label string) (all []string) {
	_, text, _ = strings.Cut(text, "\nBRIDGES")
	text, _, _ = strings.Cut(text, "\nPART")
	for _, part := range strings.Split(text, "\nBRIDGES") {
		all = append(all, cells(part, "", label)...)
	}
	return all
}

// says reports whether the k-th number of a cell is v after rounding to four
// digits; what is below a picovolt per volt, or a millionth of a percent, may
// stand as 0 or as a bound.
func says(cell string, k int, v *float64, floor float64) bool {
	if v == nil {
		return strings.HasPrefix(cell, "—")
	}
	n := numbers(cell)
	if len(n) <= k {
		return false
	}
	if strings.HasPrefix(cell, "<") {
		return math.Abs(*v) < n[k]
	}
	if n[k] == 0 {
		return math.Abs(*v) < floor
	}
	return math.Abs(n[k]-*v) <= 6e-3*math.Abs(*v) && (math.Abs(n[k]-*v) <= 6e-4*math.Abs(*v) || strings.Contains(cell, "%"))
}

// Every figure of the text is that of the published result, in its place.
func TestPredictTextIsTheResult(t *testing.T) {
	for name, d := range examples(t) {
		var b bytes.Buffer
		Text{W: &b}.Predict(d)
		text, pub := b.String(), d.Published()
		for _, g := range pub.Grids {
			row := cells(text, "GRIDS", g.ID)
			if len(row) < 3+len(d.Result.Model.Components)+1 {
				t.Fatalf("%s: grid %s: %q", name, g.ID, row)
			}
			for i, v := range []float64{g.Station, g.Around, g.Direction} {
				if n := numbers(row[i]); len(n) != 1 || math.Abs(n[0]-v) > 0.006 {
					t.Errorf("%s: grid %s: %q, want %g", name, g.ID, row[i], v)
				}
			}
			sum := 0.0
			for j, c := range d.Result.Model.Components {
				want := *g.Strain[c.String()]
				sum += math.Abs(want)
				if n := numbers(row[3+j]); len(n) != 1 || math.Abs(n[0]-want) > 0.051 {
					t.Errorf("%s: grid %s, %v: %q, want %g", name, g.ID, c, row[3+j], want)
				}
			}
			if n := numbers(row[len(row)-1]); math.Abs(n[0]-sum) > 0.051 {
				t.Errorf("%s: grid %s: sum %q, want %g", name, g.ID, row[len(row)-1], sum)
			}
		}
		for i, br := range pub.Bridges {
			one := func(label string, k int, v *float64, floor float64) {
				t.Helper()
				row := bridgeCells(text, label)
				if len(row) <= i || !says(row[i], k, v, floor) {
					t.Errorf("%s, bridge %s: %s: %q, want %v", name, br.Name, label, row, show(v))
				}
			}
			one("rated output", 0, br.Rated, 1e-9)
			for c, v := range br.Sensitivity {
				micro := *v * 1e3
				one("sensitivity to "+c, 0, &micro, 1e-6)
			}
			for c, v := range br.Crosstalk {
				one("crosstalk of "+c, 0, v, 1e-4)
			}
			one("nonlinearity", 0, br.Nonlinearity, 1e-4)
			one("zero balance, nominal", 0, br.ZeroBalance.Nominal, 1e-9)
			one("rss, worst of tolerances", 0, br.ZeroBalance.RSS, 1e-9)
			one("rss, worst of tolerances", 1, br.ZeroBalance.Worst, 1e-9)
			one("zero drift", 0, br.ZeroDrift, 1e-4)
			one("zero from gradient", 0, br.ZeroGradient, 1e-4)
			one("span drift", 0, br.SpanDrift, 1e-4)
			for _, s := range br.Shunt {
				label := "shunt " + Text{}.show(s.Ohm, quantity.Resistance) + ", arm " + strconv.Itoa(s.Arm)
				one(label, 0, s.Output, 1e-9)
				one(label, 1, s.Equivalent, 1e-9)
			}
			one("power per grid", 0, pub.Signal[i].Power, 1e-9)
			one("smallest step", 0, pub.Signal[i].Smallest, 1e-9)

			_, part, _ := strings.Cut(text, "bridge "+br.Name+", "+br.Measures+"\n")
			under := func(label string, v *float64) {
				t.Helper()
				if v == nil {
					return
				}
				if row := cells(part, "", label); len(row) == 0 || !says(row[0], 0, v, 1e-4) {
					t.Errorf("%s, bridge %s: %s: %q, want %v", name, br.Name, label, row, show(v))
				}
			}
			under("standard uncertainty", br.Uncertainty.Standard)
			under("expanded, k = 2", br.Uncertainty.Expanded)
			for c, v := range br.Crosstalk95 {
				under("crosstalk of "+c+", 95 %", v)
			}
			under("from the grids' spread alone", br.ZeroSpread)
		}
		whole := func(label string, v *float64) {
			t.Helper()
			if row := cells(text, "PART", label); len(row) == 0 || !says(row[0], 0, v, 1e-9) {
				t.Errorf("%s: %s: %q, want %v", name, label, row, show(v))
			}
		}
		whole("von Mises stress, all rated loads", pub.Strength.VonMises)
		whole("yield over that", pub.Strength.YieldFactor)
		whole("yield over that at overload", pub.Strength.OverloadYield)
		whole("torsional stiffness GJ/l", pub.Stiffness.Torsional)
		whole("axial stiffness EA/l", pub.Stiffness.Axial)
		whole("bending stiffness EI", pub.Stiffness.Bending)
		whole("torsional natural frequency", pub.Stiffness.Frequency)
		for k, c := range pub.Matrix.Measured {
			if pub.Matrix.Inverse == nil {
				continue
			}
			row := cells(text, "MATRIX", c)
			for i := range pub.Matrix.Bridges {
				v := pub.Matrix.Inverse[k][i]
				if len(row) <= i || !says(row[i], 0, v, 1e-6*math.Abs(*pub.Matrix.Inverse[k][k%len(pub.Matrix.Bridges)])) {
					t.Errorf("%s: inverse of %s: %q, want %v", name, c, row, show(v))
				}
			}
		}
	}
}

func show(v *float64) string {
	if v == nil {
		return "—"
	}
	return strconv.FormatFloat(*v, 'g', 6, 64)
}

// The shear columns of `section` stand under their own heads.
func TestSectionColumns(t *testing.T) {
	d := examples(t)["agitator-tube.yaml"].Design
	p, err := profile.Of(d.Part)
	if err != nil {
		t.Fatal(err)
	}
	s := p.Section
	var b bytes.Buffer
	Text{W: &b}.Section(d, p)
	lines := strings.Split(b.String(), "\n")
	var u section.Unit
	checked := 0
	for i, line := range lines {
		parts := regexp.MustCompile(`\s{2,}`).Split(strings.TrimSpace(line), -1)
		if strings.Contains(line, "shear-y") && strings.Contains(line, "torque") {
			if !(strings.Index(line, "torque") < strings.Index(line, "shear-y") && strings.Index(line, "shear-y") < strings.Index(line, "shear-z")) {
				t.Errorf("heads: %q", line)
			}
			continue
		}
		if len(parts) != 6 || i < 3 {
			continue
		}
		s.Surface(s.Around(numbers(parts[0])[0]*math.Pi/180), 0, &u)
		for k, want := range []float64{u[design.Torque].Shear, u[design.ShearY].Shear, u[design.ShearZ].Shear} {
			want *= 1e-6
			if got := numbers(parts[3+k])[0]; math.Abs(got-want) > 1e-3*math.Abs(want)+1e-9 {
				t.Errorf("line %q, column %d: want %g", line, 3+k, want)
			}
		}
		checked++
	}
	if checked != 24 {
		t.Errorf("%d rows checked", checked)
	}
}

func TestZeroRatedLoadHidesNoSensitivity(t *testing.T) {
	text := `gridwright: 1
title: quarter bridge, invented
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 20 mm}}
loads: {axial: {rated: 0 N}, bending-y: {rated: 100 N·m, use: measure}}
gauges: {S: {pattern: single, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2}}
placements: {A: {gauge: S, around: 90°}}
bridges: {By: {measures: bending-y, arms: [A1, 350 Ω, 350 Ω, 350 Ω]}}
`
	d, err := designfile.Read("x.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	x, err := dossier.Of("x.yaml", []byte(text), d)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	Text{W: &b}.Predict(x)
	row := cells(b.String(), "BRIDGES", "sensitivity to axial")
	want := *x.Published().Bridges[0].Sensitivity["axial"] * 1e3
	if want == 0 || len(row) != 1 || !says(row[0], 0, &want, 0) {
		t.Errorf("%q, want %g", row, want)
	}
}

func TestLongWordsAreBroken(t *testing.T) {
	var b bytes.Buffer
	wrap(&b, "  head: ", strings.Repeat("µ", 1000)+" end")
	joined := ""
	for _, line := range strings.Split(b.String(), "\n") {
		if utf8.RuneCountInString(line) > Columns {
			t.Errorf("%d columns", utf8.RuneCountInString(line))
		}
		joined += strings.TrimSpace(line)
	}
	if strings.Count(joined, "µ") != 1000 {
		t.Error("text was lost")
	}
}
