//go:build crosscheck

package drawing

import (
	"fmt"
	"image"
	_ "image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// These tests read the PDF back with poppler (pdftotext, pdffonts, pdftoppm)
// and qpdf, which share nothing with the program that wrote it.

func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

func pdfFile(t *testing.T, d *Document) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "drawing.pdf")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := d.WritePDF(f); err != nil {
		t.Fatal(err)
	}
	return name
}

func TestPDFOpensWithoutRepair(t *testing.T) {
	name := pdfFile(t, demoDocument(t))
	if out := run(t, "qpdf", "--check", name); strings.Contains(out, "WARNING") {
		t.Error(out)
	}
	fonts := strings.Split(strings.TrimSpace(run(t, "pdffonts", name)), "\n")[2:]
	if len(fonts) != 4 {
		t.Errorf("%d fonts", len(fonts))
	}
	for _, l := range fonts {
		if !regexp.MustCompile(`Identity-H +yes no +yes`).MatchString(l) {
			t.Errorf("font not embedded or without Unicode: %s", l)
		}
	}
}

func TestEveryTextIsReadBack(t *testing.T) {
	d := demoDocument(t)
	text := run(t, "pdftotext", "-raw", pdfFile(t, d), "-")
	squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
	text = squeeze(text)
	for _, s := range d.pages {
		for _, b := range s.TextBoxes() {
			if !strings.Contains(text, squeeze(b.Text)) {
				t.Errorf("%q is not read back", b.Text)
			}
		}
	}
}

// Words begin and end where Measure and the anchors say.
func TestWordsAreWhereTheirBoxesAre(t *testing.T) {
	d := new(Document)
	s := d.Page(A4)
	want := map[string]TextBox{}
	n := 0
	for _, f := range []Font{Regular, Bold, Italic, Mono} {
		for _, a := range []Align{Left, Centre, Right} {
			for _, l := range []Level{Baseline, Middle, Top} {
				word := fmt.Sprintf("µε·Ωφ±²−%d", n)
				want[word] = s.Text(TextStyle{Font: f, Size: 7 + float64(f), Align: a, Level: l}, At(105, 10+float64(n)*7), word)
				n++
			}
		}
	}
	out := run(t, "pdftotext", "-bbox", pdfFile(t, d), "-")
	words := regexp.MustCompile(`<word xMin="([^"]+)" yMin="([^"]+)" xMax="([^"]+)" yMax="([^"]+)">(.*)</word>`).FindAllStringSubmatch(out, -1)
	if len(words) != len(want) {
		t.Fatalf("%d words, want %d", len(words), len(want))
	}
	for _, w := range words {
		var mm [4]float64
		for i := range mm {
			v, err := strconv.ParseFloat(w[i+1], 64)
			if err != nil {
				t.Fatal(err)
			}
			mm[i] = v * 25.4 / 72
		}
		b, ok := want[w[5]]
		if !ok {
			t.Errorf("word %q", w[5])
			continue
		}
		lo, hi := b.Bounds()
		// Widths in the file are whole thousandths of the type size.
		if !near(mm[0], lo.X, 0.02) || !near(mm[2], hi.X, 0.02) {
			t.Errorf("%q from %.3f to %.3f mm, want %.3f to %.3f", w[5], mm[0], mm[2], lo.X, hi.X)
		}
		if !near(mm[1], lo.Y, 0.3) || !near(mm[3], hi.Y, 0.3) {
			t.Errorf("%q from %.3f to %.3f mm down, want %.3f to %.3f", w[5], mm[1], mm[3], lo.Y, hi.Y)
		}
	}
}

// The ink of a text, turned or not, lies in its box, and reaches its ends.
func TestInkLiesInItsBox(t *testing.T) {
	for _, f := range []Font{Regular, Bold, Italic, Mono} {
		for i := range 8 {
			angle := float64(i) * math.Pi / 4
			d := new(Document)
			d.Add(NewScene(60, 60))
			s := d.pages[0]
			box := s.Text(TextStyle{Font: f, Size: 24, Angle: angle, Align: Centre, Level: Middle}, At(30, 30), "HÄgj,H")
			picture := pixels(t, d, 20)
			var ink, outside int
			lo, hi := math.Inf(1), math.Inf(-1)
			along := box.Corners[0].toward(box.Corners[1])
			picture.each(func(p Point, dark bool) {
				if !dark {
					return
				}
				ink++
				if !box.Overlaps(TextBox{Corners: [4]Point{p, p.plus(At(0.05, 0)), p.plus(At(0.05, 0.05)), p.plus(At(0, 0.05))}}) {
					outside++
				}
				lo, hi = math.Min(lo, p.dot(along)), math.Max(hi, p.dot(along))
			})
			from, to := box.extent(along)
			// H stands off its cell by a tenth of the type size at most.
			const side = 24 * 25.4 / 72 * 0.12
			allowed := 0.004
			if f == Italic {
				allowed = 0.015 // leans out at its end, as TextBox says
			}
			if ink < 1000 || float64(outside) > allowed*float64(ink) || lo-from > side || to-hi > side {
				t.Errorf("font %d at %v rad: %d of %d dark pixels outside; ink %.2f…%.2f, box %.2f…%.2f", f, angle, outside, ink, lo, hi, from, to)
			}
		}
	}
}

// A ring fills its area, its hole is left white.
func TestRingIsPrinted(t *testing.T) {
	d := new(Document)
	d.Add(NewScene(60, 60))
	d.pages[0].Path(Pen{}, Ink, CirclePath(At(30, 30), 20).And(CirclePath(At(30, 30), 10)))
	area := 0.0
	pixels(t, d, 20).each(func(p Point, dark bool) {
		if dark {
			area += 0.05 * 0.05
			if r := p.distance(At(30, 30)); r < 9.9 || r > 20.1 {
				t.Fatalf("ink %v mm from the centre", r)
			}
		}
	})
	if want := math.Pi * 300; math.Abs(area/want-1) > 0.005 {
		t.Errorf("%.1f mm² printed, want %.1f", area, want)
	}
}

type picture struct {
	image.Image
	perMM float64
}

func (p picture) each(visit func(at Point, dark bool)) {
	for y := range p.Bounds().Dy() {
		for x := range p.Bounds().Dx() {
			r, _, _, _ := p.At(x, y).RGBA()
			visit(At((float64(x)+0.5)/p.perMM, (float64(y)+0.5)/p.perMM), r < 0x8000)
		}
	}
}

// pixels prints the first page at so many pixels a millimetre.
func pixels(t *testing.T, d *Document, perMM int) picture {
	t.Helper()
	name := pdfFile(t, d)
	run(t, "pdftoppm", "-r", strconv.FormatFloat(float64(perMM)*25.4, 'f', -1, 64), "-png", "-singlefile", name, name)
	f, err := os.Open(name + ".png")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, _, err := image.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return picture{img, float64(perMM)}
}
