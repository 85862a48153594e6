package calibration

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/predict"
)

// torqueReadings are two series at 0° and one at each of 120° and 240°, the last two
// with falling steps; mV/V.
var torqueReadings = strings.Join([]string{
	"run,position,stepping,torque [N·m],T [mV/V]",
	"1,0,zero,0,0", "1,0,up,500,1.0000", "1,0,up,1000,2.0000", "1,0,zero,0,0",
	"2,0,zero,0,0", "2,0,up,500,1.0002", "2,0,up,1000,2.0002", "2,0,zero,0,0.0002",
	"3,120,zero,0,0", "3,120,up,500,1.0004", "3,120,up,1000,2.0006", "3,120,down,500,1.0010", "3,120,zero,0,0.0004",
	"4,240,zero,0,0", "4,240,up,500,0.9998", "4,240,up,1000,1.9996", "4,240,down,500,1.0002", "4,240,zero,0,-0.0001", "",
}, "\n")

// TestTorqueFigures: the figures of the torque scheme, worked by hand. At 500 N·m X of
// the three positions are 1.0000, 1.0004, 0.9998: X̄ = 1.00006667, s = 3.0551e-4.
func TestTorqueFigures(t *testing.T) {
	d := only("T")
	b := evaluated(t, d, read(t, d, torqueReadings), Options{Method: Torque, Degree: 1}).Bridges[0]
	s := b.Steps[0]
	mean := 3.0002 / 3
	dev := 0.0
	for _, x := range []float64{1, 1.0004, .9998} {
		dev += (x - mean) * (x - mean)
	}
	sd := math.Sqrt(dev / 2)
	near(t, "X̄", s.Mean.Value, mean*1e-3, 1e-12)
	near(t, "b", s.Reproducibility.Value, sd/mean, 1e-9)
	near(t, "b′", s.Repeatability.Value, .0002/1.0001, 1e-9)
	near(t, "h", s.Reversibility.Value, (.0006+.0004)/2/mean, 1e-9)
	top := (2.0000 + 2.0006 + 1.9996) / 3
	near(t, "f0", b.Figures.Zero.Value, .0004/top, 1e-9)
	slope := (500*mean + 1000*top) / (500*500 + 1000*1000) // through the origin
	near(t, "slope", b.Forward.Coefficients[1], slope*1e-3, 1e-12)
	near(t, "fa", s.Interpolation.Value, (mean-500*slope)/(500*slope), 1e-6)
	near(t, "sensitivity", b.Sensitivity.Value, slope*1e-3, 1e-12)

	want := map[string]float64{"reproducibility": sd / mean / math.Sqrt(3), "repeatability": .0002 / 1.0001 / (2 * math.Sqrt(3)), "zero": .0004 / top / (2 * math.Sqrt(3)),
		"fit": math.Abs(s.Interpolation.Value) / math.Sqrt(6), "reversibility": .0005 / mean / (2 * math.Sqrt(3))}
	sum := 0.0
	for _, term := range s.Uncertainty.Terms {
		if w, ok := want[term.Name]; ok {
			near(t, term.Name, term.Standard.Value, w, 1e-9)
			sum += w * w
		} else if term.Standard.OK() {
			t.Errorf("%s: %g, but nothing is stated", term.Name, term.Standard.Value)
		}
	}
	near(t, "W", s.Uncertainty.Expanded.Value, 2*math.Sqrt(sum), 1e-9)
	for _, f := range []float64{500, 1000} {
		for i := range b.Steps {
			if b.Steps[i].Load == f && b.InUse.At(f) < b.Steps[i].Uncertainty.Standard.Value*f*(1-1e-12) {
				t.Errorf("in use, at %g N·m: %g, less than the budget's %g", f, b.InUse.At(f), b.Steps[i].Uncertainty.Standard.Value*f)
			}
		}
	}
}

// TestStatedUncertainties: what the design states of load, indicator and resolution is in
// the budget: 0.02 %, 0.01 %, and steps of 1 µV/V, 0.49997 N·m, of which two are read.
func TestStatedUncertainties(t *testing.T) {
	d := only("T")
	for n, v := range map[*design.Number]float64{&d.Calibration.StandardUncertainty: 2e-4, &d.Calibration.IndicatorUncertainty: 1e-4, &d.Calibration.IndicatorResolution: 1e-6} {
		n.SI, n.Set = v, true
	}
	for _, m := range Methods {
		b := evaluated(t, d, read(t, d, torqueReadings), Options{Method: m, Degree: 1}).Bridges[0]
		got := map[string]float64{}
		for _, term := range b.Steps[0].Uncertainty.Terms {
			got[term.Name] = term.Standard.Value
		}
		step := 1e-6 * 1000 / ((2.0000 + 2.0006 + 1.9996) / 3 * 1e-3)
		near(t, string(m)+": resolution as torque", b.Figures.Resolution.Value, step, 1e-9)
		near(t, string(m)+": applied load", got["applied load"], 2e-4, 1e-12)
		near(t, string(m)+": indicator", got["indicator"], 1e-4, 1e-12)
		near(t, string(m)+": resolution", got["resolution"], step/500*math.Sqrt(2)/(2*math.Sqrt(3)), 1e-9)
		r := evaluated(t, d, read(t, d, torqueReadings), Options{Method: m, Degree: 1})
		near(t, "u(S)", r.Matrix.Standard[0][0], math.Hypot(r.Matrix.Scatter[0][0], r.Matrix.Sensitivity[0][0]*math.Hypot(2e-4, 1e-4)), 1e-12)
		if r.Matrix.Standard[0][0] < 1.1*r.Matrix.Scatter[0][0] {
			t.Error("the stated uncertainties make no difference, so the test shows nothing")
		}
	}
}

// TestNearbyLoads: loads that differ by less than 0.2 % are one step, their outputs taken
// to its mean load, so that a perfect bridge is perfectly repeatable.
func TestNearbyLoads(t *testing.T) {
	d := only("T")
	text := "run,torque [N·m],T [mV/V]\n1,0,0\n1,500,1\n1,1000,2\n2,0,0\n2,500.4,1.0008\n2,999.5,1.999\n"
	b := evaluated(t, d, read(t, d, text), Options{Degree: 1}).Bridges[0]
	if len(b.Steps) != 2 || b.Figures.Repeatability.Value > 1e-12 || !strings.Contains(strings.Join(b.Notes, ";"), "mean load") {
		t.Errorf("%d steps, repeatability %+v, notes %v", len(b.Steps), b.Figures.Repeatability, b.Notes)
	}
	near(t, "mean load", b.Steps[0].Load, 500.2, 1e-12)
}

// TestReadingsOfTheFit: the scheme of E74 fits rising readings alone, plain all of them.
func TestReadingsOfTheFit(t *testing.T) {
	d := only("T")
	for m, want := range map[Method]int{ForceE74: 8, Plain: 10, Force376: 2, Torque: 2} {
		b := evaluated(t, d, read(t, d, torqueReadings), Options{Method: m, Degree: 1}).Bridges[0]
		if b.Forward.Readings != want {
			t.Errorf("%s: %d readings in the fit, want %d", m, b.Forward.Readings, want)
		}
	}
}

// TestClassOfTorque: b = 0.0305 % and 0.0252 %, b′ = 0.02 %, h = 0.05 %, f0 = 0.02 %: f0
// keeps it from class 0.05 (0.0125 %), all are within class 0.1.
func TestClassOfTorque(t *testing.T) {
	d := only("T")
	c := evaluated(t, d, read(t, d, torqueReadings), Options{Method: Torque, Degree: 1}).Bridges[0].Class
	if c.Name != "0.1" || c.From != 500 || c.Confirmed || !strings.Contains(c.Source, "from memory") {
		t.Errorf("%+v", c)
	}
	c = evaluated(t, d, read(t, d, torqueReadings), Options{Method: Torque, Degree: 1, LimitsConfirmed: true}).Bridges[0].Class
	if !c.Confirmed || strings.Contains(c.Source, "from memory") {
		t.Errorf("%+v", c)
	}
}

// keep the lines of a table that do not begin with one of the prefixes.
func without(text string, prefixes ...string) string {
	var out []string
	for _, line := range strings.Split(text, "\n") {
		drop := false
		for _, p := range prefixes {
			drop = drop || strings.HasPrefix(line, p)
		}
		if !drop {
			out = append(out, line)
		}
	}
	return strings.Join(out, "\n")
}

// TestLacking: what the data lack is missing with the reason, never zero, and there is
// no class.
func TestLacking(t *testing.T) {
	d := only("T")
	get := map[string]func(*Bridge) predict.Figure{
		"repeatability":   func(b *Bridge) predict.Figure { return b.Figures.Repeatability },
		"reproducibility": func(b *Bridge) predict.Figure { return b.Figures.Reproducibility },
		"reversibility":   func(b *Bridge) predict.Figure { return b.Figures.Reversibility },
		"zero":            func(b *Bridge) predict.Figure { return b.Figures.Zero },
		"creep":           func(b *Bridge) predict.Figure { return b.Figures.Creep },
		"resolution":      func(b *Bridge) predict.Figure { return b.Figures.Resolution },
		"lower limit":     func(b *Bridge) predict.Figure { return b.Figures.LowerLimitFactor },
	}
	for _, c := range []struct{ text, figure, why, class string }{
		{without(torqueReadings, "2,"), "repeatability", noRepeat, "no repeatability"},
		{without(torqueReadings, "3,", "4,"), "reproducibility", noRotation, "no reproducibility"},
		{without(torqueReadings, "3,120,down", "4,240,down"), "reversibility", noReversal, "no reversibility"},
		{without(torqueReadings, "1,0,zero,0,0\n", "4,"), "creep", "no column time", "2 mountings"},
		{torqueReadings, "resolution", "not stated in the design", ""},
		{torqueReadings, "lower limit", "the method torque has none", ""},
	} {
		b := evaluated(t, d, read(t, d, c.text), Options{Method: Torque, Degree: 1}).Bridges[0]
		f := get[c.figure](&b)
		if f.OK() || !strings.Contains(f.Missing, c.why) {
			t.Errorf("%s: %+v, want missing: %s", c.figure, f, c.why)
		}
		if c.class != "" && (b.Class.Name != "" || !strings.Contains(b.Class.Missing, c.class)) {
			t.Errorf("without %s: class %q, missing %q", c.figure, b.Class.Name, b.Class.Missing)
		}
	}
}

// TestMountings: series at one position count as mounted again when the column says so.
func TestMountings(t *testing.T) {
	d := only("T")
	var lines []string
	for i, line := range strings.Split(torqueReadings, "\n") {
		switch {
		case line == "":
		case i == 0:
			lines = append(lines, line+",mounting")
		default:
			f := strings.Split(line, ",")
			n := map[string]string{"1": "1", "2": "1", "3": "2", "4": "3"}[f[0]]
			f[1] = "0"
			lines = append(lines, strings.Join(f, ",")+","+n)
		}
	}
	a := evaluated(t, d, read(t, d, torqueReadings), Options{Method: Torque, Degree: 1}).Bridges[0]
	b := evaluated(t, d, read(t, d, strings.Join(lines, "\n")+"\n"), Options{Method: Torque, Degree: 1}).Bridges[0]
	near(t, "b", b.Figures.Reproducibility.Value, a.Figures.Reproducibility.Value, 1e-12)
	near(t, "b′", b.Figures.Repeatability.Value, a.Figures.Repeatability.Value, 1e-12)
}

// TestCreep: i(300 s) − i(30 s) of the hold at the largest load, by straight lines: 2.0001
// to 2.0006 of 2.0006.
func TestCreep(t *testing.T) {
	d := only("T")
	text := "run,torque [N·m],T [mV/V],time [s]\n1,0,0,0\n1,500,1,20\n1,1000,2.0000,40\n1,1000,2.0002,100\n1,1000,2.0006,340\n1,0,0.0003,360\n"
	b := evaluated(t, d, read(t, d, text), Options{Degree: 1}).Bridges[0]
	mean := (2.0000 + 2.0002 + 2.0006) / 3
	near(t, "creep", b.Figures.Creep.Value, (2.0006-2.0001)/mean, 1e-9)
	short := strings.Replace(text, ",340", ",200", 1)
	if c := evaluated(t, d, read(t, d, short), Options{Degree: 1}).Bridges[0].Figures.Creep; c.OK() || !strings.Contains(c.Missing, "300 s") {
		t.Errorf("creep of a hold of 160 s: %+v", c)
	}
}

// TestForceUnits: the same calibration written in lbf·in gives the same figures.
func TestForceUnits(t *testing.T) {
	d := only("T")
	var lines []string
	for _, line := range strings.Split(strings.Replace(torqueReadings, "torque [N·m]", "torque [lbf·in]", 1), "\n") {
		f := strings.Split(line, ",")
		if len(f) == 5 && f[2] != "stepping" {
			var x float64
			fmt.Sscan(f[3], &x)
			f[3] = fmt.Sprintf("%.12f", x/0.1129848290276167)
		}
		lines = append(lines, strings.Join(f, ","))
	}
	a := evaluated(t, d, read(t, d, torqueReadings), Options{Method: Torque})
	b := evaluated(t, d, read(t, d, strings.Join(lines, "\n")), Options{Method: Torque})
	near(t, "sensitivity", b.Bridges[0].Sensitivity.Value, a.Bridges[0].Sensitivity.Value, 1e-11)
	near(t, "b", b.Bridges[0].Figures.Reproducibility.Value, a.Bridges[0].Figures.Reproducibility.Value, 1e-9)
	near(t, "matrix", b.Matrix.Sensitivity[0][0], a.Matrix.Sensitivity[0][0], 1e-11)
	if a.Bridges[0].Class.Name != b.Bridges[0].Class.Name {
		t.Error("another class in other units")
	}
}

// TestOutlierIsNamed: one slipped reading is named with its line and not left out; without
// it nobody is, in 95 % of calibrations (Bonferroni; 300 of them, so 15 expected, and
// more than 30 have a probability below 1e-3).
func TestOutlierIsNamed(t *testing.T) {
	d := only("T")
	text := strings.Replace(rising([][]float64{{.2001, .4003, .6002, .8001, 1.0004}, {.2002, .4001, .6003, .8003, 1.0001}, {.2000, .4004, .6004, .8000, 1.0003}}, 0), "2,0,up,300,0.600300000", "2,0,up,300,0.630300000", 1)
	r := evaluated(t, d, read(t, d, text), Options{Degree: 1})
	if len(r.Outliers) != 1 || r.Outliers[0].Line != 12 {
		t.Errorf("outliers %v", r.Outliers)
	}
	if r.Bridges[0].Forward.Readings != 15 {
		t.Errorf("%d readings in the fit", r.Bridges[0].Forward.Readings)
	}
	random, flagged := newNoise(7), 0
	for range 300 {
		var x, y []float64
		for i := range 30 {
			x, y = append(x, float64(i)), append(y, float64(i)+random.normal())
		}
		f, err := FitPolynomial(x, y, 1, true)
		if err != nil {
			t.Fatal(err)
		}
		if which, _, _ := outlying(f.Residuals, f.Leverage, f.Freedom, f.SumSquares, 30); len(which) > 0 {
			flagged++
		}
	}
	if flagged == 0 || flagged > 30 {
		t.Errorf("%d of 300 clean calibrations have an outlier", flagged)
	}
}
