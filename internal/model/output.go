package model

import (
	"math"

	"gridwright/internal/bridge"
	"gridwright/internal/design"
)

// Figures are the small-signal figures of all bridges for one value of the
// inputs, with the scratch space of the worker that computes them.
type Figures struct {
	Sensitivity []float64 // d(V/E)/dF at no load: bridge by bridge, each load component; V/V per N, N·m or Pa
	Balance     []float64 // V/E at no load, of each bridge

	state *State
}

// NewFigures makes figures and scratch space for one worker.
func (m *Model) NewFigures() *Figures {
	return &Figures{
		Sensitivity: make([]float64, len(m.Bridges)*len(m.Components)),
		Balance:     make([]float64, len(m.Bridges)),
		state:       m.NewState(),
	}
}

// State that the figures were computed from.
func (f *Figures) State() *State { return f.state }

// Eval computes the small-signal figures at the inputs x. It allocates nothing.
func (m *Model) Eval(x []float64, f *Figures) error {
	if err := m.Set(x, f.state); err != nil {
		return err
	}
	n := len(m.Components)
	for b := range m.Bridges {
		v, err := m.Sensitivity(f.state, b, m.reference, f.Sensitivity[b*n:(b+1)*n])
		if err != nil {
			return err
		}
		f.Balance[b] = v
	}
	return nil
}

// Sensitivity fills out with d(V/E)/dF of a bridge at no load for each
// component, every part of it at the temperature kelvin except that thermal
// output is left out (it belongs to zero), and returns V/E:
//
//	S_j(T) = Σ ∂(V/E)/∂R_k · R_g · F(T)/F0 · (normal_j/E(T) + shear_j/G(T)) · (1+αΔT)^−n
//
// n = 3 for moments, 2 for forces, 0 for pressure: the part grows.
func (m *Model) Sensitivity(s *State, b int, kelvin float64, out []float64) (float64, error) {
	br := &m.Bridges[b]
	x, d := s.inputs, kelvin-m.reference
	arms := s.rest(br)
	w := br.wiring(x, d)
	var sol bridge.Solution
	if err := w.Solve(arms, &sol); err != nil {
		return 0, err
	}
	perE, perG := m.compliance(s, d)
	var grow [3]float64
	if d == 0 {
		grow = [3]float64{1, 1, 1}
	} else {
		g := 1 + s.alpha*d
		grow = [3]float64{1 / (g * g * g), 1 / (g * g), 1}
	}
	for j := range m.Components {
		out[j] = 0
	}
	for k := range br.Arms {
		for _, i := range br.Arms[k].Grids {
			g := &s.Grids[i]
			c := sol.Weight[k] * g.Resistance * (1 + g.drift*d)
			for j := range m.Components {
				out[j] += c * g.row(j, perE, perG)
			}
		}
	}
	for j, c := range m.Components {
		out[j] *= grow[growth(c)]
	}
	return sol.Output, nil
}

// growth indexes the power with which a component's strain falls as the part
// expands.
func growth(c design.Component) int {
	switch c {
	case design.Torque, design.BendingY, design.BendingZ:
		return 0
	case design.Pressure:
		return 2
	}
	return 1
}

// compliance is 1/E and 1/G at d kelvin from the reference.
func (m *Model) compliance(s *State, d float64) (perE, perG float64) {
	x := s.inputs
	e := x[m.material.eDrift]
	g := e
	if m.material.gDrift >= 0 {
		g = x[m.material.gDrift]
	}
	return 1 / (s.e * (1 + e*d)), 1 / (s.g * (1 + g*d))
}

// rest is the arms' resistance at no load and the reference temperature.
func (s *State) rest(br *Bridge) [4]float64 {
	var arms [4]float64
	for k := range br.Arms {
		a := &br.Arms[k]
		if a.Fixed {
			arms[k] = s.inputs[a.resistor]
		}
		for _, i := range a.Grids {
			arms[k] += s.Grids[i].Resistance
		}
	}
	return arms
}

// wiring of the bridge with its leads d kelvin from the reference.
func (br *Bridge) wiring(x []float64, d float64) bridge.Wiring {
	w := br.Wiring
	if br.meter >= 0 {
		w.Meter = x[br.meter]
	}
	if br.each >= 0 {
		w.Each = x[br.each]
		if br.Follow {
			w.Each *= 1 + CopperTCR*d
		}
	}
	return w
}

// Condition is a state of load and temperature.
type Condition struct {
	Load   [design.Components]float64 // of each component of the model, SI
	Kelvin float64                    // of the part
	Across float64                    // K from one side of the part to the other
	Toward float64                    // rad, the hot side
	Along  float64                    // K/m
}

// At is the condition of no load at a uniform temperature, K.
func At(kelvin float64) Condition { return Condition{Kelvin: kelvin} }

// arms is every arm's resistance under a condition: mechanical and thermal ΔR/R
// of each grid add, each grid at its own temperature.
func (m *Model) arms(s *State, br *Bridge, c *Condition) [4]float64 {
	d := c.Kelvin - m.reference
	perE, perG := m.compliance(s, d)
	g := 1 + s.alpha*d
	grow := [3]float64{1 / (g * g * g), 1 / (g * g), 1}
	var arms [4]float64
	for k := range br.Arms {
		a := &br.Arms[k]
		if a.Fixed {
			arms[k] = s.inputs[a.resistor]
			if a.atPart {
				arms[k] *= 1 + s.inputs[a.tcr]*d
			}
		}
		for _, i := range a.Grids {
			gs := &s.Grids[i]
			t := c.Kelvin + c.Along*gs.Station
			if c.Across != 0 {
				t += 0.5 * c.Across * math.Cos(gs.Around-c.Toward)
			}
			change := s.Thermal(i, t)
			for j, comp := range m.Components {
				if c.Load[j] != 0 {
					change += c.Load[j] * grow[growth(comp)] * (1 + gs.drift*(t-m.reference)) * gs.row(j, perE, perG)
				}
			}
			arms[k] += gs.Resistance * (1 + change)
		}
	}
	return arms
}

// Output is the exact V/E of a bridge under a condition.
func (m *Model) Output(s *State, b int, c *Condition) (float64, error) {
	br := &m.Bridges[b]
	var sol bridge.Solution
	w := br.wiring(s.inputs, c.Kelvin-m.reference)
	err := w.Solve(m.arms(s, br, c), &sol)
	return sol.Output, err
}

// Solve is the whole network solution of a bridge under a condition.
func (m *Model) Solve(s *State, b int, c *Condition) (bridge.Solution, error) {
	br := &m.Bridges[b]
	var sol bridge.Solution
	w := br.wiring(s.inputs, c.Kelvin-m.reference)
	err := w.Solve(m.arms(s, br, c), &sol)
	return sol, err
}

// Shunted is V/E of a bridge with a shunt across one arm minus V/E without, at no
// load and the reference temperature.
func (m *Model) Shunted(s *State, b int, sh design.Shunt) (float64, error) {
	br := &m.Bridges[b]
	end := bridge.AtPart
	if sh.AtInstrument {
		end = bridge.AtInstrument
	}
	w := br.wiring(s.inputs, 0)
	return w.Shunted(s.rest(br), sh.Arm, sh.Resistor.SI, end)
}
