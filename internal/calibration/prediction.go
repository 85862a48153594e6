package calibration

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/uncertainty"
)

// Expected is a predicted figure with its standard uncertainty by the tolerances of
// the design.
type Expected struct {
	Value, Standard float64
}

// Prediction is what the design leads one to expect of a calibration at one
// temperature. Lists go with the design's bridges and loads.
type Prediction struct {
	Kelvin      float64
	Sensitivity [][]Expected // at no load, V/V per N, N·m or Pa
	Balance     []Expected   // V/E at no load, V/V
	Shunt       [][]Expected // change by each shunt asked for, V/V; at the reference temperature
	// Output is the exact change of bridge b from no load under loads, V/V; with it the
	// comparison fits prediction and readings alike. nil: sensitivities are compared as
	// they are.
	Output func(b int, loads []float64) (float64, error)
}

// Predict predicts sensitivities, zero balances and shunt readings at a temperature,
// and propagates the tolerances of the design to first order (JCGM 100:2008,
// equation 10): limits as rectangular, expanded uncertainties as normal
// distributions. The tolerance of a shunt is taken with it where the design states
// the shunt. Span changes with temperature as in package model; zero includes the
// thermal output there.
func Predict(d *design.Design, kelvin float64, shunts []design.Shunt) (*Prediction, error) {
	m, err := model.Compile(d)
	if err != nil {
		return nil, err
	}
	shunts = stated(d, shunts)
	nb, nl, ns := len(m.Bridges), len(m.Components), len(shunts)
	per := nl + 1 + ns
	prop := uncertainty.Propagation{Outputs: nb * per}
	for _, in := range m.Inputs {
		q := uncertainty.Quantity{Name: in.Label(), Estimate: in.Nominal, Form: uncertainty.Rectangular, Width: in.Tolerance}
		if in.Coverage > 0 {
			q.Form, q.Width = uncertainty.Normal, in.Tolerance/in.Coverage
		}
		prop.Inputs = append(prop.Inputs, q)
	}
	inputs := len(prop.Inputs)
	for k := range shunts {
		r := shunts[k].Resistor
		prop.Inputs = append(prop.Inputs, uncertainty.Quantity{Name: "shunt", Estimate: r.SI, Form: uncertainty.Normal, Width: r.Standard()})
	}
	prop.New = func() (func(x, y []float64) error, error) {
		s := m.NewState()
		list := append([]design.Shunt(nil), shunts...)
		return func(x, y []float64) error {
			if err := m.Set(x[:inputs], s); err != nil {
				return err
			}
			for k := range list {
				list[k].Resistor.SI = x[inputs+k]
			}
			return expect(m, s, kelvin, list, per, y)
		}, nil
	}
	first, err := prop.FirstOrder()
	if err != nil {
		return nil, fmt.Errorf("the prediction to compare with: %w", err)
	}
	out := &Prediction{Kelvin: kelvin}
	at := func(i int) Expected { return Expected{first.Value[i], first.Standard[i]} }
	for b := range nb {
		var row, shunt []Expected
		for j := range nl {
			row = append(row, at(b*per+j))
		}
		for k := range ns {
			shunt = append(shunt, at(b*per+nl+1+k))
		}
		out.Sensitivity, out.Balance, out.Shunt = append(out.Sensitivity, row), append(out.Balance, at(b*per+nl)), append(out.Shunt, shunt)
	}
	s := m.NewState()
	if err := m.Set(m.Nominal, s); err != nil {
		return nil, err
	}
	out.Output = func(b int, loads []float64) (float64, error) {
		c := model.At(kelvin)
		rest, err := m.Output(s, b, &c)
		if err != nil {
			return 0, err
		}
		copy(c.Load[:], loads)
		v, err := m.Output(s, b, &c)
		return v - rest, err
	}
	return out, nil
}

// stated are the shunts with the tolerances that the design states for them.
func stated(d *design.Design, shunts []design.Shunt) []design.Shunt {
	out := append([]design.Shunt(nil), shunts...)
	for k := range out {
		for _, s := range d.Shunts {
			if s.Arm == out[k].Arm && s.AtInstrument == out[k].AtInstrument && math.Abs(s.Resistor.SI-out[k].Resistor.SI) <= 1e-6*s.Resistor.SI {
				out[k] = s
			}
		}
	}
	return out
}

func expect(m *model.Model, s *model.State, kelvin float64, shunts []design.Shunt, per int, y []float64) error {
	c := model.At(kelvin)
	nl := len(m.Components)
	for b := range m.Bridges {
		if _, err := m.Sensitivity(s, b, kelvin, y[b*per:b*per+nl]); err != nil {
			return err
		}
		v, err := m.Output(s, b, &c)
		if err != nil {
			return err
		}
		y[b*per+nl] = v
		for k := range shunts {
			if y[b*per+nl+1+k], err = m.Shunted(s, b, shunts[k]); err != nil {
				return err
			}
		}
	}
	return nil
}
