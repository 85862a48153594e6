package record

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gridwright/internal/calibration"
	"gridwright/internal/quantity"
)

// TestLook writes the record of the example by each method into the folder that
// RECORD_LOOK names, to be looked at.
func TestLook(t *testing.T) {
	folder := os.Getenv("RECORD_LOOK")
	if folder == "" {
		folder = t.TempDir()
	}
	for _, m := range calibration.Methods {
		r, diag := ofExample(t, calibration.Options{Method: m, SecondOrder: m == calibration.ForceE74}, func(b *bench) {
			b.plan.All = m != calibration.Torque
			if m == calibration.ForceE74 {
				b.gain, b.outlier, b.mirror = 0.05, true, true
			}
		})
		opt := Options{}
		if m == calibration.Torque {
			opt = Options{Paper: "letter", Sys: quantity.US}
		}
		var pdf bytes.Buffer
		missing, err := Write(&pdf, r, diag, opt)
		if err != nil || len(missing) > 0 {
			t.Fatal(string(missing), err)
		}
		if err := os.WriteFile(filepath.Join(folder, string(m)+".pdf"), pdf.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// TestSameBytes: the same result gives the same file, whatever the data file is called.
func TestSameBytes(t *testing.T) {
	for _, opt := range []Options{{}, {Paper: "letter", Sys: quantity.US}} {
		var first bytes.Buffer
		for i, name := range []string{"data.csv", "data.csv", "/somewhere/else/data.csv", "-"} {
			r, diag := ofExample(t, calibration.Options{Method: calibration.Torque}, nil)
			r.Data.File = name
			var pdf bytes.Buffer
			if _, err := Write(&pdf, r, diag, opt); err != nil {
				t.Fatal(err)
			}
			if bytes.Contains(pdf.Bytes(), []byte("/Subtype /Image")) {
				t.Errorf("%+v: a raster image in the file", opt)
			}
			if i == 0 {
				first = pdf
			} else if !bytes.Equal(first.Bytes(), pdf.Bytes()) {
				t.Errorf("%+v: named %s the record has other bytes", opt, name)
			}
		}
	}
}

func TestUnknownPaper(t *testing.T) {
	r, diag := ofExample(t, calibration.Options{}, nil)
	if _, err := Write(&bytes.Buffer{}, r, diag, Options{Paper: "a3"}); err == nil || !strings.Contains(err.Error(), "a4 or letter") {
		t.Errorf("paper a3: %v", err)
	}
}

// TestMissingGlyph: a character that no font has is reported and printed as a box.
func TestMissingGlyph(t *testing.T) {
	r, diag := ofExample(t, calibration.Options{}, nil)
	r.Title = "tube 漢 𝄞"
	missing, err := Write(&bytes.Buffer{}, r, diag, Options{})
	if err != nil || string(missing) != "漢𝄞" {
		t.Errorf("missing %q, %v", string(missing), err)
	}
}

// TestResultUnchanged: writing a record changes nothing in the result.
func TestResultUnchanged(t *testing.T) {
	r, diag := ofExample(t, calibration.Options{Method: calibration.Force376}, nil)
	other, _ := ofExample(t, calibration.Options{Method: calibration.Force376}, nil)
	if _, err := Write(&bytes.Buffer{}, r, diag, Options{Sys: quantity.US}); err != nil {
		t.Fatal(err)
	}
	same(t, calibration.Publish(other), calibration.Publish(r))
}

func BenchmarkWrite(b *testing.B) {
	r, diag := ofExample(b, calibration.Options{Method: calibration.Torque}, nil)
	var pdf bytes.Buffer
	b.ReportAllocs()
	for b.Loop() {
		pdf.Reset()
		if _, err := Write(&pdf, r, diag, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
