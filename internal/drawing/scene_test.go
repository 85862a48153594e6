package drawing

import (
	"bytes"
	"io"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
)

// Every fault is kept, named, and keeps the file from being written.
func TestFaults(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, draw := range map[string]func(s *Scene){
		"line to NaN":           func(s *Scene) { s.Line(Thin, At(0, 0), At(nan, 0)) },
		"line without a pen":    func(s *Scene) { s.Line(Pen{}, At(0, 0), At(1, 0)) },
		"pen without a colour":  func(s *Scene) { s.Line(Pen{Width: 1}, At(0, 0), At(1, 0)) },
		"pen of infinite width": func(s *Scene) { s.Line(Pen{Width: inf, Colour: Ink}, At(0, 0), At(1, 0)) },
		"dash of nothing":       func(s *Scene) { s.Line(Pen{Width: 1, Colour: Ink, Dash: []float64{0, 0}}, At(0, 0), At(1, 0)) },
		"negative dash":         func(s *Scene) { s.Line(Pen{Width: 1, Colour: Ink, Dash: []float64{2, -1}}, At(0, 0), At(1, 0)) },
		"empty polyline":        func(s *Scene) { s.Polyline(Thin) },
		"circle of no radius":   func(s *Scene) { s.Circle(Thin, None, At(0, 0), 0) },
		"arc of radius NaN":     func(s *Scene) { s.Arc(Thin, At(0, 0), nan, 0, 1) },
		"hatch of no spacing":   func(s *Scene) { s.Hatch(Thin, CirclePath(At(0, 0), 5), 0, 0) },
		"hatch without end":     func(s *Scene) { s.Hatch(Thin, CirclePath(At(0, 0), 5), 1e-9, 0) },
		"hatch far away":        func(s *Scene) { s.Hatch(Thin, CirclePath(At(1e300, 0), 5), 1, 1) },
		"hatch through NaN":     func(s *Scene) { s.Hatch(Thin, CirclePath(At(nan, 0), 5), 1, 1) },
		"text of no size":       func(s *Scene) { s.Text(TextStyle{}, At(1, 1), "x") },
		"text at infinity":      func(s *Scene) { s.Text(TextStyle{Size: 7}, At(inf, 1), "x") },
		"text of unknown font":  func(s *Scene) { s.Text(TextStyle{Size: 7, Font: 9}, At(1, 1), "x") },
		"dimension of nothing":  func(s *Scene) { s.Dimension(Dimension{From: At(1, 1), To: At(1, 1), Text: "0"}) },
		"dimension across": func(s *Scene) {
			s.Dimension(Dimension{From: At(1, 1), To: At(1, 9), Along: Horizontal, Text: "0"})
		},
		"dimension to NaN":   func(s *Scene) { s.Dimension(Dimension{From: At(1, 1), To: At(nan, 9), Text: "0"}) },
		"dimension at NaN":   func(s *Scene) { s.Dimension(Dimension{From: At(1, 1), To: At(5, 9), Through: At(nan, 0), Text: "0"}) },
		"angle of nothing":   func(s *Scene) { s.AngleDimension(AngleDimension{Radius: 5, Text: "0°"}) },
		"angle at radius 0":  func(s *Scene) { s.AngleDimension(AngleDimension{To: 1}) },
		"angle at NaN":       func(s *Scene) { s.AngleDimension(AngleDimension{Radius: 5, To: nan}) },
		"leader to itself":   func(s *Scene) { s.Leader(Leader{Tip: At(1, 1), Knee: At(1, 1), Text: "x"}) },
		"leader to NaN":      func(s *Scene) { s.Leader(Leader{Tip: At(nan, 1), Knee: At(1, 1), Text: "x"}) },
		"arrow to itself":    func(s *Scene) { s.Arrow(Thin, At(1, 1), At(1, 1)) },
		"arc arrow of NaN":   func(s *Scene) { s.ArcArrow(Thin, At(1, 1), 5, 0, nan) },
		"link of no size":    func(s *Scene) { s.Link(At(1, 1), 0, 5, 1) },
		"link to no page":    func(s *Scene) { s.Link(At(1, 1), 5, 5, 2) },
		"bookmark too deep":  func(s *Scene) { s.Bookmark("x", 1, 0) },
		"bookmark too high":  func(s *Scene) { s.Bookmark("x", -1, 0) },
		"figure with fault":  func(s *Scene) { s.Place(NewScene(0, 1), At(0, 0)) },
		"figure at NaN":      func(s *Scene) { s.Place(NewScene(1, 1), At(nan, 0)) },
		"plot of no size":    func(s *Scene) { s.Plot(NewPlot(), 0, 0, 0, 10) },
		"plot that panics":   func(s *Scene) { p := NewPlot(); p.X.Scale = plot.LogScale{}; s.Plot(p, 0, 0, 50, 50) },
		"plot with an image": func(s *Scene) { newCanvas(s, 0, 0, 10, 10).DrawImage(vg.Rectangle{}, nil) },
	} {
		d := new(Document)
		s := d.Page(A4)
		s.Line(Thin, At(0, 0), At(10, 10))
		draw(s)
		var b bytes.Buffer
		err := d.WritePDF(&b)
		if err == nil || b.Len() > 0 {
			t.Errorf("%s: error %v, %d bytes written", name, err, b.Len())
			continue
		}
		if !strings.Contains(err.Error(), "page 1: drawing: ") {
			t.Errorf("%s: %q does not say where", name, err)
		}
	}
	if err := new(Document).WritePDF(io.Discard); err == nil {
		t.Error("document without pages was written")
	}
	if err := NewScene(math.NaN(), 5).WriteSVG(io.Discard); err == nil {
		t.Error("scene of no size was written")
	}
}

func TestSceneCopiesItsPath(t *testing.T) {
	p := new(Path).Move(At(1, 1)).Line(At(2, 2))
	s := NewScene(10, 10)
	s.Path(Thin, None, p)
	p.Line(At(9, 9))
	p.points[0] = At(5, 5)
	if got := s.items[0].(stroke).path.points; len(got) != 2 || got[0] != At(1, 1) {
		t.Errorf("the scene changed with the caller's path: %v", got)
	}
}

// A placed figure is the figure, shifted, and stays as it was.
func TestPlace(t *testing.T) {
	figure := demoFigure()
	figure.Bookmark("figure", 0, 5)
	figure.Link(At(1, 2), 3, 4, 1)
	var before bytes.Buffer
	if err := figure.WriteSVG(&before); err != nil {
		t.Fatal(err)
	}
	s := NewScene(300, 300)
	by := At(17, 29)
	s.Place(figure, by)
	if len(s.items) != len(figure.items) || len(s.boxes) != len(figure.boxes) {
		t.Fatalf("%d of %d items", len(s.items), len(figure.items))
	}
	for i, b := range figure.TextBoxes() {
		for j, c := range b.Corners {
			if got := s.TextBoxes()[i].Corners[j]; got.distance(c.plus(by)) > 1e-12 {
				t.Fatalf("text %q corner %d at %v", b.Text, j, got)
			}
		}
	}
	if s.links[0].at != At(18, 31) || s.bookmarks[0].y != 34 {
		t.Errorf("link at %v, bookmark at %v", s.links[0].at, s.bookmarks[0].y)
	}
	var after bytes.Buffer
	if err := figure.WriteSVG(&after); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(before.Bytes(), after.Bytes()) {
		t.Error("placing a figure changed it")
	}
}

// The palette stays apart in a black-and-white print: the lightness of any
// two colours that draw differs by a tenth at least (relative luminance by
// the weights of ITU-R BT.709, lightness L* of CIE 1976).
func TestPaletteInGrey(t *testing.T) {
	lightness := func(c Colour) float64 {
		linear := func(v uint8) float64 {
			f := float64(v) / 255
			if f <= 0.04045 {
				return f / 12.92
			}
			return math.Pow((f+0.055)/1.055, 2.4)
		}
		r, g, b := c.components()
		return 116*math.Cbrt(0.2126*linear(r)+0.7152*linear(g)+0.0722*linear(b)) - 16
	}
	all := []Colour{Ink, Accent, Second, Mist, Paper}
	for i := 1; i < len(all); i++ {
		if d := lightness(all[i]) - lightness(all[i-1]); d < 5 {
			t.Errorf("%s and %s differ by %.1f in lightness only", all[i-1].hex(), all[i].hex(), d)
		}
	}
	if d := lightness(Second) - lightness(Accent); d < 20 {
		t.Errorf("the two series differ by %.1f in lightness only", d)
	}
}

func TestOnPaper(t *testing.T) {
	half := onPaper(plotColour{0x8000, 0, 0, 0x8000}) // red at one half, premultiplied
	if r, g, b := half.components(); r != 255 || g != 127 || b != 127 {
		t.Errorf("half red on white is %s", half.hex())
	}
	for _, c := range []Colour{Ink, Grey, Mist, Paper, Accent, Second, None} {
		if got := onPaper(c); got != c {
			t.Errorf("%s became %s", c.hex(), got.hex())
		}
	}
}

type plotColour struct{ r, g, b, a uint32 }

func (c plotColour) RGBA() (r, g, b, a uint32) { return c.r, c.g, c.b, c.a }
