package record

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"gridwright/internal/calibration"
	"gridwright/internal/diagnosis"
	"gridwright/internal/drawing"
	"gridwright/internal/quantity"
)

func same(t *testing.T, want, got any) {
	t.Helper()
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// apart fails where two lines of text overlap or one leaves the frame.
func apart(t interface{ Errorf(string, ...any) }, what string, s *drawing.Scene, width, height float64) {
	type box struct {
		drawing.TextBox
		lo, hi drawing.Point
	}
	var all []box
	for _, b := range s.TextBoxes() {
		lo, hi := b.Bounds()
		if !b.Within(drawing.At(10, 8), width-20, height-16) {
			t.Errorf("%s: text %q at %.2f to %.2f leaves the frame", what, b.Text, lo, hi)
		}
		all = append(all, box{b, lo, hi})
	}
	slices.SortFunc(all, func(a, b box) int {
		switch {
		case a.lo.Y < b.lo.Y:
			return -1
		case a.lo.Y > b.lo.Y:
			return 1
		}
		return 0
	})
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

func pagesApart(t interface{ Errorf(string, ...any) }, what string, b *book) {
	if err := b.Doc.Err(); err != nil {
		t.Errorf("%s: %v", what, err)
	}
	for i, p := range b.Pages {
		page := fmt.Sprintf("%s, page %d", what, i+1)
		apart(t, page, p, b.Paper.Width, b.Paper.Height)
		if want := fmt.Sprintf("%d of %d", i+1, len(b.Pages)); !slices.ContainsFunc(p.TextBoxes(), func(x drawing.TextBox) bool { return x.Text == want }) {
			t.Errorf("%s does not say %q", page, want)
		}
		for _, x := range p.TextBoxes() {
			if strings.Contains(x.Text, "NaN") || strings.Contains(x.Text, "Inf") || strings.Contains(x.Text, "%!") {
				t.Errorf("%s says %q", page, x.Text)
			}
		}
	}
	if m := b.Doc.Missing(); len(m) > 0 {
		t.Errorf("%s: no glyph for %q", what, string(m))
	}
}

// TestTextsApart: no two texts of a page overlap and none leaves the frame, whatever
// was calibrated and whatever is missing.
func TestTextsApart(t *testing.T) {
	randomApart(t, 0, 16)
}

// randomApart lays out the random calibrations of a range of seeds.
func randomApart(t *testing.T, from, to uint64) {
	t.Helper()
	carried := uint64(0)
	for seed := from; seed < to; seed++ {
		r, err := randomResult(t, seed)
		if err != nil {
			continue // readings that carry no evaluation: the reader's and calibration's own tests
		}
		carried++
		var diag *diagnosis.Diagnosis
		if seed%4 == 0 {
			diag = diagnosed(t, r)
		}
		opt := Options{Paper: []string{"a4", "letter"}[seed%2], Sys: []quantity.System{quantity.SI, quantity.US}[seed/2%2]}
		b, err := build(r, diag, opt)
		if err != nil {
			t.Fatal(err)
		}
		pagesApart(t, fmt.Sprintf("seed %d", seed), b)
		unbroken(t, fmt.Sprintf("seed %d", seed), b)
	}
	if carried*2 < to-from {
		t.Errorf("only %d of %d random calibrations could be evaluated", carried, to-from)
	}
}

// unbroken fails where a number of the tables of data, matrix or comparison does not
// stand on one line: broken in two it is another number.
func unbroken(t *testing.T, what string, b *book) {
	t.Helper()
	texts := map[string]bool{}
	for _, list := range chapters(b) {
		for _, s := range list {
			texts[s] = true
		}
	}
	want := func(cell string) {
		first, _, _ := strings.Cut(strings.ReplaceAll(cell, "\u00A0", " "), " (") // SI goes below it
		if !texts[first] {
			t.Errorf("%s: %q does not stand on one line", what, first)
		}
	}
	head, tail := abridged(len(b.r.Data.Readings), mostReadings)
	for i := range b.r.Data.Readings {
		if i >= head && i < tail {
			continue
		}
		r := &b.r.Data.Readings[i]
		for _, k := range b.r.Matrix.Bridges {
			want(b.output(r.Outputs[k]))
		}
		for j, v := range r.Loads {
			if b.r.Data.HasLoad[j] {
				want(b.bareLoad(v, b.r.Data.Components[j]))
			}
		}
	}
	m := b.r.Matrix
	for k := range m.Bridges {
		for n := range m.Components {
			want(b.slope(m.Standard[k][n], b.component(n), 2))
		}
		for row, n := range m.Measured {
			if m.Inverse != nil {
				want(b.inverse(m.Inverse[row][k], b.component(n), 1, 6))
			}
		}
	}
	for i := range b.r.Bridges {
		for k := range b.r.Bridges[i].Steps {
			want(b.bareLoad(b.r.Bridges[i].Steps[k].Load, b.r.Bridges[i].Load))
		}
	}
}

// TestExampleApart: the same for the example by every method, papers and units.
func TestExampleApart(t *testing.T) {
	for _, m := range calibration.Methods {
		r, diag := ofExample(t, calibration.Options{Method: m}, nil)
		for _, opt := range []Options{{}, {Paper: "letter"}, {Sys: quantity.US}, {Paper: "letter", Sys: quantity.US}} {
			b, err := build(r, diag, opt)
			if err != nil {
				t.Fatal(err)
			}
			pagesApart(t, fmt.Sprintf("%s %+v", m, opt), b)
		}
	}
}
