//go:build crosscheck

package drawing

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"testing"
)

// The picture of a scene is what poppler makes of its PDF: pens, fills, dashes,
// curves, texts in all four fonts and a plot. Poppler prints at four times the
// resolution and its pixels are averaged, so that how either smooths edges and
// fits letters to pixels counts little.
func TestPNGLooksLikePDF(t *testing.T) {
	const perMM, fine = 10, 4
	fonts := NewScene(100, 60)
	for i, f := range []Font{Regular, Bold, Italic, Mono} {
		fonts.Text(TextStyle{Font: f, Size: 14, Angle: float64(i) * 0.2}, At(10, 20+float64(i)*10), "Ω µε ±45° gÄj")
	}
	for name, s := range map[string]*Scene{"figure": demoFigure(), "plot": demoPlot(t), "fonts": fonts} {
		d := new(Document)
		d.Add(s)
		want := pixels(t, d, perMM*fine)
		got, err := png.Decode(bytes.NewReader(pngOf(t, s, perMM*25.4)))
		if err != nil {
			t.Fatal(err)
		}
		if g, w := got.Bounds().Size(), want.Bounds().Size().Div(fine); abs(g.X-w.X) > 1 || abs(g.Y-w.Y) > 1 {
			t.Fatalf("%s: %v pixels, poppler %v", name, g, w)
		}
		size := want.Bounds().Size().Div(fine)
		grey := func(x, y int, img interface{ At(x, y int) color.Color }) float64 {
			return float64(color.Gray16Model.Convert(img.At(x, y)).(color.Gray16).Y) / 0xFFFF
		}
		// Blocks of 5 × 5 pixels, half a millimetre: an edge that is smoothed in
		// another way moves no ink from one to the next.
		const block = 5
		sum, ink, worst := 0.0, 0.0, 0.0
		for by := 0; by+block <= size.Y; by += block {
			for bx := 0; bx+block <= size.X; bx += block {
				difference := 0.0
				for y := by; y < by+block; y++ {
					for x := bx; x < bx+block; x++ {
						g, w := grey(x, y, got), 0.0
						for i := range fine * fine {
							w += grey(x*fine+i%fine, y*fine+i/fine, want) / (fine * fine)
						}
						sum += math.Abs(g - w)
						ink += 1 - w
						difference += g - w
					}
				}
				worst = max(worst, math.Abs(difference)/(block*block))
			}
		}
		mean := sum / float64(size.X*size.Y)
		t.Logf("%s: mean difference %.4f, of the ink %.3f, worst block %.3f", name, mean, sum/ink, worst)
		if mean > 0.004 || sum > 0.12*ink || worst > 0.12 {
			t.Errorf("%s: the picture differs from the PDF: mean %.4f, of the ink %.3f, worst block %.3f", name, mean, sum/ink, worst)
		}
	}
}

func abs(a int) int { return max(a, -a) }
