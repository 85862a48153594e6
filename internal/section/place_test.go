package section

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"gridwright/internal/design"
)

const deg = math.Pi / 180

func TestCoordinates(t *testing.T) {
	for _, c := range ofEveryShape(t) {
		p := c.s.Properties()
		if c.name == "polygon" {
			// its centroid lies in the notch: a ray that misses it goes to the nearest end
			y, z := c.s.Point(c.s.Around(1))
			if y != 0.008 || z != 0.050 {
				t.Errorf("the ray that misses the L leads to %g, %g", y, z)
			}
			if err := c.s.Meets(1); err == nil || !strings.Contains(err.Error(), "at 57.3° from the centroid") {
				t.Errorf("a ray that misses: %v", err)
			}
			if err := c.s.Meets(math.Pi); err != nil {
				t.Error(err)
			}
			continue
		}
		rapid.Check(t, func(t *rapid.T) {
			phi := rapid.Float64Range(-math.Pi, 3*math.Pi).Draw(t, "phi")
			at := c.s.Around(phi)
			y, z := c.s.Point(at)
			seen := math.Atan2(z-p.CentroidZ, y-p.CentroidY)
			if d := math.Remainder(seen-phi, 2*math.Pi); math.Abs(d) > 1e-9 {
				t.Fatalf("%s: φ %g leads to a point seen at %g", c.name, phi, seen)
			}
			if d := math.Remainder(c.s.Angle(at)-phi, 2*math.Pi); math.Abs(d) > 1e-9 {
				t.Fatalf("%s: angle of φ %g is %g", c.name, phi, c.s.Angle(at))
			}
			// a step of arc length is a step in the plane, counterclockwise
			const ds = 1e-6
			y2, z2 := c.s.Point(Coordinate{S: at.S + ds})
			if step := math.Hypot(y2-y, z2-z); math.Abs(step-ds) > 1e-3*ds && step < 0.7*ds {
				t.Fatalf("%s: a step of %g along the outline is %g", c.name, ds, step)
			}
		})
		if at := c.s.Around(0); math.Abs(at.S) > 1e-12 {
			t.Errorf("%s: S of φ = 0 is %g", c.name, at.S)
		}
	}
}

// Whole turns lead to whole girths, whichever side of the start rounding falls on.
func TestWholeTurns(t *testing.T) {
	for _, c := range ofEveryShape(t) {
		if c.s.Meets(0) != nil {
			continue
		}
		for k := -3; k <= 5; k++ {
			for _, beside := range []float64{-1e-15, 0, 1e-15} {
				phi := 2*math.Pi*float64(k) + beside
				at := c.s.Around(phi)
				if math.Abs(at.S-float64(k)*c.s.Perimeter(0)) > 1e-9 || math.Abs(c.s.Angle(at)-phi) > 1e-8 {
					t.Errorf("%s: φ %g leads to %g girths and back to %g", c.name, phi, at.S/c.s.Perimeter(0), c.s.Angle(at))
				}
			}
		}
	}
}

func TestFaces(t *testing.T) {
	type want struct {
		names  []string
		middle []float64 // °, as seen from the centroid
		length []float64 // mm
	}
	for name, w := range map[string]want{
		"sharp rectangle": {[]string{"+y 1", "+z 2", "-y 3", "-z 4"}, []float64{0, 90, 180, 270}, []float64{20, 40, 20, 40}},
		"box":             {[]string{"+y 1", "", "+z 2", "", "-y 3", "", "-z 4", ""}, []float64{0, math.NaN(), 90, math.NaN(), 180, math.NaN(), 270, math.NaN()}, []float64{28, 3 * math.Pi, 48, 3 * math.Pi, 28, 3 * math.Pi, 48, 3 * math.Pi}},
		"regular-polygon": {[]string{" 1", " 2", " 3", " 4", " 5", " 6"}, []float64{12, 72, 132, 192, 252, 312}, []float64{20.7846, 20.7846, 20.7846, 20.7846, 20.7846, 20.7846}},
	} {
		var s Section
		for _, c := range ofEveryShape(t) {
			if c.name == name {
				s = c.s
			}
		}
		faces := s.Faces()
		var names []string
		for i, f := range faces {
			n := f.Name
			if f.Straight {
				n += " " + string(rune('0'+f.Edge))
			}
			names = append(names, n)
			if i < len(w.length) {
				near(t, name+" length", 1e3*f.Length, w.length[i], 1e-5)
				if !math.IsNaN(w.middle[i]) {
					if d := math.Remainder(s.Angle(f.Middle)/deg-w.middle[i], 360); math.Abs(d) > 1e-6 {
						t.Errorf("%s: face %d has its middle at %g°", name, i, s.Angle(f.Middle)/deg)
					}
					if d := math.Remainder(f.Normal/deg-w.middle[i], 360); math.Abs(d) > 1e-6 {
						t.Errorf("%s: face %d has its normal at %g°", name, i, f.Normal/deg)
					}
				}
			}
			if c := s.OnFace(i, 1e-3); math.Abs(c.S-f.Middle.S-1e-3) > 1e-15 {
				t.Errorf("%s: OnFace(%d) is %g, its middle %g", name, i, c.S, f.Middle.S)
			}
		}
		if d := cmp.Diff(w.names, names); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

func TestFaceNamed(t *testing.T) {
	l := general(t, "polygon", []int{6}, 0.3, 0, 0, 0.040, 0, 0.040, 0.010, 0.008, 0.010, 0.008, 0.050, 0, 0.050)
	for _, c := range []struct {
		s          Section
		name, want string
	}{
		{l, "+y", "2 faces of the section look toward +y; name the one by its edge number"},
		{l, "7", "no flat face 7; its faces are"},
		{tube(t, 0.04, 0.02, 0.3), "+y", "no flat face +y; place the grid by its angle `around`"},
	} {
		if _, err := FaceNamed(c.s, c.name); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	for name, edge := range map[string]int{"-y": 6, "-z": 1, "4": 4} {
		i, err := FaceNamed(l, name)
		if err != nil || l.Faces()[i].Edge != edge {
			t.Errorf("%s is face %d: %v", name, i, err)
		}
	}
}

func TestWithin(t *testing.T) {
	s := general(t, "box", nil, 0.3, 0.060, 0.040, 0.003, 0.006) // flats of 28 and 48 mm
	at := func(face int, across, length, width, angle float64) error {
		p := Patch{Centre: s.OnFace(face, across), Length: length, Width: width}
		p.Sin, p.Cos = math.Sincos(angle)
		return s.Within(&p)
	}
	for _, ok := range []error{at(0, 0, 28e-3, 3e-3, math.Pi/2), at(0, 0.010, 3e-3, 8e-3, 0), at(0, 0, 0.2, 3e-3, 0), at(2, -0.020, 3e-3, 8e-3, 0)} {
		if ok != nil {
			t.Error(ok)
		}
	}
	err := at(0, 0.010, 3e-3, 9e-3, 0)
	if err == nil || err.Error() != "reaches 0.5 mm over the end of the face +y: it covers 5.5 mm to 14.5 mm from the middle, of -14 mm to 14 mm" {
		t.Errorf("over the edge: %v", err)
	}
	if err := at(2, -0.021, 4e-3, 4e-3, math.Pi/4); err != nil {
		// half of 4√2 is 2.83 mm: from −23.83 mm
		t.Error(err)
	}
	if err := at(2, -0.0215, 4e-3, 4e-3, math.Pi/4); err == nil {
		t.Error("a turned grid over the end of its face was accepted")
	}
	// across the start of the arc length, which lies in the middle of +y
	p := Patch{Centre: Coordinate{S: s.Perimeter(0) - 0.001}, Length: 5e-3, Width: 5e-3, Cos: 1}
	if err := s.Within(&p); err != nil {
		t.Error(err)
	}
	// a curve drawn in sides has no ends
	round := general(t, "regular-polygon", nil, 0.3, 90, 0.04, 0)
	p = Patch{Centre: round.Around(1), Length: 10e-3, Width: 10e-3, Cos: 1}
	if err := round.Within(&p); err != nil {
		t.Error(err)
	}
	p.Width = 0.08
	if err := round.Within(&p); err == nil {
		t.Error("a grid more than half way round was accepted")
	}
}

func TestSymmetries(t *testing.T) {
	approx := cmpopts.EquateApprox(0, 1e-9)
	sorted := cmpopts.SortSlices(func(a, b float64) bool { return a < b })
	z := []float64{0, 0, 0.02, 0, 0.02, 0.05, 0.03, 0.05, 0.03, 0.055, 0.01, 0.055, 0.01, 0.005, 0, 0.005}
	for _, c := range []struct {
		s    Section
		want Symmetries
	}{
		{general(t, "rectangle", nil, 0.3, 0.04, 0.02, 0.002), Symmetries{2, []float64{0, 90 * deg}}},
		{general(t, "box", nil, 0.3, 0.04, 0.04, 0.003, 0.002), Symmetries{4, []float64{0, 45 * deg, 90 * deg, 135 * deg}}},
		{general(t, "regular-polygon", nil, 0.3, 6, 0.036, 12*deg), Symmetries{6, []float64{12 * deg, 42 * deg, 72 * deg, 102 * deg, 132 * deg, 162 * deg}}},
		{general(t, "ellipse", nil, 0.3, 0.04, 0.02), Symmetries{2, []float64{0, 90 * deg}}},
		{general(t, "flatted-round", []int{2}, 0.3, 0.04, 10*deg, 0.017, 190*deg, 0.017), Symmetries{2, []float64{10 * deg, 100 * deg}}},
		{general(t, "flatted-round", []int{2}, 0.3, 0.04, 10*deg, 0.017, 190*deg, 0.016), Symmetries{1, []float64{10 * deg}}},
		{general(t, "keyed-round", nil, 0.3, 0.04, 0.012, 0.005, 100*deg, 0.01), Symmetries{1, []float64{100 * deg}}},
		{general(t, "polygon", []int{6}, 0.3, 0, 0, 0.04, 0, 0.04, 0.01, 0.01, 0.01, 0.01, 0.04, 0, 0.04), Symmetries{1, []float64{45 * deg}}},
		{general(t, "polygon", []int{8}, 0.3, z...), Symmetries{2, nil}},
		{tube(t, 0.04, 0.02, 0.3), Symmetries{}},
	} {
		if d := cmp.Diff(c.want, c.s.Symmetries(), approx, sorted, cmpopts.EquateEmpty()); d != "" {
			t.Errorf("%T: %s", c.s, d)
		}
	}
}

func TestPeaks(t *testing.T) {
	s := general(t, "rectangle", nil, 0.3, 0.04, 0.02, 0)
	p := Peaks(s, design.Torque)
	if len(p) != 4 {
		t.Fatalf("%d peaks", len(p))
	}
	for i, want := range []float64{90, 270} { // middles of the long faces first
		_ = i
		found := false
		for _, q := range p[:2] {
			found = found || math.Abs(s.Angle(q.At)/deg-want) < 0.01
		}
		if !found {
			t.Errorf("no peak at %g° among %v", want, p[:2])
		}
	}
	near(t, "ratio of short to long", p[2].Shear/p[0].Shear, 0.795036655, 1e-4)
}

func TestWalls(t *testing.T) {
	w := general(t, "box", nil, 0.3, 0.060, 0.040, 0.003, 0.006).Walls()
	near(t, "wall", w.Thinnest, 0.003, 1e-9)
	near(t, "slenderness", w.Slenderness, 48.0/3, 1e-9)
	near(t, "decay of a box", w.Decay, 1.6*0.0671, 0.01) // the diagonal between its rounded corners
	// An I of thin walls: Iω = Iz h²/4 between the flanges' middle lines (any text on
	// thin-walled bars), λ² = 2(1+ν) Iω/J.
	const b, h, f, web = 0.05, 0.1, 0.003, 0.002
	y, z := b/2, h/2
	i := general(t, "polygon", []int{12}, 0.3, -y, -z, y, -z, y, -z+f, web/2, -z+f, web/2, z-f, y, z-f, y, z, -y, z, -y, z-f, -web/2, z-f, -web/2, -z+f, -y, -z+f)
	p := i.Properties()
	iw := p.Iz * (h - f) * (h - f) / 4
	near(t, "decay of an open section", i.Walls().Decay, math.Sqrt(2.6*iw/p.J), 0.15)
	if k := i.Walls().Decay / p.Depth; k < 2 {
		t.Errorf("warping of an I dies out within %.2g of its size", k)
	}
	r := tube(t, 0.04, 0.03, 0.3).Walls()
	near(t, "ring", r.Thinnest, 0.005, 1e-12)
}
