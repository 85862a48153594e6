package predict_test

import (
	"fmt"
	"math"
	"os"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/predict"
)

const deg = math.Pi / 180

func readText(t rapid.TB, text string) *design.Design {
	t.Helper()
	d, err := designfile.Read("test.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return d
}

func of(t rapid.TB, text string) *predict.Result {
	t.Helper()
	r, err := predict.Of(readText(t, text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return r
}

func near(t rapid.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.15g, want %.15g ± %.2g", what, got, want, tol)
	}
}

func value(t rapid.TB, what string, f predict.Figure) float64 {
	t.Helper()
	if !f.OK() {
		t.Fatalf("%s is missing: %s", what, f.Missing)
	}
	return f.Value
}

// transducer is a design whose geometry can be turned, mirrored and reversed.
type transducer struct {
	outside, bore float64
	extra         string // more keys of the gauges
	leads         string
	toward        float64 // of the temperature gradient
	along         float64
	counter       bool // numbered counterclockwise
	centres       [][2]float64
	places        [][3]float64 // station, around, direction
	arms          [][4]string
	measures      []string
}

// text of the transducer, with gauges of pattern rectangular-rosette named A, B, C, …
func (x transducer) text() string {
	var b strings.Builder
	section := fmt.Sprintf("{shape: round, outside-diameter: %.17g m}", x.outside)
	if x.bore > 0 {
		section = fmt.Sprintf("{shape: round-tube, outside-diameter: %.17g m, inside-diameter: %.17g m}", x.outside, x.bore)
	}
	fmt.Fprintf(&b, "gridwright: 1\ntitle: transducer\npart: {material: {youngs-modulus: 205 GPa, poisson-ratio: 0.29, expansion: 12 ppm/K, youngs-drift: -2.7e-4 1/K, yield: 700 MPa}, section: %s}\n", section)
	b.WriteString("loads: {axial: {rated: 15 kN}, shear-y: {rated: 2 kN}, shear-z: {rated: 3 kN}, torque: {rated: 1200 N·m, use: measure}, bending-y: {rated: 400 N·m, use: measure}, bending-z: {rated: 300 N·m}}\n")
	fmt.Fprintf(&b, "temperature: {reference: 20 °C, range: [-10 °C, 60 °C], gradient: {across: 3 K, toward: %.17g rad, along: %.17g K/m}}\n", x.toward, x.along)
	numbered := "clockwise"
	if x.counter {
		numbered = "counterclockwise"
	}
	var centres []string
	for _, c := range x.centres {
		centres = append(centres, fmt.Sprintf("[%.17g m, %.17g m]", c[0], c[1]))
	}
	fmt.Fprintf(&b, "gauges: {R: {pattern: rectangular-rosette, numbered: %s, grid: {length: 3.2 mm, width: 2.5 mm}, centres: [%s], resistance: 350 Ω, gauge-factor: [2.08, 2.1, 2.08], transverse-sensitivity: [0.9 %%, 0.6 %%, 0.9 %%], gauge-factor-drift: 1 %%/100K, stand-off: 0.05 mm, thermal-output: {celsius: [-30.1, 2.45, -6.3e-2, 3.2e-4, -4.4e-7], for-expansion: 11.3 ppm/K}%s}}\n",
		numbered, strings.Join(centres, ", "), x.extra)
	b.WriteString("placements:\n")
	for i, p := range x.places {
		fmt.Fprintf(&b, "  %c: {gauge: R, station: %.17g m, around: %.17g rad, direction: %.17g rad}\n", 'A'+i, p[0], p[1], p[2])
	}
	b.WriteString("bridges:\n")
	for i, a := range x.arms {
		fmt.Fprintf(&b, "  B%d: {measures: %s, arms: [%s], excitation: 5 V}\n", i, x.measures[i], strings.Join(a[:], ", "))
	}
	b.WriteString(x.leads)
	return b.String()
}

// The order of transducer's loads.
const (
	axial = iota
	shearY
	shearZ
	torque
	bendingY
	bendingZ
	loads
)

// drawTransducer draws three rosettes with a full bridge, a half bridge and a quarter
// bridge of their grids.
func drawTransducer(t *rapid.T) transducer {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	x := transducer{outside: f("D", 0.02, 0.15), toward: f("toward", -4, 4), along: f("along", -20, 20), counter: rapid.Bool().Draw(t, "counter")}
	if rapid.Bool().Draw(t, "tube") {
		x.bore = x.outside * f("d/D", 0.1, 0.95)
	}
	for range 3 {
		x.centres = append(x.centres, [2]float64{f("along", -5e-3, 5e-3), f("across", -5e-3, 5e-3)})
		x.places = append(x.places, [3]float64{f("station", -0.2, 0.2), f("around", -7, 7), f("direction", -2, 2)})
	}
	x.arms = [][4]string{{"A3", "A1", "B3", "B1"}, {"A2", "B2", "350 Ω", "350 Ω"}, {"351 Ω", "C2", "349 Ω", "350 Ω"}}
	x.measures = []string{"torque", "bending-y", "bending-y"}
	if rapid.Bool().Draw(t, "leads") {
		x.leads = "leads: {wires: 4, each: 1 Ω}\n"
	}
	if rapid.Bool().Draw(t, "meter") {
		x.leads += "instrument: {input-resistance: 100 kΩ}\n"
	}
	return x
}

// scale is the usual output of a transducer at rated load, V/V, against which rounding
// is judged.
const scale = 1e-3

// sensible fails when a result holds a figure that is no number.
func sensible(t rapid.TB, r *predict.Result) {
	t.Helper()
	var walk func(v reflect.Value, path string)
	walk = func(v reflect.Value, path string) {
		switch v.Kind() {
		case reflect.Float64:
			if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
				t.Errorf("%s is %v", path, f)
			}
		case reflect.Struct:
			for i := range v.NumField() {
				name := v.Type().Field(i).Name
				if name != "Model" && name != "State" {
					walk(v.Field(i), path+"."+name)
				}
			}
		case reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i), fmt.Sprintf("%s[%d]", path, i))
			}
		}
	}
	walk(reflect.ValueOf(*r), "Result")
}

// tube is a drive tube with two rosettes opposite each other: a full bridge for torque, a
// half bridge for bending. An invented scenario with invented gauge data.
const tube = `gridwright: 1
title: Drive tube, torque and bending
part:
  material: {youngs-modulus: 205 GPa, poisson-ratio: 0.29, expansion: 11.8 ppm/K, youngs-drift: -2.7e-4 1/K, shear-drift: -2.8e-4 1/K, yield: 750 MPa}
  section: {shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.10 mm}
loads:
  torque:    {rated: 1200 N·m, use: measure}
  bending-y: {rated: 400 N·m, use: measure}
  bending-z: {rated: 400 N·m, use: reject}
  axial:     {rated: 15 kN, use: reject}
  shear-z:   {rated: 2 kN, use: reject}
temperature:
  range: [-10 °C, 60 °C]
  gradient: {across: 2 K, toward: 90°, along: 5 K/m}
gauges:
  R:
    pattern: rectangular-rosette
    grid: {length: 3.2 mm, width: 2.5 mm}
    centres: [[0 mm, -3.5 mm], [0 mm, 0 mm], [0 mm, 3.5 mm]]
    resistance: 350 Ω ± 0.2 %%
    gauge-factor: [2.08 ± 0.5 %%, 2.09 ± 0.5 %%, 2.08 ± 0.5 %%]
    gauge-factor-scatter: 0.1 %%
    transverse-sensitivity: [0.9 %%, 0.6 %%, 0.9 %%]
    gauge-factor-drift: 1.2 %%/100K
    stand-off: 0.05 mm ± 0.02 mm
    thermal-output: {celsius: [-30.1, 2.45, -6.3e-2, 3.2e-4, -4.4e-7], for-factor: 2.0, for-expansion: 11.3 ppm/K, spread: 0.15 µε/K}
placements:
  A: {gauge: R, station: 0 mm, around: 90°, direction: 0°}
  B: {gauge: R, station: 0 mm, around: 270°, direction: 0°}
bridges:
  T:  {measures: torque, arms: [%s], excitation: 5 V}
  By: {measures: bending-y, arms: [%s], excitation: 5 V}
leads: {wires: 6, each: 0.4 Ω}
instrument: {noise: 0.5 µV, bandwidth: 100 Hz}
shunt: [%s]
`

// The arms and shunt of tube where a test does not give others.
const (
	torqueArms  = "A3, A1, B3, B1"
	bendingArms = "A2, B2, 350 Ω ± 0.01 %, {value: 350 Ω ± 0.01 %, tcr: 5 ppm/K}"
	oneShunt    = "{resistor: 100 kΩ, arm: 1, at: part}"
)

const agitator = "../../designs/agitator-tube.yaml"

func file(t testing.TB, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func BenchmarkPredict(b *testing.B) {
	d := readText(b, file(b, agitator))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := predict.Of(d); err != nil {
			b.Fatal(err)
		}
	}
}
