package diagnosis

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"gridwright/internal/design"
	"gridwright/internal/model"
)

func newTestBench(t testing.TB, d *design.Design, in Measured) *bench {
	t.Helper()
	m, err := model.Compile(d)
	if err != nil {
		t.Fatal(err)
	}
	b, err := newBench(m, &in, Options{Range: 0.01})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// What a cause predicts is what the design predicts when the fault is written into it.
func TestCausesAreTheDesignWithTheFault(t *testing.T) {
	d := parse(t, strings.Replace(tube, "wires: 6", "wires: 4", 1))
	b := newTestBench(t, d, calibrated(t, d, nil))
	byID := map[string]*cause{}
	for _, c := range b.causes() {
		if byID[c.id] != nil {
			t.Errorf("two causes %q", c.id)
		}
		byID[c.id] = c
	}
	arms := func(d *design.Design) *[4]design.Arm { return &d.Bridges[0].Arms }
	for _, f := range []struct {
		id    string
		theta float64
		edit  func(d *design.Design)
	}{
		{"as designed", 0, func(d *design.Design) {}},
		{"exchanged A1 A3", 0, func(d *design.Design) { a := arms(d); a[0], a[1] = a[1], a[0] }},
		{"instead A1 A2", 0, nil}, // A2 is in use: there is no such cause
		{"mirrored R", 0, func(d *design.Design) {
			for k := range d.Gauges[0].Directions {
				d.Gauges[0].Directions[k] *= -1
			}
		}},
		{"turned A", 0.3, func(d *design.Design) { d.Placements[0].Direction.SI += 0.3 }},
		{"around B", -0.2, func(d *design.Design) { d.Placements[1].Around.SI -= 0.2 }},
		{"station B", 0.01, func(d *design.Design) { d.Placements[1].Station.SI += 0.01 }},
		{"section outside-diameter", -0.002, func(d *design.Design) { d.Part.Section.Dimensions[0].SI -= 0.002 }},
		{"section inside-diameter", 0.002, func(d *design.Design) { d.Part.Section.Dimensions[1].SI += 0.002 }},
		{"modulus", -0.3, func(d *design.Design) { d.Part.Material.Youngs.SI *= 0.7 }},
		{"poisson", 0.05, func(d *design.Design) { d.Part.Material.Poisson.SI += 0.05 }},
		{"factor R", 0.1, func(d *design.Design) {
			for k := range d.Gauges[0].GaugeFactor {
				d.Gauges[0].GaugeFactor[k].SI *= 1.1
			}
		}},
		{"unbonded placement B", 0.3, func(d *design.Design) {
			g := d.Clone().Gauges[0]
			g.Name = "Q"
			for k := range g.GaugeFactor {
				g.GaugeFactor[k].SI *= 0.7
			}
			d.Gauges = append(d.Gauges, g)
			d.Placements[1].Gauge = 1
		}},
		{"leads", 3, func(d *design.Design) {
			for i := range d.Bridges {
				d.Bridges[i].Leads.Each.SI += 3
			}
		}},
	} {
		c := byID[f.id]
		if f.edit == nil {
			if c != nil {
				t.Errorf("%s is a cause", f.id)
			}
			continue
		}
		if c == nil {
			t.Errorf("%s is no cause", f.id)
			continue
		}
		made := d.Clone()
		f.edit(made)
		m, err := model.Compile(made)
		if err != nil {
			t.Fatal(err)
		}
		want := m.NewFigures()
		if err := m.Eval(m.Nominal, want); err != nil {
			t.Fatal(err)
		}
		y := make([]float64, len(b.figures))
		if err := b.newWorker().predict(c, f.theta, 0, false, y); err != nil {
			t.Fatal(err)
		}
		for i, g := range b.figures {
			var v float64
			switch g.kind {
			case sensitivity:
				v = want.Sensitivity[g.bridge*len(m.Components)+g.item] * m.Rated[g.item]
			case zero:
				v = want.Balance[g.bridge]
			default:
				if v, err = m.Shunted(want.State(), g.bridge, made.Shunts[g.item]); err != nil {
					t.Fatal(err)
				}
			}
			if math.Abs(y[i]-v) > 1e-12*math.Abs(v)+1e-16 {
				t.Errorf("%s: figure %+v is %.12g, the design with the fault has %.12g", f.id, g, y[i], v)
			}
		}
	}
}

// Exchanging signal wires, or supply leads, turns the sign of every figure of the bridge,
// leads and instrument or not; a shunt across the instrument's terminals then meets
// another arm, so that with four equal arms its reading stays.
func TestExchangedLeadsTurnTheSign(t *testing.T) {
	for _, leads := range []string{"wires: 6", "wires: 4"} {
		for _, at := range []string{"at: part", "at: instrument"} {
			d := parse(t, strings.NewReplacer("wires: 6", leads, "at: part", at).Replace(tube))
			b := newTestBench(t, d, calibrated(t, d, nil))
			w := b.newWorker()
			was, is := make([]float64, len(b.figures)), make([]float64, len(b.figures))
			for _, c := range b.exchangedWires() {
				if err := w.predict(&cause{}, 0, 0, true, was); err != nil {
					t.Fatal(err)
				}
				if err := w.predict(c, 0, 0, true, is); err != nil {
					t.Fatal(err)
				}
				for i, f := range b.figures {
					want := was[i]
					if _, hit := c.leads[f.bridge]; hit && !(f.kind == shunt && at == "at: instrument") {
						want = -want
					}
					if math.Abs(is[i]-want) > 1e-12+1e-9*math.Abs(want) {
						t.Errorf("%s, %s, %s: figure %+v is %g, want %g", leads, at, c.id, f, is[i], want)
					}
				}
			}
		}
	}
}

// The density of two correlated readings against its closed form.
func TestGaussian(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		real := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		s1, s2, rho := real("s1", 0.1, 3), real("s2", 0.1, 3), real("rho", -0.9, 0.9)
		x, y := real("x", -3, 3), real("y", -3, 3)
		// common part of both: s1·s2·rho, as one column and independent remainders
		k := math.Sqrt(math.Abs(rho))
		column := []float64{k * s1, math.Copysign(k*s2, rho)}
		b := &bench{used: []int{0, 1}, noise: mat.NewSymDense(2, []float64{s1 * s1 * (1 - k*k), 0, 0, s2 * s2 * (1 - k*k)})}
		g, err := b.newGaussian([][]float64{column})
		if err != nil {
			t.Fatal(err)
		}
		q := (x*x/s1/s1 - 2*rho*x*y/s1/s2 + y*y/s2/s2) / (1 - rho*rho)
		want := -0.5*q - math.Log(2*math.Pi*s1*s2*math.Sqrt(1-rho*rho))
		if got := g.log(g.square([]float64{x, y})); math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
			t.Errorf("%g, closed form %g", got, want)
		}
	})
}

// The evidence of a continuous cause against a plain sum over its whole range.
func TestEvidenceAgainstAPlainSum(t *testing.T) {
	d := parse(t, tube)
	for _, f := range []struct {
		id   string
		make func(d *design.Design)
	}{
		{"turned A", func(d *design.Design) { d.Placements[0].Direction.SI = 4 * deg }},
		{"factor R", func(d *design.Design) {
			for k := range d.Gauges[0].GaugeFactor {
				d.Gauges[0].GaugeFactor[k].SI *= 1.06
			}
		}},
		{"section inside-diameter", func(d *design.Design) { d.Part.Section.Dimensions[1].SI += 0.002 }},
	} {
		made := d.Clone()
		f.make(made)
		b := newTestBench(t, d, calibrated(t, made, nil))
		for _, c := range b.causes() {
			if c.id != f.id {
				continue
			}
			w := b.newWorker()
			v, err := b.roughVariance()
			if err != nil {
				t.Fatal(err)
			}
			_, starts := w.screen(c, v)
			modes, _ := w.fit(c, starts, math.Inf(-1))
			best := modes[0]
			for _, k := range modes {
				if k.logZ > best.logZ {
					best = k
				}
			}
			s := &slope{w: w, c: c, g: best.spread, offset: make([]float64, len(b.figures)), y: make([]float64, len(b.figures))}
			if err := s.take(best.theta); err != nil {
				t.Fatal(err)
			}
			const n = 40000
			var m0, m1, m2 float64
			h := (best.high - best.low) * 4 / n
			low := s.minus(best.theta)
			for i := range n {
				at := best.theta + h*(float64(i)-n/2)
				p := math.Exp(low-s.minus(at)) * h
				m0, m1, m2 = m0+p, m1+p*at, m2+p*at*at
			}
			mean := m1 / m0
			sd := math.Sqrt(m2/m0 - mean*mean)
			want := b.logPrior(c) + s.g.log(0) - low + math.Log(m0)
			if math.Abs(best.logZ-want) > 0.01 || math.Abs(best.theta-mean) > 0.02*sd || math.Abs(best.sd/sd-1) > 0.03 {
				t.Errorf("%s: log evidence %.4f, estimate %g ± %g; by a plain sum %.4f, %g ± %g", f.id, best.logZ, best.theta, best.sd, want, mean, sd)
			}
		}
	}
}

// Priors are densities.
func TestPriorsAddUpToOne(t *testing.T) {
	d := parse(t, strings.Replace(tube, "wires: 6", "wires: 4", 1))
	b := newTestBench(t, d, calibrated(t, d, nil))
	total := 0.0
	for _, p := range priors {
		total += p
	}
	if math.Abs(total-1) > 0.05 {
		t.Errorf("the classes weigh %g together", total)
	}
	for _, c := range b.causes() {
		p := c.parameter
		if p == nil {
			continue
		}
		const n = 200000
		sum, h := 0.0, (p.to-p.from)/n
		for i := range n {
			sum += math.Exp(p.logPrior(p.from+h*(float64(i)+0.5))) * h
		}
		// an angle of ±180° has half its bump outside, a lead's excess a tail beyond the range
		if sum < 0.9 || sum > 1.01 {
			t.Errorf("%s: the prior adds up to %g", c.id, sum)
		}
		if len(p.scan) < 5 || p.scan[0] < p.from || p.scan[len(p.scan)-1] > p.to {
			t.Errorf("%s: scan %v outside %g to %g", c.id, p.scan, p.from, p.to)
		}
		for i := 1; i < len(p.scan); i++ {
			if !(p.scan[i] > p.scan[i-1]) {
				t.Errorf("%s: scan does not ascend at %d", c.id, i)
			}
		}
	}
}

// Slopes are taken over the loads of the calibration, as the data are: a quarter bridge is
// not straight. By the closed form V/E = x/(4 + 2x), x = ΔR/R, the slope over 0 to x is
// lower than at no load by x/2 of itself.
func TestSlopesOverTheLoadsApplied(t *testing.T) {
	d := parse(t, strings.Replace(oneBridge, "[A2, A1, B2, B1]", "[A2, 350 Ω, 350 Ω, 350 Ω]", 1))
	in := calibrated(t, d, nil)
	b := newTestBench(t, d, in)
	over, none := make([]float64, len(b.figures)), make([]float64, len(b.figures))
	w := b.newWorker()
	if err := w.predict(&cause{}, 0, 0, true, over); err != nil {
		t.Fatal(err)
	}
	if err := w.predict(&cause{}, 0, 0, false, none); err != nil {
		t.Fatal(err)
	}
	x := 4 * none[0] // at rated load
	if want := 1 / (1 + x/2); x < 1e-4 || math.Abs(over[0]/none[0]-want) > 1e-9 {
		t.Errorf("slope over the load %.9f of that at no load, closed form %.9f", over[0]/none[0], want)
	}
}

// The zero is predicted at the temperature of the calibration.
func TestZeroAtTheTemperature(t *testing.T) {
	d := parse(t, strings.Replace(tube, "[A2, B2,", "[A2, 350 Ω ± 0.01 %,", 1))
	in := calibrated(t, d, nil)
	in.Kelvin = 273.15 + 45
	b := newTestBench(t, d, in)
	y := make([]float64, len(b.figures))
	if err := b.newWorker().predict(&cause{}, 0, 0, true, y); err != nil {
		t.Fatal(err)
	}
	// P(45) − P(20) = 2.4·25 − 0.06·(45² − 20²) µε, instrument gauge factor 2, in arm 1
	x := 2 * (2.4*25 - 0.06*(45*45-20*20)) * 1e-6
	want := 0.5 - 1/(2+x)
	if got := y[b.row+len(b.m.Components)]; math.Abs(got/want-1) > 1e-6 {
		t.Errorf("zero at 45 °C %g, closed form %g", got, want)
	}
}

// verdict on made-up modes: a design that chi-square lets pass is still beaten by a cause
// that is far likelier, and by a zero that is off scale.
func TestVerdict(t *testing.T) {
	d := parse(t, tube)
	b := newTestBench(t, d, calibrated(t, d, nil))
	all := b.causes()
	y := make([]float64, len(b.figures))
	g, err := b.newGaussian(nil)
	if err != nil {
		t.Fatal(err)
	}
	modes := func(share float64) []mode {
		m := []mode{{cause: all[0], share: share, chi2: 9, y: y, spread: g}, {cause: all[1], share: 1 - share, chi2: 4, y: y, spread: g}}
		if share < 0.5 {
			m[0], m[1] = m[1], m[0]
		}
		return m
	}
	if r := b.verdict(modes(0.9)); !r.Agrees {
		t.Errorf("likely and within chi-square, but: %s", r.Sentence)
	}
	if r := b.verdict(modes(0.04)); r.Agrees || r.Probability < 0.05 {
		t.Errorf("beaten 24 to 1, but: %s", r.Sentence)
	}
	if r := b.verdict(modes(0.06)); !r.Agrees {
		t.Errorf("beaten 16 to 1: %s", r.Sentence)
	}
	improbable := modes(0.9)
	improbable[0].chi2 = 30 // of 12 figures: 0.3 %
	if r := b.verdict(improbable); r.Agrees || !strings.Contains(r.Sentence, "No cause of the list explains it better") {
		t.Errorf("chi-square 30 of 12: %s", r.Sentence)
	}
	b.offScale[0] = true
	if r := b.verdict(modes(0.2)); r.Agrees || !strings.Contains(r.Sentence, "the zero of bridge T is off scale") {
		t.Errorf("off scale, but: %s", r.Sentence)
	}
}
