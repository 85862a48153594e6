package diagnosis

import (
	"fmt"
	"math"

	"gridwright/internal/gauge"
	"gridwright/internal/model"
)

// Resistance that an open and a shorted grid is given, Ω: far beyond and below
// anything that would show in an output.
const (
	openOhm  = 1e12
	shortOhm = 1e-6
)

func (b *bench) openGrids() []*cause    { return b.broken(gridOpen, "open", openOhm) }
func (b *bench) shortedGrids() []*cause { return b.broken(gridShorted, "shorted", shortOhm) }

// broken is each grid with the resistance of a fault; grids in series are shorted
// together as well.
func (b *bench) broken(k class, word string, ohm float64) []*cause {
	at, used := b.seats()
	var out []*cause
	for _, g := range used {
		out = append(out, &cause{class: k, id: word + " " + b.m.Grids[g].Name,
			says: always("grid %s (%s) %s", b.m.Grids[g].Name, b.bridgeOf(at[g]), word),
			grids: func(s *model.State, _ float64) {
				s.Grids[g].Resistance = ohm
			}})
	}
	if k != gridShorted {
		return out
	}
	for br := range b.m.Bridges {
		for a := range b.m.Bridges[br].Arms {
			series := b.m.Bridges[br].Arms[a].Grids
			if len(series) < 2 {
				continue
			}
			arm := b.bridgeOf(seat{br, a})
			out = append(out, &cause{class: k, id: word + " " + arm, says: always("%s shorted whole", arm),
				grids: func(s *model.State, _ float64) {
					for _, g := range series {
						s.Grids[g].Resistance = ohm
					}
				}})
		}
	}
	return out
}

// unbondedGrids: a grid, or all grids of one placement, that follow the part's strain
// in part only. The parameter is the part lost; half of the prior stands for a gauge
// that came off whole.
func (b *bench) unbondedGrids() []*cause {
	_, used := b.seats()
	whole := map[int][]int{}
	var order []int
	for _, g := range used {
		p := b.m.Grids[g].Ref.Placement
		if whole[p] == nil {
			order = append(order, p)
		}
		whole[p] = append(whole[p], g)
	}
	var out []*cause
	add := func(id, what string, lost []int) {
		out = append(out, &cause{class: unbonded, id: id,
			says: func(theta, sd float64) string {
				if theta > 0.97 {
					return what + " not bonded: follows no strain"
				}
				return fmt.Sprintf("%s badly bonded: loses %.0f %% ± %.0f %% (k=2) of the strain", what, 100*theta, 200*sd)
			},
			grids: func(s *model.State, theta float64) {
				for _, g := range lost {
					scaleStrain(&s.Grids[g], 1-theta)
				}
			},
			parameter: &parameter{from: 0, to: 1, scan: even(0, 1, 10), quantity: "strain lost by " + what, unit: "%", perUnit: 100,
				logPrior: func(t float64) float64 {
					// the normal density is one-sided: twice as high on the range
					return logSum(math.Log(0.5)+math.Log(2)+normal(1-t, 0.03), math.Log(0.5))
				}}})
	}
	for _, g := range used {
		add("unbonded "+b.m.Grids[g].Name, "grid "+b.m.Grids[g].Name, []int{g})
	}
	for _, p := range order {
		if len(whole[p]) > 1 {
			name := b.m.Design.Placements[p].Name
			add("unbonded placement "+name, fmt.Sprintf("gauge %s (grids %s)", name, b.gridNames(whole[p])), whole[p])
		}
	}
	return out
}

// scaleStrain makes a grid follow a multiple of its strain.
func scaleStrain(g *model.GridState, by float64) {
	for j := range g.Normal {
		g.Normal[j].Along *= by
		g.Normal[j].Across *= by
		g.Shear[j].Along *= by
		g.Shear[j].Across *= by
	}
}

// wrongFactors: a lot whose gauge factor is not what the file says.
func (b *bench) wrongFactors() []*cause {
	_, used := b.seats()
	var out []*cause
	for l := range b.m.Design.Gauges {
		name := b.m.Design.Gauges[l].Name
		var of []int
		for _, g := range used {
			if b.m.Grids[g].Gauge == l {
				of = append(of, g)
			}
		}
		if of == nil {
			continue
		}
		path := "gauges." + name + ".gauge-factor"
		out = append(out, &cause{class: wrongFactor, id: "factor " + name,
			says: func(theta, sd float64) string {
				return fmt.Sprintf("gauge factor of %s off by %s", name, amount(100*theta, 100*sd, "%"))
			},
			grids: func(s *model.State, theta float64) {
				for _, g := range of {
					scaleStrain(&s.Grids[g], 1+theta)
				}
			},
			parameter: &parameter{from: -0.6, to: 1.5, scan: fine(-0.6, 1.5), quantity: "gauge factor of " + name, unit: "%", perUnit: 100,
				logPrior: spread(0.04, -0.6, 1.5, 0.1), owns: b.inputsAt(path)}})
	}
	return out
}

// inputsAt are the inputs of the model at a place of the file.
func (b *bench) inputsAt(path string) []int {
	var out []int
	for i, in := range b.m.Inputs {
		if in.Place.Path == path {
			out = append(out, i)
		}
	}
	return out
}

// fine is a scan with small steps about 0 and growing ones beyond.
func fine(from, to float64) []float64 {
	var out []float64
	for x := from; x < -0.01; x *= 0.8 {
		out = append(out, x)
	}
	out = append(out, -0.01, 0)
	var up []float64
	for x := to; x > 0.01; x *= 0.8 {
		up = append(up, x)
	}
	out = append(out, 0.01)
	for i := len(up) - 1; i >= 0; i-- {
		out = append(out, up[i])
	}
	return out
}

func fold(a float64) float64 { return gauge.FoldDirection(a) }
