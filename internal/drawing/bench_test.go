package drawing

import (
	"fmt"
	"io"
	"math"
	"testing"
)

// BenchmarkDocument draws and writes a document of five pages, each of 200
// paths and 100 texts in three fonts, one with a plot.
func BenchmarkDocument(b *testing.B) {
	for b.Loop() {
		d := &Document{Title: "benchmark"}
		for n := range 5 {
			s := d.Page(A4)
			for i := range 200 {
				at := At(10+float64(i%20)*9, 10+float64(i/20)*9)
				switch i % 4 {
				case 0:
					s.Circle(Outline, None, at, 3)
				case 1:
					s.Line(CentreLine, at, at.Polar(8, float64(i)))
				case 2:
					s.Hatch(Hair, CirclePath(at, 3), 1, math.Pi/4)
				default:
					s.TurnedRectangle(Thin, Mist, at, 6, 4, float64(i))
				}
			}
			for i := range 100 {
				style := TextStyle{Font: Font(i % 3), Size: 7}
				s.Text(style, At(10+float64(i%4)*45, 110+float64(i/4)*5), fmt.Sprintf("ε = %d.%d µm/m ± 0.2 %%", n, i))
			}
			if n == 0 {
				s.Place(demoPlot(b), At(15, 235))
			}
		}
		if err := d.WritePDF(io.Discard); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFonts is the price of the first text: parsing one font.
func BenchmarkFonts(b *testing.B) {
	for b.Loop() {
		parse(Regular.face().ttf)
	}
}
