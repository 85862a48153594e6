package pick

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/gauge"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// edit is a changed problem that has not been searched yet.
type edit struct {
	words  string
	path   string
	design *design.Design
	class  int
	edits  int
	amount float64
}

// after words e as a second change after another; the design of e has both.
func (e edit) after(before *edit) edit {
	if before.edits == 0 {
		return e
	}
	if before.words != "" {
		e.words = before.words + ", and " + e.words
	}
	e.path = before.path + ", " + e.path
	e.class = max(e.class, before.class)
	e.edits += before.edits
	e.amount += before.amount
	return e
}

// edits lists the single changes of a problem other than of its limits.
func edits(d *design.Design) []edit {
	var out []edit
	add := func(class int, path, words string, change func(*design.Design)) {
		c := d.Clone()
		change(c)
		out = append(out, edit{words: words, path: path, design: c, class: class, edits: 1})
	}
	if d.Pick.ForbidFixedArms {
		add(fixedArms, "pick.fixed-arms", "allow fixed arms (pick.fixed-arms, now forbidden)", func(c *design.Design) { c.Pick.ForbidFixedArms = false })
	}
	if len(d.Placements) == 0 {
		addGauges(d, add)
		addStations(d, add)
	} else {
		add(placeAnew, "placements", "take the placements out and let the gauges be placed anew", func(c *design.Design) { c.Placements = nil })
	}
	if d.Leads.AtInstrument {
		words := fmt.Sprintf("complete the bridges at the part and lead out four wires each (leads, now %s completed at the instrument)", plural(d.Leads.Wires, "wire"))
		add(otherLeads, "leads", words, func(c *design.Design) { c.Leads.Wires, c.Leads.AtInstrument = 4, false })
	}
	for i, k := range d.Pick.KeepOut {
		if len(d.Placements) == 0 {
			words := fmt.Sprintf("free the sector from %s to %s (pick.keep-out)", degrees(k.From.SI), degrees(k.To.SI))
			add(freeSector, fmt.Sprintf("pick.keep-out[%d]", i), words, func(c *design.Design) { c.Pick.KeepOut = slices.Delete(c.Pick.KeepOut, i, i+1) })
		}
	}
	for i, l := range d.Loads {
		if !l.Measure {
			words := fmt.Sprintf("take %s out of the loads, where it can be kept off the part", loadWords(l.Component))
			add(dropLoad, "loads."+l.Component.String(), words, func(c *design.Design) { c.Loads = slices.Delete(c.Loads, i, i+1) })
		}
	}
	return out
}

type adder func(class int, path, words string, change func(*design.Design))

// addGauges adds what can be done in the drawer: gauges of the file that are not
// offered, more gauges, and other patterns of the offered grids.
func addGauges(d *design.Design, add adder) {
	p := problem{design: d}
	offered := p.gauges()
	for i := range d.Gauges {
		if !slices.Contains(offered, i) {
			add(otherGauge, "pick.gauges", fmt.Sprintf("offer gauge %s too (pick.gauges)", d.Gauges[i].Name), func(c *design.Design) {
				c.Pick.Gauges = append(slices.Clone(offered), i)
			})
		}
	}
	for more := 1; more <= 2; more++ {
		n := p.atMost() + more
		add(moreGauges, "pick.at-most", fmt.Sprintf("allow %d gauges (pick.at-most, now %d)", n, p.atMost()), func(c *design.Design) { c.Pick.AtMost = n })
	}
	var grids []string
	for _, g := range offered {
		source := &d.Gauges[g]
		if grid := gridData(source); slices.Contains(grids, grid) {
			continue
		} else {
			grids = append(grids, grid)
		}
		for _, pattern := range []string{"tee", "shear-pair", "rectangular-rosette"} {
			if slices.ContainsFunc(offered, func(i int) bool { return d.Gauges[i].Pattern == pattern && gridData(&d.Gauges[i]) == gridData(source) }) {
				continue
			}
			made := repattern(d, source, pattern)
			words := fmt.Sprintf("add a gauge of pattern %s with the grid data of %s, grids stacked (gauges)", pattern, source.Name)
			add(otherPattern, "gauges", words, func(c *design.Design) {
				c.Pick.Gauges = append(slices.Clone(offered), len(c.Gauges))
				c.Gauges = append(c.Gauges, made)
			})
		}
	}
}

// gridData tells grids apart by size, resistance and gauge factor.
func gridData(g *design.Gauge) string {
	return fmt.Sprintf("%.9g %.9g %.9g %.9g", g.GridLength.SI, g.GridWidth.SI, g.Resistance[0].SI, g.GaugeFactor[0].SI)
}

// repattern makes a gauge of another pattern from the first grid of one, its grids
// stacked and its outline that of the grids.
func repattern(d *design.Design, from *design.Gauge, pattern string) design.Gauge {
	p, _ := gauge.FindPattern(pattern)
	g := *from
	g.Pattern, g.CounterClockwise, g.Lot = pattern, false, ""
	g.Name = from.Name + "-" + pattern
	for n := 2; slices.ContainsFunc(d.Gauges, func(o design.Gauge) bool { return o.Name == g.Name }); n++ {
		g.Name = fmt.Sprintf("%s-%s-%d", from.Name, pattern, n)
	}
	// Places in the file tell lots apart: those of the source are not its own.
	path := "gauges." + g.Name
	g.Place = design.Place{Path: path}
	n := len(p.Directions)
	g.Directions = slices.Clone(p.Directions)
	each := func(x design.Number, key string) []design.Number {
		x.Place = design.Place{Path: path + "." + key}
		return slices.Repeat([]design.Number{x}, n)
	}
	g.Resistance = each(from.Resistance[0], "resistance")
	g.GaugeFactor = each(from.GaugeFactor[0], "gauge-factor")
	g.Transverse = each(from.Transverse[0], "transverse-sensitivity")
	g.Thermal.Coefficients = slices.Clone(from.Thermal.Coefficients)
	g.Centres = make([][2]design.Number, n)
	length, width := gauge.Outline(g.Directions, make([][2]float64, n), g.GridLength.SI, g.GridWidth.SI)
	g.Backing = design.Backing{}
	g.Backing.Length.SI, g.Backing.Width.SI = length, width
	for _, x := range []*design.Number{&g.GridLength, &g.GridWidth, &g.Scatter, &g.Drift, &g.StandOff, &g.StandOffExpansion, &g.StandOffPoisson, &g.Thermal.ForFactor, &g.Thermal.ForExpansion, &g.Thermal.Spread} {
		x.Place.Path = strings.Replace(x.Place.Path, "gauges."+from.Name+".", path+".", 1)
	}
	for i := range g.Thermal.Coefficients {
		x := &g.Thermal.Coefficients[i]
		x.Place.Path = strings.Replace(x.Place.Path, "gauges."+from.Name+".", path+".", 1)
	}
	return g
}

// addStations adds stations one at a time: the middle of the straight length, and
// one and two outside diameters to either side of those that there are.
func addStations(d *design.Design, add adder) {
	s, err := section.Of(d.Part)
	if err != nil {
		return
	}
	p := problem{design: d}
	now := p.stationsAscending()
	span := d.Part.StraightLength
	diameter := s.Perimeter(0) / math.Pi
	var at []float64
	if span.Set {
		at = append(at, (span.From.SI+span.To.SI)/2)
	}
	for _, n := range []float64{1, -1, 2, -2} {
		for _, s := range now {
			at = append(at, s.SI+n*diameter)
		}
	}
	var tried []float64
	for _, x := range at {
		x = math.Round(x*1e3) / 1e3
		if span.Set && (x < span.From.SI || x > span.To.SI) || slices.Contains(tried, x) ||
			slices.ContainsFunc(now, func(s design.Number) bool { return math.Abs(s.SI-x) < 5e-4 }) {
			continue
		}
		tried = append(tried, x)
		words := fmt.Sprintf("allow station %s too (pick.stations)", quantity.Format(x, quantity.Length, quantity.SI, -1))
		add(otherStation, "pick.stations", words, func(c *design.Design) {
			c.Pick.Stations = append(slices.Clone(now), si(x, "pick.stations"))
		})
		if len(tried) == 6 {
			return
		}
	}
}

func degrees(rad float64) string {
	return strings.ReplaceAll(trimmed(rad, quantity.Angle, "°"), " ", "")
}
