package predict

import (
	"math"

	gwbridge "gridwright/internal/bridge"
	"gridwright/internal/model"
)

// Signal is what the excitation does to the grids and what noise leaves visible.
type Signal struct {
	Johnson      Figure // V rms, of the bridge's output resistance in the instrument's bandwidth
	Smallest     Figure // load that shows above the noise, N, N·m or Pa
	Power        Figure // W, of the hottest grid
	PowerDensity Figure // W/m², of the grid with the greatest
	Hottest      int    // that grid, index into Model.Grids
}

func signalOf(m *model.Model, s *model.State, b int, rest gwbridge.Solution, br *Bridge) (Signal, error) {
	d := m.Design
	out := Signal{
		Johnson:      None("the file gives no bandwidth of the instrument"),
		Smallest:     None("the file gives no noise and bandwidth of the instrument"),
		Power:        None("the bridge has no excitation"),
		PowerDensity: None("the bridge has no excitation"),
	}
	if d.Instrument.Bandwidth.Set {
		v, err := gwbridge.JohnsonNoise(rest.OutputResistance, d.Temperature.Reference.SI, d.Instrument.Bandwidth.SI)
		if err != nil {
			return out, err
		}
		out.Johnson = Some(v)
	}
	e := d.Bridges[b].Excitation
	if d.Instrument.Noise.Set && out.Johnson.OK() {
		switch {
		case !e.Set:
			out.Smallest = None("the bridge has no excitation")
		case br.Blind:
			out.Smallest = None(blind)
		default:
			noise := math.Hypot(out.Johnson.Value, d.Instrument.Noise.SI)
			out.Smallest = Some(noise / math.Abs(br.Sensitivity[br.Target]*e.SI))
		}
	}
	if !e.Set {
		return out, nil
	}
	power, density := 0.0, 0.0
	for k := range m.Bridges[b].Arms {
		for _, i := range m.Bridges[b].Arms[k].Grids {
			g := &s.Grids[i]
			current := rest.Current[k] * e.SI
			p := current * current * g.Resistance
			power = math.Max(power, p)
			if q := p / (g.Length * g.Width); q > density {
				density, out.Hottest = q, i
			}
		}
	}
	out.Power, out.PowerDensity = Some(power), Some(density)
	return out, nil
}
