package diagnosis

import (
	"fmt"
	"slices"

	"gridwright/internal/model"
)

// A ring whose signal or supply leads are exchanged is the same ring read in another
// sense: each arm then stands in another's place.
var (
	signalTurned = [4]int{3, 2, 1, 0}
	supplyTurned = [4]int{1, 0, 3, 2}
)

// exchangedWires: the leads of one bridge, or of all in the same way. Where the bridge is
// completed in the instrument, turning its supply or its signal leads there only turns
// the sign of all that it shows.
func (b *bench) exchangedWires() []*cause {
	exchange := func(id, says string, which []int, to [4]int) *cause {
		c := &cause{class: wiresExchanged, id: id, says: always("%s", says), leads: map[int][4]int{}}
		var flipped []int
		for _, br := range which {
			if b.m.Design.Bridges[br].Leads.AtInstrument {
				flipped = append(flipped, br)
			} else {
				c.leads[br] = to
			}
		}
		c.bridges = func(all []model.Bridge, _ float64) {
			for br, to := range c.leads {
				old := all[br].Arms
				for k := range to {
					all[br].Arms[to[k]] = old[k]
				}
			}
		}
		if flipped != nil {
			c.readings = func(y []float64, _ float64) {
				for _, br := range flipped {
					for i := br * b.row; i < (br+1)*b.row; i++ {
						y[i] = -y[i]
					}
				}
			}
		}
		return c
	}
	var out []*cause
	var all []int
	for br := range b.m.Bridges {
		name := b.m.Bridges[br].Name
		all = append(all, br)
		out = append(out,
			exchange("signal "+name, "signal wires of bridge "+name+" exchanged", []int{br}, signalTurned),
			exchange("supply "+name, "supply leads of bridge "+name+" exchanged", []int{br}, supplyTurned))
	}
	if len(all) > 1 {
		out = append(out,
			exchange("signal all", "signal wires of all bridges exchanged", all, signalTurned),
			exchange("supply all", "supply leads of all bridges exchanged", all, supplyTurned))
	}
	return out
}

// exchangedChannels: the cables of two bridges in each other's sockets. A shunt at the
// part then sits on the bridge that the other channel reads.
func (b *bench) exchangedChannels() []*cause {
	var out []*cause
	for p := range b.m.Bridges {
		for q := range p {
			one, two := b.m.Bridges[q].Name, b.m.Bridges[p].Name
			out = append(out, &cause{class: channelsExchanged, id: "channels " + one + " " + two,
				says: always("cables of bridges %s and %s in each other's channels", one, two),
				readings: func(y []float64, _ float64) {
					for i := range b.row {
						y[p*b.row+i], y[q*b.row+i] = y[q*b.row+i], y[p*b.row+i]
					}
					for s, sh := range b.m.Design.Shunts {
						if !sh.AtInstrument {
							i := len(b.m.Components) + 1 + s
							y[p*b.row+i], y[q*b.row+i] = 0, 0
						}
					}
				}})
		}
	}
	return out
}

// seat is where a grid is wired: bridge and arm.
type seat struct{ bridge, arm int }

// seats of the grids that are in bridges; used lists them in order.
func (b *bench) seats() (at map[int]seat, used []int) {
	at = map[int]seat{}
	for br := range b.m.Bridges {
		for k := range b.m.Bridges[br].Arms {
			for _, g := range b.m.Bridges[br].Arms[k].Grids {
				at[g] = seat{br, k}
				used = append(used, g)
			}
		}
	}
	slices.Sort(used)
	return at, used
}

// rewire puts other grids in the arms: to[g] in the place of g.
func rewire(to map[int]int) func([]model.Bridge, float64) {
	return func(all []model.Bridge, _ float64) {
		for br := range all {
			for k := range all[br].Arms {
				old := all[br].Arms[k].Grids
				for i, g := range old {
					if n, ok := to[g]; ok {
						if &all[br].Arms[k].Grids[0] == &old[0] {
							all[br].Arms[k].Grids = slices.Clone(old)
						}
						all[br].Arms[k].Grids[i] = n
					}
				}
			}
		}
	}
}

// exchangedGrids: every two grids that are wired, in one bridge or two, in each other's
// place, unless they are in series in one arm.
func (b *bench) exchangedGrids() []*cause {
	at, used := b.seats()
	var out []*cause
	for i, p := range used {
		for _, q := range used[:i] {
			if at[p] == at[q] {
				continue
			}
			one, two := b.m.Grids[q].Name, b.m.Grids[p].Name
			out = append(out, &cause{class: gridsExchanged, id: "exchanged " + one + " " + two,
				says: always("grids %s and %s exchanged", one, two), bridges: rewire(map[int]int{p: q, q: p})})
		}
	}
	return out
}

// wrongGrids: a grid of the same placement that no bridge uses, wired for the one that
// was meant.
func (b *bench) wrongGrids() []*cause {
	at, used := b.seats()
	var out []*cause
	for _, p := range used {
		for q := range b.m.Grids {
			if _, wired := at[q]; wired || b.m.Grids[q].Ref.Placement != b.m.Grids[p].Ref.Placement {
				continue
			}
			out = append(out, &cause{class: wrongGrid, id: "instead " + b.m.Grids[p].Name + " " + b.m.Grids[q].Name,
				says:    always("grid %s wired in the place of %s", b.m.Grids[q].Name, b.m.Grids[p].Name),
				bridges: rewire(map[int]int{p: q})})
		}
	}
	return out
}

// mirroredRosettes: a gauge whose grids are numbered in the other sense than the file
// says.
func (b *bench) mirroredRosettes() []*cause {
	_, used := b.seats()
	var out []*cause
	for g := range b.m.Design.Gauges {
		if !slices.ContainsFunc(used, func(i int) bool { return b.m.Grids[i].Gauge == g }) {
			continue
		}
		d := b.m.Design.Clone()
		gauge := &d.Gauges[g]
		same := true
		for k := range gauge.Directions {
			gauge.Directions[k] = -gauge.Directions[k]
			same = same && fold(gauge.Directions[k]) == fold(-gauge.Directions[k])
		}
		gauge.CounterClockwise = !gauge.CounterClockwise
		if same {
			continue
		}
		m, err := model.Compile(d)
		if err != nil || len(m.Inputs) != len(b.m.Inputs) {
			continue
		}
		out = append(out, &cause{class: mirrored, id: "mirrored " + gauge.Name, model: m,
			says: always("gauges %s numbered %s, not %s as the file says", gauge.Name, sense(gauge.CounterClockwise), sense(!gauge.CounterClockwise))})
	}
	return out
}

func sense(counter bool) string {
	if counter {
		return "counterclockwise"
	}
	return "clockwise"
}

// gridNames joins the names of grids.
func (b *bench) gridNames(grids []int) string {
	s := ""
	for i, g := range grids {
		switch {
		case i > 0 && i == len(grids)-1:
			s += " and "
		case i > 0:
			s += ", "
		}
		s += b.m.Grids[g].Name
	}
	return s
}

// bridgeOf names the bridge and arm of a grid, for words.
func (b *bench) bridgeOf(s seat) string {
	return fmt.Sprintf("arm %d of bridge %s", s.arm+1, b.m.Bridges[s.bridge].Name)
}
