package published_test

import (
	"testing"

	"gridwright/internal/trim"
)

// Source: compensation of bridges with resistors, closed forms of common practice (the form for the drift of zero
// after Kutz, Mechanical Engineers' Handbook vol. 2, p. 89, from a secondary source); the
// worked numbers were recomputed outside the program. Temperature coefficients:
// copper IEC 60028, nickel GOST 6651, nickel-iron from memory.

func must(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// 0.08 mV/V on arms of 350 Ω: 0.11202 Ω in series, or 1 093 575 Ω across the opposite-acting arm.
func TestZeroBalance(t *testing.T) {
	v := must(t)
	printed(t, "series, Ω", v(trim.ZeroSeries(350, 0.08e-3)), 0.11202, 0.5e-5)
	printed(t, "shunt, Ω", v(trim.ZeroShunt(350, 0.08e-3)), 1093575, 0.5)
}

// 1.5 µV/V per K on arms of 350 Ω: copper 0.534 Ω, nickel-iron of 4500 ppm/K 0.467 Ω.
func TestZeroDriftWire(t *testing.T) {
	v := must(t)
	printed(t, "copper, Ω", v(trim.ZeroWire(350, 1.5e-6, 3.93e-3)), 0.534, 0.5e-3)
	printed(t, "nickel-iron, Ω", v(trim.ZeroWire(350, -1.5e-6, 4.5e-3)), 0.467, 0.5e-3)
}

// Sensitivity that grows by 320 ppm/K, input resistance 350 Ω: nickel-iron 26.794 Ω for
// 7.11 % of the output, nickel of 6000 ppm/K 19.718 Ω for 5.33 %, copper 31.025 Ω for
// 8.14 %; with 20 ppm/K of the bridge, nickel-iron 26.923 Ω.
func TestSpanResistor(t *testing.T) {
	v := must(t)
	for _, c := range []struct{ tcr, bridge, ohm, loss float64 }{
		{4.5e-3, 0, 26.794, 7.11}, {6.0e-3, 0, 19.718, 5.33}, {3.93e-3, 0, 31.025, 8.14}, {4.5e-3, 2e-5, 26.923, 0},
	} {
		printed(t, "Ω", v(trim.SpanSeries(350, 3.2e-4, c.tcr, c.bridge)), c.ohm, 0.5e-3)
		if c.loss > 0 {
			printed(t, "output lost, %", 100*(1-v(trim.SpanFactor(3.2e-4, c.tcr, c.bridge))), c.loss, 0.005)
		}
	}
}

// 2.0 mV/V that becomes 2.0256 mV/V over 40 K, k = 1.18: 26.794 Ω.
func TestSpanResistorOfTwoTemperatures(t *testing.T) {
	printed(t, "Ω", must(t)(trim.SpanTwoPoint(350, 350, 2, 2.0256, 1.18)), 26.794, 0.5e-3)
}

// 2.25 mV/V brought to 2.00 mV/V: Rt 393.75 Ω, Rm 28.000 Ω and Rs 15.750 Ω; with 20 ppm/K of
// the bridge 28.1944 Ω and 15.5556 Ω. Then the input from 393.75 Ω to 385 Ω: 17 325 Ω.
func TestSpanAndInputSet(t *testing.T) {
	for _, c := range []struct{ bridge, rm, rs, half float64 }{{0, 28, 15.75, 0.5e-3}, {2e-5, 28.1944, 15.5556, 0.5e-4}} {
		rm, rs, err := trim.SpanSet(350, 2.25, 2, 3.2e-4, 4.5e-3, c.bridge)
		if err != nil {
			t.Fatal(err)
		}
		printed(t, "Rm, Ω", rm, c.rm, c.half)
		printed(t, "Rs, Ω", rs, c.rs, c.half)
		printed(t, "Rt, Ω", 350+rm+rs, 393.75, 0.005)
	}
	printed(t, "input shunt, Ω", must(t)(trim.InputShunt(393.75, 385)), 17325, 0.5)
}

// A nickel-iron resistor of 40 Ω, too large: x 0.825167, shunt 188.79 Ω, together 33.007 Ω.
func TestSpanResistorWithShunt(t *testing.T) {
	shunt, x, err := trim.SpanShunt(350, 3.2e-4, 4.5e-3, 40)
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "x", x, 0.825167, 0.5e-6)
	printed(t, "shunt, Ω", shunt, 188.79, 0.005)
	printed(t, "together, Ω", 40*x, 33.007, 0.5e-3)
}

// Copper rises by 3930 ppm/K about 20 °C; nickel by 6170 ppm/K of its resistance at 0 °C on
// the mean of 0 °C to 100 °C, by 5180 ppm/K at 20 °C.
func TestTemperatureCoefficients(t *testing.T) {
	cu, _ := trim.FindWire("copper")
	printed(t, "copper, 1/K", cu.Coefficient(293.15, 303.15), 3.93e-3, 0.5e-5)
	ni, _ := trim.FindWire("nickel")
	printed(t, "nickel 0 to 100 °C, 1/K", ni.Coefficient(273.15, 373.15)/ni.Ratio(273.15), 6.17e-3, 0.5e-5)
	printed(t, "nickel at 20 °C, 1/K", ni.Coefficient(292.65, 293.65), 5.18e-3, 0.5e-5)
}
