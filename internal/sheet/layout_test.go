package sheet

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
)

// apart fails where two lines of text overlap or one leaves the rectangle.
func apart(t interface{ Errorf(string, ...any) }, what string, s *drawing.Scene, corner drawing.Point, width, height float64) {
	type box struct {
		drawing.TextBox
		lo, hi drawing.Point
	}
	var all []box
	for _, b := range s.TextBoxes() {
		if !b.Within(corner, width, height) {
			lo, hi := b.Bounds()
			t.Errorf("%s: text %q at %.2f to %.2f leaves its box", what, b.Text, lo, hi)
		}
		lo, hi := b.Bounds()
		all = append(all, box{b, lo, hi})
	}
	slices.SortFunc(all, func(a, b box) int { return cmp.Compare(a.lo.Y, b.lo.Y) })
	for i, a := range all {
		for _, b := range all[i+1:] {
			if b.lo.Y >= a.hi.Y {
				break
			}
			if b.lo.X < a.hi.X && a.lo.X < b.hi.X && a.Overlaps(b.TextBox) {
				t.Errorf("%s: texts %q at %.2f and %q at %.2f overlap", what, a.Text, a.lo, b.Text, b.lo)
			}
		}
	}
}

// TestTextsApart: no two texts of a page overlap and none leaves the frame,
// whatever the design; every page carries its number.
func TestTextsApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		opt := Options{Paper: rapid.SampledFrom([]string{"a4", "letter"}).Draw(t, "paper"), Sys: rapid.SampledFrom([]quantity.System{quantity.SI, quantity.US}).Draw(t, "units")}
		d := randomDossier(t, seed)
		b, err := build(d, opt)
		if err != nil {
			t.Fatal(err)
		}
		if err := b.Doc.Err(); err != nil {
			t.Fatal(err)
		}
		for i, p := range b.Pages {
			what := fmt.Sprintf("seed %d, page %d", seed, i+1)
			apart(t, what, p, drawing.At(10, 8), b.Paper.Width-20, b.Paper.Height-16)
			if want := fmt.Sprintf("%d of %d", i+1, len(b.Pages)); !slices.ContainsFunc(p.TextBoxes(), func(x drawing.TextBox) bool { return x.Text == want }) {
				t.Errorf("%s does not say %q", what, want)
			}
		}
		if m := b.Doc.Missing(); len(m) > 0 {
			t.Errorf("no glyph for %q", string(m))
		}
		figures, err := Figures(d, opt)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range figures {
			apart(t, fmt.Sprintf("seed %d, figure %s", seed, f.Name), f.Scene, drawing.At(-1e-6, -1e-6), f.Scene.Width+2e-6, f.Scene.Height+2e-6)
		}
	})
}

func TestExampleTextsApart(t *testing.T) {
	b, err := build(readExample(t), Options{Work: true})
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range b.Pages {
		apart(t, fmt.Sprintf("page %d", i+1), p, drawing.At(10, 8), b.Paper.Width-20, b.Paper.Height-16)
	}
}

// TestSameBytes: the same dossier gives the same file, and one page more or less
// shows in the title strip.
// TestUncertaintyApart: with the tolerances propagated no texts overlap either, on
// every example, and what the tolerances make of the key figures stands on the
// first page.
func TestUncertaintyApart(t *testing.T) {
	files, err := filepath.Glob("../../designs/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		plan, err := designfile.Read(f, text)
		if err != nil {
			t.Fatal(err)
		}
		plan.Assume = "common-practice"
		d, err := dossier.WithUncertainty(context.Background(), f, text, plan, uncertainty.Options{Trials: 2000, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		for _, paper := range []string{"a4", "letter"} {
			b, err := build(d, Options{Paper: paper, Sys: quantity.US})
			if err != nil {
				t.Fatal(err)
			}
			for i, p := range b.Pages {
				apart(t, fmt.Sprintf("%s %s, page %d", f, paper, i+1), p, drawing.At(10, 8), b.Paper.Width-20, b.Paper.Height-16)
			}
			for i := range d.Result.Bridges {
				want := b.expanded(i)
				if !slices.ContainsFunc(b.Pages[0].TextBoxes(), func(x drawing.TextBox) bool {
					return strings.ReplaceAll(x.Text, "\u00A0", " ") == strings.ReplaceAll(want, "\u00A0", " ")
				}) {
					t.Errorf("%s: the expanded uncertainty %s is not on the first page", f, want)
				}
			}
		}
	}
}

// TestPathDoesNotShow: the same text under another name makes the same bytes.
func TestPathDoesNotShow(t *testing.T) {
	var first bytes.Buffer
	for i, name := range []string{"a.yaml", "/somewhere/else/b.yaml", "-"} {
		d := readExample(t)
		d.File = name
		var pdf bytes.Buffer
		if _, err := Write(&pdf, d, Options{}); err != nil {
			t.Fatal(err)
		}
		if i == 0 {
			first = pdf
		} else if !bytes.Equal(first.Bytes(), pdf.Bytes()) {
			t.Errorf("named %s the sheet has other bytes", name)
		}
	}
}

func TestSameBytes(t *testing.T) {
	for _, opt := range []Options{{}, {Paper: "letter", Sys: quantity.US}} {
		var one, two bytes.Buffer
		if _, err := Write(&one, readExample(t), opt); err != nil {
			t.Fatal(err)
		}
		if _, err := Write(&two, readExample(t), opt); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(one.Bytes(), two.Bytes()) {
			t.Errorf("%+v: two runs differ", opt)
		}
		if bytes.Contains(one.Bytes(), []byte("/Subtype /Image")) {
			t.Errorf("%+v: a raster image in the file", opt)
		}
	}
}

func TestUnknownPaper(t *testing.T) {
	if _, err := Write(&bytes.Buffer{}, readExample(t), Options{Paper: "a3"}); err == nil || !strings.Contains(err.Error(), "a4 or letter") {
		t.Errorf("paper a3: %v", err)
	}
	if _, err := Figures(readExample(t), Options{Paper: "a3"}); err == nil {
		t.Error("figures for paper a3: no error")
	}
}

// TestMissingGlyph: a character that no font has is reported and printed as a box.
func TestMissingGlyph(t *testing.T) {
	d := readExample(t)
	d.Design.Title = "tube 漢 𝄞"
	d.Design.Gauges[0].Lot = "lot 漢"
	missing, err := Write(&bytes.Buffer{}, d, Options{})
	if err != nil || string(missing) != "漢𝄞" {
		t.Errorf("missing %q, %v", string(missing), err)
	}
}
