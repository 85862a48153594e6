package variant

import (
	"bytes"
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
)

func open(t testing.TB, name string) *Base {
	t.Helper()
	file := filepath.Join("../../designs", name)
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return read(t, string(text))
}

func read(t testing.TB, text string) *Base {
	t.Helper()
	b, err := Read("design.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

var placed = []string{"agitator-tube.yaml", "winch-shaft.yaml", "press-column.yaml", "test-arm-miswired.yaml"}

// Every quantity of every example is found where it stands, to the byte.
func TestEveryValueIsFound(t *testing.T) {
	for _, name := range placed {
		b := open(t, name)
		if len(b.Paths()) < 20 {
			t.Errorf("%s: %d values only", name, len(b.Paths()))
		}
		for _, path := range b.Paths() {
			v, err := b.Value(path)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			if got := string(b.Text[v.start:v.end]); got != v.Now.Text {
				t.Errorf("%s: %s stands at %q, want %q", name, path, got, v.Now.Text)
			}
		}
	}
}

// figures of a design, all of them, with first-order uncertainties.
func figures(t testing.TB, d *design.Design) []float64 {
	t.Helper()
	p, err := Predict(context.Background(), d, &uncertainty.Options{})
	if err != nil {
		return nil
	}
	var out []float64
	for _, f := range Figures(d) {
		v := f.Of(p)
		if !v.OK() {
			v.Value = math.NaN()
		}
		out = append(out, v.Value)
	}
	return out
}

// A copy with the value set is what the reader makes of the changed text, to the last
// bit of every figure, wherever the maker takes the short way; and what it takes for a
// design the reader takes for one.
func TestCopyAgreesWithReader(t *testing.T) {
	bases := map[string]*Base{}
	for _, name := range placed {
		bases[name] = open(t, name)
	}
	short := 0
	rapid.Check(t, func(r *rapid.T) {
		b := bases[rapid.SampledFrom(placed).Draw(r, "design")]
		v, err := b.Value(rapid.SampledFrom(b.Paths()).Draw(r, "path"))
		if err != nil {
			r.Fatal(err)
		}
		now, err := quantity.Convert(v.Now.SI, v.kinds[0], v.parts.unit)
		if err != nil {
			r.Fatal(err)
		}
		a := &Axis{Value: v, Unit: v.parts.unit, Kind: v.kinds[0], Count: 11}
		size := math.Max(math.Abs(now), 1)
		a.From = now + size*rapid.Float64Range(-1.2, 0).Draw(r, "below")
		a.To = now + size*rapid.Float64Range(0, 2).Draw(r, "above")
		x := a.At(rapid.IntRange(0, 10).Draw(r, "step"))
		m := b.Maker([]*Axis{a})
		made, makeErr := m.Make(a.Put(x))
		want, readErr := b.Read(a.Put(x))
		if (makeErr == nil) != (readErr == nil) {
			r.Fatalf("%s = %s: copy says %v, reader says %v", v.Path, a.Show(x), makeErr, readErr)
		}
		if readErr != nil {
			return
		}
		if m.copy {
			short++
		}
		one, other := figures(t, made), figures(t, want)
		if len(one) != len(other) {
			r.Fatalf("%s = %s: one of both cannot be predicted", v.Path, a.Show(x))
		}
		for i := range one {
			if math.Float64bits(one[i]) != math.Float64bits(other[i]) && !(math.IsNaN(one[i]) && math.IsNaN(other[i])) {
				r.Errorf("%s = %s: figure %s is %v by copy, %v by reader", v.Path, a.Show(x), Figures(want)[i].Key, one[i], other[i])
			}
		}
	})
	if short == 0 {
		t.Error("the short way was never taken, so nothing was compared")
	}
}

// With two values at once the corners decide: a bore may not pass the outside anywhere
// in the box.
func TestMakerLooksAtCorners(t *testing.T) {
	b := open(t, "agitator-tube.yaml")
	axis := func(spec string) *Axis {
		a, err := b.Axis(spec, true)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	inner, outer := "part.section.inside-diameter=", "part.section.outside-diameter="
	for _, c := range []struct {
		axes []string
		copy bool
	}{
		{[]string{inner + "30 mm:50 mm:3"}, true},
		{[]string{inner + "30 mm:60 mm:3"}, false}, // bore = outside
		{[]string{inner + "30 mm:50 mm:3", outer + "51 mm:60 mm:3"}, true},
		{[]string{inner + "30 mm:50 mm:3", outer + "49 mm:60 mm:3"}, false}, // at one corner
		{[]string{"placements.A.direction=0°:45°:3"}, false},
		{[]string{"gauges.R.grid.length=2 mm:4 mm:3"}, false}, // the outline may follow
		{[]string{"part.straight-length.from=-120 mm:120 mm:3"}, false},
		{[]string{"loads.torque.rated=-100 N·m:100 N·m:3"}, false}, // through zero
		{[]string{"loads.torque.rated=100 N·m:200 N·m:3"}, true},
	} {
		var axes []*Axis
		for _, spec := range c.axes {
			axes = append(axes, axis(spec))
		}
		if got := b.Maker(axes).copy; got != c.copy {
			t.Errorf("%v: copy %v, want %v", c.axes, got, c.copy)
		}
	}
}

const small = `gridwright: 1
title: small
part:
  material: {youngs-modulus: 206 GPa, poisson-ratio: 0.3}
  section: {shape: round, outside-diameter: DIAMETER}
loads:
  torque: {rated: 100 N·m, use: measure}
gauges:
  S: {pattern: shear-pair, grid: {length: 1 mm, width: 1 mm}, resistance: 350 Ω, gauge-factor: 2.0 ± 1 %, transverse-sensitivity: 0.4 % ± 0.2 %}
placements:
  A: {gauge: S, around: 0°}
  B: {gauge: S, around: 180°}
bridges:
  T: {measures: torque, arms: [A2, A1, B2, B1]}
`

func withDiameter(text string) string { return strings.Replace(small, "DIAMETER", text, 1) }

// What is written replaces the value and nothing else, however the file spells it; the
// tolerance means after it what it meant before.
func TestWriteKeepsTheRest(t *testing.T) {
	for _, c := range []struct{ text, vary, want string }{
		{withDiameter("40 mm"), "50 mm", "50 mm"},
		{withDiameter("40mm+-0.05mm"), "50 mm", "50 mm +-0.05mm"},
		{withDiameter("40 mm ± 0.05"), "50 mm", "50 mm ± 0.05"},
		{withDiameter("40 mm ± 0.05"), "2 in", "50.8 mm ± 0.05"}, // the tolerance is in the unit of the value
		{withDiameter("40 mm ± 0.02 mm (k=2)"), "5 cm", "50 mm ± 0.02 mm (k=2)"},
		{withDiameter("40 mm ± 1 %"), "50 mm", "50 mm ± 1 %"},
		{withDiameter("40 mm"), "2 in", "2 in"},
		{withDiameter(`"40 mm"`), "50 mm", "50 mm"},
		{withDiameter(`'40 mm ± 0.1 mm'`), "50 mm", "50 mm ± 0.1 mm"},
		{withDiameter("&d 40 mm"), "50 mm", "50 mm"},
		{"\ufeff" + withDiameter("40 mm"), "50 mm", "50 mm"},
		{strings.ReplaceAll(withDiameter("40 mm"), "\n", "\r\n"), "50 mm", "50 mm"},
		{strings.Replace(withDiameter("40 mm"), "title: small", "title: µε — Ω, ö # 40 mm", 1), "50 mm", "50 mm"},
	} {
		b := read(t, c.text)
		a, err := b.Axis("part.section.outside-diameter="+c.vary+":"+c.vary+":1", true)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		got, err := b.Write(a.Put(a.From))
		if err != nil {
			t.Fatal(err)
		}
		v := a.Value
		want := string(b.Text[:v.start]) + c.want + string(b.Text[v.end:])
		if string(got) != want {
			t.Errorf("%s → %s:\n%s\nwant\n%s", v.Now.Text, c.vary, got, want)
		}
		d, err := designfile.Read("x", got)
		if err != nil {
			t.Fatal(err)
		}
		given, err := quantity.Parse(c.vary, quantity.Length)
		if err != nil {
			t.Fatal(err)
		}
		if n := d.Part.Section.Dimensions[0]; math.Abs(n.SI-given.SI) > 1e-15 {
			t.Errorf("%s → %s: reads back as %g m", v.Now.Text, c.vary, n.SI)
		}
	}
}

// An absolute tolerance keeps its size and one in % follows the value, whatever unit
// the value is varied in; of a value in %, ± x % is percentage points.
func TestToleranceStays(t *testing.T) {
	b := read(t, withDiameter("40 mm ± 0.05"))
	for _, c := range []struct {
		spec      string
		tolerance float64 // SI
	}{
		{"part.section.outside-diameter=80 mm:80 mm:1", 0.05e-3},
		{"part.section.outside-diameter=3 in:3 in:1", 0.05e-3},
		{"gauges.S.gauge-factor=4:4:1", 0.04},
		{"gauges.S.transverse-sensitivity=0.8 %:0.8 %:1", 0.002},
		{"gauges.S.transverse-sensitivity=8000 ppm:8000 ppm:1", 0.002},
	} {
		a, err := b.Axis(c.spec, true)
		if err != nil {
			t.Fatal(err)
		}
		d, err := b.Read(a.Put(a.From))
		if err != nil {
			t.Fatal(err)
		}
		found := false
		numbers(d, func(n *design.Number) {
			if n.Place.Path == a.Value.Path {
				found = true
				if math.Abs(n.Tolerance-c.tolerance) > 1e-12*c.tolerance {
					t.Errorf("%s: tolerance %g, want %g", c.spec, n.Tolerance, c.tolerance)
				}
			}
		})
		if !found {
			t.Errorf("%s: no such value afterwards", c.spec)
		}
	}
}

// The messages name the place and the way out.
func TestPathErrors(t *testing.T) {
	b := open(t, "winch-shaft.yaml")
	for path, want := range map[string]string{
		"part.section.outside-diamter":  "did you mean part.section.outside-diameter?",
		"part.sektion.outside-diameter": "did you mean part.section.outside-diameter?",
		"gauges.R.gauge-factor":         "the file has no value",
		"part.section":                  "is not one quantity; vary one of: part.section.outside-diameter",
		"cycles":                        "write it first, such as `cycles: 1e7`",
		"placement-tolerance.around":    "write it first",
		"gauges.S.stand-off-expansion":  "write it first",
		"part.material.youngs-modulus":  "built-in material",
		"title":                         "no value title",
		"":                              "no value",
	} {
		if _, err := b.Value(path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %q", path, err, want)
		}
	}
	tube := open(t, "agitator-tube.yaml")
	for path, want := range map[string]string{
		"gauges.R.transverse-sensitivity": "vary one of: gauges.R.transverse-sensitivity[0], gauges.R.transverse-sensitivity[1]",
		"bridges.By.arms[0]":              "it has: bridges.By.arms[2].value",
		"gauges.R.directions[0]":          "vary the direction of a placement",
		"temperature.range":               "vary one of: temperature.range[0], temperature.range[1]",
	} {
		if _, err := tube.Value(path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %q", path, err, want)
		}
	}
	if v, err := tube.Value("bridges.By.arms[2]"); err != nil || v.Path != "bridges.By.arms[2].value" {
		t.Errorf("a resistor by its arm: %v, %v", v, err)
	}
	aliased := strings.Replace(withDiameter("40 mm"), "grid: {length: 1 mm, width: 1 mm}", "grid: {length: &l 1 mm, width: *l}", 1)
	for _, path := range []string{"gauges.S.grid.length", "gauges.S.grid.width"} {
		if _, err := read(t, aliased).Value(path); err == nil || !strings.Contains(err.Error(), "by an alias") {
			t.Errorf("%s: %v; want the alias named", path, err)
		}
	}
	escaped := withDiameter(`"40\u0020mm"`)
	if _, err := read(t, escaped).Value("part.section.outside-diameter"); err == nil || !strings.Contains(err.Error(), "escapes") {
		t.Errorf("escaped text: %v", err)
	}
	for spec, want := range map[string]string{
		"part.section.outside-diameter":                      "no = between",
		"part.section.outside-diameter=30:50:5":              "missing unit",
		"part.section.outside-diameter=30 mm:50:5":           "missing unit",
		"part.section.outside-diameter=30 N:50 N:5":          `"30 N"`,
		"part.section.outside-diameter=30 mm:50 mm":          "2 parts between colons",
		"part.section.outside-diameter=30 mm:50 mm:0":        "no count",
		"part.section.outside-diameter=30 mm:50 mm:1":        "1 values from",
		"part.section.outside-diameter=30 mm:30 mm:3":        "3 values from",
		"part.section.outside-diameter=30 mm ± 1 mm:50 mm:3": "the tolerance stays",
		"part.section.outside-diameter=30,5 mm:50 mm:3":      "comma",
		"temperature.range[0]=2 K:50 mm:3":                   `"50 mm"`,
	} {
		if _, err := b.Axis(spec, true); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %q", spec, err, want)
		}
	}
	if _, err := b.Axis("part.section.outside-diameter=50 mm:30 mm", false); err == nil || !strings.Contains(err.Error(), "does not ascend") {
		t.Errorf("a range that falls: %v", err)
	}
}

// Every quantity that a file may hold and that can be varied is one of the format's keys,
// so that leaving it out is told from a slip in its name.
func TestKeysAreKnown(t *testing.T) {
	b := read(t, `gridwright: 1
title: everything
part:
  material: {youngs-modulus: 206 GPa, poisson-ratio: 0.3, shear-modulus: 79 GPa, density: 7850 kg/m³, expansion: 11 ppm/K, yield: 600 MPa,
    ultimate: 800 MPa, endurance: 300 MPa, youngs-drift: -270 ppm/K, shear-drift: -270 ppm/K}
  section: {shape: round, outside-diameter: 40 mm}
  straight-length: {from: -80 mm, to: 80 mm}
  speed: 10 rpm
  end-inertias: [0.1 kg·m², 0.2 kg·m²]
loads: {torque: {rated: 100 N·m, use: measure}}
overload: 1.5
cycles: 1e6
temperature: {reference: 20 °C, range: [0 °C, 40 °C], gradient: {across: 1 K, toward: 90°, along: 1 K/m}}
gauges:
  S:
    pattern: shear-pair
    grid: {length: 1 mm, width: 1 mm}
    backing: {length: 5 mm, width: 5 mm}
    resistance: 350 Ω
    gauge-factor: 2.0
    gauge-factor-scatter: 0.1 %
    transverse-sensitivity: 0.4 %
    gauge-factor-drift: 1 %/100K
    stand-off: 0.05 mm
    stand-off-expansion: 60 ppm/K
    stand-off-poisson: 0.35
    thermal-output: {celsius: [0, 1], for-factor: 2.0, for-expansion: 11 ppm/K, spread: 0.1 µε/K}
    power-density: 3 mW/mm²
    max-strain: 1500 µε
placements:
  A: {gauge: S, station: 1 mm, around: 0°, direction: 0.1°}
  B: {gauge: S, station: 1 mm, around: 180°, direction: 0.1°}
placement-tolerance: {station: 0.5 mm, around: 1°, direction: 1°}
bridges: {T: {measures: torque, arms: [A2, A1, B2, B1], excitation: 5 V}}
leads: {wires: 6, each: 0.4 Ω}
instrument: {noise: 0.5 µV, bandwidth: 100 Hz, input-resistance: 1 GΩ, resolution: 0.1 µV}
calibration: {standard-uncertainty: 0.05 %, indicator-resolution: 0.01 µV/V, indicator-uncertainty: 0.01 %}
`)
	if len(b.Paths()) < 60 {
		t.Errorf("%d values only", len(b.Paths()))
	}
	for _, path := range b.Paths() {
		if optional(path) == "" {
			t.Errorf("%s can be varied, but is no key of the format", path)
		}
	}
	for _, path := range []string{"overlod", "part.section", "gauges.S.pattern", "title", "gauges", "temperature.range", "bridges.T.measures"} {
		if s := optional(path); s != "" {
			t.Errorf("%s counts as a quantity, %s", path, s)
		}
	}
}

// Steps are decimal numbers, both ends exact; of equal ratio with log.
func TestSteps(t *testing.T) {
	a := &Axis{From: 30, To: 31, Count: 11}
	var got []float64
	for i := range a.Count {
		got = append(got, a.At(i))
	}
	for i, want := range []float64{30, 30.1, 30.2, 30.3, 30.4, 30.5, 30.6, 30.7, 30.8, 30.9, 31} {
		if got[i] != want {
			t.Errorf("step %d is %v, want %v", i, got[i], want)
		}
	}
	log := &Axis{From: 1, To: 1000, Count: 4, Log: true}
	for i, want := range []float64{1, 10, 100, 1000} {
		if x := log.At(i); x != want {
			t.Errorf("ratio step %d is %v, want %v", i, x, want)
		}
	}
}

// An index finds lines as YAML ends them.
func TestIndexFindsLines(t *testing.T) {
	at := newIndex([]byte("a\r\nb\rc\nd\u2028e"))
	if len(at.lines) != 5 {
		t.Fatalf("%d lines", len(at.lines))
	}
	for line, want := range []string{"a", "b", "c", "d", "e"} {
		if i := at.lines[line]; !bytes.HasPrefix(at.text[i:], []byte(want)) {
			t.Errorf("line %d begins with %q", line+1, at.text[i:])
		}
	}
}
