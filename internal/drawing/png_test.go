package drawing

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"
	"testing"
)

const testDPI = 254 // 10 pixels a mm

func pngOf(t testing.TB, s *Scene, dpi float64) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := s.WritePNG(&b, dpi); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pictureOf(t testing.TB, s *Scene) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(pngOf(t, s, testDPI)))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// inkOf is the area in mm² that is black, shares of pixels counted, and the
// corners of the rectangle that holds all that is not white.
func inkOf(img image.Image) (area float64, lo, hi Point) {
	lo, hi = At(math.Inf(1), math.Inf(1)), At(math.Inf(-1), math.Inf(-1))
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			g := color.Gray16Model.Convert(img.At(x, y)).(color.Gray16).Y
			area += float64(0xFFFF-g) / 0xFFFF / 100
			if g < 0xFFFF {
				lo = At(min(lo.X, float64(x)/10), min(lo.Y, float64(y)/10))
				hi = At(max(hi.X, float64(x+1)/10), max(hi.Y, float64(y+1)/10))
			}
		}
	}
	return area, lo, hi
}

var black = RGB(0, 0, 0)

// The area of ink of shapes whose area is known, and where it lies.
func TestPNGAreas(t *testing.T) {
	pen := Pen{Width: 0.5, Colour: black}
	dashed := Pen{Width: 0.5, Colour: black, Dash: []float64{2, 1}}
	phased := dashed
	phased.Phase = 1
	odd := Pen{Width: 0.5, Colour: black, Dash: []float64{1}}
	for _, c := range []struct {
		name   string
		draw   func(s *Scene)
		area   float64
		lo, hi Point
	}{
		{"rectangle", func(s *Scene) { s.Rectangle(Pen{}, black, At(5.03, 5.06), 10, 4) }, 40, At(5, 5), At(15.1, 9.1)},
		{"ring, both circles in one sense", func(s *Scene) {
			s.Path(Pen{}, black, CirclePath(At(20, 20), 15).And(CirclePath(At(20, 20), 5)))
		}, math.Pi * 200, At(5, 5), At(35, 35)},
		{"two squares that cross", func(s *Scene) {
			s.Path(Pen{}, black, PolygonPath(At(5, 5), At(15, 5), At(15, 15), At(5, 15)).And(PolygonPath(At(10, 10), At(20, 10), At(20, 20), At(10, 20))))
		}, 150, At(5, 5), At(20, 20)},
		// Cut off square at its ends.
		{"line", func(s *Scene) { s.Line(pen, At(5, 10), At(25, 10)) }, 10, At(5, 9.7), At(25, 10.3)},
		{"dashes", func(s *Scene) { s.Line(dashed, At(5, 10), At(25, 10)) }, 7, At(5, 9.7), At(25, 10.3)},
		{"dashes from within", func(s *Scene) { s.Line(phased, At(5, 10), At(25, 10)) }, 6.5, At(5, 9.7), At(24, 10.3)}, // 1 mm and 6 of 2 mm
		{"odd dashes", func(s *Scene) { s.Line(odd, At(5, 10), At(25, 10)) }, 5, At(5, 9.7), At(24, 10.3)},
		{"odd dashes from a gap", func(s *Scene) {
			s.Line(Pen{Width: 0.5, Colour: black, Dash: []float64{1}, Phase: 1}, At(5, 10), At(25, 10))
		}, 5, At(6, 9.7), At(25, 10.3)},
		// Round joints: the mitre of each corner loses (1 − π/4) of a quarter of 0.5 × 0.5.
		{"frame", func(s *Scene) { s.Rectangle(pen, None, At(5, 5), 10, 10) }, 20 - 4*0.25*0.25*(1-math.Pi/4), At(4.7, 4.7), At(15.3, 15.3)},
		{"circle", func(s *Scene) { s.Circle(pen, None, At(20, 20), 10) }, math.Pi * (10.25*10.25 - 9.75*9.75), At(9.7, 9.7), At(30.3, 30.3)},
		{"oblique line", func(s *Scene) { s.Line(pen, At(5, 5), At(25, 20)) }, 12.5, At(4.8, 4.8), At(25.2, 20.2)},
		{"beyond the edge", func(s *Scene) { s.Rectangle(Pen{}, black, At(-5, 30), 10, 40) }, 50, At(0, 30), At(5, 40)},
	} {
		s := NewScene(40, 40)
		c.draw(s)
		area, lo, hi := inkOf(pictureOf(t, s))
		if math.Abs(area/c.area-1) > 0.006 { // the shares are in 255ths
			t.Errorf("%s: %.3f mm² of ink, want %.3f", c.name, area, c.area)
		}
		if lo.distance(c.lo) > 0.101 || hi.distance(c.hi) > 0.101 {
			t.Errorf("%s: ink from %.2f to %.2f, want %.2f to %.2f", c.name, lo, hi, c.lo, c.hi)
		}
	}
}

// Colours come out as they are, later ones over earlier ones.
func TestPNGColours(t *testing.T) {
	s := NewScene(10, 10)
	s.Rectangle(Pen{}, Accent, At(1, 1), 8, 8)
	s.Rectangle(Pen{}, Second, At(5, 1), 4, 8)
	s.Rectangle(Pen{}, Paper, At(2, 4), 2, 2)
	img := pictureOf(t, s)
	for _, c := range []struct {
		x, y int
		want Colour
	}{{0, 0, Paper}, {15, 20, Accent}, {70, 50, Second}, {30, 50, Paper}, {95, 95, Paper}} {
		r, g, b, _ := img.At(c.x, c.y).RGBA()
		if got := RGB(uint8(r>>8), uint8(g>>8), uint8(b>>8)); got != c.want {
			t.Errorf("pixel %d, %d: %06x, want %06x", c.x, c.y, got, c.want)
		}
	}
}

// The ink of a text lies in its box, in whatever direction it reads, and an H
// has two stems that stand upright.
func TestPNGText(t *testing.T) {
	for _, f := range []Font{Regular, Bold, Italic, Mono} {
		for i := range 8 {
			s := NewScene(60, 60)
			box := s.Text(TextStyle{Font: f, Size: 24, Colour: black, Angle: float64(i) * math.Pi / 4, Align: Centre, Level: Middle}, At(30, 30), "HÄgjΩ")
			img := pictureOf(t, s)
			total, outside := 0.0, 0.0
			for y := range 600 {
				for x := range 600 {
					g := color.Gray16Model.Convert(img.At(x, y)).(color.Gray16).Y
					ink := float64(0xFFFF-g) / 0xFFFF
					total += ink
					p := At((float64(x)+0.5)/10, (float64(y)+0.5)/10)
					if ink > 0 && !box.Overlaps(TextBox{Corners: [4]Point{p, p.plus(At(0.02, 0)), p.plus(At(0.02, 0.02)), p.plus(At(0, 0.02))}}) {
						outside += ink
					}
				}
			}
			allowed := 0.005
			if f == Italic {
				allowed = 0.02 // leans out at its end, as TextBox says
			}
			if total < 2000 || outside > allowed*total {
				t.Errorf("font %d at %d eighths of a turn: %.0f of %.0f pixels outside", f, i, outside, total)
			}
		}
	}
	s := NewScene(40, 40)
	box := s.Text(TextStyle{Size: 60, Colour: black}, At(10, 30), "H")
	lo, _ := box.Bounds()
	img := pictureOf(t, s)
	dark := func(x, y float64) bool {
		r, _, _, _ := img.At(int(x*10), int(y*10)).RGBA()
		return r < 0x8000
	}
	width, cap := widthOf("H", Regular, 60), CapHeight(Regular, 60)
	changes := func(y float64) (n int) {
		for x := lo.X; x < lo.X+width; x += 0.1 {
			if dark(x, y) != dark(x-0.1, y) {
				n++
			}
		}
		return n
	}
	if a, b, c := changes(30-cap*0.75), changes(30-cap*0.5), changes(30-cap*0.25); a != 4 || c != 4 || b > 2 {
		t.Errorf("an H has %d, %d, %d edges above, at and below its bar, want 4, 2 or fewer, 4", a, b, c)
	}
}

// The file states its size: 300 pixels an inch are 11 811 a metre.
func TestPNGStatesItsSize(t *testing.T) {
	file := pngOf(t, demoFigure(), 300)
	i := bytes.Index(file, []byte("pHYs"))
	if i < 0 {
		t.Fatal("no pHYs chunk")
	}
	if x, y := binary.BigEndian.Uint32(file[i+4:]), binary.BigEndian.Uint32(file[i+8:]); x != 11811 || y != 11811 || file[i+12] != 1 {
		t.Errorf("%d × %d pixels a unit %d", x, y, file[i+12])
	}
	if crc := binary.BigEndian.Uint32(file[i+13:]); crc != crc32.ChecksumIEEE(file[i:i+13]) {
		t.Error("wrong check sum")
	}
	c, err := png.DecodeConfig(bytes.NewReader(file))
	if err != nil || c.Width != 2126 || c.Height != 1123 { // 180 × 95 mm at 300 pixels an inch, rounded up
		t.Errorf("%d × %d pixels, %v", c.Width, c.Height, err)
	}
}

func TestPNGIsReproducible(t *testing.T) {
	first := pngOf(t, demoFigure(), 150)
	for range 5 {
		if !bytes.Equal(pngOf(t, demoFigure(), 150), first) {
			t.Fatal("the same scene gave another file")
		}
	}
}

func TestPNGErrors(t *testing.T) {
	s := demoFigure()
	for _, dpi := range []float64{0, -1, math.NaN(), math.Inf(1), 1e6} {
		if err := s.WritePNG(new(bytes.Buffer), dpi); err == nil {
			t.Errorf("%v pixels an inch: no error", dpi)
		}
	}
	if err := s.WritePNG(brokenWriter{}, 72); err == nil || !strings.Contains(err.Error(), "disk full") {
		t.Errorf("broken writer: %v", err)
	}
	bad := NewScene(10, 10)
	bad.Line(Thin, At(0, 0), At(math.NaN(), 0))
	if err := bad.WritePNG(new(bytes.Buffer), 72); err == nil {
		t.Error("a faulty scene became a picture")
	}
	tiny := NewScene(40, 40)
	tiny.Line(Pen{Width: 0.5, Colour: black, Dash: []float64{1e-12, 1e-12}}, At(5, 10), At(25, 10))
	if area, _, _ := inkOf(pictureOf(t, tiny)); area < 4 {
		t.Errorf("dashes too fine to show: %.2f mm²", area)
	}
}

// BenchmarkPNG is the price of a figure at the resolution of a print.
func BenchmarkPNG(b *testing.B) {
	s := demoFigure()
	for b.Loop() {
		if err := s.WritePNG(new(bytes.Buffer), 300); err != nil {
			b.Fatal(err)
		}
	}
}
