package published_test

import (
	"fmt"
	"strings"
	"testing"

	"gridwright/internal/calibration"
	"gridwright/internal/design"
)

// Source: linear balance of several components, outputs R = S L, loads L = D R with D the
// inverse or the least-squares inverse of S, textbook algebra (the example matrices are
// invented, their inverses and singular values computed in rational arithmetic).

var (
	balanceSquare = [][]float64{{1.50, .012, -.008}, {.020, 1.80, .015}, {-.006, .009, .90}}
	balanceFour   = append(append([][]float64{}, balanceSquare...), []float64{.75, -.90, .010})
	balanceCases  = [][]float64{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}, {.5, .5, .5}, {-.5, .5, -.5}}
)

// balance is a transducer of three components of 1 N·m each, and the bridges of s.
func balance(s [][]float64) *design.Design {
	own := []design.Component{design.Torque, design.BendingY, design.BendingZ, design.Torque}
	var bridges []design.Bridge
	for k := range s {
		bridges = append(bridges, design.Bridge{Name: fmt.Sprintf("R%d", k+1), Measures: own[k]})
	}
	return transducer([]design.Load{load(design.Torque, 1), load(design.BendingY, 1), load(design.BendingZ, 1)}, bridges...)
}

// balanceReadings are what s gives for the load cases.
func balanceReadings(s [][]float64) string {
	var b strings.Builder
	b.WriteString("run,torque [N·m],bending-y [N·m],bending-z [N·m]")
	for k := range s {
		fmt.Fprintf(&b, ",R%d [mV/V]", k+1)
	}
	b.WriteByte('\n')
	for _, l := range append([][]float64{{0, 0, 0}}, balanceCases...) {
		fmt.Fprintf(&b, "1,%g,%g,%g", l[0], l[1], l[2])
		for _, row := range s {
			fmt.Fprintf(&b, ",%.9f", row[0]*l[0]+row[1]*l[1]+row[2]*l[2])
		}
		b.WriteByte('\n')
	}
	return b.String()
}

func TestBalanceSquare(t *testing.T) {
	s := make([][]float64, 3)
	for i := range s {
		for j := range s {
			s[i] = append(s[i], balanceSquare[i][j]*1e-3)
		}
	}
	one := []float64{1, 1, 1}
	// the singular values printed are those of S itself: κ with outputs in one unit
	_, condition, err := calibration.Decouple(s, one, []float64{1e-3, 1e-3, 1e-3}, nil)
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "condition", figure(t, "condition", condition), 2.001660897, 5e-10)
	printed(t, "ratio of the singular values", 1.801008699/.899757147, condition.Value, 5e-9)
	r := evaluate(t, balance(balanceSquare), balanceReadings(balanceSquare), calibration.Options{})
	for i, row := range balanceSquare {
		for j, want := range row {
			printed(t, fmt.Sprintf("S[%d][%d], mV/V", i, j), r.Matrix.Sensitivity[i][j]*1e3, want, 1e-12)
		}
	}
	for i, row := range [][]float64{{.666750338, -.004475009, .006001253}, {-.007445999, .555651831, -.009327051}, {.004519462, -.005586352, 1.111244390}} {
		for j, want := range row {
			printed(t, fmt.Sprintf("D[%d][%d] per mV/V", i, j), r.Matrix.Inverse[i][j]*1e-3, want, 5.1e-10)
		}
	}
	a, err := r.AsCalibrated()
	if err != nil {
		t.Fatal(err)
	}
	rec, err := a.Recovery()
	if err != nil {
		t.Fatal(err)
	}
	got := make([]float64, 3)
	if err := rec.Loads([]float64{.760e-3, .935e-3, -.4475e-3}, got); err != nil {
		t.Fatal(err)
	}
	for j, want := range []float64{.499860563, .518049357, -.499070312} {
		printed(t, fmt.Sprintf("load %d", j), got[j], want, 5.1e-10)
	}
}

func TestBalanceOfFourBridges(t *testing.T) {
	for k, want := range [][]float64{{.752, .9175, .4515, -.07}, {-.74, .8825, -.4425, -.83}} {
		for i, row := range balanceFour {
			l := balanceCases[6+k]
			printed(t, "output of a combined load", row[0]*l[0]+row[1]*l[1]+row[2]*l[2], want[i], 1e-12)
		}
	}
	r := evaluate(t, balance(balanceFour), balanceReadings(balanceFour), calibration.Options{})
	for i, row := range balanceFour {
		for j, want := range row {
			printed(t, fmt.Sprintf("S[%d][%d], mV/V", i, j), r.Matrix.Sensitivity[i][j]*1e3, want, 1e-12)
		}
	}
	want := [][]float64{{.552600720, .108928962, .000593947, .225231872}, {.087736996, .461090589, -.004818200, -.187808288}, {-.006140935, .005004409, 1.110739403, .021034334}}
	for i, row := range want {
		for j, w := range row {
			printed(t, fmt.Sprintf("D[%d][%d] per mV/V", i, j), r.Matrix.Inverse[i][j]*1e-3, w, 5.1e-10)
		}
	}
	_, condition, err := calibration.Decouple(balanceFour, []float64{1, 1, 1}, []float64{1, 1, 1, 1}, nil)
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "condition", figure(t, "condition", condition), 2.306058048, 5e-10)
	printed(t, "ratio of the singular values", 2.075668730/.900093877, condition.Value, 5e-9)
}
