package calibration

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// drifted are readings of one run whose zero creeps linearly with the rows.
func drifted(offset, slope float64, loads []float64) *Data {
	d := New(only("T"))
	for i, f := range loads {
		s := Up
		if f == 0 {
			s = AtZero
		}
		d.Readings = append(d.Readings, Reading{Line: i + 2, Run: 1, Stepping: s, Loads: []float64{f}, Outputs: []float64{2e-6*f + offset + slope*float64(i)}, Kelvin: math.NaN(), Time: math.NaN(), Shunt: -1})
	}
	return d
}

// TestZeroIdentities: a constant zero is taken out by every reduction; a linear drift
// by interpolation alone; none changes nothing; the readings stay as they are.
func TestZeroIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		offset := rapid.Float64Range(-1e-3, 1e-3).Draw(t, "offset")
		slope := rapid.Float64Range(-1e-6, 1e-6).Draw(t, "slope")
		loads := []float64{0, 100, 200, 0, 300, 100, 0}
		for _, z := range Zeros {
			for _, drift := range []float64{0, slope} {
				d := drifted(offset, drift, loads)
				got, err := d.reduced(z)
				if err != nil {
					t.Fatal(err)
				}
				for i, f := range loads {
					raw := 2e-6*f + offset + drift*float64(i)
					if d.Readings[i].Outputs[0] != raw {
						t.Fatal("a reading was changed")
					}
					want := 2e-6 * f
					switch {
					case z == ZeroNone:
						want = raw
					case z == ZeroInterpolated:
					case z == ZeroMean:
						want += drift * (float64(i) - 3)
					default:
						want += drift * float64(i)
					}
					if math.Abs(got[i][0]-want) > 1e-15 {
						t.Fatalf("%s: reading %d is %g, want %g", z, i, got[i][0], want)
					}
				}
			}
		}
	})
}

// TestZeroInTime: with times the zero is interpolated in time, not by rows.
func TestZeroInTime(t *testing.T) {
	d := drifted(0, 0, []float64{0, 100, 0})
	for i, at := range []float64{0, 30, 40} {
		d.Readings[i].Time = at
		d.Readings[i].Outputs[0] += 1e-6 * at
	}
	got, err := d.reduced(ZeroInterpolated)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "reduced", got[1][0], 2e-4, 1e-12)
}

// TestConstantZeroChangesNothing: a constant on every reading changes neither fit nor
// matrix, under any reduction.
func TestConstantZeroChangesNothing(t *testing.T) {
	base := [][]float64{{.2001, .4003, .6002, .8001, 1.0004}, {.2002, .4001, .6003, .8003, 1.0001}, {.2000, .4004, .6004, .8000, 1.0003}}
	for _, z := range Zeros {
		a := evaluated(t, only("T"), read(t, only("T"), rising(base, 0)), Options{Zero: z, Degree: 1})
		b := evaluated(t, only("T"), read(t, only("T"), rising(base, 0.0375)), Options{Zero: z, Degree: 1})
		near(t, string(z)+" slope", b.Bridges[0].Forward.Coefficients[1], a.Bridges[0].Forward.Coefficients[1], 1e-10)
		near(t, string(z)+" s", b.Bridges[0].Forward.ResidualSD, a.Bridges[0].Forward.ResidualSD, 1e-7)
		near(t, string(z)+" matrix", b.Matrix.Sensitivity[0][0], a.Matrix.Sensitivity[0][0], 1e-10)
	}
}

// TestZeroBalanceAndShunt: zero readings are the mean of the runs' own, a shunt the
// change from the zero of its run; u by JCGM 100, 4.2.3 from values worked by hand.
func TestZeroBalanceAndShunt(t *testing.T) {
	d := only("T")
	data := read(t, d, "run,torque [N·m],T [mV/V],shunt\n1,0,0.010,\n1,500,1,\n1,0,0.5,\n2,0,0.014,\n2,500,1,\n3,0,0.0120,\n3,0,0.8860,100 kΩ across arm 1\n3,0,0.8840,100 kΩ across arm 1\n")
	z := data.zeroBalance(0, indicator{})
	if z.Missing != "" {
		t.Fatal(z.Missing)
	}
	near(t, "zero", z.Value, 0.012e-3, 1e-12)
	near(t, "u(zero)", z.Standard.Value, 2e-6/math.Sqrt(3), 1e-9) // s = 0.002 mV/V of three
	s := data.shuntReading(0, 0, indicator{resolution: 1e-8, relative: 1e-4})
	if s.Missing != "" {
		t.Fatal(s.Missing)
	}
	near(t, "shunt", s.Value, 0.873e-3, 1e-12)
	scatter := math.Pow(0.001e-3*math.Sqrt2, 2) / 2 // s = 0.001 √2 of two
	near(t, "u(shunt)", s.Standard.Value, math.Sqrt(scatter+2e-16/12+math.Pow(1e-4*0.873e-3, 2)), 1e-9)
	one := mean([]float64{1}, indicator{})
	if one.Standard.OK() {
		t.Error("one reading without resolution has an uncertainty")
	}
	tared := read(t, d, "run,torque [N·m],T [mV/V]\n1,0,0\n1,500,1\n2,0,0\n2,500,1\n")
	if z := tared.zeroBalance(0, indicator{}); z.Missing == "" {
		t.Error("a tared indicator shows a zero balance")
	}
}
