package calibration

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gridwright/internal/design"
)

func asCalibrated(t *testing.T) (*Result, *AsCalibrated) {
	t.Helper()
	d := shaft()
	d.Calibration.StandardUncertainty.SI, d.Calibration.StandardUncertainty.Set = 5e-4, true
	d.Calibration.IndicatorResolution.SI, d.Calibration.IndicatorResolution.Set = 1e-8, true
	data := simulated(d, linear, 1e-7, newNoise(8))
	for i := range data.Readings {
		data.Readings[i].Kelvin = 295.15
	}
	r := evaluated(t, d, data, Options{Zero: ZeroNone, Degree: 1, DesignDigest: "ab", DataDigest: "cd", Date: "2026-11-25"})
	a, err := r.AsCalibrated()
	if err != nil {
		t.Fatal(err)
	}
	return r, a
}

// TestFileRoundTrip: what was written is read back, and gives the loads, the inverse and
// the uncertainty of the result.
func TestFileRoundTrip(t *testing.T) {
	r, a := asCalibrated(t)
	var text bytes.Buffer
	if err := a.Write(&text); err != nil {
		t.Fatal(err)
	}
	b, err := ReadAsCalibrated(bytes.NewReader(text.Bytes()), "matrix.json")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(a, b); diff != "" {
		t.Error(diff)
	}
	rec, err := b.Recovery()
	if err != nil {
		t.Fatal(err)
	}
	own := r.Matrix.recovery(r.Design)
	out := []float64{1.3e-3, 0.4e-3}
	got, want := make([]float64, 2), make([]float64, 2)
	if err := rec.Loads(out, got); err != nil {
		t.Fatal(err)
	}
	if err := own.Loads(out, want); err != nil {
		t.Fatal(err)
	}
	u, v := make([]float64, 2), make([]float64, 2)
	rec.Uncertain(got, u)
	own.Uncertain(want, v)
	for j := range want {
		near(t, "load", got[j], want[j], 1e-12)
		// the file's own terms: applied load 0.05 % and what the readings say of the bridge
		extra := math.Hypot(b.Uncertainty[j].Absolute, b.Uncertainty[j].Relative*got[j])
		near(t, "u", u[j], math.Hypot(v[j], extra), 1e-9)
		if b.Uncertainty[j].Relative < 5e-4 {
			t.Errorf("relative term %g without the applied load", b.Uncertainty[j].Relative)
		}
	}
	if s, ok := b.Slope("T", design.Torque); !ok || math.Abs(s/r.Matrix.Sensitivity[0][1]-1) > 1e-12 {
		t.Errorf("slope %g", s)
	}
	if b.Temperature == nil || math.Abs(*b.Temperature-22) > 1e-9 || b.ZeroBalance[0] == nil {
		t.Errorf("temperature %v, zero balance %v", b.Temperature, b.ZeroBalance[0])
	}
	near(t, "zero balance, mV/V", *b.ZeroBalance[0], 0.01, 0.05)
}

// TestFileRefused: every kind of damage has an error that says where.
func TestFileRefused(t *testing.T) {
	_, a := asCalibrated(t)
	var buffer bytes.Buffer
	if err := a.Write(&buffer); err != nil {
		t.Fatal(err)
	}
	text := buffer.String()
	edit := func(f func(m map[string]any)) string {
		var m map[string]any
		if err := json.Unmarshal([]byte(text), &m); err != nil {
			t.Fatal(err)
		}
		f(m)
		out, err := json.Marshal(m)
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	set := func(key string, v any) string { return edit(func(m map[string]any) { m[key] = v }) }
	first := func(m map[string]any, key string) []any { return m[key].([]any)[0].([]any) }
	for want, c := range map[string]string{
		"the file is empty":                     "",
		"the file is cut off":                   text[:len(text)/2],
		"this is no JSON":                       "run,position\n",
		"matrix.json:3:27":                      strings.Replace(text, `"kind": "as-calibrated",`, `"kind": "as-calibrated", "colour": 1,`, 1),
		`unknown key "colour"`:                  set("colour", 1),
		"format 2 is not known":                 set("gridwright", 2),
		`"prediction" is not "as-calibrated"`:   set("kind", "prediction"),
		"it must be mV/V":                       set("output_unit", "V/V"),
		"did you mean torque":                   set("method", "torqe"),
		"unknown zero reduction":                set("zero_reduction", "first"),
		"each name at least one":                set("bridges", []string{}),
		"stands twice":                          set("bridges", []string{"T", "T"}),
		`"twist" is no load`:                    set("components", []string{"axial", "twist", "bending-y"}),
		"did you mean bending-y":                set("components", []string{"axial", "torque", "bending-Y"}),
		"load_units: 1 for 3":                   set("load_units", []string{"N"}),
		"it must be N·m":                        set("load_units", []string{"N", "lbf·in", "N·m"}),
		"sensitivity: 1 rows, it must have 2":   set("sensitivity", [][]float64{{1, 2, 3}}),
		"sensitivity: 2 numbers in row 1":       set("sensitivity", [][]float64{{1, 2}, {1, 2}}),
		"variance 1 is negative":                edit(func(m map[string]any) { first(m, "covariance")[0] = -1.0 }),
		"are not those of a covariance":         edit(func(m map[string]any) { first(m, "residual_covariance")[1] = 1.0 }),
		"inverse: it does not go with":          edit(func(m map[string]any) { first(m, "inverse")[0] = 1.0 }),
		"zero_balance: 1 for 2":                 set("zero_balance", []float64{1}),
		"ranges: that of axial does not ascend": edit(func(m map[string]any) { first(m, "ranges")[0] = 1e9 }),
		"zero_standard: 0 for 2":                set("zero_standard", []float64{}),
		"ranges: 0 for 3":                       set("ranges", [][]float64{}),
		"uncertainty: 0 for 2":                  set("uncertainty", []any{}),
		"is negative or not finite":             edit(func(m map[string]any) { m["uncertainty"].([]any)[0].(map[string]any)["absolute"] = -1.0 }),
		"entry 1 is for":                        edit(func(m map[string]any) { m["uncertainty"].([]any)[0].(map[string]any)["load"] = "axial" }),
		"-400 is no temperature":                set("temperature_celsius", -400),
		"not among components":                  set("measured", []string{"torque", "shear-y"}),
		"second_order.terms":                    set("second_order", map[string]any{"terms": [][]string{{"torque", "shear-z"}}, "coefficients": [][]float64{{1}, {1}}}),
		"second_order.coefficients":             set("second_order", map[string]any{"terms": [][]string{{"torque", "torque"}}, "coefficients": [][]float64{{1, 2}, {1}}}),
		"does not belong here":                  set("bridges", "T"),
		"more text after the end":               text + "{}",
	} {
		if _, err := ReadAsCalibrated(strings.NewReader(c), "matrix.json"); err == nil || !strings.Contains(err.Error(), want) || !strings.HasPrefix(err.Error(), "matrix.json") {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// TestNoInverse: fewer bridges than loads make no file, with the reason.
func TestNoInverse(t *testing.T) {
	d := shaft()
	data := simulated(d, linear, 1e-7, newNoise(8))
	data.HasBridge[1] = false
	d2 := *d
	r := evaluated(t, &d2, data, Options{Zero: ZeroNone})
	if r.Matrix.Inverse != nil || r.Matrix.Condition.OK() {
		t.Errorf("an inverse of one bridge and two loads: %v", r.Matrix.Inverse)
	}
	if _, err := r.AsCalibrated(); err == nil || !strings.Contains(err.Error(), "fewer bridges than loads") {
		t.Error(err)
	}
}
