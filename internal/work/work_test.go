package work

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/uncertainty"
)

func exampleOf(t *testing.T, file string) *dossier.Dossier {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	d, err := designfile.Read(file, text)
	if err != nil {
		t.Fatal(err)
	}
	out, err := dossier.WithUncertainty(context.Background(), file, text, d, uncertainty.Options{Trials: 2000, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestExamples: every formula of every example gives the figure of the prediction.
func TestExamples(t *testing.T) {
	files, err := filepath.Glob("../../designs/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	for _, f := range files {
		all, err := Of(exampleOf(t, f))
		if err != nil {
			t.Errorf("%s: %v", f, err)
			continue
		}
		steps := 0
		for _, c := range all {
			for _, s := range c.Steps {
				steps++
				if s.Source == "" || s.What == "" || s.Symbol == "" || math.IsNaN(s.Result) {
					t.Errorf("%s: %+v lacks a source, words or a number", f, s)
				}
			}
		}
		if steps < 10 {
			t.Errorf("%s: only %d steps", f, steps)
		}
	}
}

// TestEvaluate: the notation of the formulas, against numbers worked by hand.
func TestEvaluate(t *testing.T) {
	with := []Number{{"a", 3, ""}, {"b", 2, ""}, {"R_A1", 350, ""}, {"θ", 0.5, ""}}
	for f, want := range map[string]float64{
		"a^2 − b^2":             5,
		"−a^2":                  -9,
		"a − b − 1":             0,
		"√(a^2 + 16)/b":         2.5,
		"2·π":                   2 * math.Pi,
		"R_A1·(1 + 1e-3)":       350.35,
		"sin(θ)^2 + cos(θ)^2":   1,
		"abs(b − a) + max(a,b)": 4,
		"a/b/b":                 0.75,
	} {
		if got, err := Evaluate(f, with); err != nil || math.Abs(got-want) > 1e-14*math.Abs(want)+1e-15 {
			t.Errorf("%s = %v, %v; want %v", f, got, err, want)
		}
	}
	for _, f := range []string{"a +", "unknown", "a b"} {
		if _, err := Evaluate(f, with); err == nil {
			t.Errorf("%s passes", f)
		}
	}
}

// TestDisagreement: a figure that its formula does not give is refused.
func TestDisagreement(t *testing.T) {
	d := exampleOf(t, "../../designs/agitator-tube.yaml")
	d.Result.Bridges[0].Crosstalk[0].Value += 1e-6
	if _, err := Of(d); err == nil || !strings.Contains(err.Error(), "crosstalk of axial") {
		t.Errorf("a crosstalk that was moved by a millionth: %v", err)
	}
}

// TestVariants: the same for wirings, meters, layers and lots that the examples
// do not have; each line replaces a text of the example.
func TestVariants(t *testing.T) {
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for name, swap := range map[string][2]string{
		"four wires":     {"leads: {wires: 6", "leads: {wires: 4"},
		"four follow":    {"leads: {wires: 6", "leads: {follow: part, wires: 4"},
		"a meter":        {"input-resistance: 1 GΩ", "input-resistance: 20 kΩ"},
		"no meter":       {", input-resistance: 1 GΩ", ""},
		"four, no meter": {"leads: {wires: 6, each: 0.4 Ω}\ninstrument: {noise: 0.5 µV, bandwidth: 100 Hz, input-resistance: 1 GΩ,", "leads: {wires: 4, each: 0.4 Ω}\ninstrument: {noise: 0.5 µV, bandwidth: 100 Hz,"},
		"layer":          {"stand-off: 0.05 mm ± 0.02 mm", "stand-off: 0.05 mm ± 0.02 mm\n    stand-off-expansion: 60 ppm/K"},
		"fahrenheit":     {"{celsius: [", "{fahrenheit: ["},
		"open, turned":   {"around: 90°, direction: 0°", "around: 77°, direction: 13°"},
		"other station":  {"A: {gauge: R, station: 0 mm", "A: {gauge: R, station: 21 mm"},
		"pressure":       {"loads:", "loads:\n  pressure: {rated: 2 MPa, use: reject}"},
		"no range":       {"range: [-10 °C, 60 °C]", ""},
	} {
		changed := strings.Replace(string(text), swap[0], swap[1], 1)
		if swap[0] != swap[1] && changed == string(text) {
			t.Errorf("%s: %q is not in the example", name, swap[0])
			continue
		}
		d, err := designfile.Read(name, []byte(changed))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		s, err := dossier.Of(name, []byte(changed), d)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if _, err := Of(s); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
