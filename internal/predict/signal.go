package predict

import (
	"math"

	gwbridge "gridwright/internal/bridge"
	"gridwright/internal/gauge"
	"gridwright/internal/model"
)

// Signal is what the excitation does to the grids and what noise leaves visible.
type Signal struct {
	Johnson      Figure // V rms, of the bridge's output resistance in the instrument's bandwidth
	Smallest     Figure // load that shows above the noise, N, N·m or Pa
	Power        Figure // W, of the hottest grid
	PowerDensity Figure // W/m², of the grid with the greatest
	Hottest      int    // that grid, index into Model.Grids

	Limit       Figure // excitation at which a grid reaches the power density that its gauge allows, V
	Recommended Figure // greatest usual supply within Limit, V
	CommonMode  Figure // mean of the two signal corners above the negative supply corner, V
	Resolved    Figure // load that one step of the instrument's resolution stands for, N, N·m or Pa
}

func signalOf(m *model.Model, s *model.State, b int, rest gwbridge.Solution, br *Bridge) (Signal, error) {
	d := m.Design
	out := Signal{
		Johnson:      None("the file gives no bandwidth of the instrument"),
		Smallest:     None("the file gives no noise and bandwidth of the instrument"),
		Power:        None("the bridge has no excitation"),
		PowerDensity: None("the bridge has no excitation"),
		CommonMode:   None("the bridge has no excitation"),
		Resolved:     None("the file gives no resolution of the instrument"),
	}
	out.Limit, out.Recommended = supplyOf(m, s, b, rest)
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
	if d.Instrument.Resolution.Set && e.Set {
		out.Resolved = None(blind)
		if !br.Blind {
			out.Resolved = Some(d.Instrument.Resolution.SI / math.Abs(br.Sensitivity[br.Target]*e.SI))
		}
	}
	if !e.Set {
		return out, nil
	}
	// Arm 2 carries its current from −S to −E, arm 3 its own from +S, counted from
	// −E: that is why its sign is the other one.
	arms := restArms(m, s, b)
	out.CommonMode = Some(e.SI * (rest.Current[1]*arms[1] - rest.Current[2]*arms[2]) / 2)
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

// restArms are the resistances of the arms at no load, Ω.
func restArms(m *model.Model, s *model.State, b int) [4]float64 {
	var arms [4]float64
	db := &m.Design.Bridges[b]
	for k := range arms {
		if db.Arms[k].Fixed() {
			arms[k] = db.Arms[k].Resistor.SI
		}
		for _, i := range m.Bridges[b].Arms[k].Grids {
			arms[k] += s.Grids[i].Resistance
		}
	}
	return arms
}

// supplyOf is the excitation at which the first grid reaches its allowed power
// density q, and the usual supply below it,
//
//	E = √(q L W / (I² R)),  I the current for one volt of excitation
func supplyOf(m *model.Model, s *model.State, b int, rest gwbridge.Solution) (limit, usual Figure) {
	volts := math.Inf(1)
	for k := range m.Bridges[b].Arms {
		for _, i := range m.Bridges[b].Arms[k].Grids {
			g := &s.Grids[i]
			q, _, ok := gauge.AllowedDensity(&m.Design.Gauges[m.Grids[i].Gauge])
			if !ok {
				none := None("gauge " + m.Design.Gauges[m.Grids[i].Gauge].Name + " states no power density and no heat sink")
				return none, none
			}
			volts = math.Min(volts, math.Sqrt(q*g.Length*g.Width/g.Resistance)/math.Abs(rest.Current[k]))
		}
	}
	usual = None("no usual supply is as low as the power density asks for")
	if v, ok := gauge.UsualSupply(volts); ok {
		usual = Some(v)
	}
	return Some(volts), usual
}
