package trim_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"gridwright/internal/designfile"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/trim"
)

// shaft is a torque bridge. The modulus does not drift and the part does not grow, so
// that the span is a straight line in temperature: 1 + drift·ΔT.
const shaft = `gridwright: 1
title: test shaft
part:
  material: {name: test metal, youngs-modulus: 205 GPa, poisson-ratio: 0.29}
  section: {shape: round, outside-diameter: 40 mm}
loads: {torque: {rated: 650 N·m, use: measure}}
temperature: {range: [0 °C, 50 °C]}
gauges:
  S: {pattern: shear-pair, grid: {length: 4 mm, width: 2.8 mm}, resistance: 350 Ω ± 0.3 %%, gauge-factor: 2.05,
      gauge-factor-drift: %g ppm/K, thermal-output: {celsius: [0], spread: 0.2 µε/K}}
placements: {A: {gauge: S, around: 0°}, B: {gauge: S, around: 180°}}
bridges: {T: {measures: torque, arms: [%s]}}
%s`

const arms = "A2, A1, B2, B1"

func of(t testing.TB, drift float64, more string) *predict.Result {
	t.Helper()
	return read(t, fmt.Sprintf(shaft, drift*1e6, arms, more))
}

type fataler interface {
	Helper()
	Fatal(...any)
}

func read(t fataler, text string) *predict.Result {
	t.Helper()
	d, err := designfile.Read("test.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := predict.Of(d)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func plan(t fataler, r *predict.Result, o trim.Options) *trim.Plan {
	t.Helper()
	p, err := trim.Of(r, 0, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func zeros(lo, hi, a, b float64) []trim.Measurement {
	return []trim.Measurement{{Kelvin: lo + 273.15, Output: a}, {Kelvin: hi + 273.15, Output: b}}
}

// With no resistors the circuit shows what the prediction shows, leads and instrument
// included.
func TestBeforeIsThePrediction(t *testing.T) {
	for _, more := range []string{"", "leads: {wires: 4, each: 3 Ω, follow: part}\ninstrument: {input-resistance: 20 kΩ}\n",
		"leads: {wires: 6, each: 3 Ω}\ninstrument: {input-resistance: 20 kΩ}\n", "leads: {wires: 4, each: 0.5 Ω}\n"} {
		r := of(t, 3.2e-4, more)
		p := plan(t, r, trim.Options{})
		b := r.Bridges[0]
		near(t, more+" output", p.Before.Output.Value, b.Sensitivity[0]*650, 1e-11)
		near(t, more+" span drift", p.Before.SpanDrift.Value, b.Temperature.SpanDrift.Value, 1e-9)
		for i, row := range b.Temperature.Rows {
			near(t, more+" span", p.Rows[i].SpanBefore.Value, row.Span.Value, 1e-11)
		}
	}
}

func near(t fataler, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Fatal(fmt.Sprintf("%s is %.15g, want %.15g", what, got, want))
	}
}

// Exact resistors of linear laws leave less than 1e-6 of the rated output of zero and
// of span over the whole range, whatever was measured, with leads and with targets. The
// drift of zero reaches 5 % of the rated output over the range, the zero 40 % of it;
// what a bridge's own nonlinearity leaves grows with their squares and with the span's
// growth.
func TestExactResistorsLeaveNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		growth := rapid.Float64Range(5e-5, 8e-4).Draw(t, "growth")
		more := rapid.SampledFrom([]string{"", "leads: {wires: 6, each: 1 Ω}\n", "leads: {wires: 4, each: 2 Ω}\n", "instrument: {input-resistance: 50 kΩ}\n"}).Draw(t, "leads")
		r := read(t, fmt.Sprintf(shaft, growth*1e6, arms, more))
		zero := rapid.Float64Range(-0.2e-3, 0.2e-3).Draw(t, "zero")
		slope := rapid.Float64Range(-5e-7, 5e-7).Draw(t, "slope")
		o := trim.Options{Zero: &zero, ZeroAt: zeros(0, 50, zero-20*slope, zero+30*slope), Material: rapid.SampledFrom([]string{"copper", "nickel-iron"}).Draw(t, "material")}
		p := plan(t, r, o)
		if rapid.Bool().Draw(t, "targets") {
			output := p.Best.Output.Value * rapid.Float64Range(0.8, 0.99).Draw(t, "output")
			o.TargetOutput = &output
			input := 0.97 * plan(t, r, o).Best.Input
			o.TargetInput = &input
			p = plan(t, r, o)
			near(t, "output", p.Best.Output.Value, output, 1e-9)
			near(t, "input", p.Best.Input, input, 1e-9)
		}
		rated := math.Abs(p.Best.Output.Value)
		nothing := math.Max(1e-6*rated, 1e-9) // for less than 1e-9 V/V no resistor is asked for
		if v := math.Abs(p.Best.Zero); v > nothing {
			t.Fatalf("zero %g", v)
		}
		if v := p.Best.ZeroDrift.Value * 50; v > nothing {
			t.Fatalf("zero moves by %g of %g", v, rated)
		}
		if v := p.Best.SpanDrift.Value * 50; v > 1e-6 {
			t.Fatalf("span moves by %g", v)
		}
		if math.Abs(slope) > 1e-8 && !(p.Before.ZeroDrift.Value > 100*p.Best.ZeroDrift.Value) {
			t.Fatalf("drift of zero from %g to %g", p.Before.ZeroDrift.Value, p.Best.ZeroDrift.Value)
		}
	})
}

// The signs: a bridge that shows more at no load gets its shunt across arm 1 or 3, one
// whose zero grows with temperature its wire in arm 2 or 4 with the equal beside it;
// and the other way round. The sizes are those of the closed forms.
func TestArmsAndClosedForms(t *testing.T) {
	r := of(t, 3.2e-4, "")
	for _, sign := range []float64{1, -1} {
		zero := sign * 0.08e-3
		p := plan(t, r, trim.Options{Zero: &zero, ZeroAt: zeros(0, 50, zero-sign*20*1.5e-6, zero+sign*30*1.5e-6), Material: "nickel-iron"})
		shunt, _ := trim.OfRole(p.Exact, trim.BalanceShunt)
		wire, _ := trim.OfRole(p.Exact, trim.DriftWire)
		partner, _ := trim.OfRole(p.Exact, trim.DriftPartner)
		want := [4]int{3, 4, 2, 1}
		if sign < 0 {
			want = [4]int{4, 3, 1, 2}
		}
		if got := [4]int{shunt.Arm, p.InSeriesArm, wire.Arm, partner.Arm}; got != want {
			t.Errorf("zero and drift of sign %g: arms %v, want %v", sign, got, want)
		}
		ohm, _ := trim.ZeroShunt(350, zero)
		near(t, "shunt", shunt.Ohm, ohm, 3e-3) // the wire and its partner lengthen the arms
		ohm, _ = trim.ZeroSeries(350, zero)
		near(t, "series", p.InSeries.Value, ohm, 3e-3)
		ohm, _ = trim.ZeroWire(350, 1.5e-6, 4.5e-3)
		near(t, "wire", wire.Ohm, ohm, 5e-3)
		span, _ := trim.OfRole(p.Exact, trim.SpanResistor)
		ohm, _ = trim.SpanSeries(350, 3.2e-4, 4.5e-3, 0)
		near(t, "span", span.Ohm, ohm, 5e-3)
	}
	narrow := read(t, strings.Replace(fmt.Sprintf(shaft, 320.0, arms, ""), "[0 °C, 50 °C]", "[19.9 °C, 20.1 °C]", 1))
	p := plan(t, narrow, trim.Options{Material: "nickel-iron", SpanResistor: 40})
	shunt, _ := trim.OfRole(p.Exact, trim.SpanParallel)
	near(t, "span shunt", shunt.Ohm, 188.79, 1e-4) // the closed form is first order in ΔT
	output := p.Before.Output.Value * 2 / 2.25
	p = plan(t, r, trim.Options{Material: "nickel-iron", TargetOutput: &output})
	rm, _ := trim.OfRole(p.Exact, trim.SpanResistor)
	rs, _ := trim.OfRole(p.Exact, trim.SpanSetting)
	near(t, "span beside span set", rm.Ohm, 28, 1e-9)
	near(t, "span set", rs.Ohm, 15.75, 1e-9)
}

// A span resistor alone is the closed form of two temperatures.
func TestSpanResistorIsTheTwoPointForm(t *testing.T) {
	r := of(t, 0, "")
	rated := r.Bridges[0].Rated
	p := plan(t, r, trim.Options{SpanAt: zeros(10, 50, rated, rated*1.0128), Material: "nickel"})
	w, _ := trim.FindWire("nickel")
	want, err := trim.SpanTwoPoint(350, 350, 1, 1.0128, w.Ratio(323.15)/w.Ratio(283.15))
	if err != nil {
		t.Fatal(err)
	}
	got, _ := trim.OfRole(p.Exact, trim.SpanResistor)
	near(t, "Ω at 10 °C", got.Ohm*w.Ratio(283.15), want, 1e-9)
}

// What bought resistors do, drawn within their tolerances and solved by node voltages
// written here, stays within the limits that the plan states; their nominal values
// give the figures that it states.
func TestLimitsAgainstNodeVoltages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lead := rapid.Float64Range(0.2, 3).Draw(t, "lead")
		growth := rapid.Float64Range(1e-4, 6e-4).Draw(t, "growth")
		r := read(t, fmt.Sprintf(shaft, growth*1e6, arms, fmt.Sprintf("leads: {wires: 4, each: %g Ω}\ninstrument: {input-resistance: 100 kΩ}\n", lead)))
		zero := rapid.Float64Range(-0.2e-3, 0.2e-3).Draw(t, "zero")
		slope := rapid.SampledFrom([]float64{1e-6, -1e-6, 3e-7}).Draw(t, "slope")
		at := zeros(0, 50, zero-20*slope, zero+30*slope)
		o := trim.Options{Zero: &zero, ZeroAt: at, Material: "copper", Series: rapid.SampledFrom([]trim.Series{trim.E96, trim.E192}).Draw(t, "series")}
		if rapid.Bool().Draw(t, "wire") {
			o.WireResistance = quantity.Value{SI: 2.2, Tolerance: 0.022}
		}
		output := 0.75 * r.Bridges[0].Rated
		input := 360.0
		o.TargetOutput, o.TargetInput = &output, &input
		p := plan(t, r, o)

		// The bridge's own imbalance is put into all arms, at the output of the bare
		// bridge, found by bisection on this solve.
		bare := func(kelvin, x float64) float64 {
			return nodes(nil, kelvin, 350*(1+x), 350*(1-x), lead, 100e3)
		}
		imbalance := func(kelvin float64) float64 {
			want := zero + slope*(kelvin-293.15)
			lo, hi := -0.01, 0.01
			for range 80 {
				if mid := (lo + hi) / 2; bare(kelvin, mid) < want {
					lo = mid
				} else {
					hi = mid
				}
			}
			return lo
		}
		strain := r.Grids[1].Change[0] // ΔR/R at rated torque
		measure := func(parts []trim.Part) (zero0, zeroWidth, spanWidth, out float64) {
			span := func(kelvin float64) float64 {
				const h = 1e-3
				f := math.Abs(strain) * (1 + growth*(kelvin-293.15)) * h
				x := imbalance(293.15)
				up := nodes(parts, kelvin, 350*(1+x+f), 350*(1-x-f), lead, 100e3)
				down := nodes(parts, kelvin, 350*(1+x-f), 350*(1-x+f), lead, 100e3)
				return (up - down) / (2 * h)
			}
			rest := func(kelvin float64) float64 {
				x := imbalance(kelvin)
				return nodes(parts, kelvin, 350*(1+x), 350*(1-x), lead, 100e3)
			}
			zero0, out = rest(293.15), span(293.15)
			zlo, zhi, slo, shi := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
			for _, c := range []float64{0, 12.5, 25, 37.5, 50} {
				z, s := rest(c+273.15), span(c+273.15)/out
				zlo, zhi, slo, shi = math.Min(zlo, z), math.Max(zhi, z), math.Min(slo, s), math.Max(shi, s)
			}
			return zero0, zhi - zlo, shi - slo, out
		}
		z, zw, sw, out := measure(p.Fitted)
		within := func(what string, got, want, tolerance float64) {
			if math.Abs(got-want) > tolerance {
				t.Fatalf("%s: %.9g by node voltages, the plan states %.9g", what, got, want)
			}
		}
		within("zero", z, p.After.Zero, 1e-11)
		within("output", out, p.After.Output.Value, 1e-8)
		within("width of zero", zw, p.After.ZeroDrift.Value*50, 2e-9)
		within("width of span", sw, p.After.SpanDrift.Value*50, 1e-5)
		drawn := append([]trim.Part(nil), p.Fitted...)
		for i := range drawn {
			drawn[i].Ohm *= 1 + drawn[i].Tolerance*rapid.Float64Range(-1, 1).Draw(t, "deviation")
		}
		z, zw, sw, out = measure(drawn)
		for _, c := range []struct {
			what       string
			got, limit float64
		}{{"zero", math.Abs(z), p.Limits.Zero}, {"drift of zero", zw / 50, p.Limits.ZeroDrift.Value},
			{"drift of span", sw / 50, p.Limits.SpanDrift.Value}, {"output", math.Abs(out - p.After.Output.Value), p.Limits.Output.Value}} {
			if c.got > c.limit*1.02+1e-9 {
				t.Fatalf("%s is %g, its limit %g", c.what, c.got, c.limit)
			}
		}
	})
}

// nodes is V/E of a bridge with raising arms up and lowering arms down, by Kirchhoff's
// current law for every node: 0, 1 the instrument's supply; 2, 3 the transducer's
// terminals; 4, 6 the ring's supply corners; 5, 7 its −S and +S; 8, 9 the instrument's
// signal terminals.
func nodes(parts []trim.Part, kelvin, up, down, lead, meter float64) float64 {
	arms := [4]float64{up, down, up, down}
	var series, across float64
	var spanR, spanP, input float64
	shunts := [4]float64{}
	for _, p := range parts {
		r := p.Ohm
		if p.Wire != nil {
			r *= p.Wire.Ratio(kelvin)
		}
		switch p.Role {
		case trim.BalanceShunt:
			shunts[p.Arm-1] = r
		case trim.DriftWire, trim.DriftPartner:
			arms[p.Arm-1] += r
		case trim.SpanResistor:
			spanR = r
		case trim.SpanParallel:
			spanP = r
		case trim.SpanSetting:
			series += r
		case trim.InputSetting:
			input = r
		}
	}
	across = spanR
	if spanP > 0 {
		across = 1 / (1/spanR + 1/spanP)
	}
	series += across
	const n = 10
	g := mat.NewDense(n, n, nil)
	join := func(a, b int, s float64) {
		g.Set(a, a, g.At(a, a)+s)
		g.Set(b, b, g.At(b, b)+s)
		g.Set(a, b, g.At(a, b)-s)
		g.Set(b, a, g.At(b, a)-s)
	}
	join(0, 2, 1/lead)
	join(1, 3, 1/lead)
	join(5, 8, 1/lead)
	join(7, 9, 1/lead)
	join(8, 9, 1/meter)
	if input > 0 {
		join(2, 3, 1/input)
	}
	half := math.Max(series/2, 1e-7)
	join(2, 4, 1/half)
	join(3, 6, 1/half)
	for k, e := range [4][2]int{{4, 5}, {5, 6}, {6, 7}, {7, 4}} {
		s := 1 / arms[k]
		if shunts[k] > 0 {
			s += 1 / shunts[k]
		}
		join(e[0], e[1], s)
	}
	// node 0 at one volt, node 1 at zero
	a := mat.NewDense(n-2, n-2, nil)
	b := mat.NewVecDense(n-2, nil)
	for i := 2; i < n; i++ {
		for j := 2; j < n; j++ {
			a.Set(i-2, j-2, g.At(i, j))
		}
		b.SetVec(i-2, -g.At(i, 0))
	}
	var v mat.VecDense
	if err := v.SolveVec(a, b); err != nil {
		if _, ok := err.(mat.Condition); !ok {
			panic(err)
		}
	}
	return v.AtVec(9-2) - v.AtVec(8-2)
}

// Preferred values: E192 holds E96, 9.20 stands where the rule would give 9.19; a value
// of the series is its own nearest in every decade.
func TestPreferredValues(t *testing.T) {
	for _, c := range []struct {
		s          trim.Series
		ohm, value float64
	}{{trim.E96, 1093575, 1.10e6}, {trim.E96, 0.534, 0.536}, {trim.E96, 13.397, 13.3}, {trim.E96, 17325, 17400}, {trim.E192, 9.19, 9.2}, {trim.E192, 17325, 17400}, {trim.E192, 17250, 17200},
		{trim.E96, 9.9, 10}, {trim.E96, 99.1, 100}, {trim.E96, 1000, 1000}, {trim.E96, 0.1, 0.1}} {
		if got := c.s.Nearest(c.ohm); got != c.value {
			t.Errorf("%v nearest to %g Ω is %g, want %g", c.s, c.ohm, got, c.value)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		ohm := math.Pow(10, rapid.Float64Range(-2, 7).Draw(t, "decade"))
		for _, s := range []trim.Series{trim.E96, trim.E192} {
			v := s.Nearest(ohm)
			// half a step of the series, and half a unit of the third digit
			if v != s.Nearest(v) || math.Abs(v/ohm-1) > math.Exp(math.Ln10/2/float64(s))-1+0.005 {
				t.Fatalf("%v nearest to %g is %g", s, ohm, v)
			}
			if s == trim.E96 && trim.E192.Nearest(v) != v {
				t.Fatalf("%g of E96 is none of E192", v)
			}
		}
	})
}

// What cannot be done says so, in words, and nothing is NaN.
func TestRefusals(t *testing.T) {
	r := of(t, 3.2e-4, "")
	v := func(x float64) *float64 { return &x }
	rated := r.Bridges[0].Rated
	for _, c := range []struct {
		o    trim.Options
		want string
	}{
		{trim.Options{Zero: v(0.2)}, "more than resistors trim"},
		{trim.Options{ZeroAt: zeros(0, 50, 0, 0)[:1]}, "give it at two"},
		{trim.Options{ZeroAt: zeros(20, 20.5, 0, 1e-5)}, "less than 1 K apart"},
		{trim.Options{ZeroAt: zeros(0, 50, 0, 1e-5), SpanAt: zeros(0, 40, rated, rated)}, "same two"},
		{trim.Options{SpanAt: zeros(0, 50, -rated, -rated*1.01)}, "the sign is the other one"},
		{trim.Options{SpanAt: zeros(0, 50, rated, 0)}, "the sign is the other one"},
		{trim.Options{TargetOutput: v(-rated / 2)}, "no resistor changes the sign"},
		{trim.Options{TargetOutput: v(rated)}, "cannot be reached"},
		{trim.Options{TargetOutput: v(0)}, "must not be zero"},
		{trim.Options{TargetInput: v(500)}, "only lowers it"},
		{trim.Options{TargetInput: v(-5)}, "more than zero"},
		{trim.Options{SpanResistor: 10}, "too small"},
		{trim.Options{Material: "nickle"}, "nearest known is nickel"},
		{trim.Options{TCR: quantity.Value{SI: 4.5}}, "temperature coefficient"},
		{trim.Options{Material: "nickel", ZeroAt: zeros(0, 150, 0, 1e-5)}, "holds from"},
		{trim.Options{Zero: v(math.NaN())}, "more than resistors trim"},
	} {
		p, err := trim.Of(r, 0, c.o)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: %v (plan %v), want %q", c.o, err, p != nil, c.want)
		}
	}
	for what, text := range map[string]string{
		"falls": fmt.Sprintf(shaft, -200.0, arms, ""),
		"gives no output for the load that it measures": fmt.Sprintf(shaft, 300.0, "A2, A1, B1, B2", ""),
		"completed in the instrument":                   fmt.Sprintf(shaft, 300.0, "A2, A1, 350 Ω, 350 Ω", "leads: {wires: 3, each: 1 Ω, completion: instrument}\n"),
		"no temperature range":                          strings.Replace(fmt.Sprintf(shaft, 300.0, arms, ""), "temperature: {range: [0 °C, 50 °C]}\n", "", 1),
		"faster than copper":                            fmt.Sprintf(shaft, 5000.0, arms, ""),
	} {
		p := plan(t, read(t, text), trim.Options{})
		if !strings.Contains(strings.Join(p.Notes, "\n"), what) {
			t.Errorf("no note of %q: %q", what, p.Notes)
		}
		if _, ok := trim.OfRole(p.Fitted, trim.SpanResistor); ok {
			t.Errorf("%s: a span resistor is fitted", what)
		}
	}
}

// The closed forms refuse what has no answer.
func TestFormulaErrors(t *testing.T) {
	bad := []error{}
	add := func(_ float64, err error) { bad = append(bad, err) }
	add(trim.ZeroSeries(350, 0))
	add(trim.ZeroSeries(350, 0.5))
	add(trim.ZeroShunt(-350, 1e-4))
	add(trim.ZeroShunt(350, math.NaN()))
	add(trim.ZeroWire(350, 0, 4e-3))
	add(trim.ZeroWire(350, 1e-6, 0))
	add(trim.SpanSeries(350, -1e-4, 4e-3, 0))
	add(trim.SpanSeries(350, 4e-3, 4e-3, 0))
	add(trim.SpanFactor(4e-3, 4e-3, 0))
	add(trim.SpanTwoPoint(350, 350, 2, 2.5, 1.18))
	add(trim.SpanTwoPoint(350, 350, 2, -2, 1.18))
	add(trim.SpanTwoPoint(350, 350, 2, 1.9, 1.18))
	add(trim.InputShunt(350, 350))
	add(trim.InputShunt(350, -1))
	_, _, err := trim.SpanSet(350, 2, 2.1, 3e-4, 4e-3, 0)
	bad = append(bad, err)
	_, _, err = trim.SpanShunt(350, 3.2e-4, 4.5e-3, 20)
	bad = append(bad, err)
	for i, err := range bad {
		if err == nil {
			t.Errorf("case %d is accepted", i)
		}
	}
}
