package sheet

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/predict"
)

const example = "../../designs/agitator-tube.yaml"

// read makes a dossier of a design's text.
func read(t testing.TB, name string, text []byte) *dossier.Dossier {
	t.Helper()
	d, err := designfile.Read(name, text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	s, err := dossier.Of(name, text, d)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return s
}

func readExample(t testing.TB) *dossier.Dossier {
	t.Helper()
	text, err := os.ReadFile(example)
	if err != nil {
		t.Fatal(err)
	}
	return read(t, filepath.Base(example), text)
}

// TestLook writes the sheet of the example, or of the design that SHEET_DESIGN
// names, into the folder that SHEET_LOOK names, to be looked at.
func TestLook(t *testing.T) {
	folder := os.Getenv("SHEET_LOOK")
	if folder == "" {
		folder = t.TempDir()
	}
	d := readExample(t)
	if name := os.Getenv("SHEET_DESIGN"); name != "" {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		d = read(t, filepath.Base(name), text)
	}
	var pdf bytes.Buffer
	if missing, err := Write(&pdf, d, Options{Paper: os.Getenv("SHEET_PAPER")}); err != nil || len(missing) > 0 {
		t.Fatal(string(missing), err)
	}
	if err := os.WriteFile(filepath.Join(folder, "sheet.pdf"), pdf.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	figures, err := Figures(d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range figures {
		var svg bytes.Buffer
		if err := f.Scene.WriteSVG(&svg); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%s.svg", f.Name)), svg.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	d := readExample(b)
	var pdf bytes.Buffer
	b.ReportAllocs()
	for b.Loop() {
		pdf.Reset()
		if _, err := Write(&pdf, d, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

var a4 = drawing.A4

// predicted predicts a changed design anew.
func predicted(d *dossier.Dossier) (*dossier.Dossier, error) {
	r, err := predict.Of(d.Design)
	if err != nil {
		return nil, err
	}
	return &dossier.Dossier{File: d.File, Digest: d.Digest, Design: d.Design, Result: r}, nil
}
