package published_test

import (
	"fmt"
	"testing"
)

// Source: J. B. Johnson and H. Nyquist, Phys. Rev. 32 (1928) 97 and 110: √(4kTRB), with the
// exact k of the SI. A bridge of 350 Ω at 293.15 K: 2.3804 nV/√Hz, in 10 Hz 7.527 nV rms
// (recomputed).
func TestJohnsonNoiseOf350Ohm(t *testing.T) {
	e := column("", "20 mm", "10 kN")
	e.resistance = "350 Ω"
	for _, c := range []struct{ hertz, nanovolt, half float64 }{{1, 2.3804, 0.5e-4}, {10, 7.527, 0.5e-3}} {
		e.more = fmt.Sprintf("instrument: {noise: 0 V, bandwidth: %g Hz}\n", c.hertz)
		s := e.predict(t).Bridges[0].Signal
		printed(t, fmt.Sprintf("in %g Hz, nV", c.hertz), 1e9*figure(t, "noise", s.Johnson), c.nanovolt, c.half)
	}
	// a tenth of a microvolt of the instrument on top, root sum of squares, over the
	// sensitivity times 10 V
	e.more = "instrument: {noise: 10 nV, bandwidth: 10 Hz}\n"
	b := e.predict(t).Bridges[0]
	printed(t, "smallest step, N", figure(t, "smallest", b.Signal.Smallest)*b.Sensitivity[0]*10, 12.5165e-9, 0.5e-13)
}

// Source: power per grid of a bridge of equal arms V²/(4R), density V²/(4RA), V = 2√(RAq)
// (common practice). 5 V on 350 Ω, grids of 3.0 × 2.5 mm: 17.86 mW, 2.381 mW/mm²;
// 3.1 mW/mm² allows 5.705 V (recomputed). 1 W/in² is 1.55 mW/mm².
func TestPowerPerGrid(t *testing.T) {
	e := column("", "40 mm", "10 kN")
	e.resistance, e.grid = "350 Ω", "length: 3.0 mm, width: 2.5 mm"
	e.bridges = "N: {measures: axial, arms: [A1, A2, B1, B2], excitation: 5 V}"
	s := e.predict(t).Bridges[0].Signal
	printed(t, "mW", 1e3*figure(t, "power", s.Power), 17.86, 0.005)
	printed(t, "mW/mm²", 1e-3*figure(t, "density", s.PowerDensity), 2.381, 0.0005)
	e.bridges = "N: {measures: axial, arms: [A1, A2, B1, B2], excitation: 5.705 V}"
	printed(t, "mW/mm² at 5.705 V", 1e-3*figure(t, "density", e.predict(t).Bridges[0].Signal.PowerDensity), 3.1, 0.0006) // 0.0005 V of the voltage
}
