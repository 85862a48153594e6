package wrap

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// read predicts a design.
func read(t testing.TB, name, text string) *dossier.Dossier {
	t.Helper()
	plan, err := designfile.Read(name, []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	d, err := dossier.Of(name, []byte(text), plan)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return d
}

func example(t testing.TB, name string) *dossier.Dossier {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("../../designs", name))
	if err != nil {
		t.Fatal(err)
	}
	return read(t, name, string(text))
}

// shaft is an invented shaft of a diameter in mm with gauges at placements.
func shaft(diameter float64, straight string, placements ...string) string {
	size := min(max(diameter/20, 0.8), 6)
	return fmt.Sprintf(`gridwright: 1
title: Invented shaft, torque
part:
  number: SH-1
  material: 42CrMo4+QT
  section: {shape: round, outside-diameter: %g mm}
%sloads:
  torque: {rated: %g N·m, use: measure}
gauges:
  P:
    pattern: shear-pair
    grid: {length: %.3f mm, width: %.3f mm}
    centres: [[0 mm, %.3f mm], [0 mm, %.3f mm]]
    resistance: 350 Ω
    gauge-factor: 2.05
placements:
  %s
bridges:
  T: {measures: torque, arms: [A2, A1, B2, B1], excitation: 5 V}
`, diameter, straight, 1e-2*diameter*diameter*diameter, size, size*0.8, -size*0.9, size*0.9, strings.Join(placements, "\n  "))
}

var pair = []string{"A: {gauge: P, station: 0 mm, around: 90°}", "B: {gauge: P, station: 0 mm, around: 270°}"}

// TestLook writes templates into the folder that WRAP_LOOK names, to be looked at.
func TestLook(t *testing.T) {
	folder := os.Getenv("WRAP_LOOK")
	if folder == "" {
		folder = t.TempDir()
	}
	all := map[string]*dossier.Dossier{"tube": example(t, "agitator-tube.yaml")}
	for _, diameter := range []float64{6, 20, 250, 400} {
		all[fmt.Sprintf("shaft-%g", diameter)] = read(t, "shaft.yaml", shaft(diameter, "", pair...))
	}
	all["seam"] = read(t, "seam.yaml", shaft(40, "  straight-length: {from: -8 mm, to: 300 mm}\n  features: [{name: oil hole, station: 12 mm, factor: {torque: 1.5}}]\n",
		"A: {gauge: P, station: 0 mm, around: 359.9°}", "B: {gauge: P, station: 280 mm, around: 180°, direction: 30°}", "C: {gauge: P, station: 0 mm, around: 180°}")+
		"pick: {keep-out: [[300°, 330°], [350°, 20°]]}\n")
	for name, d := range all {
		for _, o := range []Options{{}, {Paper: "letter", Sys: quantity.US}} {
			doc, warnings, err := Of(d, o)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			t.Logf("%s: %d pages; %s", name, doc.Pages(), strings.Join(warnings, "; "))
			var b bytes.Buffer
			if err := doc.WritePDF(&b); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(folder, name+o.Paper+".pdf"), b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// textsApart fails where two texts of a page overlap or one leaves what printers
// can print.
func textsApart(t *testing.T, what string, b *book) {
	t.Helper()
	for i, p := range b.pages {
		all := p.TextBoxes()
		for k, x := range all {
			if !x.Within(drawing.At(edge, edge), b.paper.Width-2*edge, b.paper.Height-2*edge) {
				lo, hi := x.Bounds()
				t.Errorf("%s, page %d: text %q at %.2f to %.2f leaves the page", what, i+1, x.Text, lo, hi)
			}
			for _, y := range all[k+1:] {
				if x.Overlaps(y) {
					lo, _ := x.Bounds()
					t.Errorf("%s, page %d: texts %q and %q overlap at %.2f", what, i+1, x.Text, y.Text, lo)
				}
			}
		}
	}
}

// TestTextsApart: on no page of 120 random designs do texts overlap or leave the
// page, and all that the design says is printed.
func TestTextsApart(t *testing.T) {
	for seed := range uint64(120) {
		d, o := randomCase(t, 1000+seed)
		b, err := build(d, o)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		textsApart(t, fmt.Sprintf("seed %d", seed), b)
		if m := b.doc.Missing(); len(m) > 0 {
			t.Errorf("seed %d: no glyph for %q", seed, string(m))
		}
	}
}

func TestExamples(t *testing.T) {
	files, err := filepath.Glob("../../designs/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		for _, o := range []Options{{}, {Paper: "letter", Sys: quantity.US}} {
			b, err := build(example(t, filepath.Base(f)), o)
			if err != nil {
				if strings.Contains(err.Error(), "places nothing") {
					continue // an example for pick
				}
				t.Fatalf("%s: %v", f, err)
			}
			textsApart(t, f, b)
		}
	}
}

// said are all texts of a template.
func said(b *book) string {
	var all []string
	for _, p := range b.pages {
		for _, x := range p.TextBoxes() {
			all = append(all, strings.ReplaceAll(x.Text, "\u00a0", " "))
		}
	}
	return strings.Join(all, "\n")
}

// TestExampleSays: the tube of D = 60 mm and paper of 0.1 mm: π · 60.1 mm =
// 188.8097 mm, a quarter of which is 47.2024 mm.
func TestExampleSays(t *testing.T) {
	d := example(t, "agitator-tube.yaml")
	b, err := build(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	text := said(b)
	for _, want := range []string{"188.81 mm", "47.20 mm", "141.61 mm", "60 mm", "0.1 mm", "AG-114", "AG-114-02", "Agitator drive tube, torque and bending",
		"gridwright " + dossier.Version, d.Digest[:12], "+x", "+φ", "φ = 0", "360° = 0", "A 90°", "B 270°", "station 0", "1 of 1",
		"cut; this edge toward +x", "cut; this edge toward −x", "glue: under the other end", "by 0.17 % than"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q does not stand on the template", want)
		}
	}
	if len(b.warnings) > 0 {
		t.Errorf("warnings: %q", b.warnings)
	}
	// The same in US units: 1 in = 25.4 mm (NIST SP 811, app. B.8).
	if b, err = build(d, Options{Sys: quantity.US, Thickness: 0.254e-3}); err != nil {
		t.Fatal(err)
	}
	text = said(b)
	for _, want := range []string{"2.3622 in", "0.01 in", fmt.Sprintf("%.3f in", math.Pi*(60+0.254)/25.4), "measure: must be 100 mm (3.937 in)"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q does not stand on the template in US units", want)
		}
	}
	if strings.Contains(strings.ReplaceAll(text, "100 mm", ""), " mm") {
		t.Error("millimetres in a template in US units")
	}
}

// TestSameBytes: the same design gives the same file, whatever its file is called.
func TestSameBytes(t *testing.T) {
	var first []byte
	for _, name := range []string{"a.yaml", "b.yaml", "-"} {
		d := example(t, "agitator-tube.yaml")
		d.File = name
		doc, _, err := Of(d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		var pdf bytes.Buffer
		if err := doc.WritePDF(&pdf); err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = pdf.Bytes()
		} else if !bytes.Equal(first, pdf.Bytes()) {
			t.Errorf("named %s the template has other bytes", name)
		}
	}
}

func TestErrors(t *testing.T) {
	ok := read(t, "shaft.yaml", shaft(60, "", pair...))
	for _, c := range []struct {
		name string
		d    *dossier.Dossier
		o    Options
		want string
	}{
		{"paper", ok, Options{Paper: "a3"}, "a4 or letter"},
		{"negative thickness", ok, Options{Thickness: -1e-4}, "between 0 and 1 mm"},
		{"thickness in mm", ok, Options{Thickness: 0.1}, "between 0 and 1 mm"},
		{"thickness NaN", ok, Options{Thickness: math.NaN()}, "between 0 and 1 mm"},
		{"too large", read(t, "drum.yaml", shaft(20000, "", pair...)), Options{}, "more than 60 pages"},
		{"nothing placed", emptied(ok), Options{}, "places nothing"},
		{"nothing placed on a box", emptied(predictedText(t, angle)), Options{}, "places nothing"},
	} {
		if _, _, err := Of(c.d, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func emptied(d *dossier.Dossier) *dossier.Dossier {
	c, plan := *d, *d.Design
	plan.Placements = nil
	c.Design = &plan
	return &c
}

func TestWarnings(t *testing.T) {
	d := read(t, "seam.yaml", shaft(40, "  straight-length: {from: -1 mm, to: 300 mm}\n",
		"A: {gauge: P, station: 0 mm, around: 359.9°}", "B: {gauge: P, station: 290 mm, around: 180°}"))
	d.Design.Title = "shaft 漢"
	_, warnings, err := Of(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(warnings, "\n")
	for _, want := range []string{"the seam at φ = 0 cuts the outline of A", "strip 1 reaches past the straight length", "there are 2", `"漢"`} {
		if !strings.Contains(text, want) {
			t.Errorf("no warning of %q in %q", want, warnings)
		}
	}
	// Measured places are drawn, not planned ones.
	m := read(t, "m.yaml", shaft(40, "", "A: {gauge: P, station: 0 mm, around: 90°, measured: {station: 1 mm, around: 45°}}", "B: {gauge: P, station: 0 mm, around: 270°}"))
	b, err := build(m, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if text := said(b); !strings.Contains(text, "A 45°") || strings.Contains(text, "A 90°") || !strings.Contains(text, "station +1.00 mm") {
		t.Error("the template does not show where a gauge was found")
	}
}

// TestLongNames: what long names differ by is left of them, and they fit.
func TestLongNames(t *testing.T) {
	stem := "a-name-that-goes-on-and-on-because-it-may-"
	seen := map[string]bool{}
	for _, end := range []string{"A1", "A2", "B1", "B2"} {
		fitted, size := shorten(stem+end, drawing.Regular, 7, 5, 20)
		w, _, _ := drawing.Measure(fitted, drawing.Regular, size)
		if !strings.HasSuffix(fitted, end) || !strings.HasPrefix(fitted, "a-name") || w > 20 || seen[fitted] {
			t.Errorf("%s became %q, %.1f mm wide", stem+end, fitted, w)
		}
		seen[fitted] = true
	}
	if fitted, size := shorten("A1", drawing.Regular, 7, 5, 20); fitted != "A1" || size != 7 {
		t.Errorf("A1 became %q", fitted)
	}
	text := said(buildShaft(t, "tail: {gauge: P, station: 0 mm, around: 90°}", stem+"A: {gauge: P, station: 0 mm, around: 200°}"))
	for _, want := range []string{"ay-A1", "ay-A2", "may-A 200°", "tail 90°"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q does not stand on the template", want)
		}
	}
}

func buildShaft(t *testing.T, placements ...string) *book {
	t.Helper()
	text := shaft(60, "", placements...)
	text = text[:strings.Index(text, "bridges:")] // whose grids have other names
	plan, err := designfile.Read("shaft.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	result, err := predict.Of(plan)
	if err != nil {
		t.Fatal(err)
	}
	b, err := build(&dossier.Dossier{Design: plan, Result: result}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// BenchmarkOf is the price of the template of the main example.
func BenchmarkOf(b *testing.B) {
	d := example(b, "agitator-tube.yaml")
	for b.Loop() {
		doc, _, err := Of(d, Options{})
		if err != nil {
			b.Fatal(err)
		}
		if err := doc.WritePDF(new(bytes.Buffer)); err != nil {
			b.Fatal(err)
		}
	}
}
