package uncertainty_test

import (
	"reflect"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/uncertainty"
)

func read(t *testing.T, text string) *design.Design {
	t.Helper()
	d, err := designfile.Read("design.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

const bare = `gridwright: 1
title: nothing has a tolerance
part: {material: 42CrMo4+QT, section: {shape: round, outside-diameter: 30 mm}}
loads: {torque: {rated: 100 N·m, use: measure}}
gauges:
  S: {pattern: shear-pair, grid: {length: 3 mm, width: 2 mm}, resistance: [350 Ω ± 0.1 %, 350 Ω], gauge-factor: 2.1, transverse-sensitivity: 0.5 % ± 0 %, gauge-factor-drift: 1 %/100K, stand-off: 0.04 mm}
  Q: {pattern: single, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2.05 ± 0.3 %, thermal-output: {celsius: [0, 0], spread: 0.1 µε/K}}
placements: {A: {gauge: S, around: 0°}, C: {gauge: Q, around: 90°}}
bridges: {T: {measures: torque, arms: [A2, A1, 350 Ω, {value: 350 Ω ± 0.01 %}]}}
assume: common-practice
`

// What the file leaves out is filled in and listed once; what it states, even ± 0, is kept.
func TestAssume(t *testing.T) {
	d := read(t, bare)
	list := uncertainty.Assume(d)
	got := map[string]string{}
	for _, a := range list {
		if a.Source == "" || got[a.Path] != "" {
			t.Errorf("%+v has no source or is listed twice", a)
		}
		got[a.Path] = a.Value
	}
	// the table of materials for 42CrMo4+QT, and the defaults that Assume documents
	want := map[string]string{
		"part.material.youngs-modulus": "± 2.5 % (k=2)", "part.material.poisson-ratio": "± 0.01 (k=2)", "part.material.expansion": "± 0.7 ppm/K (k=2)",
		"part.material.youngs-drift": "± 40 ppm/K (k=2)", "part.material.shear-drift": "± 50 ppm/K (k=2)",
		"gauges.S.gauge-factor": "± 1 % (k=2)", "gauges.S.resistance[1]": "± 0.3 %", "gauges.S.gauge-factor-drift": "± 0.3 %/100K (k=2)",
		"gauges.S.stand-off": "± 50 %", "gauges.S.thermal-output.spread": "0.27 µε/K (k=2)",
		"gauges.Q.resistance": "± 0.3 %", "gauges.Q.transverse-sensitivity": "± 1 %",
		"bridges.T.arms[2]": "± 0.1 %",
	}
	if !reflect.DeepEqual(got, want) {
		for path, v := range want {
			if got[path] != v {
				t.Errorf("%s: assumed %q, want %q", path, got[path], v)
			}
		}
		for path, v := range got {
			if want[path] == "" {
				t.Errorf("%s: %q is assumed", path, v)
			}
		}
	}
	s, q := &d.Gauges[0], &d.Gauges[1]
	near(t, "u(E)", d.Part.Material.Youngs.Standard(), 0.0125*205e9, 1)
	near(t, "gauge factor", s.GaugeFactor[1].Standard(), 0.005*2.1, 1e-12)
	near(t, "resistance that states its own", s.Resistance[0].Tolerance, 0.35, 1e-12)
	near(t, "transverse sensitivity ± 0", s.Transverse[0].Tolerance, 0, 0)
	near(t, "gauge factor that states its own", q.GaugeFactor[0].Tolerance, 0.003*2.05, 1e-12)
	near(t, "spread that is stated", q.Thermal.Spread.SI, 0.1e-6, 1e-18)
	near(t, "diameter", d.Part.Section.Dimensions[0].Tolerance, 0, 0)
	if again := uncertainty.Assume(d); len(again) > 0 {
		t.Errorf("a second time it assumes %v", again)
	}
}

func TestAssumeNothingUnasked(t *testing.T) {
	d := read(t, strings.Replace(bare, "assume: common-practice\n", "", 1))
	before := d.Clone()
	if list := uncertainty.Assume(d); list != nil || !reflect.DeepEqual(d, before) {
		t.Errorf("assumed unasked: %v", list)
	}
}

// A material of the file's own gets what handbooks differ by, but keeps what it states.
func TestAssumeOfOwnMaterial(t *testing.T) {
	d := read(t, strings.Replace(bare, "material: 42CrMo4+QT", "material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3 ± 0.005}", 1))
	uncertainty.Assume(d)
	near(t, "u(E)", d.Part.Material.Youngs.Standard(), 2.5e9, 1)
	near(t, "ν", d.Part.Material.Poisson.Tolerance, 0.005, 1e-15)
}
