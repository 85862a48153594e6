package section

import (
	"math"
	"math/cmplx"
	"testing"

	"gridwright/internal/boundary"
)

// outlined are sections of known outline.
func outlined(t *testing.T) map[string]Section {
	t.Helper()
	all := map[string]Section{}
	add := func(name, shape string, counts []int, d ...float64) {
		s, ok := Find(shape)
		if !ok {
			t.Fatal(shape)
		}
		made, err := s.Make(false, counts)
		if err != nil {
			t.Fatal(err)
		}
		if err := made.Set(d, 0.3); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		all[name] = made
	}
	add("round", "round", nil, 0.04)
	add("tube", "round-tube", nil, 0.06, 0.04)
	add("rectangle", "rectangle", nil, 0.04, 0.02, 0)
	add("box", "box", nil, 0.06, 0.04, 0.003, 0.006)
	add("ellipse", "ellipse", nil, 0.05, 0.02)
	add("flats", "flatted-round", []int{2}, 0.04, 0, 0.016, math.Pi, 0.016)
	add("hexagon", "regular-polygon", nil, 6, 0.036, 0.3)
	add("keyed", "keyed-round", nil, 0.04, 0.012, 0.005, 1, 0.01)
	add("grooved", "grooved-round", nil, 0.04, 0.004, 2, 0)
	add("angle", "polygon", []int{6}, 0, 0, 0.04, 0, 0.04, 0.01, 0.01, 0.01, 0.01, 0.05, 0, 0.05)
	var circle []float64
	for k := range 60 {
		circle = append(circle, 0.02*math.Cos(2*math.Pi*float64(k)/60), 0.02*math.Sin(2*math.Pi*float64(k)/60))
	}
	add("drawn", "polygon", []int{60}, circle...)
	var half []float64 // a half circle drawn in sides on a wider rectangle
	for k := range 31 {
		half = append(half, 0.012*math.Cos(math.Pi*float64(k)/30), 0.012*math.Sin(math.Pi*float64(k)/30))
	}
	half = append(half, -0.02, 0, -0.02, -0.03, 0.02, -0.03, 0.02, 0)
	add("arch", "polygon", []int{35}, half...)
	return all
}

// TestRuns: the runs of every outline follow each other once round.
func TestRuns(t *testing.T) {
	want := map[string]struct{ straight, curved int }{
		"round": {0, 1}, "tube": {0, 1}, "rectangle": {4, 0}, "box": {4, 4}, "ellipse": {0, 1}, "flats": {2, 2},
		"hexagon": {6, 0}, "keyed": {3, 1}, "grooved": {0, 2}, "angle": {6, 0}, "drawn": {0, 1}, "arch": {7, 1},
	}
	for name, s := range outlined(t) {
		runs, total := Runs(s), s.Perimeter(0)
		straight, sum := 0, 0.0
		for i, r := range runs {
			if r.Straight {
				straight++
			}
			sum += r.Length
			next := runs[(i+1)%len(runs)].From
			if gap := math.Remainder(r.From+r.Length-next, total); math.Abs(gap) > 1e-9*total {
				t.Errorf("%s: run %d ends %g m from the next", name, i, gap)
			}
		}
		if w := want[name]; straight != w.straight || len(runs)-straight != w.curved {
			t.Errorf("%s: %d straight runs and %d curved, want %v", name, straight, len(runs)-straight, w)
		}
		if math.Abs(sum-total) > 1e-9*total {
			t.Errorf("%s: runs of %g m together, girth %g m", name, sum, total)
		}
	}
}

func TestConvex(t *testing.T) {
	for name, s := range outlined(t) {
		want := name != "arch" && name != "keyed" && name != "grooved" && name != "angle"
		if got := Convex(s); got != want {
			t.Errorf("%s: convex %v, want %v", name, got, want)
		}
	}
}

// TestNormal: the normal is a quarter turn clockwise of the way that the point takes,
// which leads out of the material, and the loops are the points' outline.
func TestNormal(t *testing.T) {
	for name, s := range outlined(t) {
		p, total := s.Properties(), s.Perimeter(0)
		at := func(x float64) complex128 {
			y, z := s.Point(Coordinate{S: x})
			return complex(y-p.CentroidY, z-p.CentroidZ)
		}
		outer := s.Loops()[0]
		if sum := outer.Length(); math.Abs(sum-total) > 1e-9*total {
			t.Errorf("%s: the loop is %g m long, the girth %g m", name, sum, total)
		}
		for k := range 97 {
			x, d := total*(float64(k)+0.37)/97, 1e-6*total
			a, b := s.Normal(Coordinate{S: x - d}), s.Normal(Coordinate{S: x + d})
			if math.Abs(math.Remainder(a-b, 2*math.Pi)) > 0.01 {
				continue // beside a corner
			}
			n := cmplx.Rect(1, s.Normal(Coordinate{S: x}))
			along := (at(x+d) - at(x-d)) / complex(2*d, 0)
			if cmplx.Abs(along-n*1i) > 1e-4 {
				t.Errorf("%s at %.3f of the girth: goes %v, normal %v", name, x/total, along, n)
			}
			off := 1e-3 * total // Encloses takes curves for polygons
			if outer.Encloses(at(x)+n*complex(off, 0)) || !outer.Encloses(at(x)-n*complex(off, 0)) {
				t.Errorf("%s at %.3f of the girth: the normal points inward", name, x/total)
			}
		}
	}
	var round boundary.Loop = outlined(t)["tube"].Loops()[1]
	if l := round.Length(); math.Abs(l-0.04*math.Pi) > 1e-12 {
		t.Errorf("bore of %g m", l)
	}
}

// TestTitles: a name that two faces bear names neither.
func TestTitles(t *testing.T) {
	all := outlined(t)
	for name, want := range map[string][]string{
		"box":     {"+y", "curve at 45°", "+z", "curve at 135°", "−y", "curve at 225°", "−z", "curve at 315°"},
		"angle":   {"−z", "edge 2", "edge 3", "edge 4", "edge 5", "−y"},
		"ellipse": {"curve"}, "drawn": {"curve"},
	} {
		var got []string
		for _, r := range Runs(all[name]) {
			got = append(got, r.Title())
		}
		if len(got) != len(want) {
			t.Errorf("%s: %v, want %v", name, got, want)
			continue
		}
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("%s: %v, want %v", name, got, want)
				break
			}
		}
	}
	for face, want := range []string{"−z", "edge 2", "edge 3", "edge 4", "edge 5", "−y"} {
		if got := FaceTitle(all["angle"], face); got != want {
			t.Errorf("face %d is %s, want %s", face, got, want)
		}
	}
}
