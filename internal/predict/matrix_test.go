package predict_test

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
)

const rosettes = `gridwright: 1
title: matrix
part: {material: {youngs-modulus: 205 GPa, poisson-ratio: 0.29}, section: {shape: round-tube, outside-diameter: 60 mm, inside-diameter: 44 mm}}
loads: {axial: {rated: 15 kN}, torque: {rated: 1200 N·m, use: measure}, bending-y: {rated: 400 N·m, use: measure}}
gauges: {R: {pattern: rectangular-rosette, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2.08}}
placements: {A: {gauge: R, around: 80°, direction: 4°}, B: {gauge: R, around: 265°, direction: -3°}, C: {gauge: R, around: 100°, direction: 8°}}
bridges:
  T:  {measures: torque, arms: [A3, A1, B3, B1]}
  By: {measures: bending-y, arms: [A2, B2, 350 Ω, 350 Ω]}
  Q:  {measures: torque, arms: [C3, C1, 350 Ω, 350 Ω]}
`

func without(text, line string) string {
	var out []string
	for _, l := range strings.Split(text, "\n") {
		if !strings.HasPrefix(l, line) {
			out = append(out, l)
		}
	}
	return strings.Join(out, "\n")
}

// As many bridges as loads: the inverse is the inverse of the measured block, and the
// condition that of the scaled block, by the closed form of a 2 × 2 matrix,
// κ = (q + √(q² − 4 det²))/(2|det|) with q the sum of squares.
func TestSquareMatrix(t *testing.T) {
	r := of(t, without(rosettes, "  Q:"))
	s := r.Matrix.Sensitivity
	a, b, c, d := s[0][1], s[0][2], s[1][1], s[1][2] // the loads are axial, torque, bending-y
	det := a*d - b*c
	want := [][]float64{{d / det, -b / det}, {-c / det, a / det}}
	for i := range want {
		for j := range want[i] {
			near(t, "inverse", r.Matrix.Inverse[i][j], want[i][j], 1e-9*math.Abs(want[i][i]))
		}
	}
	rt, rb := r.Bridges[0].Rated, r.Bridges[1].Rated
	a, b, c, d = a*1200/rt, b*400/rt, c*1200/rb, d*400/rb
	q, e := a*a+b*b+c*c+d*d, a*d-b*c
	near(t, "condition", value(t, "condition", r.Matrix.Condition), (q+math.Sqrt(q*q-4*e*e))/(2*math.Abs(e)), 1e-9)
	if len(r.Matrix.Measured) != 2 || r.Matrix.Columns[0] != 1 || r.Matrix.Columns[1] != 2 {
		t.Errorf("measured %v in columns %v", r.Matrix.Measured, r.Matrix.Columns)
	}
}

// More bridges than loads: the inverse is that of least squares, (SᵀS)⁻¹Sᵀ.
func TestMoreBridgesThanLoads(t *testing.T) {
	r := of(t, rosettes)
	block := mat.NewDense(3, 2, nil)
	for i, row := range r.Matrix.Sensitivity {
		block.Set(i, 0, row[1]*1200)
		block.Set(i, 1, row[2]*400)
	}
	var normal, inverse, pseudo mat.Dense
	normal.Mul(block.T(), block)
	if err := inverse.Inverse(&normal); err != nil {
		t.Fatal(err)
	}
	pseudo.Mul(&inverse, block.T())
	rated := []float64{1200, 400}
	if len(r.Matrix.Inverse) != 2 || len(r.Matrix.Inverse[0]) != 3 {
		t.Fatalf("inverse %v", r.Matrix.Inverse)
	}
	for k := range 2 {
		for i := range 3 {
			want := pseudo.At(k, i) * rated[k]
			near(t, "least squares", r.Matrix.Inverse[k][i], want, 1e-8*rated[k]/1e-3)
		}
	}
	if !r.Matrix.Condition.OK() {
		t.Error(r.Matrix.Condition.Missing)
	}
	// loads in, outputs by S, loads out
	for _, f := range [][2]float64{{700, 0}, {0, -150}, {300, 250}} {
		for k := range 2 {
			back := 0.0
			for i, row := range r.Matrix.Sensitivity {
				back += r.Matrix.Inverse[k][i] * (row[1]*f[0] + row[2]*f[1])
			}
			near(t, "round trip", back, f[k], 1e-9)
		}
	}
}

// Fewer bridges than loads, bridges that cannot tell the loads apart, and a blind one:
// no inverse or no condition, with the reason, and nothing that is not a number.
func TestMatrixThatHasNoInverse(t *testing.T) {
	for name, c := range map[string]struct {
		text      string
		inverse   bool
		condition bool
	}{
		"fewer": {without(without(rosettes, "  Q:"), "  By:"), false, false},
		"blind": {strings.Replace(without(rosettes, "  Q:"), "placements: {A: {gauge: R, around: 80°, direction: 4°}, B: {gauge: R, around: 265°, direction: -3°}",
			"placements: {A: {gauge: R, around: 0°}, B: {gauge: R, around: 0°}", 1), false, false},
	} {
		r := of(t, c.text)
		sensible(t, r)
		if (r.Matrix.Inverse != nil) != c.inverse {
			t.Errorf("%s: inverse %v", name, r.Matrix.Inverse)
		}
		if r.Matrix.Condition.OK() != c.condition || r.Matrix.Condition.OK() == (r.Matrix.Condition.Missing != "") {
			t.Errorf("%s: condition %+v", name, r.Matrix.Condition)
		}
	}

	// two bridges at opposite places answer torque and bending in one ratio
	same := `gridwright: 1
title: two alike
part: {material: {youngs-modulus: 205 GPa, poisson-ratio: 0.29}, section: {shape: round, outside-diameter: 60 mm}}
loads: {torque: {rated: 1200 N·m, use: measure}, bending-y: {rated: 400 N·m, use: measure}}
gauges: {P: {pattern: shear-pair, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω, gauge-factor: 2.08}}
placements: {A: {gauge: P, around: 0°}, B: {gauge: P, around: 180°}}
bridges: {T: {measures: torque, arms: [A2, A1, 350 Ω, 350 Ω]}, U: {measures: torque, arms: [350 Ω, 350 Ω, B2, B1]}}
`
	r := of(t, same)
	sensible(t, r)
	if r.Matrix.Inverse != nil || r.Matrix.Condition.OK() {
		t.Errorf("inverse %v, condition %+v", r.Matrix.Inverse, r.Matrix.Condition)
	}
}
