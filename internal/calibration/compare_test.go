package calibration

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/model"
	"gridwright/internal/predict"
	"gridwright/internal/uncertainty"
	"gridwright/internal/worksheet"
)

func designOf(t *testing.T, name string) (*design.Design, []byte) {
	t.Helper()
	text, err := os.ReadFile("../../designs/" + name)
	if err != nil {
		t.Fatal(err)
	}
	d, err := designfile.Read(name, text)
	if err != nil {
		t.Fatal(err)
	}
	return d, text
}

// bench fills a plan with what a transducer of the inputs x shows at a temperature.
func bench(t *testing.T, m *model.Model, x []float64, plan string, kelvin, sd float64, n noise) string {
	t.Helper()
	s := m.NewState()
	if err := m.Set(x, s); err != nil {
		t.Fatal(err)
	}
	in := csv.NewReader(strings.NewReader(plan))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := func(name string) int {
		for i, h := range rows[0] {
			if n, _, _ := splitHead(h); n == name {
				return i
			}
		}
		t.Fatalf("the plan has no column %s", name)
		return 0
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	for i, row := range rows {
		if i > 0 {
			c := model.At(kelvin)
			for j, comp := range m.Components {
				at := column(comp.String())
				load, err := strconv.ParseFloat(row[at], 64)
				if err != nil {
					t.Fatal(err)
				}
				_, unit, _ := splitHead(rows[0][at])
				f, _, err := scaleOf(unit, comp.Kind())
				if err != nil {
					t.Fatal(err)
				}
				c.Load[j] = f * load
			}
			for b := range m.Bridges {
				v, err := m.Output(s, b, &c)
				if err != nil {
					t.Fatal(err)
				}
				if row[column("shunt")] != "" {
					change, err := m.Shunted(s, b, m.Design.Shunts[0])
					if err != nil {
						t.Fatal(err)
					}
					v += change
				}
				row[column(m.Bridges[b].Name)] = strconv.FormatFloat(1e3*(v+sd*n.normal()), 'f', 9, 64)
			}
			row[column("temperature")] = strconv.FormatFloat(kelvin-273.15, 'f', 3, 64)
		}
		if err := w.Write(row); err != nil {
			t.Fatal(err)
		}
	}
	w.Flush()
	return out.String()
}

func planOf(t *testing.T, name string) (*dossier.Dossier, string) {
	t.Helper()
	d, text := designOf(t, name)
	dos, err := dossier.WithUncertainty(context.Background(), name, text, d, uncertainty.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	p, err := worksheet.Of(dos, worksheet.Options{All: true, Steps: 5})
	if err != nil {
		t.Fatal(err)
	}
	var plan bytes.Buffer
	if err := p.WriteCSV(&plan); err != nil {
		t.Fatal(err)
	}
	return dos, plan.String()
}

// TestFilledPlan: the plan of the project's own worksheet, filled with what the model
// gives at 35 °C, is read, fits the prediction at that temperature to the last digits
// that the table carries, and every figure agrees.
func TestFilledPlan(t *testing.T) {
	dos, plan := planOf(t, "agitator-tube.yaml")
	m := dos.Result.Model
	const kelvin = 308.15
	data := read(t, dos.Design, bench(t, m, m.Nominal, plan, kelvin, 1e-9, newNoise(1)))
	r, err := Evaluate(dos.Design, data, Options{Method: Torque})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "temperature", r.Kelvin.Value, kelvin, 1e-12)
	kinds := map[FigureKind]int{}
	for _, c := range r.Comparison {
		kinds[c.Kind]++
		if !c.NormalisedError.OK() {
			t.Errorf("%s: %s", c.Figure, c.NormalisedError.Missing)
			continue
		}
		scale := math.Abs(c.Predicted.Value) + 5*c.Standard.Value
		if c.Kind == SensitivityFigure {
			scale = 1e-4*math.Abs(c.Predicted.Value) + 5*c.Standard.Value
		}
		if c.Kind == ShuntFigure { // the shunt is predicted at the reference temperature
			scale = 1e-3 * math.Abs(c.Predicted.Value)
		}
		if math.Abs(c.Measured-c.Predicted.Value) > scale || math.Abs(c.NormalisedError.Value) > 1 {
			t.Errorf("%s: %g, predicted %g ± %g, En %g", c.Figure, c.Measured, c.Predicted.Value, c.Predicted.Standard, c.NormalisedError.Value)
		}
	}
	for _, b := range r.Bridges {
		f := &b.Figures
		for name, g := range map[string]predict.Figure{"repeatability": f.Repeatability, "reproducibility": f.Reproducibility, "reversibility": f.Reversibility, "zero": f.Zero, "interpolation": f.Interpolation} {
			if !g.OK() || g.Value > 1e-4 {
				t.Errorf("bridge %s: %s %+v", b.Name, name, g)
			}
		}
		if b.Class.Name != "0.05" {
			t.Errorf("bridge %s: class %+v", b.Name, b.Class)
		}
	}
	if kinds[SensitivityFigure] != 2*len(m.Components) || kinds[ZeroFigure] != 2 || kinds[ShuntFigure] != 2 {
		t.Errorf("figures compared: %v", kinds)
	}
	if !r.Agrees || !strings.Contains(r.Agreement, "agrees") {
		t.Error(r.Agreement)
	}
	own := make([]float64, len(m.Components))
	if _, err := m.Sensitivity(dos.Result.State, 0, kelvin, own); err != nil {
		t.Fatal(err)
	}
	target := dos.Result.Bridges[0].Target
	near(t, "sensitivity at 35 °C", r.Matrix.Sensitivity[0][target], own[target], 1e-5)
	if at20 := dos.Result.Bridges[0].Sensitivity[target]; math.Abs(own[target]/at20-1) < 1e-4 {
		t.Error("the temperature makes no difference, so the test shows nothing")
	}
	near(t, "temperature of the prediction", r.Prediction.Kelvin, kelvin, 1e-12)
}

// TestPredictedUncertainty: sensitivities and their standard uncertainties are those that
// package uncertainty gives for the design, of first order.
func TestPredictedUncertainty(t *testing.T) {
	dos, _ := planOf(t, "agitator-tube.yaml")
	p, err := Predict(dos.Design, dos.Design.Temperature.Reference.SI, dos.Design.Shunts)
	if err != nil {
		t.Fatal(err)
	}
	for b := range dos.Result.Bridges {
		br, u := &dos.Result.Bridges[b], &dos.Uncertainty.Bridges[b]
		near(t, "S", p.Sensitivity[b][br.Target].Value, br.Sensitivity[br.Target], 1e-12)
		near(t, "u(S)", p.Sensitivity[b][br.Target].Standard, u.FirstOrder.Standard, 1e-6)
		if math.Abs(p.Balance[b].Value-br.Balance.Nominal) > 1e-15 {
			t.Errorf("zero balance %g, want %g", p.Balance[b].Value, br.Balance.Nominal)
		}
		// limits a_i of resistances: rss of limits over √3
		near(t, "u(zero)", p.Balance[b].Standard, br.Balance.RSS/math.Sqrt(3), 1e-3)
		near(t, "shunt", p.Shunt[b][0].Value, br.Shunts[0].Output, 1e-12)
	}
}

// TestPredictionAtTemperature: sensitivities at a temperature are those of the model there;
// an expanded uncertainty of k = 2 counts as half of it.
func TestPredictionAtTemperature(t *testing.T) {
	dos, _ := planOf(t, "agitator-tube.yaml")
	m := dos.Result.Model
	own := make([]float64, len(m.Components))
	if _, err := m.Sensitivity(dos.Result.State, 0, 333.15, own); err != nil {
		t.Fatal(err)
	}
	hot, err := Predict(dos.Design, 333.15, nil)
	if err != nil {
		t.Fatal(err)
	}
	target := dos.Result.Bridges[0].Target
	near(t, "S at 60 °C", hot.Sensitivity[0][target].Value, own[target], 1e-12)
	if math.Abs(own[target]/dos.Result.Bridges[0].Sensitivity[target]-1) < 1e-3 {
		t.Error("60 °C makes no difference, so the test shows nothing")
	}
	d := dos.Design.Clone()
	e := &d.Part.Material.Youngs
	e.Tolerance, e.Coverage = 0, 0
	exact, err := Predict(d, 293.15, nil)
	if err != nil {
		t.Fatal(err)
	}
	e.Tolerance, e.Coverage = 0.02*e.SI, 2
	known, err := Predict(d, 293.15, nil)
	if err != nil {
		t.Fatal(err)
	}
	s := exact.Sensitivity[0][target]
	near(t, "u with E ± 2 % (k = 2)", known.Sensitivity[0][target].Standard, math.Hypot(s.Standard, 0.01*s.Value), 1e-3)
}

// TestPredictedChange: the output of the prediction is the change from no load, of a bridge
// that rests off balance too.
func TestPredictedChange(t *testing.T) {
	dos, _ := planOf(t, "agitator-tube.yaml")
	d := dos.Design.Clone()
	d.Bridges[1].Arms[2].Resistor.SI = 352
	p, err := Predict(d, 293.15, nil)
	if err != nil {
		t.Fatal(err)
	}
	// V/E of arms 350, 350, 352, 350 Ω without a meter's load: 352/702 − 1/2
	near(t, "rest", p.Balance[1].Value, 352.0/702-0.5, 1e-5)
	loads := make([]float64, len(d.Loads))
	rest, err := p.Output(1, loads)
	if err != nil || rest != 0 {
		t.Errorf("a change of %g at no load, %v", rest, err)
	}
	target := dos.Result.Bridges[1].Target
	loads[target] = 1e-3
	change, err := p.Output(1, loads)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "change by a small load", change, 1e-3*p.Sensitivity[1][target].Value, 1e-5)
}

// TestCoverage: transducers drawn from the design's tolerances agree with its prediction:
// |En| of the sensitivity of the torque bridge is at most 1 in about 95 % (U is twice
// u, and the sum of rectangular distributions nearly normal; 400 draws, 5 standard
// deviations of the share are 0.055).
func TestCoverage(t *testing.T) {
	dos, plan := planOf(t, "agitator-tube.yaml")
	m := dos.Result.Model
	p, err := Predict(dos.Design, 293.15, dos.Design.Shunts)
	if err != nil {
		t.Fatal(err)
	}
	random := newNoise(9)
	inside, all := 0, 0
	const draws = 400
	for range draws {
		x := append([]float64(nil), m.Nominal...)
		for i, in := range m.Inputs {
			switch {
			case in.Tolerance == 0:
			case in.Coverage > 0:
				x[i] += in.Tolerance / in.Coverage * random.normal()
			default:
				x[i] += in.Tolerance * (2*random.Float64() - 1)
			}
		}
		data, err := Read(strings.NewReader(bench(t, m, x, plan, 293.15, 1e-8, random)), "data.csv", dos.Design)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Evaluate(dos.Design, data, Options{Prediction: p, Degree: 1})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range r.Comparison {
			if c.Kind != SensitivityFigure {
				continue
			}
			all++
			if math.Abs(c.NormalisedError.Value) <= 1 {
				inside++
			}
		}
	}
	if share := float64(inside) / float64(all); math.Abs(share-0.955) > 0.045 {
		t.Errorf("%.3f of the sensitivities agree", share)
	}
}

// TestDisagreement: a torque read in lbf·in and written as N·m is named.
func TestDisagreement(t *testing.T) {
	dos, plan := planOf(t, "agitator-tube.yaml")
	m := dos.Result.Model
	data := read(t, dos.Design, bench(t, m, m.Nominal, plan, 293.15, 1e-9, newNoise(1)))
	for i := range data.Readings {
		for j, c := range data.Components {
			if c == design.Torque {
				data.Readings[i].Loads[j] /= 0.1129848290276167
			}
		}
	}
	r, err := Evaluate(dos.Design, data, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if r.Agrees || !strings.Contains(r.Agreement, "T.torque") {
		t.Error(r.Agreement)
	}
	if c := r.Comparison[0]; !strings.HasPrefix(c.Figure, "T.") {
		t.Errorf("first figure %s", c.Figure)
	}
}

// TestNormalisedError: sign, symmetry and the missing case.
func TestNormalisedError(t *testing.T) {
	near(t, "En", NormalisedError(1.1, 0.03, 1.0, 0.04).Value, 1, 1e-12)
	near(t, "En", NormalisedError(0.9, 0.03, 1.0, 0.04).Value, -1, 1e-12)
	if NormalisedError(1, 0, 1, 0).OK() {
		t.Error("an En without uncertainties")
	}
}

// TestPublishedShape: the keys of the published result, every number finite, and what is
// missing null.
func TestPublishedShape(t *testing.T) {
	dos, plan := planOf(t, "agitator-tube.yaml")
	m := dos.Result.Model
	data := read(t, dos.Design, bench(t, m, m.Nominal, plan, 293.15, 1e-9, newNoise(1)))
	r, err := Evaluate(dos.Design, data, Options{Method: ForceE74, SecondOrder: false})
	if err != nil {
		t.Fatal(err)
	}
	out := Publish(r)
	out.Diagnosis = map[string]bool{"agrees": true}
	text, err := json.Marshal(out)
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	need := func(m map[string]any, where string, keys ...string) {
		for _, k := range keys {
			if _, ok := m[k]; !ok {
				t.Errorf("%s has no %s", where, k)
			}
		}
	}
	need(got, "result", "gridwright", "title", "method", "bridges", "matrix", "comparison", "diagnosis")
	b := got["bridges"].([]any)[0].(map[string]any)
	need(b, "bridge", "name", "load", "degree", "coefficients", "coefficient_sd", "standard_deviation_mv_per_v", "sensitivity", "figures")
	need(b["figures"].(map[string]any), "figures", "repeatability_percent", "reproducibility_percent", "interpolation_percent", "zero_percent", "reversibility_percent", "lower_limit_factor")
	if b["figures"].(map[string]any)["creep_percent"] != nil {
		t.Error("a creep that nobody watched")
	}
	need(got["matrix"].(map[string]any), "matrix", "components", "bridges", "sensitivity", "standard_uncertainty", "inverse", "condition")
	c := got["comparison"].([]any)[0].(map[string]any)
	need(c, "comparison", "figure", "predicted", "measured", "normalised_error")
	target := r.Bridges[0].Target
	near(t, "coefficient, mV/V per N·m", b["coefficients"].([]any)[1].(float64), 1e3*dos.Result.Bridges[0].Sensitivity[target], 1e-3)
	near(t, "sensitivity, mV/V per N·m", b["sensitivity"].(float64), 1e3*r.Bridges[0].Sensitivity.Value, 1e-12)
	inverse := got["matrix"].(map[string]any)["inverse"].([]any)[0].([]any)[0].(float64)
	near(t, "inverse, N·m per mV/V", inverse, 1e-3*dos.Result.Matrix.Inverse[0][0], 1e-3)
	near(t, "condition", got["matrix"].(map[string]any)["condition"].(float64), dos.Result.Matrix.Condition.Value, 1e-3)
}

// TestWithoutPrediction: one bridge in the data only; its load is calibrated, the other's
// is said not to be.
func TestWithoutPrediction(t *testing.T) {
	dos, _ := planOf(t, "agitator-tube.yaml")
	text := "run,torque [N·m],T [mV/V]\n1,0,0.01\n1,600,0.3\n1,1200,0.6\n1,0,0.0101\n"
	r, err := Evaluate(dos.Design, read(t, dos.Design, text), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Matrix.Components) != 1 || len(r.Bridges) != 1 || !strings.Contains(strings.Join(r.Notes, "\n"), "bending-y, and no bridge in them measures it") {
		t.Errorf("components %v, notes %v", r.Matrix.Components, r.Notes)
	}
	if r.Zeros[1].Missing != "the bridge has no reading" {
		t.Errorf("zero of By: %+v", r.Zeros[1])
	}
}
