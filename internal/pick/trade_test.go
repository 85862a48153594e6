package pick

import (
	"fmt"
	"math"
	"testing"
)

// Known answers of the trade (common practice), each found from the bare problem.

// Torque and both bendings from rosettes at 90° on a tube: four of them, all three
// bridges full, bending by the grids along the part, and blind to axial force.
func TestTorqueAndBothBendingsFull(t *testing.T) {
	w := winner(t, text(tube, []string{"torque: 1200 N·m measure", "bending-y: 400 N·m measure", "bending-z: 400 N·m measure", "axial: 15 kN reject"}, []string{"rosette"}, "pick: {fixed-arms: forbidden, at-most: 4}\n"))
	expect(t, "gauges", w.Metrics.Gauges, 4)
	expect(t, "full bridges", w.Metrics.Full, 3)
	if w.Metrics.Crosstalk.Value > crosstalkDefault {
		t.Errorf("crosstalk %g", w.Metrics.Crosstalk.Value)
	}
}

// Axial force, torque and both bendings from four rosettes at 90°: four bridges,
// no grid used twice.
func TestFourLoadsFromRosettes(t *testing.T) {
	w := winner(t, text(tube, []string{"torque: 1200 N·m measure", "bending-y: 400 N·m measure", "bending-z: 400 N·m measure", "axial: 40 kN measure"}, []string{"rosette"}, "pick: {at-most: 8}\n"))
	used := map[string]bool{}
	for _, b := range w.Design.Bridges {
		for _, a := range b.Arms {
			for _, g := range a.Grids {
				if name := w.Design.GridName(g); used[name] {
					t.Errorf("grid %s is used twice", name)
				} else {
					used[name] = true
				}
			}
		}
	}
	expect(t, "bridges", len(w.Design.Bridges), 4)
	if w.Metrics.Crosstalk.Value > crosstalkDefault {
		t.Errorf("crosstalk %g", w.Metrics.Crosstalk.Value)
	}
	even := true
	a := angles(w.Design)
	for i := range a {
		even = even && math.Abs(math.Mod(a[(i+1)%len(a)]-a[i]+360, 360)-360/float64(len(a))) < 1e-6
	}
	if !even {
		t.Errorf("angles %v", a)
	}
}

// Axial, torque and two bendings from four rosettes at 90°, each of three grids and
// one across: what three directions cannot give, four can with four gauges.
func TestFourLoadsFromFourGridRosettes(t *testing.T) {
	gaugeTexts["four"] = "pattern: custom, directions: [-45°, 0°, 45°, 90°], grid: {length: 3 mm, width: 2.5 mm}, backing: {length: 9 mm, width: 9 mm}, resistance: 350 Ω, gauge-factor: 2.08, transverse-sensitivity: 0.5 %"
	out := find(t, read(t, text(tube, []string{"torque: 1200 N·m measure", "bending-y: 400 N·m measure", "bending-z: 400 N·m measure", "axial: 40 kN measure"}, []string{"four"}, "pick: {at-most: 4}\n")), Options{Series: 1})
	if !out.Met {
		t.Fatal(out.Nearest)
	}
	w := &out.Candidates[0]
	expect(t, "bridges", len(w.Design.Bridges), 4)
	expect(t, "gauges", w.Metrics.Gauges, 4)
	a := angles(w.Design)
	for i := 1; i < len(a); i++ {
		if a[i]-a[i-1] != 90 {
			t.Errorf("angles %v", a)
		}
	}
	expect(t, "worst crosstalk is nothing", w.Metrics.Crosstalk.Value < 1e-6, true)
}

// Shear force from ±45° pairs at the neutral axis: for Vz at 0° and 180°, where
// bending by Vz strains nothing and its shear is greatest, and torque cancels.
// Output of the full bridge: F·γ/2 with γ = τ/G and the exact τ = K·V of a solid
// circle, (1+2ν)/(1+ν)·V/A at the ends of the diameter across V (PHYSICS: Love),
// less what the grids' size averages away.
func TestShearForceAtTheNeutralAxis(t *testing.T) {
	w := winner(t, text(shaft, []string{"shear-z: 20 kN measure", "torque: 50 N·m reject", "bending-y: 200 N·m reject", "axial: 10 kN reject"}, []string{"pair"}, "pick: {at-most: 2}\n"))
	expect(t, "angles", fmt.Sprint(angles(w.Design)), "[0 180]")
	expect(t, "full bridges", w.Metrics.Full, 1)
	nu, area := 0.29, math.Pi*0.030*0.030/4
	gamma := (1 + 2*nu) / (1 + nu) * 20e3 / area / (205e9 / (2 * (1 + nu)))
	want := 2.08 * gamma / 2
	b := w.Result.Bridges[0]
	if got := b.Sensitivity[b.Target] * 20e3; got > want || got < 0.985*want {
		t.Errorf("output %g, of a point %g", got, want)
	}
}
