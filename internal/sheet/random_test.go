package sheet

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"gridwright/internal/check"
	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/predict"
)

// invented writes random design files: everything in them is made up to be as
// awkward for the sheet as a design file may be.
type invented struct {
	*rand.Rand
	b strings.Builder
}

func (r *invented) printf(format string, args ...any) { fmt.Fprintf(&r.b, format, args...) }

func (r *invented) some(p float64) bool { return r.Float64() < p }

func (r *invented) between(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

var lorem = strings.Fields("surface measured between the collar and the drive flange Ω µε ± φ tube 42.7 mm of-the-second-delivery überall très long_identifier_without_any_break_in_it_at_all_2026_11_02_revision_B ≤ × · α")

// words of about n characters, in the quotes of YAML.
func (r *invented) text(n int) string {
	s := ""
	for len(s) < n {
		s += lorem[r.IntN(len(lorem))] + " "
	}
	if n > 200 && r.some(0.5) {
		s = strings.Replace(s, " the ", "\n", 1) + "\n\nend"
	}
	q, _ := json.Marshal(strings.TrimSpace(s))
	return string(q)
}

// short or long: mostly a few characters, now and then far too many.
func (r *invented) anyText() string {
	return r.text([]int{4, 12, 12, 30, 120, 600}[r.IntN(6)])
}

func (r *invented) name(stem string, i int) string {
	if r.some(0.15) {
		return fmt.Sprintf("%s%d_a-name-that-goes-on-and-on-and-on_because-it-may", stem, i)
	}
	return fmt.Sprintf("%s%c", stem, 'A'+i)
}

// text of a random design with up to eight placements and six bridges.
func randomDesign(seed uint64) []byte {
	r := &invented{Rand: rand.New(rand.NewPCG(seed, 1))}
	d := math.Exp(r.between(math.Log(8), math.Log(400))) // mm
	r.printf("gridwright: 1\ntitle: %s\npart:\n", r.anyText())
	for _, key := range []string{"number", "maker", "serial", "drawing", "revision", "date", "note"} {
		if r.some(0.6) {
			r.printf("  %s: %s\n", key, r.anyText())
		}
	}
	r.printf("  material: %s\n", []string{"42CrMo4+QT", "{name: invented, youngs-modulus: 70 GPa ± 2 %, poisson-ratio: 0.33}"}[r.IntN(2)])
	if r.some(0.5) {
		r.printf("  section: {shape: round, outside-diameter: %.3f mm}\n", d)
	} else {
		r.printf("  section: {shape: round-tube, outside-diameter: %.3f mm ± 0.05 mm, inside-diameter: %.3f mm}\n", d, d*r.between(0.1, 0.95))
	}
	half := d * r.between(0.5, 12)
	if r.some(0.7) {
		r.printf("  straight-length: {from: %.2f mm, to: %.2f mm}\n", -half, half*r.between(0.3, 2))
	}
	if n := r.IntN(7); n > 0 && r.some(0.6) {
		r.printf("  features:\n")
		for range n {
			r.printf("    - {name: %s, station: %.1f mm, factor: {torque: 1.4}}\n", r.anyText(), r.between(-2*half, 2*half))
		}
	}
	r.printf("loads:\n  torque: {rated: %.4g N·m, use: measure}\n", r.between(0.01, 1)*5e6*math.Pow(d/1e3, 3))
	loads := []string{"torque"}
	for _, l := range []string{"axial", "shear-y", "shear-z", "bending-y", "bending-z", "pressure"} {
		if r.some(0.5) {
			loads = append(loads, l)
			unit := map[byte]string{'a': "N", 's': "N", 'b': "N·m", 'p': "bar"}[l[0]]
			most := map[byte]float64{'a': 5e6 * d * d / 1e6, 's': 1e6 * d * d / 1e6, 'b': 3e6 * math.Pow(d/1e3, 3), 'p': 20}[l[0]]
			r.printf("  %s: {rated: %.4g %s, use: %s}\n", l, r.between(0.01, 1)*most, unit, []string{"measure", "reject"}[r.IntN(2)])
		}
	}
	if r.some(0.7) {
		r.printf("temperature: {range: [%.0f °C, %.0f °C], gradient: {across: 2 K, along: 3 K/m}}\n", r.between(-60, 0), r.between(30, 150))
	}
	grids := r.gaugesAndPlacements(d, half)
	r.bridges(grids, loads)
	if r.some(0.5) {
		r.printf("shunt: [{resistor: 100 kΩ, arm: %d, at: instrument}, {resistor: 59 kΩ, arm: 2, at: instrument}]\n", 1+r.IntN(4))
	}
	return []byte(r.b.String())
}

func (r *invented) gaugesAndPlacements(d, half float64) (grids []string) {
	kinds := 1 + r.IntN(3)
	var count []int
	r.printf("gauges:\n")
	for i := range kinds {
		size := d * r.between(0.02, 0.2)
		pattern := r.IntN(6)
		n := []int{1, 2, 2, 3, 3, 1 + r.IntN(5)}[pattern]
		count = append(count, n)
		r.printf("  G%d:\n    pattern: %s\n", i, []string{"single", "tee", "shear-pair", "rectangular-rosette", "delta-rosette", "custom"}[pattern])
		if pattern == 5 {
			var all []string
			for range n {
				all = append(all, fmt.Sprintf("%.1f°", r.between(-90, 90)))
			}
			r.printf("    directions: [%s]\n", strings.Join(all, ", "))
		}
		r.printf("    grid: {length: %.3f mm, width: %.3f mm}\n", size, size*r.between(0.3, 1.2))
		if r.some(0.5) {
			var all []string
			for k := range n {
				all = append(all, fmt.Sprintf("[0 mm, %.3f mm]", (float64(k)-float64(n-1)/2)*size*1.2))
			}
			r.printf("    centres: [%s]\n", strings.Join(all, ", "))
		}
		r.printf("    resistance: %d Ω ± 0.3 %%\n    gauge-factor: 2.07 ± 1 %%\n", []int{120, 350, 1000}[r.IntN(3)])
		if r.some(0.5) {
			r.printf("    thermal-output: {%s: [-30.1, 2.45, -6.3e-2, 3.2e-4, -4.4e-7], spread: 0.15 µε/K}\n", []string{"celsius", "fahrenheit"}[r.IntN(2)])
		}
		if r.some(0.6) {
			r.printf("    lot: %s\n", r.text([]int{10, 80, 900, 4000}[r.IntN(4)]))
		}
	}
	r.printf("placements:\n")
	for i := range 1 + r.IntN(8) {
		name, g := r.name("P", i), r.IntN(kinds)
		around := []float64{0, 90, 180, 270, r.between(-360, 720)}[r.IntN(5)]
		r.printf("  %s: {gauge: G%d, station: %.2f mm, around: %.2f°, direction: %.1f°}\n", name, g,
			[]float64{0, r.between(-half, half)}[r.IntN(2)], around, []float64{0, 45, 90, r.between(-180, 180)}[r.IntN(4)])
		for k := range count[g] {
			grids = append(grids, fmt.Sprintf("%s%d", name, k+1))
		}
	}
	return grids
}

func (r *invented) bridges(grids, loads []string) {
	r.Shuffle(len(grids), func(i, j int) { grids[i], grids[j] = grids[j], grids[i] })
	take := func() string {
		g := grids[0]
		grids = grids[1:]
		return g
	}
	r.printf("bridges:\n")
	wanted := 1 + r.IntN(6)
	for i := 0; i < wanted && len(grids) > 0; i++ {
		wires := []int{0, 2, 3, 4, 6}[r.IntN(5)]
		active := min([]int{1, 2, 4}[r.IntN(3)], len(grids))
		if active == 3 {
			active = 2
		}
		if active == 4 && (wires == 2 || wires == 3) {
			wires = 6
		}
		if active == 2 && wires == 2 {
			wires = 3
		}
		arms := [4]string{}
		for k := range arms {
			arms[k] = fmt.Sprintf("%d Ω ± 0.01 %%", []int{120, 350, 1000}[r.IntN(3)])
		}
		first := r.IntN(4)
		for k := range active {
			arm := take()
			for r.some(0.2) && len(grids) > active {
				arm += ", " + take()
			}
			arms[(first+k)&3] = "[" + arm + "]"
		}
		r.printf("  %s: {measures: %s, arms: [%s]", r.name("B", i), loads[r.IntN(len(loads))], strings.Join(arms[:], ", "))
		if r.some(0.7) {
			r.printf(", excitation: %.1f V", r.between(1, 10))
		}
		if wires > 0 {
			r.printf(", leads: {wires: %d, each: 0.4 Ω, completion: %s}", wires, map[bool]string{true: "instrument", false: "part"}[wires < 4])
		}
		r.printf("}\n")
	}
}

// randomDossier predicts a random design and invents what the check says.
func randomDossier(t interface{ Fatalf(string, ...any) }, seed uint64) *dossier.Dossier {
	text := randomDesign(seed)
	d, err := designfile.Read("random.yaml", text)
	if err != nil {
		t.Fatalf("seed %d: %v\n%s", seed, err, text)
	}
	result, err := predict.Of(d)
	if err != nil {
		t.Fatalf("seed %d: %v\n%s", seed, err, text)
	}
	r := &invented{Rand: rand.New(rand.NewPCG(seed, 2))}
	out := &dossier.Dossier{File: "random.yaml", Digest: strings.Repeat("0123456789abcdef", 4), Design: d, Result: result}
	for range r.IntN(40) {
		f := check.Finding{Level: []check.Level{check.Fail, check.Warning, check.Note}[r.IntN(3)], Rule: "placement-tolerance", Message: r.anyText(), Remedy: r.anyText()}
		if len(result.Bridges) > 0 && r.some(0.5) {
			f.Bridge = result.Bridges[r.IntN(len(result.Bridges))].Name
		}
		out.Findings = append(out.Findings, f)
	}
	return out
}
