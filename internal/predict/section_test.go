package predict_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/section"
)

const flatSided = `gridwright: 1
title: flat sided
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3, yield: 700 MPa}, section: SECTION, straight-length: {from: -100 mm, to: 100 mm}}
loads: {LOADS}
gauges: {S: {pattern: single, grid: {length: 2 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2}}
placements: {A: {gauge: S, PLACE}}
`

func flatOf(t testing.TB, sec, loads, place string) *predict.Result {
	t.Helper()
	return of(t, strings.NewReplacer("SECTION", sec, "LOADS", loads, "PLACE", place).Replace(flatSided))
}

// within compares relative to what is wanted.
func within(t rapid.TB, what string, got, want, tol float64) {
	t.Helper()
	near(t, what, got/want, 1, tol)
}

func point(y, z float64) string { return fmt.Sprintf("[%.15g mm, %.15g mm]", y, z) }

// Bending of a rectangle is greatest at a corner, M c/I summed over both axes; torsion in
// the middle of the longer side, T/(α w h²) with α = 0.246 for a ratio of 2 (Timoshenko
// and Goodier, Theory of Elasticity, art. 109: printed to three digits).
func TestStrengthOfARectangle(t *testing.T) {
	const sec = "{shape: rectangle, width: 40 mm, height: 20 mm}"
	r := flatOf(t, sec, "bending-y: {rated: 100 N·m, use: measure}, bending-z: {rated: 200 N·m}", "face: +z")
	want := 100*6/(0.040*0.020*0.020) + 200*6/(0.020*0.040*0.040)
	within(t, "corner", r.Strength.VonMises, want, 1e-9)
	if y, z := r.State.Section.Point(r.Strength.At); math.Abs(math.Abs(y)-0.020) > 1e-9 || math.Abs(math.Abs(z)-0.010) > 1e-9 {
		t.Errorf("greatest at %g, %g; it is a corner", y, z)
	}
	if r.Strength.Left != 0 {
		t.Errorf("%g m left out of a rectangle, which has no re-entrant corner", r.Strength.Left)
	}
	r = flatOf(t, sec, "torque: {rated: 100 N·m, use: measure}", "face: +z")
	within(t, "middle", r.Strength.VonMises, math.Sqrt(3)*100/(0.246*0.040*0.020*0.020), 2e-3)
	if y, z := r.State.Section.Point(r.Strength.At); math.Abs(y) > 1e-5 || math.Abs(math.Abs(z)-0.010) > 1e-9 {
		t.Errorf("greatest at %g, %g; it is the middle of the longer side", y, z)
	}
}

// The stress of a sharp re-entrant corner grows without bound as the search comes near
// it; what is left out is stated, and outside of it the search finds what a fine one does.
func TestReentrantCornersAreLeftOut(t *testing.T) {
	r := flatOf(t, "{shape: polygon, outline: [[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 8 mm], [8 mm, 8 mm], [8 mm, 40 mm], [0 mm, 40 mm]]}",
		"torque: {rated: 20 N·m, use: measure}, bending-y: {rated: 10 N·m}", "face: -z, across: -10 mm")
	s := r.State.Section
	left := predict.ReentrantShare * s.Properties().Depth
	within(t, "left out", r.Strength.Left, left, 1e-12)
	var corner section.Joint
	for _, j := range section.Joints(s, 0) {
		if j.Reentrant() {
			corner = j
		}
	}
	fine, beside := 0.0, 0.0
	girth := s.Perimeter(0)
	for k := range 20000 {
		c := section.Coordinate{S: girth * float64(k) / 20000}
		v := predict.VonMises(r.Model, r.State, c, 0)
		if d := math.Abs(math.Remainder(c.S-corner.At.S, girth)); d < left {
			beside = math.Max(beside, v)
			continue
		}
		fine = math.Max(fine, v)
	}
	if got := r.Strength.VonMises; got < fine*(1-1e-9) || got > fine*(1+1e-3) {
		t.Errorf("von Mises %g, finely searched %g", got, fine)
	}
	if beside < 1.5*r.Strength.VonMises {
		t.Errorf("beside the corner %g only, against %g", beside, r.Strength.VonMises)
	}
}

// Over shapes and loads, the search side by side against one in 4000 steps.
func TestStrengthOfFlatSidesAgainstBruteForce(t *testing.T) {
	shapes := []struct{ sec, place string }{
		{"{shape: box, width: 60 mm, height: 40 mm, wall: 3 mm, corner-radius: 6 mm}", "face: +z"},
		{"{shape: regular-polygon, sides: 6, across-flats: 36 mm}", "face: 1"},
		{"{shape: flatted-round, outside-diameter: 40 mm, flats: [{normal: 0°, across: 17 mm}]}", "face: +y"},
		{"{shape: ellipse, width: 40 mm, height: 25 mm}", "around: 30°"},
	}
	for _, c := range shapes {
		r := flatOf(t, c.sec, "axial: {rated: 1 N}, shear-y: {rated: 1 N}, torque: {rated: 1 N·m, use: measure}, bending-y: {rated: 1 N·m}, bending-z: {rated: 1 N·m}", c.place)
		rapid.Check(t, func(rt *rapid.T) {
			for j := range r.Model.Rated {
				r.Model.Rated[j] = rapid.Float64Range(-100, 100).Draw(rt, r.Model.Components[j].String())
				if r.Model.Components[j] == design.Axial || r.Model.Components[j] == design.ShearY {
					r.Model.Rated[j] *= 100
				}
			}
			stress := func(c section.Coordinate) float64 { return predict.VonMises(r.Model, r.State, c, 0.1) }
			got := predict.WorstOf(r.State.Section, 0, stress)
			girth, brute := r.State.Section.Perimeter(0), 0.0
			const steps = 4000
			for k := range steps {
				brute = math.Max(brute, stress(section.Coordinate{S: girth * float64(k) / steps}))
			}
			if got.Value < brute*(1-1e-6) || got.Value > brute*(1+1e-2) {
				rt.Errorf("%s: %g, brute force %g", c.sec, got.Value, brute)
			}
			within(rt, "value at its place", stress(got.At), got.Value, 1e-9)
		})
	}
}

// Bending stiffness holds about the principal axes of a section whose own axes are not:
// a rectangle drawn turned by 30° has those of the rectangle, and a moment about y bends
// it by the curvature M √(Iz² + Iyz²)/(E Δ).
func TestStiffnessOfATurnedRectangle(t *testing.T) {
	corner := func(y, z float64) string {
		s, c := math.Sincos(30 * deg)
		return point(y*c-z*s, y*s+z*c)
	}
	sec := "{shape: polygon, outline: [" + corner(-20, -10) + ", " + corner(20, -10) + ", " + corner(20, 10) + ", " + corner(-20, 10) + "]}"
	r := flatOf(t, sec, "bending-y: {rated: 100 N·m, use: measure}", "face: 3")
	weak, strong := 200e9*0.040*math.Pow(0.020, 3)/12, 200e9*0.020*math.Pow(0.040, 3)/12
	within(t, "weaker axis", value(t, "EI", r.Stiffness.Bending), weak, 1e-9)
	within(t, "stronger axis", value(t, "EI", r.Stiffness.Stronger), strong, 1e-9)
	// the larger is about the axis across the long side: 30° + 90° from y, or −60°
	within(t, "axis", r.Stiffness.Axis, -60*deg, 1e-9)
	s, c := math.Sincos(30 * deg)
	// in its principal axes the moment has the parts M cos and M sin
	want := 0.2 * 100 * math.Hypot(c/weak, s/strong)
	within(t, "bend", value(t, "bend", r.Stiffness.Bend), want, 1e-9)
}

// One whole prediction of a box, its solution included: another width each time.
func BenchmarkPredictBox(b *testing.B) {
	for i := 0; b.Loop(); i++ {
		w := 60 + 1e-6*float64(i%100000)
		flatOf(b, fmt.Sprintf("{shape: box, width: %.9f mm, height: 40 mm, wall: 3 mm, corner-radius: 6 mm}", w), "torque: {rated: 1 N·m, use: measure}, bending-y: {rated: 1 N·m}, axial: {rated: 1 N}", "face: +z")
	}
}
