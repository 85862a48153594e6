package diagnosis

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/quantity"
)

// angleFaults is where "turned" and "around" stand in faults.
const angleFaults = 8

// faults draw one fault each, nil where the design has no place for it.
var faults = []struct {
	name string
	draw func(g *rand.Rand, d *design.Design, m *model.Model) *truth
}{
	{"signal or supply leads", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		b := g.IntN(len(d.Bridges))
		name := d.Bridges[b].Name
		return &truth{id: "signal " + name, other: "supply " + name, d: d, read: func(m *model.Model, s *simulated) {
			s.scale(b, -1)
			// with exchanged signal wires the instrument's terminals of arm 1 (+E, −S) hold
			// arm 4 (+S, +E), those of arm 2 arm 3
			for i, sh := range d.Shunts {
				if sh.AtInstrument {
					s.shunts[b][i] = -s.across[b][i][4-sh.Arm]
				}
			}
		}}
	}},
	{"channels", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		if len(d.Bridges) < 2 {
			return nil
		}
		p := 1 + g.IntN(len(d.Bridges)-1)
		q := g.IntN(p)
		return &truth{id: "channels " + d.Bridges[q].Name + " " + d.Bridges[p].Name, d: d, read: func(m *model.Model, s *simulated) {
			s.matrix[p], s.matrix[q] = s.matrix[q], s.matrix[p]
			s.zero[p], s.zero[q] = s.zero[q], s.zero[p]
			s.shunts[p], s.shunts[q] = s.shunts[q], s.shunts[p]
			for i, sh := range d.Shunts {
				if !sh.AtInstrument {
					s.shunts[p][i], s.shunts[q][i] = 0, 0
				}
			}
		}}
	}},
	{"grids exchanged", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		refs := wiredGrids(d)
		p := 1 + g.IntN(len(refs)-1)
		q := g.IntN(p)
		// the package names them in the order of the placements
		one, two := *refs[q], *refs[p]
		if one.Placement > two.Placement || one.Placement == two.Placement && one.Grid > two.Grid {
			one, two = two, one
		}
		id := "exchanged " + d.GridName(one) + " " + d.GridName(two)
		*refs[p], *refs[q] = *refs[q], *refs[p]
		return &truth{id: id, d: d}
	}},
	{"unused grid wired", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		refs := wiredGrids(d)
		wired := map[design.GridRef]bool{}
		for _, r := range refs {
			wired[*r] = true
		}
		for _, i := range g.Perm(len(refs)) {
			r := *refs[i]
			for k := range d.Gauges[d.Placements[r.Placement].Gauge].Directions {
				other := design.GridRef{Placement: r.Placement, Grid: k}
				if !wired[other] {
					*refs[i] = other
					return &truth{id: "instead " + d.GridName(r) + " " + d.GridName(other), d: d}
				}
			}
		}
		return nil
	}},
	{"mirrored", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		refs := wiredGrids(d)
		l := &d.Gauges[d.Placements[refs[g.IntN(len(refs))].Placement].Gauge]
		if l.Pattern == "single" || l.Pattern == "tee" {
			return nil
		}
		for k := range l.Directions {
			l.Directions[k] = -l.Directions[k]
		}
		return &truth{id: "mirrored " + l.Name, d: d}
	}},
	{"open", resistance("open", 1e9)},
	{"shorted", resistance("shorted", 1e-3)},
	{"unbonded", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		loss := 1.0
		if g.IntN(2) == 0 {
			loss = 0.2 + 0.6*g.Float64()
		}
		refs := wiredGrids(d)
		r := *refs[g.IntN(len(refs))]
		name := d.GridName(r)
		id, lost := "unbonded "+name, map[string]bool{name: true}
		if g.IntN(2) == 0 {
			lost = map[string]bool{}
			for _, o := range refs {
				if o.Placement == r.Placement {
					lost[d.GridName(*o)] = true
				}
			}
			if len(lost) > 1 {
				id = "unbonded placement " + d.Placements[r.Placement].Name
			}
		}
		return &truth{id: id, theta: loss, d: d, inputs: scatter(func(grid string) float64 {
			if lost[grid] {
				return 1 - loss
			}
			return 1
		})}
	}},
	{"turned", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		p := wiredPlacement(g, d)
		by := slipOrQuarter(g)
		d.Placements[p].Direction.SI += by
		return &truth{id: "turned " + d.Placements[p].Name, angle: true, theta: by, d: d, input: placementInput("direction", p, by)}
	}},
	{"around", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		p := wiredPlacement(g, d)
		by := slipOrQuarter(g)
		d.Placements[p].Around.SI += by
		return &truth{id: "around " + d.Placements[p].Name, angle: true, theta: by, d: d, input: placementInput("around", p, by)}
	}},
	{"station", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		p := wiredPlacement(g, d)
		by := 0.03 * (2*g.Float64() - 1)
		d.Placements[p].Station.SI += by
		return &truth{id: "station " + d.Placements[p].Name, theta: by, d: d}
	}},
	{"gauge factor", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		refs := wiredGrids(d)
		l := d.Placements[refs[g.IntN(len(refs))].Placement].Gauge
		by := (0.05 + 0.2*g.Float64()) * sign(g)
		of := map[string]bool{}
		for i, p := range d.Placements {
			for k := range d.Gauges[p.Gauge].Directions {
				if p.Gauge == l {
					of[d.GridName(design.GridRef{Placement: i, Grid: k})] = true
				}
			}
		}
		return &truth{id: "factor " + d.Gauges[l].Name, theta: by, d: d, inputs: scatter(func(grid string) float64 {
			if of[grid] {
				return 1 + by
			}
			return 1
		})}
	}},
	{"section", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		dims := d.Part.Section.Dimensions
		i := g.IntN(len(dims))
		room := 0.1 * dims[0].SI
		if len(dims) > 1 {
			room = 0.3 * (dims[0].SI - dims[1].SI)
		}
		by := room * (0.2 + 0.8*g.Float64()) * sign(g)
		dims[i].SI += by
		return &truth{id: "section " + []string{"outside-diameter", "inside-diameter"}[i], theta: by, d: d}
	}},
	{"modulus", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		by := -(0.05 + 0.6*g.Float64())
		d.Part.Material.Youngs.SI *= 1 + by
		return &truth{id: "modulus", theta: by, d: d}
	}},
	{"off axis", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		if len(d.Loads) < 2 {
			return nil
		}
		pair := g.Perm(len(d.Loads))
		j, k := pair[0], pair[1]
		by := (0.05 + 0.4*g.Float64()) * sign(g)
		return &truth{id: fmt.Sprintf("off-axis %v %v", d.Loads[j].Component, d.Loads[k].Component), theta: by, d: d, read: func(m *model.Model, s *simulated) {
			for b := range s.matrix {
				s.matrix[b][j] += by * m.Rated[k] / m.Rated[j] * s.matrix[b][k]
			}
		}}
	}},
	{"unit", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		j := g.IntN(len(d.Loads))
		c := d.Loads[j].Component
		list := units[c.Kind()]
		pair := g.Perm(len(list))
		size := func(i int) float64 {
			v, err := quantity.Parse("1 "+list[pair[i]], c.Kind())
			if err != nil {
				panic(err)
			}
			return v.SI
		}
		r := size(0) / size(1)
		if r < 1e-4 || r > 1e4 {
			return nil
		}
		return &truth{id: fmt.Sprintf("unit %v %.6g", c, r), d: d, read: func(m *model.Model, s *simulated) {
			for b := range s.matrix {
				s.matrix[b][j] *= r
			}
		}}
	}},
	{"sense of load", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		j := g.IntN(len(d.Loads))
		return &truth{id: "sign " + d.Loads[j].Component.String(), d: d, read: func(m *model.Model, s *simulated) {
			for b := range s.matrix {
				s.matrix[b][j] *= -1
			}
		}}
	}},
	{"instrument", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		b := g.IntN(len(d.Bridges))
		f := []float64{0.25, 0.5, 2, 4}[g.IntN(4)]
		return &truth{id: fmt.Sprintf("instrument %s %g", d.Bridges[b].Name, f), d: d, read: func(m *model.Model, s *simulated) { s.scale(b, f) }}
	}},
	{"leads", func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		r := 3 + 10*g.Float64()
		id := ""
		for i := range d.Bridges {
			l := &d.Bridges[i].Leads
			switch l.Wires {
			case 0:
				id, l.Wires, l.Each.SI = "leads left out", 4, r
			case 4:
				id = "leads"
				l.Each.SI += r
			case 6:
				id, l.Wires = "sense", 4
			}
		}
		return &truth{id: id, theta: r, d: d}
	}},
}

// scale multiplies all that a bridge shows.
func (s *simulated) scale(b int, by float64) {
	for j := range s.matrix[b] {
		s.matrix[b][j] *= by
	}
	for i := range s.shunts[b] {
		s.shunts[b][i] *= by
	}
	s.zero[b] *= by
}

func sign(g *rand.Rand) float64 { return float64(2*g.IntN(2) - 1) }

// slipOrQuarter is an angle as gauges are set wrong by: degrees, or a quarter turn.
func slipOrQuarter(g *rand.Rand) float64 {
	if g.IntN(3) == 0 {
		return sign(g) * math.Pi / 2
	}
	return sign(g) * (2 + 18*g.Float64()) * math.Pi / 180
}

// wiredGrids are the places in the arms of d where a grid stands.
func wiredGrids(d *design.Design) []*design.GridRef {
	var out []*design.GridRef
	for b := range d.Bridges {
		for k := range d.Bridges[b].Arms {
			for i := range d.Bridges[b].Arms[k].Grids {
				out = append(out, &d.Bridges[b].Arms[k].Grids[i])
			}
		}
	}
	return out
}

func wiredPlacement(g *rand.Rand, d *design.Design) int {
	refs := wiredGrids(d)
	return refs[g.IntN(len(refs))].Placement
}

func resistance(word string, ohm float64) func(*rand.Rand, *design.Design, *model.Model) *truth {
	return func(g *rand.Rand, d *design.Design, m *model.Model) *truth {
		refs := wiredGrids(d)
		r := *refs[g.IntN(len(refs))]
		name := d.GridName(r)
		return &truth{id: word + " " + name, d: d, inputs: func(m *model.Model, x []float64) {
			for k, in := range m.Inputs {
				if in.Of == name && in.Nominal == 350 {
					x[k] = ohm
				}
			}
		}}
	}
}

// scatter multiplies the gauge factor of single grids.
func scatter(by func(grid string) float64) func(m *model.Model, x []float64) {
	return func(m *model.Model, x []float64) {
		for k, in := range m.Inputs {
			if in.Of != "" && in.Place.Path == "gauges."+gaugeOf(m, in.Of)+".gauge-factor-scatter" {
				x[k] = (1+x[k])*by(in.Of) - 1
			}
		}
	}
}

func gaugeOf(m *model.Model, grid string) string {
	for i := range m.Grids {
		if m.Grids[i].Name == grid {
			return m.Design.Gauges[m.Grids[i].Gauge].Name
		}
	}
	return ""
}

// placementInput finds the input of a placement in the true part, and what it is by the
// drawing.
func placementInput(key string, p int, by float64) func(m *model.Model) (int, float64) {
	return func(m *model.Model) (int, float64) {
		path := "placements." + m.Design.Placements[p].Name + "." + key
		for k, in := range m.Inputs {
			if in.Place.Path == path {
				return k, in.Nominal - by
			}
		}
		panic("no input " + path)
	}
}
