package pick

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gridwright/internal/designfile"
)

// The arrangement of common practice for torque and one bending moment on a
// tube, from rosettes: two of them opposite each other, the four grids at ±45° in
// a full torque bridge, the two in the middle in a half bridge for bending.
func TestTorqueAndOneBendingFromRosettes(t *testing.T) {
	for _, c := range []struct {
		bending, bridge string
		a, b            float64
		arms            string
	}{
		// My > 0 stretches the side at 90°, Mz > 0 that at 180°.
		{"bending-y", "By", 90, 270, "A2, B2, 350 Ω, 350 Ω"},
		{"bending-z", "Bz", 0, 180, "B2, A2, 350 Ω, 350 Ω"},
	} {
		other := map[string]string{"bending-y": "bending-z", "bending-z": "bending-y"}[c.bending]
		w := winner(t, text(tube, []string{"torque: 1200 N·m measure", c.bending + ": 400 N·m measure", other + ": 400 N·m reject", "axial: 15 kN reject"}, []string{"rosette"}, ""))
		expect(t, "angles", fmt.Sprint(angles(w.Design)), fmt.Sprint([]float64{c.a, c.b}))
		expect(t, "torque bridge", arms(w.Design, "T"), "A3, A1, B3, B1")
		expect(t, "bending bridge", arms(w.Design, c.bridge), c.arms)
		m := w.Metrics
		if m.Gauges != 2 || m.Full != 1 || m.Half != 1 || m.HalfSpare != 0 || !m.Opposite || !m.Thermal || m.Grids != 6 || m.Joints != 16 {
			t.Errorf("metrics %+v", m)
		}
		for _, want := range []string{"A3 and B3 stretch and A1 and B1 shorten", "Axial force: A3 and A1, B3 and B1 stretch alike and stand in adjacent arms, so it cancels", "bridge " + c.bridge} {
			if !strings.Contains(w.Why, want) {
				t.Errorf("the reasons lack %q:\n%s", want, w.Why)
			}
		}
	}
}

// Torque of a solid shaft from pairs at ±45°, bending to be rejected: two pairs
// opposite each other in a full bridge (common practice). Its output is that of
// the textbook, F·γ/2 with γ = 16T/(πD³G), grown by stand-off and grid size.
func TestTorqueFromShearPairs(t *testing.T) {
	w := winner(t, text(shaft, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject", "bending-z: 50 N·m reject"}, []string{"pair"}, ""))
	expect(t, "angles", fmt.Sprint(angles(w.Design)), "[0 180]")
	expect(t, "torque bridge", arms(w.Design, "T"), "A2, A1, B2, B1")
	gamma := 16 * 100 / (math.Pi * math.Pow(0.030, 3) * 205e9 / (2 * 1.29))
	want := 2.08 * gamma / 2 * (0.015 + 0.00005) / 0.015
	if got := w.Metrics.Output; math.Abs(got/want-1) > 1e-9 {
		t.Errorf("output %g, want %g", got, want)
	}
}

// With nothing but torque on the part one pair does.
func TestTorqueAloneTakesFewerGauges(t *testing.T) {
	loads := []string{"torque: 100 N·m measure"}
	w := winner(t, text(shaft, loads, []string{"pair"}, ""))
	expect(t, "gauges", w.Metrics.Gauges, 1)
	expect(t, "torque bridge", arms(w.Design, "T"), "A2, A1, 350 Ω, 350 Ω")
	w = winner(t, text(shaft, loads, []string{"pair"}, "pick: {fixed-arms: forbidden}\n"))
	expect(t, "gauges without fixed arms", w.Metrics.Gauges, 2)
	expect(t, "full bridges without fixed arms", w.Metrics.Full, 1)
}

// Axial force of a column from tees: two opposite in a full Poisson bridge
// (common practice), output F·ε·(1+ν)/2 but for transverse sensitivity.
func TestAxialFromTees(t *testing.T) {
	w := winner(t, text(shaft, []string{"axial: 50 kN measure", "bending-y: 50 N·m reject", "bending-z: 50 N·m reject", "torque: 50 N·m reject"}, []string{"tee"}, ""))
	expect(t, "gauges", w.Metrics.Gauges, 2)
	expect(t, "axial bridge", arms(w.Design, "N"), "A1, A2, B1, B2")
	if a := angles(w.Design); a[1]-a[0] != 180 {
		t.Errorf("angles %v", a)
	}
	strain := 50e3 / (math.Pi / 4 * 0.030 * 0.030 * 205e9)
	kt := 0.005
	want := 2.1 / (1 - 0.285*kt) * strain * (1 + 0.29) * (1 - kt) / 2
	small := w.Result.Bridges[0].Sensitivity[w.Result.Bridges[0].Target] * 50e3
	if math.Abs(small/want-1) > 1e-9 {
		t.Errorf("output %g, want %g", small, want)
	}
}

// Torque and both bendings from rosettes on a tube: no two rosettes can do it.
func TestTorqueAndBothBendings(t *testing.T) {
	w := winner(t, text(tube, []string{"torque: 1200 N·m measure", "bending-y: 400 N·m measure", "bending-z: 400 N·m measure", "axial: 15 kN reject"}, []string{"rosette"}, ""))
	if len(w.Design.Bridges) != 3 || w.Metrics.Gauges < 3 {
		t.Errorf("%d bridges, %d gauges", len(w.Design.Bridges), w.Metrics.Gauges)
	}
	used := map[string]bool{}
	for _, b := range w.Design.Bridges {
		for _, a := range b.Arms {
			for _, g := range a.Grids {
				name := w.Design.GridName(g)
				if used[name] {
					t.Errorf("grid %s is used twice", name)
				}
				used[name] = true
			}
		}
	}
}

// Shear force as the difference of bending at two stations: the only way that
// single grids along the part can see it. The output is that of M = V·distance.
func TestShearForceFromTwoStations(t *testing.T) {
	loads := []string{"shear-z: 500 N measure", "bending-y: 100 N·m reject", "axial: 5 kN reject"}
	w := winner(t, text(shaft, loads, []string{"single"}, "pick: {stations: [-40 mm, 40 mm]}\n"))
	expect(t, "angles", fmt.Sprint(angles(w.Design)), "[90 90]")
	expect(t, "shear bridge", arms(w.Design, "Vz"), "B1, A1, 350 Ω, 350 Ω")
	half := w.Metrics.Output
	w = winner(t, text(shaft, loads, []string{"single"}, "pick: {stations: [-40 mm, 40 mm], fixed-arms: forbidden}\n"))
	expect(t, "angles of the full bridge", fmt.Sprint(angles(w.Design)), "[90 270 90 270]")
	if got := w.Metrics.Output; math.Abs(got/half-2) > 1e-3 {
		t.Errorf("the full bridge gives %g, the half bridge %g", got, half)
	}
	i := math.Pi / 64 * math.Pow(0.030, 4)
	strain := 500 * 0.040 * 0.015 / (205e9 * i)
	rough := 2.1 * strain // four arms at the strain of M = V·40 mm; grids average a little less
	if got := w.Metrics.Output; got > rough || got < 0.98*rough {
		t.Errorf("output %g, want just below %g", got, rough)
	}
}

// Internal pressure of a closed tube: hoop against axial strain of a tee.
func TestPressure(t *testing.T) {
	w := winner(t, text(tube, []string{"pressure: 100 bar measure"}, []string{"tee"}, ""))
	expect(t, "gauges", w.Metrics.Gauges, 1)
	expect(t, "pressure bridge", arms(w.Design, "P"), "A2, A1, 350 Ω, 350 Ω")
	// Lamé: σφ = 2p a²/(b²−a²), σx half of it; εφ − εx = (1+ν)(σφ − σx)/E.
	wall := 22.0 * 22.0 / (30*30 - 22*22) * 100e5
	kt := 0.005
	want := 2.1 / (1 - 0.285*kt) * (1 - kt) * 1.29 * wall / 205e9 / 4
	b := w.Result.Bridges[0]
	if got := b.Sensitivity[b.Target] * 100e5; math.Abs(got/want-1) > 1e-9 {
		t.Errorf("output %g, want %g", got, want)
	}
}

// One rosette cannot measure torque and bending: what is nearest is shown.
func TestAtMostOne(t *testing.T) {
	out := find(t, read(t, text(tube, []string{"torque: 1200 N·m measure", "bending-y: 400 N·m measure"}, []string{"rosette"}, "pick: {at-most: 1}\n")), Options{})
	if out.Met || len(out.Candidates) == 0 {
		t.Fatalf("met %v, %d candidates", out.Met, len(out.Candidates))
	}
	c := out.Candidates[0]
	expect(t, "loads without bridge", c.Metrics.NoBridge, 1)
	expect(t, "gauges", c.Metrics.Gauges, 1)
	if len(c.Design.Bridges) != 1 || !strings.Contains(out.Nearest, "no bridge measures") {
		t.Errorf("nearest: %s", out.Nearest)
	}
	// A single grid has nothing beside it.
	out = find(t, read(t, text(tube, []string{"bending-y: 400 N·m measure"}, []string{"single"}, "pick: {at-most: 1}\n")), Options{})
	if out.Met || len(out.Candidates) != 0 || !strings.Contains(out.Nearest, "half bridge takes two grids") {
		t.Errorf("met %v, %d candidates: %s", out.Met, len(out.Candidates), out.Nearest)
	}
}

// Where the limit cannot be kept the nearest says by how much it is missed.
func TestNearestMissesByHowMuch(t *testing.T) {
	// Shear gives the pair on one side as much output as it would a torque.
	loads := []string{"torque: 100 N·m measure", "shear-z: 20 kN reject"}
	out := find(t, read(t, text(shaft, loads, []string{"pair"}, "pick: {at-most: 1, keep-out: [[60°, 120°], [240°, 300°]]}\n")), Options{All: true})
	if out.Met || len(out.Candidates) == 0 {
		t.Fatalf("met %v, %d candidates", out.Met, len(out.Candidates))
	}
	m := out.Candidates[0].Metrics
	if !m.Crosstalk.OK() || math.Abs(m.Excess-(m.Crosstalk.Value/0.0005-1)) > 1e-3*m.Excess || !strings.Contains(out.Nearest, "crosstalk of shear force shear-z in bridge T") {
		t.Errorf("excess %g, crosstalk %+v: %s", m.Excess, m.Crosstalk, out.Nearest)
	}
	// Of all start angles and both turns.
	for _, c := range out.Candidates[1:] {
		if c.Metrics.Crosstalk.Value < m.Crosstalk.Value*(1-1e-6) {
			t.Errorf("candidate %d has crosstalk %g, the first %g", c.Rank, c.Metrics.Crosstalk.Value, m.Crosstalk.Value)
		}
	}
	for _, req := range []struct{ key, words string }{
		{"rated-output: {at-least: 50 mV/V}", "rated output of bridge T"},
		{"yield-factor: {at-least: 1000}", "yield factor is"},
		{"strain: {at-most: 1 µε}", "strain of grid"},
		{"nonlinearity: {at-most: 0 %}, rated-output: {at-least: 50 mV/V}", "rated output of bridge T"},
	} {
		out := find(t, read(t, text(shaft, []string{"torque: 100 N·m measure", "bending-y: 10 N·m reject"}, []string{"pair"}, "require: {"+req.key+"}\n")), Options{})
		if out.Met || len(out.Candidates) == 0 || !strings.Contains(out.Nearest, req.words) {
			t.Errorf("%s: met %v, nearest %q", req.key, out.Met, out.Nearest)
		}
	}
}

// What only the exact prediction knows counts too: a full Poisson bridge is not
// linear, the half of (1−ν) of its strain being common to both arms.
func TestNonlinearityIsJudged(t *testing.T) {
	base := text(shaft, []string{"axial: 50 kN measure", "bending-y: 50 N·m reject"}, []string{"tee"}, "require: {nonlinearity: {at-most: LIMIT}}\n")
	loose := find(t, read(t, strings.Replace(base, "LIMIT", "1 %", 1)), Options{})
	tight := find(t, read(t, strings.Replace(base, "LIMIT", "0.001 %", 1)), Options{})
	if !loose.Met || tight.Met || len(tight.Candidates) == 0 || !strings.Contains(tight.Nearest, "nonlinearity of bridge N is") {
		t.Errorf("loose %v, tight %v: %s", loose.Met, tight.Met, tight.Nearest)
	}
	expect(t, "proof", tight.Proof, Bounded)
}

// Two lots in one placed set: adjacent arms are of one lot each.
func TestTwoLots(t *testing.T) {
	gaugeTexts["other"] = strings.Replace(gaugeTexts["pair"], "350 Ω", "120 Ω", 1)
	base := text(shaft, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject"}, []string{"pair", "other"},
		"placements:\n  A: {gauge: pair, around: 0°}\n  B: {gauge: other, around: 180°}\n")
	w := winner(t, base)
	expect(t, "torque bridge", arms(w.Design, "T"), "A2, A1, B2, B1")
	if len(w.Design.Placements) != 2 {
		t.Errorf("%d placements", len(w.Design.Placements))
	}
	// Two singles of different lots cannot compensate each other.
	gaugeTexts["lot2"] = gaugeTexts["single"]
	out := find(t, read(t, text(shaft, []string{"bending-y: 50 N·m measure"}, []string{"single", "lot2"},
		"placements:\n  A: {gauge: single, around: 90°}\n  B: {gauge: lot2, around: 270°}\n")), Options{})
	if out.Met || len(out.Candidates) == 0 || !strings.Contains(out.Nearest, "different lots") {
		t.Errorf("met %v: %s", out.Met, out.Nearest)
	}
}

// Gauges that are bonded are wired as they are: where they are measured, with the
// resistances found, and with none exchanged or added.
func TestMeasuredPlacements(t *testing.T) {
	base := text(shaft, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject"}, []string{"pair"},
		"placements:\n  A: {gauge: pair, around: 10°, measured: {around: 11°, resistance: [350.4 Ω, 349.7 Ω]}}\n  B: {gauge: pair, around: 190°, measured: {around: 191°}}\n")
	w := winner(t, base)
	expect(t, "torque bridge", arms(w.Design, "T"), "A2, A1, B2, B1")
	expect(t, "measured angle", w.Design.Placements[0].Measured.Around.SI, 11*deg)
	// R3/(R3+R4) − R2/(R1+R2) with A2, 349.7 Ω, as arm 1 and A1, 350.4 Ω, as arm 2.
	if z := w.Result.Bridges[0].Balance.Nominal; math.Abs(z-(0.5-350.4/700.1)) > 1e-12 {
		t.Errorf("zero balance %g", z)
	}
}

// Unequal gauge factors leave some axial force in a torque bridge of pairs,
//
//	(F2 − F1)/(F2 + F1) · ε(1−ν)/γ
//
// with ε of the axial force and γ of the torque, the stand-off included.
func TestUnequalGaugeFactors(t *testing.T) {
	gaugeTexts["unequal"] = strings.Replace(gaugeTexts["pair"], "gauge-factor: 2.08", "gauge-factor: [2.08, 2.12]", 1)
	base := text(shaft, []string{"torque: 100 N·m measure", "axial: 20 kN reject", "bending-y: 20 N·m reject"}, []string{"unequal"}, "require: {crosstalk: {at-most: LIMIT}}\n")
	w := winner(t, strings.Replace(base, "LIMIT", "1 %", 1))
	gamma := 16 * 100 / (math.Pi * math.Pow(0.030, 3) * 205e9 / (2 * 1.29)) * 15.05 / 15
	strain := 20e3 / (math.Pi / 4 * 0.030 * 0.030 * 205e9)
	want := 0.04 / 4.20 * strain * (1 - 0.29) / gamma
	if got := w.Metrics.Crosstalk.Value; math.Abs(got/want-1) > 1e-6 || !strings.Contains(w.Why, "of rated output is left") {
		t.Errorf("crosstalk %g, by hand %g:\n%s", got, want, w.Why)
	}
	if out := find(t, read(t, strings.Replace(base, "LIMIT", fmt.Sprintf("%.6f %%", 99*want), 1)), Options{}); out.Met && out.Candidates[0].Metrics.Crosstalk.Value > 0.99*want {
		t.Errorf("crosstalk %g passes a limit of %g", out.Candidates[0].Metrics.Crosstalk.Value, 0.99*want)
	}
}

// The excitation is the greatest usual one that the power density allows: 5 V of
// 5.8 V for 350 Ω, 8 mm² and 3 mW/mm² in arms of one grid (U = 2√(R·A·q)), 10 V
// in arms of two.
func TestExcitation(t *testing.T) {
	for _, c := range []struct {
		key  string
		want float64
	}{{"power-density: 3 mW/mm²", 5}, {"heat-sink: good", 5}, {"heat-sink: fair", 4}, {"heat-sink: poor", 1}, {"power-density: 0.05 mW/mm²", 0}} {
		gaugeTexts["hot"] = strings.Replace(gaugeTexts["pair"], "length: 3 mm, width: 2.5 mm", "length: 3.2 mm, width: 2.5 mm", 1) + ", " + c.key
		w := winner(t, text(shaft, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject"}, []string{"hot"}, ""))
		expect(t, c.key, w.Design.Bridges[0].Excitation.SI, c.want)
		limit := map[string]float64{"power-density: 3 mW/mm²": 3000, "heat-sink: good": 3100, "heat-sink: fair": 1600, "heat-sink: poor": 310}[c.key]
		if f := w.Result.Bridges[0].Signal.PowerDensity; f.OK() && f.Value > limit {
			t.Errorf("%s: %g W/m²", c.key, f.Value)
		}
	}
}

// Leads that reach two arms only leave half bridges; two wires leave nothing.
func TestLeads(t *testing.T) {
	d := read(t, text(shaft, []string{"torque: 100 N·m measure", "bending-y: 50 N·m reject"}, []string{"pair"}, ""))
	d.Leads.Wires, d.Leads.AtInstrument = 3, true
	d.Leads.Each = si(0.5, "leads.each")
	out := find(t, d, Options{})
	if !out.Met || out.Candidates[0].Metrics.Full != 0 {
		t.Errorf("met %v, metrics %+v", out.Met, out.Candidates[0].Metrics)
	}
	d.Leads.Wires = 2
	out = find(t, d, Options{})
	if out.Met || len(out.Candidates) != 0 || !strings.Contains(out.Nearest, "leads") {
		t.Errorf("met %v: %s", out.Met, out.Nearest)
	}
}

// Every candidate, spliced into the text and read again, predicts the same.
func TestCandidatesReadBack(t *testing.T) {
	base := text(tube, []string{"torque: 1200 N·m measure", "bending-y: 400 N·m measure", "shear-z: 2 kN reject", "axial: 15 kN reject"}, []string{"rosette"},
		"leads: {wires: 4, each: 2 Ω}\ninstrument: {input-resistance: 100 kΩ}\ntemperature: {range: [0 °C, 60 °C]}\npick: {keep-out: [[85°, 95°]]}\nrequire: {crosstalk: {at-most: 2 %}}\n")
	out := find(t, read(t, base), Options{All: true})
	if len(out.Candidates) < 20 {
		t.Fatalf("%d candidates", len(out.Candidates))
	}
	for _, c := range out.Candidates {
		spliced, err := designfile.Splice([]byte(base), designfile.Describe(c.Design))
		if err != nil {
			t.Fatal(err)
		}
		again := find1(t, string(spliced))
		for i := range c.Result.Bridges {
			a, b := &c.Result.Bridges[i], &again.Bridges[i]
			if a.Name != b.Name || math.Abs(a.Rated-b.Rated) > 1e-9*math.Abs(a.Rated) {
				t.Fatalf("candidate %d: bridge %s %g, read back %s %g", c.Rank, a.Name, a.Rated, b.Name, b.Rated)
			}
			for j := range a.Sensitivity {
				if math.Abs(a.Sensitivity[j]-b.Sensitivity[j]) > 1e-8*math.Abs(a.Sensitivity[a.Target]) {
					t.Fatalf("candidate %d: sensitivity %d of %s is %g, read back %g", c.Rank, j, a.Name, a.Sensitivity[j], b.Sensitivity[j])
				}
			}
		}
	}
}
