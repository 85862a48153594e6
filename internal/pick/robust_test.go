package pick

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/predict"
)

// Every effect is that of the placement moved in the design and predicted afresh.
func TestRobustnessAgainstMovedPlacements(t *testing.T) {
	for _, source := range []string{
		text(tube, []string{"torque: 900 N·m measure", "bending-y: 400 N·m measure", "axial: 20 kN reject"}, []string{"rosette"}, ""),
		text(tube, []string{"torque: 900 N·m measure", "bending-z: 400 N·m reject", "shear-y: 3 kN reject"}, []string{"pair"}, "pick: {at-most: 2}\n"),
		text(shaft, []string{"axial: 50 kN measure", "bending-y: 100 N·m reject", "bending-z: 100 N·m reject"}, []string{"tee"}, ""),
		// Placed so that an error to one side does more than to the other.
		text(shaft, []string{"torque: 100 N·m measure", "bending-y: 100 N·m reject"}, []string{"pair"}, "placements:\n  A: {gauge: pair, around: 25°, direction: -12°}\n  B: {gauge: pair, around: 205°, direction: 10°}\n"),
	} {
		w := &find(t, read(t, source), Options{}).Candidates[0]
		expect(t, "errors", len(w.Robust), 3*len(w.Design.Placements))
		for _, p := range w.Robust {
			if p.PerDegree != nil {
				compareMoved(t, w, p, deg, p.PerDegree)
			}
			if p.PerTenth != nil {
				step := 1e-4
				if p.Kind == AroundError { // on the surface
					step /= w.Design.Part.Section.Dimensions[0].SI / 2
				}
				compareMoved(t, w, p, step, p.PerTenth)
			}
			compareMoved(t, w, p, p.Limit, &p.AtLimit)
		}
	}
}

func compareMoved(t *testing.T, c *Candidate, p PlacementError, step float64, got *Effect) {
	t.Helper()
	crosstalk, output := 0.0, 0.0
	for _, side := range []float64{1, -1} {
		d := c.Design.Clone()
		i := slices.IndexFunc(d.Placements, func(pl design.Placement) bool { return pl.Name == p.Placement })
		pl := &d.Placements[i]
		map[string]*design.Number{StationError: &pl.Station, AroundError: &pl.Around, DirectionError: &pl.Direction}[p.Kind].SI += side * step
		r, err := predict.Of(d)
		if err != nil {
			t.Fatal(err)
		}
		for b := range r.Bridges {
			x, y := &c.Result.Bridges[b], &r.Bridges[b]
			output = math.Max(output, math.Abs(y.Sensitivity[y.Target]/x.Sensitivity[x.Target]-1))
			for j := range x.Sensitivity {
				if j != x.Target {
					rated := r.Model.Rated[j] / r.Model.Rated[x.Target]
					crosstalk = math.Max(crosstalk, math.Abs(y.Sensitivity[j]/y.Sensitivity[y.Target]-x.Sensitivity[j]/x.Sensitivity[x.Target])*rated)
				}
			}
		}
	}
	if math.Abs(got.Crosstalk-crosstalk) > 2e-6*crosstalk+1e-12 || math.Abs(math.Abs(got.Output)-output) > 2e-6*output+1e-12 {
		t.Errorf("%s of %s by %g: crosstalk %g, output %g; moved %g, %g", p.Kind, p.Placement, step, got.Crosstalk, got.Output, crosstalk, output)
	}
}

// By hand: turned by δ, an axial grid of a half bridge lets in half of
// γ/ε·sin δ cos δ of the torque, with T = 2M on a round part γ/ε = 2(1+ν).
func TestCare(t *testing.T) {
	w := winner(t, text(shaft, []string{"bending-y: 100 N·m measure", "torque: 200 N·m reject"}, []string{"fine"}, "pick: {at-most: 2}\n"))
	first := w.Robust[0]
	expect(t, "worst error", first.Kind, DirectionError)
	want := (1 + 0.29) * math.Sin(2*deg) / 2
	if got := first.PerDegree.Crosstalk; math.Abs(got/want-1) > 2e-3 || first.PerDegree.Of != design.Torque {
		t.Errorf("crosstalk %g of %v for 1°, want %g of torque", got, first.PerDegree.Of, want)
	}
	expect(t, "care", w.Care(), "turning A or B by 1° lets 2.3 % of torque into By; within the placement tolerance no other error of one placement lets in more")
	if first.PerTenth != nil || w.Robust[len(w.Robust)-1].PerDegree != nil {
		t.Error("a direction in mm, or a station in degrees")
	}

	// A pair on a shaft under torque alone: cos 2δ of the output is left.
	w = winner(t, text(shaft, []string{"torque: 100 N·m measure"}, []string{"pair"}, "pick: {at-most: 1}\n"))
	if got, want := w.Robust[0].PerDegree.Output, math.Cos(2*deg)-1; math.Abs(got/want-1) > 1e-2 {
		t.Errorf("output changes by %g, want %g", got, want)
	}
	if s := w.Care(); !strings.HasPrefix(s, "turning A by 1° changes the output of T by -0.06") || !strings.Contains(s, "no other load to let in") {
		t.Error(s)
	}
	// Without tolerances 1° and 0.1 mm are compared.
	w = winner(t, text(shaft, []string{"bending-y: 100 N·m measure", "torque: 200 N·m reject"}, []string{"fine"}, "pick: {at-most: 2}\nplacement-tolerance: {station: 0 mm, around: 0°, direction: 0°}\n"))
	if s := w.Care(); !strings.HasPrefix(s, "turning A or B by 1° lets 2.3 % of torque into By; at 1° and 0.1 mm") {
		t.Error(s)
	}
}
