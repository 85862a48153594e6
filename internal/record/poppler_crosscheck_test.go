//go:build crosscheck

package record

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gridwright/internal/calibration"
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

// TestReadBack reads the record with other programs: it needs no repair, its size is
// that of the paper, its fonts are embedded, it holds no raster image and an outline,
// and the figures that they read are those of the published result.
func TestReadBack(t *testing.T) {
	for paper, size := range map[string]string{"a4": "595.28 x 841.89", "letter": "612 x 792"} {
		for _, m := range calibration.Methods {
			r, diag := ofExample(t, calibration.Options{Method: m}, nil)
			var pdf bytes.Buffer
			if _, err := Write(&pdf, r, diag, Options{Paper: paper}); err != nil {
				t.Fatal(err)
			}
			file := filepath.Join(t.TempDir(), "record.pdf")
			if err := os.WriteFile(file, pdf.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			if out := run(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
				t.Errorf("%s: %s", paper, out)
			}
			if out := run(t, "pdfinfo", file); !strings.Contains(out, size) || !strings.Contains(out, r.Title) || !strings.Contains(out, "record of a transducer calibration") {
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
			if out := run(t, "qpdf", "--qdf", "--object-streams=disable", file, "-"); !strings.Contains(out, "/Outlines") {
				t.Errorf("%s: no outline", paper)
			}
			texts := map[byte][]string{}
			head := regexp.MustCompile(`^\s*([1-8])  ?[A-Z]`)
			for _, page := range strings.Split(run(t, "pdftotext", "-layout", file, "-"), "\f") {
				if h := head.FindStringSubmatch(page); h != nil {
					texts[h[1][0]] = append(texts[h[1][0]], strings.Fields(strings.ReplaceAll(page, "\u00A0", " "))...)
				}
			}
			for n, list := range texts {
				texts[n] = append(list, strings.Join(list, " "))
			}
			everyFigure(t, string(m)+" "+paper, r, diag, texts)
		}
	}
}

// TestManyTextsApart lays out more random calibrations than the quick test.
func TestManyTextsApart(t *testing.T) { randomApart(t, 16, 300) }
