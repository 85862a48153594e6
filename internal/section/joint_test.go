package section

import (
	"math"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// An L of equal legs has five outward corners of 90° and one re-entrant; their turns
// sum to one turn.
func TestJointsOfAnAngle(t *testing.T) {
	shape, _ := Find("polygon")
	s, err := shape.Make(false, []int{6})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Set([]float64{0, 0, .04, 0, .04, .008, .008, .008, .008, .04, 0, .04}, 0.3); err != nil {
		t.Fatal(err)
	}
	joints := Joints(s, 0)
	if len(joints) != 6 || Loops(s) != 1 {
		t.Fatalf("%d joints of %d loops", len(joints), Loops(s))
	}
	sum, inward := 0.0, 0
	for i, j := range joints {
		sum += j.Turn
		if i > 0 && j.At.S <= joints[i-1].At.S {
			t.Errorf("joint %d at %g after %g", i, j.At.S, joints[i-1].At.S)
		}
		if j.Reentrant() {
			inward++
			if y, z := s.Point(j.At); math.Hypot(y-.008, z-.008) > 1e-12 {
				t.Errorf("the re-entrant corner lies at %g, %g", y, z)
			}
		}
		if j.Smooth() {
			t.Errorf("joint %d is smooth", i)
		}
	}
	if inward != 1 || math.Abs(sum-2*math.Pi) > 1e-12 {
		t.Errorf("%d re-entrant corners, turns sum to %g", inward, sum)
	}
}

// The corners of a hole point into the material; a round section has no joints.
func TestJointsOfABox(t *testing.T) {
	shape, _ := Find("box")
	s, err := shape.Make(false, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Set([]float64{.06, .04, .003, 0}, 0.3); err != nil {
		t.Fatal(err)
	}
	if Loops(s) != 2 {
		t.Fatalf("%d loops", Loops(s))
	}
	for _, j := range Joints(s, 0) {
		if j.Reentrant() || j.Smooth() {
			t.Errorf("outer joint %+v", j)
		}
	}
	for _, j := range Joints(s, 1) {
		if !j.Reentrant() {
			t.Errorf("inner joint %+v", j)
		}
	}
	round := &Round{}
	if Joints(round, 0) != nil || Loops(round) != 1 {
		t.Error("a round section has joints")
	}
}

// What is possible is what can be set.
func TestPossibleIsWhatCanBeSet(t *testing.T) {
	number := func(v float64) design.Number { return design.Number{Value: quantity.Exact(v)} }
	for _, c := range []struct {
		shape string
		dims  []float64
	}{
		{"box", []float64{.06, .04, .003, .006}}, {"box", []float64{.06, .04, .021, .006}}, {"box", []float64{.06, .04, .003, .021}},
		{"round", []float64{.04}}, {"round", []float64{0}}, {"round-tube", []float64{.04, .05}},
		{"rectangle", []float64{.06, .04, 0}}, {"rectangle", []float64{.06, -.04, 0}}, {"keyed-round", []float64{.04, .012, .005, 0, 0}}, {"keyed-round", []float64{.04, .012, .0005, 0, 0}},
		{"regular-polygon", []float64{6, .03, 0}}, {"ellipse", []float64{1, .01}},
	} {
		p := design.Part{}
		p.Section.Shape = c.shape
		for _, v := range c.dims {
			p.Section.Dimensions = append(p.Section.Dimensions, number(v))
		}
		p.Material.Poisson = number(0.3)
		_, err := Of(p)
		if got := Possible(p); (got == nil) != (err == nil) {
			t.Errorf("%s %v: possible %v, set %v", c.shape, c.dims, got, err)
		}
	}
}
