package pick

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
)

// Parts, gauges and loads of the tests are invented.
const (
	tube  = "{shape: round-tube, outside-diameter: 60 mm, inside-diameter: 44 mm}"
	shaft = "{shape: round, outside-diameter: 30 mm}"
)

var gaugeTexts = map[string]string{
	"single":  "pattern: single, grid: {length: 3 mm, width: 2.5 mm}, resistance: 350 Ω, gauge-factor: 2.1, transverse-sensitivity: 0.5 %",
	"tee":     "pattern: tee, grid: {length: 3 mm, width: 2.5 mm}, resistance: 350 Ω, gauge-factor: [2.1, 2.1], transverse-sensitivity: 0.5 %",
	"pair":    "pattern: shear-pair, grid: {length: 3 mm, width: 2.5 mm}, resistance: 350 Ω, gauge-factor: 2.08, stand-off: 0.05 mm",
	"rosette": "pattern: rectangular-rosette, grid: {length: 3 mm, width: 2.5 mm}, centres: [[0 mm, -3.5 mm], [0 mm, 0 mm], [0 mm, 3.5 mm]], backing: {length: 9 mm, width: 11 mm}, resistance: 350 Ω, gauge-factor: [2.08, 2.09, 2.08], transverse-sensitivity: [0.9 %, 0.6 %, 0.9 %], stand-off: 0.05 mm",
}

// text writes a design file: section, loads ("torque: 100 N·m measure"), gauges,
// and what else stands in it.
func text(section string, loads []string, gauges []string, more string) string {
	var b strings.Builder
	b.WriteString("gridwright: 1\ntitle: Invented test part\npart:\n  material: {name: invented steel, youngs-modulus: 205 GPa, poisson-ratio: 0.29, expansion: 11.5 ppm/K, yield: 600 MPa}\n")
	fmt.Fprintf(&b, "  section: %s\nloads:\n", section)
	for _, l := range loads {
		f := strings.Fields(l)
		fmt.Fprintf(&b, "  %s {rated: %s %s, use: %s}\n", f[0], f[1], f[2], f[3])
	}
	b.WriteString("gauges:\n")
	for _, g := range gauges {
		fmt.Fprintf(&b, "  %s: {%s}\n", g, gaugeTexts[g])
	}
	b.WriteString(more)
	return b.String()
}

func read(t testing.TB, text string) *design.Design {
	t.Helper()
	d, err := designfile.Read("test.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return d
}

func find(t testing.TB, d *design.Design, opt Options) *Outcome {
	t.Helper()
	out, err := Search(context.Background(), d, opt)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// winner returns the first candidate, which has to meet the requirements.
func winner(t testing.TB, text string) *Candidate {
	t.Helper()
	out := find(t, read(t, text), Options{})
	if !out.Met || len(out.Candidates) == 0 {
		t.Fatalf("nothing meets the requirements: %s", out.Nearest)
	}
	return &out.Candidates[0]
}

// angles of the placements, degrees.
func angles(d *design.Design) []float64 {
	var a []float64
	for _, p := range d.Placements {
		a = append(a, math.Round(p.Around.SI/deg*1e6)/1e6)
	}
	return a
}

// arms of a bridge in the words of a design file.
func arms(d *design.Design, bridge string) string {
	for _, b := range designfile.Describe(d).Bridges {
		if b.Name == bridge {
			return strings.Join(b.Arms, ", ")
		}
	}
	return "no bridge " + bridge
}

func expect[T comparable](t testing.TB, what string, got, want T) {
	t.Helper()
	if got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}
