package wrap

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

var lorem = strings.Fields("surface between the collar and the drive flange Ω µε ± φ tube 42.7 mm überall très long_identifier_without_any_break_in_it_at_all_2026_11_02 ≤ × · α")

// randomText of a design, made up to be as awkward as a design file may be.
func randomText(r *rand.Rand) string {
	some := func(p float64) bool { return r.Float64() < p }
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	text := func() string {
		n := []int{4, 12, 40, 200}[r.IntN(4)]
		s := ""
		for len(s) < n {
			s += lorem[r.IntN(len(lorem))] + " "
		}
		q, _ := json.Marshal(strings.TrimSpace(s))
		return string(q)
	}
	var b strings.Builder
	d := math.Exp(between(math.Log(6), math.Log(400)))
	fmt.Fprintf(&b, "gridwright: 1\ntitle: %s\npart:\n", text())
	for _, key := range []string{"number", "drawing", "revision", "date"} {
		if some(0.6) {
			fmt.Fprintf(&b, "  %s: %s\n", key, text())
		}
	}
	fmt.Fprintf(&b, "  material: 42CrMo4+QT\n  section: {shape: round, outside-diameter: %.3f mm}\n", d)
	half := d * between(0.5, 4)
	if some(0.5) {
		fmt.Fprintf(&b, "  straight-length: {from: %.2f mm, to: %.2f mm}\n", -half*between(0.2, 1), half*between(0.2, 1))
	}
	if some(0.4) {
		b.WriteString("  features:\n")
		for range 1 + r.IntN(3) {
			fmt.Fprintf(&b, "    - {name: %s, station: %.1f mm, factor: {torque: 1.4}}\n", text(), between(-half, half))
		}
	}
	fmt.Fprintf(&b, "loads:\n  torque: {rated: %.4g N·m, use: measure}\ngauges:\n", 1e-3*d*d*d)
	kinds := 1 + r.IntN(2)
	for i := range kinds {
		size := d * between(0.02, 0.2)
		pattern := r.IntN(5)
		n := []int{1, 2, 2, 3, 3}[pattern]
		fmt.Fprintf(&b, "  G%d:\n    pattern: %s\n    grid: {length: %.3f mm, width: %.3f mm}\n", i,
			[]string{"single", "tee", "shear-pair", "rectangular-rosette", "delta-rosette"}[pattern], size, size*between(0.3, 1.2))
		if some(0.5) {
			var all []string
			for k := range n {
				all = append(all, fmt.Sprintf("[%.3f mm, %.3f mm]", between(-1, 1)*size/2, (float64(k)-float64(n-1)/2)*size*1.2))
			}
			fmt.Fprintf(&b, "    centres: [%s]\n", strings.Join(all, ", "))
		}
		b.WriteString("    resistance: 350 Ω\n    gauge-factor: 2.07\n")
	}
	b.WriteString("placements:\n")
	for i := range 1 + r.IntN(8) {
		name := fmt.Sprintf("P%c", 'A'+i)
		if some(0.15) {
			name += "_a-name-that-goes-on-and-on-because-it-may"
		}
		fmt.Fprintf(&b, "  %s: {gauge: G%d, station: %.2f mm, around: %.2f°, direction: %.1f°}\n", name, r.IntN(kinds),
			[]float64{0, 0, between(-half, half)}[r.IntN(3)], []float64{0, 90, 359.9, between(-360, 720), between(0, 360)}[r.IntN(5)],
			[]float64{0, 0, 45, 90, between(-180, 180)}[r.IntN(5)])
	}
	if some(0.4) {
		fmt.Fprintf(&b, "pick: {keep-out: [[%.0f°, %.0f°], [%.0f°, %.0f°]]}\n", between(0, 359), between(0, 359), between(0, 359), between(0, 359))
	}
	return b.String()
}

// randomCase is a random design with random options.
func randomCase(t testing.TB, seed uint64) (*dossier.Dossier, Options) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 7))
	text := randomText(r)
	plan, err := designfile.Read("random.yaml", []byte(text))
	if err != nil {
		t.Fatalf("seed %d: %v\n%s", seed, err, text)
	}
	result, err := predict.Of(plan)
	if err != nil {
		t.Fatalf("seed %d: %v\n%s", seed, err, text)
	}
	d := &dossier.Dossier{File: "random.yaml", Digest: strings.Repeat("0123456789abcdef", 4), Design: plan, Result: result}
	o := Options{Paper: []string{"a4", "letter"}[r.IntN(2)], Thickness: []float64{0, 0.05e-3, 0.1e-3, 0.25e-3}[r.IntN(4)], Sys: []quantity.System{quantity.SI, quantity.US}[r.IntN(2)]}
	return d, o
}
