//go:build crosscheck

package sheet

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// run runs a program of Debian's poppler-utils or qpdf; a missing one fails.
func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

// TestReadBack reads the sheet with other programs: it needs no repair, its size
// is that of the paper, its fonts are embedded, it holds no raster image, and its
// text comes out in Unicode.
func TestReadBack(t *testing.T) {
	for paper, size := range map[string]string{"a4": "595.28 x 841.89", "letter": "612 x 792"} {
		var pdf bytes.Buffer
		if _, err := Write(&pdf, readExample(t), Options{Paper: paper}); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "sheet.pdf")
		if err := os.WriteFile(file, pdf.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		if out := run(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
			t.Errorf("%s: %s", paper, out)
		}
		if out := run(t, "pdfinfo", file); !strings.Contains(out, size) || !strings.Contains(out, "Agitator drive tube, torque and bending") {
			t.Errorf("%s: want %s in\n%s", paper, size, out)
		}
		for _, line := range strings.Split(strings.TrimSpace(run(t, "pdffonts", file)), "\n")[2:] {
			f := strings.Fields(line) // …, embedded, subset, Unicode, object, generation
			if n := len(f); n < 5 || f[n-5] != "yes" || f[n-3] != "yes" {
				t.Errorf("%s: font %s", paper, line)
			}
		}
		if lines := strings.Split(strings.TrimSpace(run(t, "pdfimages", "-list", file)), "\n"); len(lines) > 2 {
			t.Errorf("%s: raster images: %v", paper, lines[2:])
		}
		text := run(t, "pdftotext", "-layout", file, "-")
		for _, want := range []string{"Ω", "µε", "φ", "±", "N·m", "×", "mm⁴", "Poisson's ratio ν"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: %q does not come out", paper, want)
			}
		}
	}
}

var aNumber = regexp.MustCompile(`[−-]?[0-9]+(?:\.[0-9]+)?(?:e-?[0-9]+)?`)

// TestFiguresReadBack: the figures of the published result, read back from the
// PDF file by another program, are equal after rounding.
func TestFiguresReadBack(t *testing.T) {
	d := propagatedExample(t)
	for _, paper := range []string{"a4", "letter"} {
		var pdf bytes.Buffer
		if _, err := Write(&pdf, d, Options{Paper: paper}); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "sheet.pdf")
		if err := os.WriteFile(file, pdf.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(run(t, "pdftotext", "-layout", file, "-"), "\u00A0", " ")
		var pieces []string // from each number to the end of its line, after the spaces that columns leave
		for _, line := range strings.Split(text, "\n") {
			for _, at := range aNumber.FindAllStringIndex(line, -1) {
				piece, _, _ := strings.Cut(line[at[0]:], "  ")
				pieces = append(pieces, strings.TrimSpace(piece), line[at[0]:at[1]])
			}
		}
		said := func(v float64, unit string) bool { return says(pieces, v, unit) }
		everyFigure(t, d, said)
		if said(123.45, "mV/V") {
			t.Error("the comparison finds what is not there")
		}
	}
}
