package section

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"gridwright/internal/boundary"
	"gridwright/internal/design"
)

func TestWhatIsNotComputedIsSaid(t *testing.T) {
	for _, c := range ofEveryShape(t) {
		for k := range design.Components {
			if err := c.s.Bears(design.Component(k)); (err != nil) != (design.Component(k) == design.Pressure) {
				t.Errorf("%s bears %v: %v", c.name, design.Component(k), err)
			}
		}
		if c.s.Spins() == nil {
			t.Errorf("%s claims the stress of rotation", c.name)
		}
	}
}

func TestShapeTable(t *testing.T) {
	for _, s := range append(append([]Shape(nil), Shapes...), GeneralShapes...) {
		var counts []int
		for _, l := range s.Lists {
			counts = append(counts, l.AtLeast)
		}
		keys := s.Keys(counts)
		if n := len(s.Defaults(counts)); n != len(keys) {
			t.Errorf("%s: %d numbers, %d keys", s.Name, n, len(keys))
		}
		if !strings.Contains(s.Example, "shape: "+s.Name) {
			t.Errorf("%s: the example %s", s.Name, s.Example)
		}
		for _, d := range s.Dimensions {
			if !d.Optional && !strings.Contains(s.Example, d.Key+": ") {
				t.Errorf("%s: the example lacks %s", s.Name, d.Key)
			}
		}
		if _, err := s.Make(false, counts); err != nil {
			t.Errorf("%s: %v", s.Name, err)
		}
	}
	p, _ := FindAny("polygon")
	got := p.Keys([]int{3, 3})
	want := []string{"outline[0][0]", "outline[0][1]", "outline[1][0]", "outline[1][1]", "outline[2][0]", "outline[2][1]",
		"holes[0][0][0]", "holes[0][0][1]", "holes[0][1][0]", "holes[0][1][1]", "holes[0][2][0]", "holes[0][2][1]"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	f, _ := FindAny("flatted-round")
	if d := cmp.Diff([]string{"outside-diameter", "flats[0].normal", "flats[0].across"}, f.Keys([]int{1})); d != "" {
		t.Error(d)
	}
	for _, bad := range [][]int{nil, {0}, {2, 3}} {
		if _, err := f.Make(false, bad); err == nil {
			t.Errorf("flatted-round with counts %v was accepted", bad)
		}
	}
}

// Whatever the numbers, Set builds a section that Check accepts or says why not.
func TestBuildersNeverPanic(t *testing.T) {
	odd := []float64{0, -0.01, 1e-9, 0.001, 0.003, 0.01, 0.017, 0.02, 0.04, 0.06, 1, 6, 90, 1e9, math.NaN(), math.Inf(1), math.Pi, -7}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(GeneralShapes).Draw(t, "shape")
		var counts []int
		for _, l := range s.Lists {
			if !l.Optional || rapid.Bool().Draw(t, "with") {
				counts = append(counts, rapid.IntRange(l.AtLeast, 6).Draw(t, "count"))
			}
		}
		d := make([]float64, len(s.Keys(counts)))
		for i := range d {
			d[i] = rapid.SampledFrom(odd).Draw(t, "number")
		}
		made, err := s.Make(false, counts)
		if err != nil {
			t.Fatal(err)
		}
		g := made.(*General)
		if err := g.build(d, counts, &g.outline); err != nil {
			return
		}
		if err := g.outline.Check(); err != nil {
			return
		}
		p := boundary.PropertiesOf(&g.outline)
		if !(p.Area > 0) || !(p.Iy > 0) || !(p.Iz > 0) {
			t.Fatalf("%s %v: %+v", s.Name, d, p)
		}
	})
}

func TestBadDimensionsAreNamed(t *testing.T) {
	for _, c := range []struct {
		shape  string
		counts []int
		dims   []float64
		want   string
	}{
		{"box", nil, []float64{0.06, 0.04, 0.02, 0}, "a wall of 20 mm leaves no box of 60 mm by 40 mm"},
		{"rectangle", nil, []float64{0.06, 0.04, 0.021}, "a corner radius of 21 mm does not fit"},
		{"flatted-round", []int{1}, []float64{0.04, 0, 0.021}, "flat 1 lies 21 mm from the axis"},
		{"flatted-round", []int{2}, []float64{0.04, 0, 0.01, 1e-12, 0.01}, "flats 1 and 2 leave no section"},
		{"flatted-round", []int{3}, []float64{0.04, 0, 0.015, 0.4, 0.0199, 0.8, 0.015}, "cut off"},
		{"regular-polygon", nil, []float64{2.5, 0.04, 0}, "a polygon of 2.5 sides"},
		{"keyed-round", nil, []float64{0.04, 0.012, 0.0005, 0, 0}, "a keyway 0.5 mm deep"},
		{"keyed-round", nil, []float64{0.04, 0.012, 0.012, 0, 0.02}, "reaches the bore"},
		{"grooved-round", nil, []float64{0.04, 0.021, 0, 0}, "a groove of radius 21 mm"},
		{"polygon", []int{4}, []float64{0, 0, 1, 1, 1, 0, 0, 0.8}, "cross or touch"},
		{"polygon", []int{4}, []float64{0, 0, 1, 0, 0, 1, 0, 0}, "points 4 and 1 of the outline are one point"},
	} {
		sh, _ := FindAny(c.shape)
		s, err := sh.Make(false, c.counts)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Set(c.dims, 0.3); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %v: %v, want %q", c.shape, c.dims, err, c.want)
		}
	}
}
