package diagnosis

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// look is one further measurement: what it costs in trouble, and what it would find.
type look struct {
	text string
	cost float64

	// reveals names the causes that a look of this kind shows without a figure, such as
	// a wrong unit in the test record.
	reveals func(c *cause) bool

	// finds is what the measurement would read under a cause, with the standard
	// uncertainty by which two readings are to be judged; nil where reveals says all.
	finds func(w *worker, k *mode) (values, standard []float64)
}

// apart is the difference of two readings that separates two causes, in standard
// deviations.
const apart = 3

// minor is the share below which a cause of group 1 is not waited for.
const minor = 0.01

// separate names the cheapest look that tells the leading cause from all others of group
// 1, or else from most of them; "" when it stands alone.
func (b *bench) separate(modes []mode, list []kept) string {
	var group []*mode
	for _, k := range list {
		m := &modes[k.mode]
		if k.group == 1 && (len(group) == 0 || m.share >= minor*modes[list[0].mode].share) {
			group = append(group, m)
		}
	}
	if len(group) < 2 {
		return ""
	}
	return choose(b.newWorker(), b.looks(), group)
}

// choose names the cheapest of the looks that tells the first mode from all others; a
// dearer one has to tell clearly more of them, by their shares.
func choose(w *worker, looks []look, group []*mode) string {
	lead, total := group[0], 0.0
	for _, m := range group[1:] {
		total += m.share
	}
	slices.SortStableFunc(looks, func(p, q look) int { return cmp.Compare(p.cost, q.cost) })
	var best *look
	told := 0.0
	for i := range looks {
		l := &looks[i]
		share := 0.0
		for _, m := range group[1:] {
			if l.tells(w, lead, m) {
				share += m.share
			}
		}
		if share > told+0.05*total {
			best, told = l, share
		}
	}
	switch {
	case best == nil:
		return "no measurement of the list tells these causes apart; take off one gauge after the other, or measure with gauges bonded anew"
	case told < 0.999*total:
		return fmt.Sprintf("%s (it tells the first cause from %s of what else is likely)", best.text, percent(told/total))
	}
	return best.text
}

// tells reports whether a look reads clearly different under two causes.
func (l *look) tells(w *worker, p, q *mode) bool {
	if l.reveals != nil && l.reveals(p.cause) != l.reveals(q.cause) {
		return true
	}
	if l.reveals != nil && l.reveals(p.cause) && p.cause != q.cause {
		return true // what it shows is not the same thing
	}
	if l.finds == nil {
		return false
	}
	one, u := l.finds(w, p)
	one, u = slices.Clone(one), slices.Clone(u)
	two, v := l.finds(w, q)
	if len(one) != len(two) {
		return false
	}
	for i := range one {
		s := math.Max(u[i], v[i])
		d := math.Abs(one[i] - two[i])
		if d > apart*s && !math.IsNaN(d) {
			return true
		}
	}
	return false
}

// looks is the list of further measurements for this design, with what each costs:
// 1 a look at papers, 2 a look or touch at the part, 3 a reading with instruments at hand,
// 4 and more what has to be set up.
func (b *bench) looks() []look {
	byClass := func(k ...class) func(c *cause) bool {
		return func(c *cause) bool { return slices.Contains(k, c.class) }
	}
	out := []look{
		{text: "read the unit and sense of each load in the test record and on the load standard", cost: 1, reveals: byClass(unitSlip, signSlip)},
		{text: "read the instrument's bridge setting", cost: 1, reveals: byClass(instrumentFactor)},
		{text: "read the gauge factor on the packet of the lot", cost: 1.2, reveals: byClass(wrongFactor)},
		{text: "read on the gauge itself which grid is number 1", cost: 1.5, reveals: byClass(mirrored)},
		{text: "press each grid in turn with a rubber: a grid that is not bonded moves the output", cost: 2, reveals: byClass(unbonded)},
		{text: "read the resistance of every grid at its terminals with the bridge open, and of the leads", cost: 2.5, reveals: byClass(gridOpen, gridShorted), finds: b.findLeads},
		{text: "follow each wire from the grids' terminals to the instrument's plug with an ohmmeter", cost: 3.2, reveals: byClass(wiresExchanged, channelsExchanged, gridsExchanged, wrongGrid)},
		{text: "measure E of a piece of the same bar, or the stiffness of the part", cost: 7, finds: b.findModulus},
	}
	out = append(out, b.moreReadings()...)
	if b.thermal() {
		out = append(out, look{text: "warm one gauge after the other with a finger and note which bridge moves, and which way", cost: 2.2, finds: b.findWarmth})
	}
	if _, used := b.seats(); len(used) > 0 {
		out = append(out, look{text: "put a shunt of 100 kΩ across each grid in turn, at its terminals, and note which bridge moves, which way and how much", cost: 3, finds: b.findGridShunts})
	}
	for _, s := range b.spots() {
		for _, at := range []struct {
			input  int
			text   string
			cost   float64
			within float64
		}{
			{s.direction, "measure the direction of gauge " + s.name + " against the part's axis", 3, 0.5 * deg},
			{s.around, "measure where gauge " + s.name + " sits around the part", 3.5, 0.5 * deg},
			{s.across, "measure where gauge " + s.name + " sits across its face", 3.5, 0.3e-3},
			{s.station, "measure the station of gauge " + s.name, 3, 0.3e-3},
		} {
			if at.input >= 0 {
				out = append(out, look{text: at.text + ", and enter it as measured", cost: at.cost, finds: b.findInput(at.input, at.within)})
			}
		}
	}
	for i, d := range b.m.Design.Part.Section.Dimensions {
		key := b.dimensionKeys()[i]
		path := d.Place.Path
		if path == "" {
			path = "part.section." + key
		}
		if at := b.inputsAt(path); len(at) == 1 {
			text, within := "measure the "+key+" of the part", 0.01e-3
			if key == "inside-diameter" {
				text, within = "measure the inside diameter of the part, or its wall by ultrasound", 0.05e-3
			}
			out = append(out, look{text: text, cost: 2.8 + 0.4*float64(i), finds: b.findInput(at[0], within)})
		}
	}
	return append(out, b.moreLoads()...)
}

// thermal tells whether the file says what every wired gauge shows when it is warmed.
func (b *bench) thermal() bool {
	_, used := b.seats()
	for _, g := range used {
		if !b.m.Design.Gauges[b.m.Grids[g].Gauge].Thermal.Set {
			return false
		}
	}
	return len(used) > 0
}
