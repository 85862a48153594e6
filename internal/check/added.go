package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// opposed are the options of bonding an equal gauge on the opposite side of the
// part for every gauge of a bridge that has none there, parallel or turned by 90°,
// and wiring it into the bridge.
func (j *judge) opposed(b int) []option {
	return j.once("opposed", b, func() []option { return j.oppose(b) })
}

func (j *judge) oppose(b int) []option {
	var out []option
	for _, turn := range []float64{0, math.Pi / 2} {
		fresh := j.opposites(b, turn)
		if len(fresh) == 0 {
			continue
		}
		add := func(d *design.Design) { d.Placements = append(d.Placements, fresh...) }
		c := j.d.Clone()
		add(c)
		r, err := predict.Of(c)
		if err != nil {
			continue
		}
		text := ""
		for _, p := range fresh {
			text += fmt.Sprintf("bond %s: {gauge: %s, station: %s, around: %s, direction: %s} and ", p.Name, j.d.Gauges[p.Gauge].Name,
				p.Station.Text, p.Around.Text, p.Direction.Text)
		}
		for _, o := range (&judge{r: r, d: c}).extended(b) {
			out = append(out, option{
				text:  text + o.text,
				apply: func(d *design.Design) error { add(d); return o.apply(d) },
			})
		}
	}
	return out
}

// opposites are equal gauges opposite those of a bridge that have none there.
func (j *judge) opposites(b int, turn float64) []design.Placement {
	var out []design.Placement
	seen := map[int]bool{}
	for _, a := range j.d.Bridges[b].Arms {
		for _, g := range a.Grids {
			if seen[g.Placement] {
				continue
			}
			seen[g.Placement] = true
			p := j.d.Placements[g.Placement]
			station, around, direction := p.AsBonded(j.d.Tolerance)
			angle := math.Mod(around.SI+math.Pi, 2*math.Pi)
			if j.taken(station.SI, angle) {
				continue
			}
			n := design.Placement{Name: j.freeName(len(out)), Gauge: p.Gauge}
			set(&n.Station, station.SI, mm(station.SI))
			set(&n.Around, angle, degrees(angle))
			set(&n.Direction, direction.SI+turn, degrees(direction.SI+turn))
			out = append(out, n)
		}
	}
	return out
}

// taken reports whether a gauge lies at that place, within 5° and 1 mm.
func (j *judge) taken(station, around float64) bool {
	for _, p := range j.d.Placements {
		x, phi, _ := p.AsBonded(j.d.Tolerance)
		if math.Abs(x.SI-station) < 1e-3 && math.Cos(phi.SI-around) > math.Cos(5*deg) {
			return true
		}
	}
	return false
}

// freeName is the n-th name from A on that no placement has and whose grids no
// other name could make.
func (j *judge) freeName(n int) string {
	for i := 0; ; i++ {
		name := string(rune('A' + i%26))
		for k := 0; k < i/26; k++ {
			name += "x"
		}
		free := true
		for _, p := range j.d.Placements {
			free = free && p.Name != name && !(len(p.Name) > len(name) && p.Name[:len(name)] == name)
		}
		if free {
			if n == 0 {
				return name
			}
			n--
		}
	}
}

// bridgeNames are the customary names of bridges by what they measure.
var bridgeNames = [design.Components]string{"N", "Vy", "Vz", "T", "By", "Bz", "P"}

// bridged are the options of measuring a component with spare grids: a full
// bridge of four, or a half bridge of two and fixed resistors like them.
func (j *judge) bridged(component design.Component) []option {
	b := design.Bridge{Name: bridgeNames[component], Measures: component, Leads: j.d.Leads}
	for _, o := range j.d.Bridges {
		if o.Name == b.Name {
			b.Name += "2"
		}
		if b.Leads.Wires == 0 {
			b.Leads = o.Leads
		}
		if !b.Excitation.Set {
			b.Excitation = o.Excitation
		}
	}
	spares := j.spares()
	var out []order
	arm := func(g design.GridRef) design.Arm { return design.Arm{Grids: []design.GridRef{g}} }
	try := func(arms [4]design.Arm) { out = append(out, j.orders(&b, arms, [4]design.Arm{})...) }
	for i, one := range spares {
		for k := i + 1; k < len(spares); k++ {
			n := j.d.GridResistance(one)
			fixed := design.Arm{Resistor: design.Number{Value: quantity.Value{SI: n.SI, Text: plain(n.SI) + " Ω"}, Set: true}}
			try([4]design.Arm{arm(one), arm(spares[k]), fixed, fixed})
			for l := k + 1; l < len(spares); l++ {
				for m := l + 1; m < len(spares); m++ {
					try([4]design.Arm{arm(one), arm(spares[k]), arm(spares[l]), arm(spares[m])})
				}
			}
		}
	}
	var options []option
	for _, o := range best(out, 4) {
		made := b
		made.Arms = o.arms
		text := fmt.Sprintf("add bridge %s: {measures: %v, %s", b.Name, component, armsWords(j.d, o.arms))
		if b.Excitation.Set {
			text += ", excitation: " + plain(b.Excitation.SI) + " V"
		}
		options = append(options, option{text: text + "}", apply: func(d *design.Design) error {
			d.Bridges = append(d.Bridges, made)
			return nil
		}})
	}
	return options
}
