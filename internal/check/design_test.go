package check

import (
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/predict"
)

// tube is an invented part: 60/40 mm steel with two stacked rosettes opposite
// each other, in a full torque bridge and a half bridge for bending. The round
// figures are for hand calculation.
const tube = `
gridwright: 1
title: invented tube of the tests
part:
  material: {name: invented steel, youngs-modulus: 200 GPa, poisson-ratio: 0.3, density: 7850 kg/m³, expansion: 11 ppm/K, yield: 700 MPa}
  section: {shape: round-tube, outside-diameter: 60 mm, inside-diameter: 40 mm}
  straight-length: {from: -150 mm, to: 150 mm}
loads:
  torque:    {rated: 1000 N·m, use: measure}
  bending-y: {rated: 500 N·m, use: measure}
  bending-z: {rated: 500 N·m, use: reject}
  axial:     {rated: 10 kN, use: reject}
temperature: {range: [0 °C, 40 °C]}
gauges:
  R:
    pattern: rectangular-rosette
    grid: {length: 2 mm, width: 2 mm}
    backing: {length: 6 mm, width: 6 mm}
    resistance: 350 Ω
    gauge-factor: 2
    power-density: 3 mW/mm²
    max-strain: 1500 µε
placement-tolerance: {station: 0.5 mm, around: 1°, direction: 1°}
placements:
  A: {gauge: R, around: 90°}
  B: {gauge: R, around: 270°}
bridges:
  T:  {measures: torque, arms: [A3, A1, B3, B1], excitation: 2 V}
  By: {measures: bending-y, arms: [A2, B2, 350 Ω, 350 Ω], excitation: 2 V}
`

// shaft is an invented part with one grid for each placement.
const shaft = `
gridwright: 1
title: invented shaft of the tests
part:
  material: {name: invented steel, youngs-modulus: 200 GPa, poisson-ratio: 0.3, density: 7850 kg/m³, expansion: 11 ppm/K, yield: 700 MPa}
  section: {shape: round, outside-diameter: 50 mm}
  straight-length: {from: -150 mm, to: 150 mm}
loads:
  bending-y: {rated: 1000 N·m, use: measure}
gauges:
  S: {pattern: single, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2, max-strain: 3000 µε}
placement-tolerance: {station: 0.5 mm, around: 1°, direction: 1°}
placements:
  A: {gauge: S, around: 90°}
  B: {gauge: S, around: 270°}
bridges:
  By: {measures: bending-y, arms: [A1, B1, 350 Ω, 350 Ω]}
`

// column is an invented part under axial force with two opposite tees.
const column = `
gridwright: 1
title: invented column of the tests
part:
  material: {name: invented steel, youngs-modulus: 200 GPa, poisson-ratio: 0.3, density: 7850 kg/m³, expansion: 11 ppm/K, yield: 700 MPa}
  section: {shape: round, outside-diameter: 50 mm}
  straight-length: {from: -150 mm, to: 150 mm}
loads:
  axial:     {rated: 200 kN, use: measure}
  bending-y: {rated: 300 N·m, use: reject}
  bending-z: {rated: 300 N·m, use: reject}
  torque:    {rated: 300 N·m, use: reject}
gauges:
  X: {pattern: tee, grid: {length: 3 mm, width: 3 mm}, resistance: 350 Ω, gauge-factor: 2, max-strain: 1500 µε}
placement-tolerance: {station: 0.5 mm, around: 1°, direction: 1°}
placements:
  A: {gauge: X, around: 0°}
  B: {gauge: X, around: 180°}
bridges:
  N: {measures: axial, arms: [A1, A2, B1, B2]}
`

// with replaces parts of a text, old and new in turn; each old must be there.
func with(t testing.TB, text string, changes ...string) string {
	t.Helper()
	for i := 0; i < len(changes); i += 2 {
		if !strings.Contains(text, changes[i]) {
			t.Fatalf("the text has no %q", changes[i])
		}
		text = strings.ReplaceAll(text, changes[i], changes[i+1])
	}
	return text
}

func read(t testing.TB, text string) *design.Design {
	t.Helper()
	d, err := designfile.Read("test.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return d
}

func judged(t testing.TB, d *design.Design) []Finding {
	t.Helper()
	r, err := predict.Of(d)
	if err != nil {
		t.Fatal(err)
	}
	return Of(r)
}

func example(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// find returns the first finding of a rule at a bridge.
func find(list []Finding, rule, bridge string) *Finding {
	for i := range list {
		if list[i].Rule == rule && list[i].Bridge == bridge {
			return &list[i]
		}
	}
	return nil
}

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)+1e-15
}

// repaired applies a remedy to a copy and asks that the finding is gone and no
// fail is new.
func repaired(t testing.TB, d *design.Design, before []Finding, f *Finding) {
	t.Helper()
	c := d.Clone()
	if err := f.Apply(c); err != nil {
		t.Fatalf("%s %s: remedy %q: %v", f.Rule, f.Bridge, f.Remedy, err)
	}
	after := judged(t, c)
	for i := range after {
		a := &after[i]
		if a.Level != Note && a.same(f) {
			t.Errorf("%s %s: remedy %q leaves %q", f.Rule, f.Bridge, f.Remedy, a.Message)
		}
		if a.Level != Fail || strings.Contains(f.Remedy, "then there is more to cure") {
			continue
		}
		known := false
		for k := range before {
			known = known || before[k].Level == Fail && before[k].same(a)
		}
		if !known {
			t.Errorf("%s %s: remedy %q brings %q", f.Rule, f.Bridge, f.Remedy, a.Message)
		}
	}
}

// The copy that a remedy is tried on must not reach into the design it was made
// from: no slice of the two may share memory.
func TestCloneSharesNothing(t *testing.T) {
	text := with(t, example(t), "lot: invented", "directions: [-45°, 0°, 45°]\n    lot: invented", "pattern: rectangular-rosette", "pattern: custom",
		"direction: 0°}\n  B", "direction: 0°, measured: {resistance: [350 Ω, 350 Ω, 350 Ω]}}\n  B") +
		"\npick: {gauges: [R], keep-out: [[150°, 170°]], stations: [0 mm]}\n"
	d := read(t, text)
	c := d.Clone()
	if !reflect.DeepEqual(d, c) {
		t.Fatal("the copy differs")
	}
	slices := 0
	var walk func(path string, a, b reflect.Value)
	walk = func(path string, a, b reflect.Value) {
		switch a.Kind() {
		case reflect.Pointer, reflect.Map, reflect.Interface, reflect.Func, reflect.Chan:
			t.Fatalf("%s: Clone does not know how to copy a %s", path, a.Kind())
		case reflect.Struct:
			for i := range a.NumField() {
				walk(path+"."+a.Type().Field(i).Name, a.Field(i), b.Field(i))
			}
		case reflect.Array, reflect.Slice:
			if a.Kind() == reflect.Slice && a.Len() > 0 {
				slices++
				if a.Pointer() == b.Pointer() {
					t.Errorf("%s is shared", path)
				}
			}
			for i := range a.Len() {
				walk(path+"[]", a.Index(i), b.Index(i))
			}
		}
	}
	walk("design", reflect.ValueOf(*d), reflect.ValueOf(*c))
	if slices < 17 {
		t.Errorf("the design exercises only %d slices", slices)
	}
}
