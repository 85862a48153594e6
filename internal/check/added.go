package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
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
		if err != nil || !lies(r) {
			continue
		}
		text := ""
		for _, p := range fresh {
			text += fmt.Sprintf("bond %s: {gauge: %s, station: %s, %s, direction: %s} and ", p.Name, j.d.Gauges[p.Gauge].Name,
				p.Station.Text, spotOf(&p).words(), p.Direction.Text)
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
			at := &j.r.State.Placements[g.Placement]
			to := j.opposite(g.Placement)
			if !to.ok || j.taken(at.Station, to.at) {
				continue
			}
			_, _, direction := p.AsBonded(j.d.Tolerance)
			n := design.Placement{Name: j.freeName(len(out)), Gauge: p.Gauge}
			set(&n.Station, at.Station, mm(at.Station))
			to.set(&n)
			set(&n.Direction, direction.SI+turn, degrees(direction.SI+turn))
			out = append(out, n)
		}
	}
	return out
}

// spotOf is where a placement lies as the file says it.
func spotOf(p *design.Placement) spot {
	return spot{phi: p.Around.SI, face: p.Face, index: p.FaceIndex, across: p.Across.SI}
}

// opposite is the place on the other side of the part that loads strain as they do
// that of a placement, or against it: half the girth on where half a turn leaves the
// section as it is, else where the line through the centroid leaves it.
func (j *judge) opposite(p int) spot {
	s, pl, at := j.r.State.Section, &j.d.Placements[p], &j.r.State.Placements[p]
	if pl.Face == "" {
		_, around, _ := pl.AsBonded(j.d.Tolerance)
		return j.angle(math.Mod(around.SI+math.Pi, 2*math.Pi))
	}
	if s.Symmetries().Rotations%2 == 0 {
		to := j.named(section.Coordinate{S: math.Mod(at.Coordinate.S+s.Perimeter(0)/2, s.Perimeter(0))})
		to.across = pl.AcrossAsBonded(j.d.Tolerance).SI // free of rounding
		return to
	}
	phi := at.Around + math.Pi
	if s.Meets(phi) != nil {
		return spot{}
	}
	to := j.named(s.Around(phi))
	to.across = math.Round(to.across*1e5) / 1e5
	return to
}

// taken reports whether a gauge lies at that place, within 5° and 1 mm.
func (j *judge) taken(station float64, c section.Coordinate) bool {
	phi := j.r.State.Section.Angle(c)
	for i := range j.r.State.Placements {
		at := &j.r.State.Placements[i]
		if math.Abs(at.Station-station) < 1e-3 && math.Cos(at.Around-phi) > math.Cos(5*deg) {
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
