package record

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
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

// TestManyReadings: of more than 600 readings the first and the last are printed, and
// where the rest is.
func TestManyReadings(t *testing.T) {
	r, diag := ofExample(t, calibration.Options{}, nil)
	one := r.Data.Readings
	for len(r.Data.Readings) < 25_000 {
		r.Data.Readings = append(r.Data.Readings, one...)
	}
	n := len(r.Data.Readings)
	for i := range r.Data.Readings {
		r.Data.Readings[i].Line = 100_000 + i
	}
	for i := range r.Bridges { // as many points in the plots
		f := r.Bridges[i].Fitted
		for len(r.Bridges[i].Fitted) < n {
			r.Bridges[i].Fitted = append(r.Bridges[i].Fitted, f...)
		}
	}
	b, err := build(r, diag, Options{})
	if err != nil {
		t.Fatal(err)
	}
	pagesApart(t, "many", b)
	texts := chapters(b)['2']
	lines := map[string]bool{}
	for _, s := range texts {
		lines[s] = true
	}
	for i := range n {
		if want := i < 300 || i >= n-300; lines[strconv.Itoa(100_000+i)] != want {
			t.Fatalf("reading %d of %d: printed %t", i+1, n, !want)
		}
	}
	all := strings.Join(texts, " ")
	for _, want := range []string{fmt.Sprintf("The first 300 and the last 300 of %d readings", n), r.Options.DataDigest} {
		if !strings.Contains(all, want) {
			t.Errorf("%q is not said", want)
		}
	}
	if len(b.Pages) > 40 {
		t.Errorf("%d pages", len(b.Pages))
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
