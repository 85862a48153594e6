package sheet

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

// shape is a path as it is read back from an SVG file.
type shape struct {
	D      string `xml:"d,attr"`
	Fill   string `xml:"fill,attr"`
	Stroke string `xml:"stroke,attr"`
	Width  string `xml:"stroke-width,attr"`
	points []drawing.Point
}

var digits = regexp.MustCompile(`-?[0-9.]+`)

func svgShapes(t interface{ Fatal(...any) }, s *drawing.Scene) []shape {
	var b bytes.Buffer
	if err := s.WriteSVG(&b); err != nil {
		t.Fatal(err)
	}
	var file struct {
		Paths []shape `xml:"path"`
	}
	if err := xml.Unmarshal(b.Bytes(), &file); err != nil {
		t.Fatal(err)
	}
	for i, p := range file.Paths {
		var v []float64
		for _, n := range digits.FindAllString(p.D, -1) {
			f, err := strconv.ParseFloat(n, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, f)
		}
		for k := 0; k+1 < len(v); k += 2 {
			file.Paths[i].points = append(file.Paths[i].points, drawing.At(v[k], v[k+1]))
		}
	}
	return file.Paths
}

// gridShapes are the rectangles in the colour of grids.
func gridShapes(all []shape) (grids []shape) {
	for _, p := range all {
		if p.Stroke == "#1f4e79" && p.Fill == "none" && strings.HasSuffix(p.D, "Z") && len(p.points) == 4 {
			grids = append(grids, p)
		}
	}
	return grids
}

func mean(points []drawing.Point) drawing.Point {
	var c drawing.Point
	for _, p := range points {
		c.X += p.X / float64(len(points))
		c.Y += p.Y / float64(len(points))
	}
	return c
}

// TestDevelopedSurface reads the grids back from the drawing: stations grow up
// the page and φ to the right at the stated scale, and each grid has its true
// size and direction, clockwise from +x.
func TestDevelopedSurface(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		d := randomDossier(t, seed)
		b := outside(d) / 2
		for _, l := range developedSurfaces(d, layout.Words{}, 182, surfaceHeight) {
			shapes := gridShapes(svgShapes(t, l.scene))
			if len(shapes) != len(l.grids) {
				t.Fatalf("seed %d: %d grids drawn, want %d", seed, len(shapes), len(l.grids))
			}
			k := statedScale(t, l.scene) // mm of paper per mm of the part
			origin := l.at(0, 0)
			for i, g := range l.grids {
				r := d.Result.State.Grids[gridIndex(t, d, g.name)]
				c := mean(shapes[i].points)
				x := (origin.Y - c.Y) / k / 1e3
				s := (c.X - origin.X) / k / 1e3
				turns := math.Remainder(s/b-r.Around, 2*math.Pi) * b
				// The SVG file is written to 0.1 µm, its corners may lose as much.
				if tol := 1e-4 / k / 1e3; math.Abs(x-r.Station) > tol || math.Abs(turns) > tol {
					t.Errorf("seed %d, %s: drawn at x %.6f, s %.6f m; is at %.6f, φ %.4f", seed, g.name, x, s, r.Station, r.Around)
				}
				p := shapes[i].points
				e, f := drawing.At(p[1].X-p[0].X, p[1].Y-p[0].Y), drawing.At(p[2].X-p[1].X, p[2].Y-p[1].Y)
				if math.Abs(math.Hypot(e.X, e.Y)/k/1e3-r.Length) > 4e-4/k/1e3 || math.Abs(math.Hypot(f.X, f.Y)/k/1e3-r.Width) > 4e-4/k/1e3 {
					t.Errorf("seed %d, %s: drawn %.4f × %.4f mm on paper, is %.6f × %.6f m at scale %g", seed, g.name, math.Hypot(e.X, e.Y), math.Hypot(f.X, f.Y), r.Length, r.Width, k)
				}
				// sin of the angle between the edge and the direction, x up and φ right
				if off := (e.X*r.Cos + e.Y*r.Sin) / math.Hypot(e.X, e.Y); math.Abs(off) > 1e-3/math.Hypot(e.X, e.Y) {
					t.Errorf("seed %d, %s: the length is drawn %.4f off its direction", seed, g.name, off)
				}
			}
		}
	})
}

func gridIndex(t interface{ Fatal(...any) }, d *dossier.Dossier, name string) int {
	for i, g := range d.Result.Grids {
		if g.Name == name {
			return i
		}
	}
	t.Fatal("no grid ", name)
	return 0
}

// statedScale reads the scale that the drawing says it has.
func statedScale(t interface{ Fatal(...any) }, s *drawing.Scene) float64 {
	for _, b := range s.TextBoxes() {
		if _, scale, ok := strings.Cut(b.Text, ", scale "); ok {
			up, down, _ := strings.Cut(scale, ":")
			u, err1 := strconv.ParseFloat(up, 64)
			v, err2 := strconv.ParseFloat(down, 64)
			if err1 != nil || err2 != nil {
				t.Fatal("scale ", scale)
			}
			return u / v
		}
	}
	t.Fatal("no scale is stated")
	return 0
}

// TestSeam: nothing is cut by the edges while there is a gap to cut in.
func TestSeam(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const girth = 1.0
		n := rapid.IntRange(1, 8).Draw(t, "n")
		var spots []spot
		for i := range n {
			spots = append(spots, spot{s: rapid.Float64Range(-3, 3).Draw(t, fmt.Sprint("s", i)), width: rapid.Float64Range(0.01, 0.1).Draw(t, fmt.Sprint("w", i))})
		}
		from := seam(spots, nil, girth)
		if from > 0 || from <= -girth {
			t.Fatalf("seam at %v", from)
		}
		for _, p := range spots {
			if s := within(p.s, from, girth); s-p.width/2 < from-1e-9 || s+p.width/2 > from+girth+1e-9 {
				t.Errorf("seam %v cuts %+v, which lies at %v", from, p, s)
			}
		}
	})
}

func boxOf(t testing.TB, s *drawing.Scene, text string) drawing.Point {
	t.Helper()
	for _, b := range s.TextBoxes() {
		if b.Text == text {
			lo, hi := b.Bounds()
			return drawing.At((lo.X+hi.X)/2, (lo.Y+hi.Y)/2)
		}
	}
	t.Fatalf("no text %q", text)
	return drawing.Point{}
}

// TestCompass: +x stands above, +φ right of the compass's centre, and α between
// them, for it turns from +x toward +φ.
func TestCompass(t *testing.T) {
	s := drawing.NewScene(40, 40)
	c := drawing.At(20, 20)
	compass(s, c)
	x, phi, alpha := boxOf(t, s, "+x"), boxOf(t, s, "+φ"), boxOf(t, s, "α")
	if !(x.Y < c.Y-5 && math.Abs(x.X-c.X) < 6) || !(phi.X > c.X+5 && math.Abs(phi.Y-c.Y) < 2) || !(alpha.X > c.X && alpha.Y < c.Y) {
		t.Errorf("+x at %v, +φ at %v, α at %v about %v", x, phi, alpha, c)
	}
}

// TestSection: seen from +x with y to the right and z up, a grid at φ stands at
// the angle φ counterclockwise from the right, and the view says so.
func TestSection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := randomDossier(t, rapid.Uint64().Draw(t, "seed"))
		s := sectionView(d, layout.Words{})
		c := drawing.At(sectionWidth/2, viewTop+(viewHeight-viewTop)/2)
		var arcs []shape
		for _, p := range svgShapes(t, s) {
			if p.Width == "1" && p.Stroke == "#1f4e79" {
				arcs = append(arcs, p)
			}
		}
		if len(arcs) != len(d.Result.Grids) {
			t.Fatalf("%d grids drawn, want %d", len(arcs), len(d.Result.Grids))
		}
		for i, p := range arcs {
			first, last := p.points[0], p.points[len(p.points)-1]
			a := math.Atan2(c.Y-first.Y, first.X-c.X)
			sweep := math.Mod(math.Atan2(c.Y-last.Y, last.X-c.X)-a+4*math.Pi, 2*math.Pi)
			if off := math.Remainder(a+sweep/2-d.Result.Grids[i].Around, 2*math.Pi); math.Abs(off) > 1e-3 {
				t.Errorf("%s at φ %.4f is drawn %.4f off", d.Result.Grids[i].Name, d.Result.Grids[i].Around, off)
			}
		}
	})
}

// TestSideView: +x to the right; seen toward +y, so a grid at φ = 90° (+z) stands
// above one at 270°.
func TestSideView(t *testing.T) {
	d := readExample(t)
	for i, p := range []struct{ station, around float64 }{{0.06, math.Pi / 2}, {-0.03, 3 * math.Pi / 2}} {
		d.Design.Placements[i].Station.SI, d.Design.Placements[i].Around.SI = p.station, p.around
	}
	d, err := predicted(d)
	if err != nil {
		t.Fatal(err)
	}
	var grids []shape
	s := sideView(d, layout.Words{Sys: quantity.SI}, 110)
	for _, p := range svgShapes(t, s) {
		if p.Stroke == "#1f4e79" && strings.HasSuffix(p.D, "Z") {
			grids = append(grids, p)
		}
	}
	if len(grids) != 6 {
		t.Fatalf("%d grids drawn, want 6", len(grids))
	}
	a, b := mean(grids[1].points), mean(grids[4].points) // A2, B2: the middle grids
	k := statedScale(t, s)
	if math.Abs(a.X-b.X-90*k) > 1e-3 || math.Abs(b.Y-a.Y-60*k) > 0.1*k {
		t.Errorf("A2 at %v, B2 at %v, scale %v: want 90 mm to the right and about 60 mm higher", a, b, k)
	}
}

func TestScale(t *testing.T) {
	for _, c := range []struct {
		most float64
		want string
	}{{1, "1:1"}, {0.99, "1:2"}, {0.5, "1:2"}, {0.49, "1:5"}, {0.2, "1:5"}, {0.199, "1:10"}, {7, "5:1"}, {2.5, "2:1"}, {0.013, "1:100"}, {0.02, "1:50"}, {10, "10:1"}} {
		if got := round(c.most).String(); got != c.want {
			t.Errorf("greatest scale %v: %s, want %s", c.most, got, c.want)
		}
	}
}

func TestSpread(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		at := make([]float64, n)
		for i := range at {
			at[i] = rapid.Float64Range(-5, 45).Draw(t, fmt.Sprint(i))
			if i > 0 {
				at[i] = max(at[i], at[i-1])
			}
		}
		moved, ok := spread(at, 3, 0, 40)
		if !ok || len(moved) != n {
			t.Fatalf("no room for %d", n)
		}
		for i, m := range moved {
			if m < -1e-9 || m > 40+1e-9 || i > 0 && m-moved[i-1] < 3-1e-9 {
				t.Errorf("%v became %v", at, moved)
			}
		}
	})
	if _, ok := spread(make([]float64, 20), 3, 0, 40); ok {
		t.Error("room for 20 texts of 3 mm on 40 mm")
	}
}
