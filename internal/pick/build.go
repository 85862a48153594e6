package pick

import (
	"fmt"
	"math"

	"gridwright/internal/bridge"
	"gridwright/internal/design"
	"gridwright/internal/gauge"
)

// bridgeNames are those that bridges get, by what they measure.
var bridgeNames = [design.Components]string{
	design.Axial: "N", design.ShearY: "Vy", design.ShearZ: "Vz",
	design.Torque: "T", design.BendingY: "By", design.BendingZ: "Bz", design.Pressure: "P",
}

// build makes the design of a proposal.
func (p *problem) build(pr *proposal) (d *design.Design, jumpers, ways int, err error) {
	g, err := p.survey(pr.layout)
	if err != nil {
		return nil, 0, 0, err
	}
	ways = 1
	c := *p.design
	d = &c
	d.Placements = pr.layout.placements
	for i, t := range p.measured {
		w := &pr.set.bridges[i]
		if w.none() {
			continue
		}
		b := design.Bridge{Name: bridgeNames[p.component(t)], Measures: p.component(t), Leads: p.design.Leads}
		path := "bridges." + b.Name
		b.Place.Path = path
		arms, n, shares := g.share(w, t)
		jumpers += n
		ways = max(ways, shares)
		for k, arm := range arms {
			a := &b.Arms[k]
			a.Place.Path = fmt.Sprintf("%s.arms[%d]", path, k)
			if len(arm) == 0 {
				// The ratio of the grids: arm 4 over arm 3 is arm 1 over arm 2.
				a.Resistor = si(g.ohms[arms[0][0]]*float64(len(arms[3-k])), a.Place.Path)
			}
			for _, i := range arm {
				a.Grids = append(a.Grids, g.refs[i])
			}
		}
		if volts, ok := excitation(d, &b); ok {
			b.Excitation = si(volts, path+".excitation")
		}
		d.Bridges = append(d.Bridges, b)
	}
	return d, jumpers, ways, nil
}

// excitation is the greatest of the usual voltages at which no grid of the bridge
// exceeds the power density that its gauge states; ok is false when a gauge
// states none, or when the least voltage is too much.
func excitation(d *design.Design, b *design.Bridge) (volts float64, ok bool) {
	var arms [4]float64
	for k, a := range b.Arms {
		arms[k] = a.Resistor.SI
		for _, r := range a.Grids {
			arms[k] += d.GridResistance(r).SI
		}
	}
	w := bridge.Wiring{Wires: b.Leads.Wires, Each: b.Leads.Each.SI, Remote: b.Remote(), Meter: d.Instrument.InputResistance.SI}
	var s bridge.Solution
	if w.Solve(arms, &s) != nil {
		return 0, false
	}
	limit := math.Inf(1)
	for k, a := range b.Arms {
		for _, r := range a.Grids {
			g := &d.Gauges[d.Placements[r.Placement].Gauge]
			density, _, ok := gauge.AllowedDensity(g)
			if !ok {
				return 0, false
			}
			power := s.Current[k] * s.Current[k] * d.GridResistance(r).SI // for 1 V
			limit = math.Min(limit, math.Sqrt(density*g.GridLength.SI*g.GridWidth.SI/power))
		}
	}
	return gauge.UsualSupply(limit * (1 + 1e-9))
}
