package diagnosis

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// column scales what every bridge shows of component j.
func (b *bench) column(y []float64, j int, by float64) {
	for br := range b.m.Bridges {
		y[br*b.row+j] *= by
	}
}

// applied tells which components have measured sensitivities.
func (b *bench) applied() []bool {
	out := make([]bool, len(b.m.Components))
	for _, f := range b.used {
		if b.figures[f].kind == sensitivity {
			out[b.figures[f].item] = true
		}
	}
	return out
}

// offAxisLoads: a calibration load that brought another component with it, in
// proportion. The prior is a tenth of the ratio of the rated loads.
func (b *bench) offAxisLoads() []*cause {
	var out []*cause
	applied := b.applied()
	for j, c := range b.m.Components {
		if !applied[j] {
			continue
		}
		for k, other := range b.m.Components {
			if k == j || other == design.Pressure || c == design.Pressure {
				continue
			}
			// the parameter is in rated loads: with the rated load of c comes θ of that of other
			ratio := rated(b.m, k) / rated(b.m, j)
			unit, per := "N·m/N·m", ratio
			moment, otherMoment := c.Kind() == quantity.Moment, other.Kind() == quantity.Moment
			switch {
			case moment == otherMoment:
				unit, per = "%", 100*ratio
			case otherMoment:
				unit, per = "mm", 1e3*ratio
			default:
				unit = "N per N·m"
			}
			out = append(out, &cause{class: offAxis, id: fmt.Sprintf("off-axis %v %v", c, other), load: c.String(),
				says: func(theta, sd float64) string {
					return fmt.Sprintf("calibration load off axis: %v brings %v with it, %s", c, other, amount(theta*per, sd*per, unit))
				},
				readings: func(y []float64, theta float64) {
					for br := range b.m.Bridges {
						y[br*b.row+j] += theta * y[br*b.row+k]
					}
				},
				parameter: &parameter{from: -0.5, to: 0.5, scan: fine(-0.5, 0.5), logPrior: spread(0.1, -0.5, 0.5, 0.1), quantity: fmt.Sprintf("%v per %v", other, c), unit: unit, perUnit: per}})
		}
	}
	return out
}

// units that calibration data are written in, by kind.
var units = map[quantity.Kind][]string{
	quantity.Moment: {"N·m", "kN·m", "N·mm", "lbf·in", "lbf·ft", "kgf·m", "kgf·cm"},
	quantity.Force:  {"N", "kN", "lbf", "kgf"},
	quantity.Stress: {"Pa", "kPa", "MPa", "bar", "psi"},
}

// slip is one unit read as another: true load = ratio × the load as read.
type slip struct {
	wrote, read string
	ratio       float64
	others      bool // other pairs of units have the same ratio
}

// slips between the units of a kind. Pairs of units with one ratio are one slip,
// told with the first.
func slips(k quantity.Kind) []slip {
	var out []slip
	size := func(unit string) float64 {
		v, err := quantity.Parse("1 "+unit, k)
		if err != nil {
			return math.NaN()
		}
		return v.SI
	}
	for _, wrote := range units[k] {
	next:
		for _, read := range units[k] {
			r := size(wrote) / size(read)
			if read == wrote || !(r > 1e-4 && r < 1e4) {
				continue
			}
			for i := range out {
				if math.Abs(out[i].ratio/r-1) < 1e-9 {
					out[i].others = true
					continue next
				}
			}
			out = append(out, slip{wrote: wrote, read: read, ratio: r})
		}
	}
	return out
}

// unitSlips: the loads of one component, or of all of one kind, in another unit than the
// data say.
func (b *bench) unitSlips() []*cause {
	var out []*cause
	applied := b.applied()
	byKind := map[quantity.Kind][]int{}
	for j, c := range b.m.Components {
		if applied[j] {
			byKind[c.Kind()] = append(byKind[c.Kind()], j)
		}
	}
	add := func(id, what string, s slip, which []int) {
		also := ""
		if s.others {
			also = ", or other units of that ratio"
		}
		out = append(out, &cause{class: unitSlip, id: fmt.Sprintf("unit %s %.6g", id, s.ratio),
			says: always("%s in %s read as %s (loads ×%.5g)%s", what, s.wrote, s.read, s.ratio, also),
			readings: func(y []float64, _ float64) {
				for _, j := range which {
					b.column(y, j, s.ratio)
				}
			}})
	}
	for _, kind := range []quantity.Kind{quantity.Force, quantity.Moment, quantity.Stress} {
		which := byKind[kind]
		for _, s := range slips(kind) {
			for _, j := range which {
				add(b.m.Components[j].String(), b.m.Components[j].String(), s, []int{j})
			}
			if len(which) > 1 {
				name := "all forces"
				if kind == quantity.Moment {
					name = "all moments"
				}
				add(name, name, s, which)
			}
		}
	}
	return out
}

// signSlips: a load counted positive in the other sense.
func (b *bench) signSlips() []*cause {
	var out []*cause
	for j, on := range b.applied() {
		if on {
			name := b.m.Components[j].String()
			out = append(out, &cause{class: signSlip, id: "sign " + name,
				says:     always("%s applied, or written down, in the other sense", name),
				readings: func(y []float64, _ float64) { b.column(y, j, -1) }})
		}
	}
	return out
}

// instrumentFactors: an instrument set for another kind of bridge, which multiplies all
// that it shows.
func (b *bench) instrumentFactors() []*cause {
	var out []*cause
	for br := range b.m.Bridges {
		for _, f := range []float64{0.25, 0.5, 2, 4} {
			name := b.m.Bridges[br].Name
			out = append(out, &cause{class: instrumentFactor, id: fmt.Sprintf("instrument %s %g", name, f),
				says: always("instrument on bridge %s set for another bridge: shows ×%g", name, f),
				readings: func(y []float64, _ float64) {
					for i := br * b.row; i < (br+1)*b.row; i++ {
						y[i] *= f
					}
				}})
		}
	}
	return out
}
