package readout_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/model"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/readout"
	"gridwright/internal/uncertainty"
)

// tube is the example design of two bridges.
func tube(t *testing.T) *predict.Result {
	t.Helper()
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := designfile.Read("agitator-tube.yaml", text)
	if err != nil {
		t.Fatal(err)
	}
	d.Gauges[0].Resistance[0].SI *= 1.001 // the bridges rest off balance
	p, err := predict.Of(d)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestNoiseOfThePrediction(t *testing.T) {
	p := tube(t)
	d := p.Model.Design
	d.Instrument.Noise.SI, d.Instrument.Noise.Set = 3e-7, true
	d.Instrument.Resolution.SI, d.Instrument.Resolution.Set = 1e-6, true
	r, _, err := readout.Predicted(p, quantity.US)
	if err != nil {
		t.Fatal(err)
	}
	for b := range d.Bridges {
		// 0.3 µV and 1/√12 of 1 µV
		if got, want := math.Sqrt(r.Noise[b][b])*d.Bridges[b].Excitation.SI, 4.1633e-7; math.Abs(got/want-1) > 1e-4 {
			t.Errorf("noise %g V, want %g", got, want)
		}
	}
	// 1 lbf·in is 0.1129848290276167 N·m
	if c := r.Components[0]; c.Unit != "lbf·in" || math.Abs(c.Factor*0.1129848290276167-1) > 1e-15 || c.High != p.Model.Rated[p.Matrix.Columns[0]] {
		t.Errorf("%+v", c)
	}
	d.Instrument.Noise.Set, d.Instrument.Resolution.Set = false, false
	r, notes, err := readout.Predicted(p, quantity.SI)
	if err != nil || r.Noise != nil || !strings.Contains(strings.Join(notes, "\n"), "readings count as exact") {
		t.Errorf("%v, %q", err, notes)
	}
}

// The exact network's outputs under load and temperature come back as the loads, with
// their signs: within the bridges' nonlinearity, and the straight lines between 21
// temperatures.
func TestOutputsOfTheNetworkComeBackAsLoads(t *testing.T) {
	p := tube(t)
	m := p.Model
	r, notes, err := readout.Predicted(p, quantity.SI)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(notes, "\n"), "predicted, not calibrated") {
		t.Errorf("notes %q", notes)
	}
	var log strings.Builder
	log.WriteString("time")
	for _, b := range r.Bridges {
		fmt.Fprintf(&log, ",%s [µV/V]", b)
	}
	log.WriteString(",temperature [°C]\n")
	kelvin := m.Design.Temperature.Low.SI + 0.31*(m.Design.Temperature.High.SI-m.Design.Temperature.Low.SI)
	loads := [][]float64{{0, 0}, {1, 0.5}, {-0.7, 1}, {0.2, -1}}
	for k, part := range loads {
		c := model.At(kelvin)
		for i, j := range p.Matrix.Columns {
			c.Load[j] = part[i] * m.Rated[j]
		}
		fmt.Fprintf(&log, "%d", k)
		for b := range m.Bridges {
			v, err := m.Output(p.State, b, &c)
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&log, ",%.9f", v*1e6)
		}
		fmt.Fprintf(&log, ",%.6f\n", kelvin-273.15)
	}
	var out bytes.Buffer
	if _, err := readout.Run(context.Background(), r, strings.NewReader(log.String()), &out, readout.Options{}); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(out.String(), "\n")
	if want := "time,torque [N·m],u(torque) [N·m],bending-y [N·m],u(bending-y) [N·m]"; lines[0] != want {
		t.Fatalf("%q, want %q", lines[0], want)
	}
	off := 0.0
	for b := range m.Bridges {
		off = math.Max(off, math.Abs(r.Zero[b]))
	}
	if off < 1e-5 {
		t.Errorf("the bridges rest at %g V/V: nothing is told about their zero", off)
	}
	for k, part := range loads {
		var row, f0, u0, f1, u1 float64
		if _, err := fmt.Sscanf(lines[k+1], "%g,%g,%g,%g,%g", &row, &f0, &u0, &f1, &u1); err != nil {
			t.Fatal(err)
		}
		for i, f := range []float64{f0, f1} {
			rated := m.Rated[p.Matrix.Columns[i]]
			if d := f - part[i]*rated; !(math.Abs(d) < 2e-3*rated) {
				t.Errorf("row %d: %v of %g comes back as %g", k, p.Matrix.Measured[i], part[i]*rated, f)
			}
		}
		if !(u0 > 0 && u1 > 0) {
			t.Errorf("row %d: uncertainties %g, %g", k, u0, u1)
		}
	}
}

// The uncertainty of the loads under all rated measured loads is what package uncertainty
// makes of the tolerances for them.
func TestUncertaintyOfThePrediction(t *testing.T) {
	p := tube(t)
	r, _, err := readout.Predicted(p, quantity.SI)
	if err != nil {
		t.Fatal(err)
	}
	r.Noise, r.Drift = nil, nil // straight lines between temperatures miss the reference by 1e-7
	u, err := uncertainty.Of(context.Background(), p, uncertainty.Options{})
	if err != nil {
		t.Fatal(err)
	}
	v := make([]float64, len(r.Bridges))
	for b := range v {
		v[b] = r.Zero[b]
		for _, j := range p.Matrix.Columns {
			v[b] += p.Matrix.Sensitivity[b][j] * p.Model.Rated[j]
		}
	}
	load, standard, err := r.Load(v, p.Model.Design.Temperature.Reference.SI)
	if err != nil {
		t.Fatal(err)
	}
	for i, j := range p.Matrix.Columns {
		if d := load[i]/p.Model.Rated[j] - 1; math.Abs(d) > 1e-9 {
			t.Errorf("%v: off by %g", p.Matrix.Measured[i], d)
		}
		want := math.Sqrt(u.Recovered.FirstOrder[i][i])
		if d := standard[i]/want - 1; want == 0 || math.Abs(d) > 1e-6 {
			t.Errorf("%v: u %g, want %g", p.Matrix.Measured[i], standard[i], want)
		}
	}
}
