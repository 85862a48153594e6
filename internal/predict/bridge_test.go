package predict_test

import (
	"fmt"
	"math"
	"testing"
)

// A bridge that gives nothing for what it measures has no crosstalk, drift, condition
// or equivalent load: each is missing with the reason, and nothing is NaN or infinite.
func TestBlindBridge(t *testing.T) {
	for name, arms := range map[string]string{
		"arms in the wrong order": "A3, A1, B1, B3",
		"opposite grids cancel":   "A3, B3, 350 Ω, 350 Ω",
		"axial grid in torque":    "350 Ω, 350 Ω, 350 Ω, A2",
	} {
		r := of(t, fmt.Sprintf(tube, arms, "B2, 350 Ω, 350 Ω, 350 Ω", oneShunt))
		sensible(t, r)
		b := r.Bridges[0]
		if !b.Blind {
			t.Errorf("%s: rated output %g of %g is not called blind", name, b.Rated, b.Capacity)
		}
		figures := map[string]bool{"nonlinearity": b.Nonlinearity.OK(), "zero drift": b.Temperature.ZeroDrift.OK(), "gradient": b.Temperature.ZeroGradient.OK(),
			"span drift": b.Temperature.SpanDrift.OK(), "smallest": b.Signal.Smallest.OK(), "equivalent": b.Shunts[0].Equivalent.OK(), "condition": r.Matrix.Condition.OK()}
		for j, f := range b.Crosstalk {
			figures[fmt.Sprint("crosstalk ", j)] = f.OK()
		}
		for _, row := range b.Temperature.Rows {
			figures["span"] = figures["span"] || row.Span.OK()
		}
		for what, ok := range figures {
			if ok {
				t.Errorf("%s: %s holds", name, what)
			}
		}
		if len(b.Temperature.Rows) != 21 || !b.Signal.Power.OK() {
			t.Errorf("%s: zero and power do not need an output", name)
		}
	}
	r := of(t, fmt.Sprintf(tube, torqueArms, bendingArms, oneShunt))
	sensible(t, r)
	if r.Bridges[0].Blind || r.Bridges[1].Blind {
		t.Error("the right order is not blind")
	}
}

// Nonlinearity of a column with Poisson grids, opposite grids and a quarter bridge
// against closed forms: for e = A x/(2 + c x) the departure from the line to rated load
// is largest at x = 2(√(1 + cX/2) − 1)/c, where e' = e(X)/X.
func TestNonlinearityAgainstClosedForms(t *testing.T) {
	for _, c := range []struct {
		name, arms string
		a, curve   float64
	}{
		{"column", "[A1, A2, B1, B2]", 1.3, 0.7},
		{"half Poisson", "[A1, A2, 350 Ω, 350 Ω]", 0.65, 0.7},
		{"quarter", "[A1, 350 Ω, 350 Ω, 350 Ω]", 0.5, 1},
		{"opposite pair", "[A1, 350 Ω, B1, 350 Ω]", 1, 1},
		{"quarter, reversed", "[350 Ω, A1, 350 Ω, 350 Ω]", -0.5, 1},
	} {
		for _, kilonewton := range []float64{60, -60, 300} {
			r := of(t, fmt.Sprintf(`gridwright: 1
title: column
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 20 mm}}
loads: {axial: {rated: %g kN, use: measure}}
gauges: {T: {pattern: tee, grid: {length: 2 mm, width: 1 mm}, resistance: 350 Ω, gauge-factor: 2}}
placements: {A: {gauge: T, around: 0°}, B: {gauge: T, around: 180°}}
bridges: {N: {measures: axial, arms: %s}}
`, kilonewton, c.arms))
			x := 2 * kilonewton * 1e3 / (math.Pi * 1e-4) / 200e9
			e := func(x float64) float64 { return c.a * x / (2 + c.curve*x) }
			what := fmt.Sprintf("%s at %g kN", c.name, kilonewton)
			near(t, what+", V/E", r.Bridges[0].Rated, e(x), 1e-14)
			at := 2 * (math.Sqrt(1+c.curve*x/2) - 1) / c.curve
			near(t, what+", nonlinearity", value(t, what, r.Bridges[0].Nonlinearity), math.Abs(e(at)-e(x)*at/x)/math.Abs(e(x)), 1e-12)
			near(t, what+", sensitivity", r.Bridges[0].Sensitivity[0], c.a*x/2/(kilonewton*1e3), 1e-20)
		}
	}
}

// A shunt lowers its arm: negative for arms 1 and 3, positive for 2 and 4, and the load
// that it stands for is that over the sensitivity, sign and all.
func TestShuntSigns(t *testing.T) {
	for _, reversed := range []bool{false, true} {
		arms := torqueArms
		if reversed {
			arms = "A1, A3, B1, B3"
		}
		text := fmt.Sprintf(tube, arms, bendingArms, "{resistor: 100 kΩ, arm: 1}, {resistor: 100 kΩ, arm: 2}, {resistor: 50 kΩ, arm: 3}, {resistor: 100 kΩ, arm: 4, at: part}")
		b := of(t, text).Bridges[0]
		for i, sign := range []float64{-1, 1, -1, 1} {
			rs := []float64{100e3, 100e3, 50e3, 100e3}[i]
			sh := b.Shunts[i]
			near(t, fmt.Sprintf("shunt on arm %d", i+1), sh.Output, sign*350/(4*rs+2*350), 1e-15)
			near(t, "equivalent", value(t, "equivalent", sh.Equivalent), sh.Output/b.Sensitivity[b.Target], 1e-9)
			if got := value(t, "equivalent", sh.Equivalent); (got*sign > 0) == reversed {
				t.Errorf("arm %d stands for %g N·m, reversed bridge: %v", i+1, got, reversed)
			}
			if sh.Arm != i+1 || sh.Resistor != rs {
				t.Errorf("shunt %+v", sh)
			}
		}
	}
}

// Zero balance of arms of unequal resistance, with the half-widths summed by root of
// squares and in the worst case: ∂V/∂R = R/(R+R)² of the other arm for each.
func TestZeroBalance(t *testing.T) {
	r := of(t, `gridwright: 1
title: balance
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 20 mm}}
loads: {axial: {rated: 10 kN, use: measure}}
gauges: {T: {pattern: tee, grid: {length: 2 mm, width: 1 mm}, resistance: [350 Ω ± 0.2 %, 352 Ω ± 0.5 Ω (k=2)], gauge-factor: 2}}
placements: {A: {gauge: T, around: 0°}, B: {gauge: T, around: 180°, measured: {resistance: [349 Ω ± 0.02 Ω, 353 Ω]}}}
bridges: {N: {measures: axial, arms: [[A1, B1], [A2, B2], {value: 700 Ω ± 0.1 %, tcr: 5 ppm/K}, 701 Ω]}}
`)
	b := r.Bridges[0].Balance
	a1, a2, a3, a4 := 350.0+349, 352.0+353, 700.0, 701.0
	near(t, "nominal", b.Nominal, ringOf(a1, a2, a3, a4), 1e-16)
	w1, w2, w3 := a2/(a1+a2)/(a1+a2), a1/(a1+a2)/(a1+a2), a4/(a3+a4)/(a3+a4)
	near(t, "worst", b.Worst, w1*(0.7+0.02)+w2*0.5+w3*0.7, 1e-16)
	near(t, "rss", b.RSS, math.Sqrt(w1*w1*(0.49+0.0004)+w2*w2*0.25+w3*w3*0.49), 1e-16)
	// such a bridge rests off balance; its rated output is counted from there
	x := 2 * 10e3 / (math.Pi * 1e-4) / 200e9
	near(t, "rated", r.Bridges[0].Rated, ringOf(a1*(1+x), a2*(1-0.3*x), a3, a4)-ringOf(a1, a2, a3, a4), 1e-15)
}

// Crosstalk is |S_j · rated_j| over |S_t · rated_t|, and each grid's figures are at rated
// load: strain along and across, and ΔR/R by the gauge factor's definition.
func TestCrosstalkAndGrids(t *testing.T) {
	r := of(t, fmt.Sprintf(tube, torqueArms, bendingArms, oneShunt))
	for _, b := range r.Bridges {
		for j, f := range b.Crosstalk {
			if j == b.Target {
				if f.OK() {
					t.Error("crosstalk of the measured load")
				}
				continue
			}
			want := math.Abs(b.Sensitivity[j] * r.Model.Rated[j] / (b.Sensitivity[b.Target] * r.Model.Rated[b.Target]))
			near(t, "crosstalk", value(t, "crosstalk", f), want, 1e-15)
		}
	}
	for i, g := range r.Grids {
		lot := r.Model.Design.Gauges[0]
		total := 0.0
		for j := range g.Along {
			k, f := lot.Transverse[i%3].SI, lot.GaugeFactor[i%3].SI
			near(t, "ΔR/R", g.Change[j], f/(1-0.285*k)*(g.Along[j]+k*g.Across[j]), 1e-16)
			total += math.Abs(g.Along[j])
		}
		near(t, "total strain", g.TotalAlong, total, 1e-16)
		near(t, "direction", g.Direction/deg, []float64{-45, 0, 45}[i%3], 1e-12)
		centre := 90 + 180*float64(i/3) + []float64{-3.5, 0, 3.5}[i%3]/30/deg
		near(t, "around", g.Around/deg, centre, 1e-10)
	}
}

// Angles of results lie in [0°, 360°) and (−90°, 90°].
func TestAnglesAreFolded(t *testing.T) {
	for _, c := range []struct{ around, direction, wantAround, wantDirection float64 }{
		{-90, 0, 270, 0}, {720, 90, 0, 90}, {359.5, -90, 359.5, 90}, {450, 135, 90, -45}, {0, 180, 0, 0}, {360, -135, 0, 45},
	} {
		r := of(t, fmt.Sprintf(`gridwright: 1
title: angles
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 20 mm}}
loads: {axial: {rated: 10 kN, use: measure}}
gauges: {S: {pattern: single, grid: {length: 2 mm, width: 1 mm}, resistance: 350 Ω, gauge-factor: 2}}
placements: {A: {gauge: S, around: %g°, direction: %g°}}
`, c.around, c.direction))
		near(t, fmt.Sprintf("around %g", c.around), r.Grids[0].Around/deg, c.wantAround, 1e-9)
		near(t, fmt.Sprintf("direction %g", c.direction), r.Grids[0].Direction/deg, c.wantDirection, 1e-9)
	}
}

// Power goes to the hottest grid: in a quarter bridge with a low neighbour the grid
// carries E/(Rg + R2), and grids in series share it.
func TestPowerOfTheHottestGrid(t *testing.T) {
	r := of(t, `gridwright: 1
title: power
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 20 mm}}
loads: {axial: {rated: 10 kN, use: measure}}
gauges: {S: {pattern: single, grid: {length: 2 mm, width: 1 mm}, resistance: 350 Ω, gauge-factor: 2}, L: {pattern: single, grid: {length: 6 mm, width: 3 mm}, resistance: 400 Ω, gauge-factor: 2}}
placements: {A: {gauge: S, around: 0°}, B: {gauge: L, around: 90°}, C: {gauge: S, around: 180°}}
bridges: {N: {measures: axial, arms: [[A1, B1], 250 Ω, C1, 350 Ω], excitation: 4 V}}
instrument: {noise: 1 µV, bandwidth: 10 Hz}
`)
	s := r.Bridges[0].Signal
	i, k := 4.0/1000, 4.0/700
	near(t, "power", value(t, "power", s.Power), math.Max(i*i*400, k*k*350), 1e-15)
	near(t, "density", value(t, "density", s.PowerDensity), k*k*350/2e-6, 1e-9*k*k*350/2e-6)
	if r.Grids[s.Hottest].Name != "C1" {
		t.Errorf("hottest grid %s", r.Grids[s.Hottest].Name)
	}
	// Ro = R1‖R2 + R3‖R4
	ro := 750.0*250/1000 + 350.0/2
	johnson := math.Sqrt(4 * 1.380649e-23 * 293.15 * ro * 10)
	near(t, "johnson", value(t, "johnson", s.Johnson), johnson, 1e-12*johnson)
	step := math.Hypot(johnson, 1e-6) / math.Abs(r.Bridges[0].Sensitivity[0]*4)
	near(t, "smallest step", value(t, "smallest", s.Smallest), step, 1e-12*step)
}

// What is left below 1e-9 of what the grids contribute is rounding or a misprint of a
// figure, not an output: factors that differ by half of that leave the bridge blind,
// factors that differ by a thousandth do not.
func TestBlindIsRelativeToTheGrids(t *testing.T) {
	for _, c := range []struct {
		factor string
		blind  bool
	}{{"2.000000001", true}, {"2.002", false}} {
		b := of(t, fmt.Sprintf(`gridwright: 1
title: cancelling
part: {material: {youngs-modulus: 200 GPa, poisson-ratio: 0.3}, section: {shape: round, outside-diameter: 20 mm}}
loads: {axial: {rated: 400 kN, use: measure}}
gauges: {S: {pattern: custom, directions: [0°, 0°], grid: {length: 2 mm, width: 1 mm}, resistance: 350 Ω, gauge-factor: [2, %s]}}
placements: {A: {gauge: S, around: 0°}}
bridges: {N: {measures: axial, arms: [A2, A1, 350 Ω, 350 Ω]}}
`, c.factor)).Bridges[0]
		if b.Rated <= 1e-12 || b.Blind != c.blind {
			t.Errorf("factor %s: rated %g of %g, blind %v", c.factor, b.Rated, b.Capacity, b.Blind)
		}
	}
}
