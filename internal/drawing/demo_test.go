package drawing

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
)

// demoFigure is a turned part that never existed, with every kind of
// dimension.
func demoFigure() *Scene {
	s := NewScene(180, 95)
	s.Title = "Invented shaft <side view & section>"

	// Side view, half scale: a tube with two shoulders.
	y0 := 45.0
	body := PolygonPath(At(10, y0-14), At(30, y0-14), At(30, y0-10), At(85, y0-10), At(85, y0-16), At(100, y0-16),
		At(100, y0+16), At(85, y0+16), At(85, y0+10), At(30, y0+10), At(30, y0+14), At(10, y0+14))
	for _, side := range [2]float64{-1, 1} {
		wall := PolygonPath(At(10, y0+side*14), At(30, y0+side*14), At(30, y0+side*10), At(85, y0+side*10), At(85, y0+side*16),
			At(100, y0+side*16), At(100, y0+side*6), At(10, y0+side*6))
		s.Hatch(Hair, wall, 1.5, math.Pi/4)
		s.Line(Thin, At(10, y0+side*6), At(100, y0+side*6))
	}
	s.Path(Outline, None, body)
	s.Line(CentreLine, At(5, y0), At(105, y0))
	s.TurnedRectangle(Marked, Paper, At(57, y0-3), 8, 6, math.Pi/4)
	s.Dimension(Dimension{From: At(30, y0+14), To: At(85, y0+16), Along: Horizontal, Through: At(0, y0+24), Text: "110 mm ± 0.1 mm"})
	s.Dimension(Dimension{From: At(10, y0+14), To: At(30, y0+14), Along: Horizontal, Through: At(0, y0+24), Text: "40 mm"})
	s.Dimension(Dimension{From: At(10, y0+14), To: At(100, y0+16), Along: Horizontal, Through: At(0, y0+31), Text: "180 mm"})
	s.Dimension(Dimension{From: At(53, y0-3), To: At(57, y0-3), Along: Horizontal, Through: At(0, y0-23), Text: "8 mm", Before: true})
	s.Dimension(Dimension{From: At(100, y0-16), To: At(100, y0+16), Along: Vertical, Through: At(112, 0), Text: "⌀64 mm"})
	s.Dimension(Dimension{From: At(10, y0-6), To: At(10, y0+6), Along: Vertical, Through: At(4, 0), Text: "⌀24 mm"})
	s.Leader(Leader{Tip: At(59, y0-5), Knee: At(72, y0-30), Text: "grid A1, α = 45°"})
	s.Leader(Leader{Tip: At(20, y0-9), Knee: At(14, y0-32), Text: "wall", Dot: true})

	// Section, with angles.
	c := At(150, y0)
	s.Hatch(Hair, CirclePath(c, 20).And(CirclePath(c, 12)), 1.5, math.Pi/4)
	s.Path(Outline, None, CirclePath(c, 20).And(CirclePath(c, 12)))
	s.Line(CentreLine, c.Polar(24, math.Pi), c.Polar(24, 0))
	s.Line(CentreLine, c.Polar(24, -math.Pi/2), c.Polar(24, math.Pi/2))
	s.AngleDimension(AngleDimension{Centre: c, Radius: 27, From: 0, To: math.Pi / 3, Inner: 20, Text: "60°"})
	s.AngleDimension(AngleDimension{Centre: c, Radius: 27, From: math.Pi / 2, To: math.Pi/2 + 0.1, Inner: 20, Text: "5.7°"})
	s.AngleDimension(AngleDimension{Centre: c, Radius: 8, From: math.Pi, To: math.Pi * 1.5, Inner: 12, Text: "φ"})
	s.ArcArrow(Marked, c, 23, -2.6, 0.8)
	s.Arrow(Thin, c, c.Polar(9, 0.9))
	s.Line(Hidden, At(125, 80), At(175, 80))
	s.Line(Thin, At(125, 83), At(175, 83))
	s.Dimension(Dimension{From: At(130, 70), To: At(170, 80), Through: At(132, 75), Text: "aligned 41.2 mm"})
	return s
}

func demoPlot(t testing.TB) (s *Scene) {
	s = NewScene(90, 60)
	p := NewPlot()
	p.Title.Text = "Zero against temperature"
	p.X.Label.Text = "temperature (°C)"
	p.Y.Label.Text = "zero Δ(V/E) (µV/V), ε in µε"
	var xy, band plotter.XYs
	for i := -10; i <= 60; i += 5 {
		x := float64(i)
		xy = append(xy, plotter.XY{X: x, Y: 0.02*(x-20)*(x-20) - 12})
		band = append(band, plotter.XY{X: x, Y: -0.01*(x-20)*(x-20) + 3})
	}
	l, err := plotter.NewLine(xy)
	if err != nil {
		t.Fatal(err)
	}
	l.Color, l.Width = Accent, vg.Points(1)
	m, err := plotter.NewLine(band)
	if err != nil {
		t.Fatal(err)
	}
	m.Color, m.Width, m.Dashes = Second, vg.Points(1), []vg.Length{vg.Points(3), vg.Points(2)}
	p.Add(l, m)
	p.Legend.Left = true
	p.Legend.XOffs = vg.Points(70)
	p.Legend.Add("bridge T", l)
	p.Legend.Add("bridge By", m)
	s.Plot(p, 0, 0, 90, 60)
	return s
}

func demoDocument(t testing.TB) *Document {
	d := &Document{Title: "Demo of ε, Ω and 𝄞", Subject: "invented", Creator: "drawing test", Keywords: "strain; torque"}
	s := d.Page(A4)
	s.Bookmark("Figures – µε", 0, 0)
	s.Text(TextStyle{Font: Bold, Size: 14}, At(15, 20), "Invented part: every kind of line, dimension and text")
	s.Place(demoFigure(), At(15, 25))
	s.Place(demoPlot(t), At(15, 125))
	y := 195.0
	for _, pen := range []struct {
		name string
		pen  Pen
	}{{"Outline", Outline}, {"Thin", Thin}, {"Hair", Hair}, {"CentreLine", CentreLine}, {"Hidden", Hidden}, {"Marked", Marked}} {
		s.Line(pen.pen, At(15, y), At(65, y))
		s.Text(TextStyle{Size: 8, Level: Middle}, At(68, y), pen.name)
		y += 6
	}
	for i, c := range []Colour{Ink, Grey, Mist, Accent, Second} {
		s.Rectangle(Thin, c, At(110+float64(i)*12, 195), 10, 10)
	}
	for i, f := range []Font{Regular, Bold, Italic, Mono} {
		s.Text(TextStyle{Font: f, Size: 9}, At(110, 215+float64(i)*5), "µε Ω φ ° ± · √ Δ → ≤ × − ² ⁻¹ 0123456789 □ 漢")
	}
	for i, l := range Wrap("Wrapped text: bond the grid at 45° to the part axis, cure it as its data sheet says, then measure 350 Ω ± 0.2 %.", Regular, 8, 60) {
		s.Text(TextStyle{Size: 8, Level: Top}, At(110, 236+float64(i)*LineHeight(Regular, 8)), l)
	}
	star := At(45, 255)
	for i := range 12 {
		a := float64(i) * math.Pi / 6
		s.Text(TextStyle{Size: 7, Angle: a, Level: Middle}, star.Polar(8, a), fmt.Sprintf("turned %d°", i*30))
	}
	s.Dimension(Dimension{From: At(110, 270), To: At(111.5, 270), Along: Horizontal, Through: At(110, 275), Text: "3 mm"})
	s.Dimension(Dimension{From: At(150, 270), To: At(151.5, 270), Along: Horizontal, Through: At(110, 275), Text: "3 mm", Before: true})
	s.Dimension(Dimension{From: At(165, 270), To: At(172, 270), Along: Horizontal, Through: At(110, 275), Text: "10 mm wide"})
	s.Link(At(15, 15), 100, 8, 2)
	second := d.Page(Letter)
	second.Bookmark("Second page", 1, 10)
	second.Text(TextStyle{Font: Italic, Size: 10}, At(20, 20), "A second page")
	return d
}

// TestDemo writes the demonstration when DRAWING_DEMO names a folder, to be
// looked at.
func TestDemo(t *testing.T) {
	folder := os.Getenv("DRAWING_DEMO")
	if folder == "" {
		folder = t.TempDir()
	}
	pdf, err := os.Create(filepath.Join(folder, "demo.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	defer pdf.Close()
	if err := demoDocument(t).WritePDF(pdf); err != nil {
		t.Fatal(err)
	}
	svg, err := os.Create(filepath.Join(folder, "demo.svg"))
	if err != nil {
		t.Fatal(err)
	}
	defer svg.Close()
	if err := demoFigure().WriteSVG(svg); err != nil {
		t.Fatal(err)
	}
}
