package published_test

import (
	"testing"

	"gridwright/internal/rosette"
)

// Source: transverse sensitivity of rosettes, a university course's notes and the closed
// forms that follow from the definitions of ASTM E251 and OIML R 62; the notes' example was
// read in a public copy, all else recomputed.
//
// The notes, delta, Kt 2 %, ν0 0.285, readings 1018, 224, −1527 µε at 0°, 60°, 120°: printed
// corrected 1036.6, 232.3, −1553.7. Only the first is right: for the other two the notes
// leave out the common factor (1 − ν0 Kt)/(1 − Kt²). Uncorrected they print 1409 and −1599.
func TestCourseNotesDeltaRosette(t *testing.T) {
	r := reduced(t, plain(0, 60, 120), 200e9, 0.3, 1018, 224, -1527)
	printed(t, "uncorrected ε1, µε", r.Max/micro, 1409, 0.5)
	printed(t, "uncorrected ε2, µε", r.Min/micro, -1599, 0.5)
	r = reduced(t, transverse(0.02, 0, 60, 120), 200e9, 0.3, 1018, 224, -1527)
	printed(t, "grid 1 corrected, µε", r.Corrected[0]/micro, 1036.6, 0.05)
	printed(t, "grid 1 corrected, µε, recomputed", r.Corrected[0]/micro, 1036.634342, 5e-7)
	printed(t, "grid 2 corrected, µε, recomputed", r.Corrected[1]/micro, 231.048423, 5e-7)
	printed(t, "grid 3 corrected, µε, recomputed", r.Corrected[2]/micro, -1545.501883, 5e-7)
	printed(t, "ε1, µε, recomputed", r.Max/micro, 1432.9192, 5e-5)
	printed(t, "ε2, µε, recomputed", r.Min/micro, -1618.1319, 5e-5)
	printed(t, "angle of ε1, °, recomputed", r.FromGrid.Value/degree, 21.1245, 5e-5)
}

// Kt 3 %, true εx 1000, εy −300, γ 400 µε: what rectangular and delta rosettes indicate, by
// the definition of Kt (recomputed), and back.
func TestTransverseSensitivityThereAndBack(t *testing.T) {
	truth := rosette.Strain{X: 1000 * micro, Phi: -300 * micro, Gamma: 400 * micro}
	for _, c := range []struct{ directions, indicated []float64 }{
		{[]float64{0, 45, 90}, []float64{999.54611932, 559.28185990, -272.32840789}},
		{[]float64{0, 60, 120}, []float64{999.54611932, 215.09801637, -123.81756855}},
	} {
		grids := transverse(0.03, c.directions...)
		for k, g := range grids {
			printed(t, "indicated, µε", g.Indicated(truth)/micro, c.indicated[k], 5e-9)
		}
		r := reduced(t, grids, 200e9, 0.3, c.indicated...)
		printed(t, "εx, µε", r.X/micro, 1000, 1e-7)
		printed(t, "εy, µε", r.Phi/micro, -300, 1e-7)
		printed(t, "γ, µε", r.Gamma/micro, 400, 1e-7)
	}
}
