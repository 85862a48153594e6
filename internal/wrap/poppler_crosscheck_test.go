//go:build crosscheck

package wrap

import (
	"bytes"
	"image"
	_ "image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
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

// TestReadBack reads the template with other programs: it needs no repair, its
// fonts are embedded, it holds no raster image, its text comes out in Unicode,
// and the upright check bar is 100 mm of pixels in a print of 20 a millimetre.
func TestReadBack(t *testing.T) {
	doc, _, err := Of(example(t, "agitator-tube.yaml"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	var pdf bytes.Buffer
	if err := doc.WritePDF(&pdf); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "wrap.pdf")
	if err := os.WriteFile(file, pdf.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	if out := run(t, "qpdf", "--check", file); !strings.Contains(out, "No syntax or stream encoding errors") {
		t.Error(out)
	}
	for _, line := range strings.Split(strings.TrimSpace(run(t, "pdffonts", file)), "\n")[2:] {
		f := strings.Fields(line) // …, embedded, subset, Unicode, object, generation
		if n := len(f); n < 5 || f[n-5] != "yes" || f[n-3] != "yes" {
			t.Errorf("font %s", line)
		}
	}
	if lines := strings.Split(strings.TrimSpace(run(t, "pdfimages", "-list", file)), "\n"); len(lines) > 2 {
		t.Errorf("raster images: %v", lines[2:])
	}
	text := run(t, "pdftotext", "-layout", file, "-")
	for _, want := range []string{"188.81", "φ = 0", "360° = 0", "+x", "π (D + t)"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q does not come out", want)
		}
	}
	const perMM = 20
	run(t, "pdftoppm", "-r", "508", "-gray", "-png", "-singlefile", file, file)
	f, err := os.Open(file + ".png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	longest, length := 0, 0
	for y := range img.Bounds().Dy() { // up the left margin
		dark := false
		for x := (edge + 2) * perMM; x < (edge+3)*perMM; x++ {
			r, _, _, _ := img.At(int(x), y).RGBA()
			dark = dark || r < 0x8000
		}
		if length++; !dark {
			length = 0
		}
		longest = max(longest, length)
	}
	// The marks at its ends are 0.25 mm wide.
	if got := float64(longest)/perMM - 0.25; math.Abs(got-100) > 0.1 {
		t.Errorf("the upright check bar prints as %.2f mm", got)
	}
}
