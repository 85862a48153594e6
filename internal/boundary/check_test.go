package boundary

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestCheckNamesThePlace(t *testing.T) {
	square := Polygon([]complex128{0, 1, 1 + 1i, 1i})
	for _, c := range []struct {
		what string
		o    Outline
		want string
	}{
		{"crossing", Outline{Outer: Polygon([]complex128{0, 1, 0.2 + 1i, 0.8 + 1i})}, "edge 2 of the outer loop and edge 4 of the outer loop, at [500 mm, 625 mm], cross or touch"},
		{"open", Outline{Outer: Loop{Line(0, 1), Line(1, 1+1i), Line(1.1+1i, 0)}}, "not closed: a side ends at [1000 mm, 1000 mm]"},
		{"double point", Outline{Outer: Polygon([]complex128{0, 1, 1, 1 + 1i, 1i})}, "two points in one place, at [1000 mm, 0 mm]"},
		{"line", Outline{Outer: Polygon([]complex128{0, 1, 2, 0.5})}, "no area"},
		{"two sides", Outline{Outer: Loop{Line(0, 1), Line(1, 0)}}, "too few sides"},
		{"hole outside", Outline{Outer: square, Holes: []Loop{Circle(3, 0.2)}}, "hole 1, at [3200 mm, 0 mm], lies outside the outer loop"},
		{"hole across", Outline{Outer: square, Holes: []Loop{Circle(1+0.5i, 0.2)}}, "cross or touch"},
		{"hole touching", Outline{Outer: square, Holes: []Loop{Circle(0.8+0.5i, 0.2)}}, "cross or touch"},
		{"hole in a hole", Outline{Outer: square, Holes: []Loop{Circle(0.5+0.5i, 0.3), Circle(0.5+0.5i, 0.1)}}, "hole 1 lies"},
		{"holes across", Outline{Outer: square, Holes: []Loop{Circle(0.4+0.5i, 0.2), Circle(0.6+0.5i, 0.2)}}, "hole 1 and side 1 of hole 2"},
		{"spike", Outline{Outer: Polygon([]complex128{0, 1, complex(0.5, 0.004), 1 + 1i, 1i})}, "turns back on itself"},
		{"thin wall", Outline{Outer: square, Holes: []Loop{Polygon([]complex128{0.1 + 0.1i, 0.9999 + 0.1i, 0.9999 + 0.9i, 0.1 + 0.9i})}}, "0.1 mm apart"},
		{"not a number", Outline{Outer: Polygon([]complex128{0, complex(math.NaN(), 0), 1i})}, "no length of a part"},
		{"empty", Outline{}, "too few sides"},
	} {
		err := c.o.Check()
		if err == nil {
			t.Errorf("%s: accepted", c.what)
		} else if c.want != "" && !strings.Contains(err.Error(), c.want) {
			// a hole in a hole may be found from either of the two
			if !(c.what == "hole in a hole" && strings.Contains(err.Error(), "lies inside hole")) && !(c.what == "spike" && strings.Contains(err.Error(), "apart")) {
				t.Errorf("%s: %v, want %q", c.what, err, c.want)
			}
		}
	}
}

func TestOrientationIsMended(t *testing.T) {
	o := Outline{Outer: Polygon([]complex128{0, 1i, 1 + 1i, 1}), Holes: []Loop{Circle(0.5+0.5i, 0.2)}}
	if err := o.Check(); err != nil {
		t.Fatal(err)
	}
	p := PropertiesOf(&o)
	near(t, "area", p.Area, 1-math.Pi*0.04, 1e-13)
	if o.Outer[0].Edge != 4 || o.Outer[0].From != 0 {
		t.Errorf("the reversed loop starts with edge %d at %v", o.Outer[0].Edge, o.Outer[0].From)
	}
}

// Properties against the closed forms of the rectangle with rounded corners, by
// adding and taking away rectangles, quarter circles and squares, and the rule of
// parallel and turned axes.
func TestProperties(t *testing.T) {
	const w, h, r = 6.0, 4.0, 0.8
	o := Outline{Outer: RoundedRectangle(nil, w, h, r)}
	p := PropertiesOf(&o)
	near(t, "area", p.Area, w*h-(4-math.Pi)*r*r, 1e-14)
	// what a corner lacks: a square r², less a quarter circle about its inner corner
	lack := func(half float64) float64 {
		square := r*r*r*r/12 + r*r*math.Pow(half-r/2, 2)
		arm := half - r
		own := math.Pi * math.Pow(r, 4) / 16
		quarter := own + 2*arm*math.Pow(r, 3)/3 + arm*arm*math.Pi*r*r/4
		return square - quarter
	}
	near(t, "Iz", p.Iz, h*w*w*w/12-4*lack(w/2), 1e-13)
	near(t, "Iy", p.Iy, w*h*h*h/12-4*lack(h/2), 1e-13)
	e := Outline{Outer: Ellipse(3, 1)}
	p = PropertiesOf(&e)
	near(t, "ellipse Iz", p.Iz, math.Pi/4*27, 1e-13)
	near(t, "ellipse area", p.Area, 3*math.Pi, 1e-14)
	// perimeter 4aE(e), E(√8/3) from Carlson's forms (recomputed)
	near(t, "ellipse perimeter", e.Outer.Length(), 13.364893220555258, 1e-12)
}

// Points in any order: refused with words, or solved to finite figures.
func TestAnyPointsAreSolvedOrRefused(t *testing.T) {
	solved := 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 7).Draw(t, "points")
		p := make([]complex128, n)
		for i := range p {
			p[i] = complex(float64(rapid.IntRange(-4, 4).Draw(t, "y")), float64(rapid.IntRange(-4, 4).Draw(t, "z"))*rapid.SampledFrom([]float64{1, 1e-3, 1.00001}).Draw(t, "scale"))
		}
		o := Outline{Outer: Polygon(p)}
		if rapid.Bool().Draw(t, "hole") {
			o.Holes = []Loop{Circle(complex(0.3, 0.1), rapid.Float64Range(0.01, 2).Draw(t, "radius"))}
		}
		s, err := Solve(&o, Accuracy{MostUnknowns: 400})
		if err != nil {
			return
		}
		solved++
		if !(s.J > 0) || math.IsInf(s.J, 0) {
			t.Fatalf("J %g of %v", s.J, p)
		}
		for k := range 7 {
			for f, v := range s.Shear(0, float64(k)*s.Perimeter(0)/6) {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("field %d of %v is %g", f, p, v)
				}
			}
		}
	})
	if solved == 0 {
		t.Error("none was a section")
	}
}
