package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gridwright/internal/bridge"
	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/quantity"
)

// order is one way to put grids and fixed resistors into the arms of a bridge,
// with its figures for small signals.
type order struct {
	arms   [4]design.Arm
	output float64 // V/V for a load of rated size, positive with the sign wanted
	share  float64 // output over what the grids could give, had all the sign that helps
	// fails and warnings count what rules would say of it.
	fails, warnings int
	moved, fixed    int // arms, and fixed resistors among them, that are not where they were
	late            int // grows as grids come before fixed resistors, as is customary
}

// mostGrouped is how many grids the arms may have in all for grids in series to
// be exchanged between arms; beyond it whole arms are.
const mostGrouped = 8

// orders lists the ways to arrange arms for what the bridge measures that give a
// positive output, the best first: fewest faults, then output (1e-6 being a
// tie), then the fewest changes. was is the arrangement that changes count from.
func (j *judge) orders(b *design.Bridge, arms, was [4]design.Arm) []order {
	var out []order
	each(arms, func(try [4]design.Arm) {
		if o, ok := j.evaluate(b, try, was); ok {
			out = append(out, o)
		}
	})
	return out
}

// best sorts orders and drops those beyond the few that are worth trying.
func best(list []order, keep int) []order {
	top := 0.0
	for _, o := range list {
		top = math.Max(top, o.output)
	}
	// Outputs are compared in steps of 1e-6 of the greatest, so that the order is
	// one whatever the pairs compared.
	step := func(o order) float64 { return math.Round(o.output / top * 1e6) }
	slices.SortStableFunc(list, func(a, b order) int {
		return cmp.Or(a.fails-b.fails, a.warnings-b.warnings, cmp.Compare(step(b), step(a)), a.fixed-b.fixed, a.moved-b.moved, b.late-a.late)
	})
	return list[:min(len(list), keep)]
}

// each calls f with every distinct arrangement of the arms: the resistors and
// the sizes of the arms over the four positions, and the grids over the arms.
func each(arms [4]design.Arm, f func([4]design.Arm)) {
	var grids []design.GridRef
	series := false
	for _, a := range arms {
		grids = append(grids, a.Grids...)
		series = series || len(a.Grids) > 1
	}
	whole := series && len(grids) > mostGrouped
	seen := map[string]bool{}
	for _, p := range permutations {
		var slots [4]design.Arm
		key := ""
		for k := range slots {
			slots[k] = arms[p[k]]
			switch {
			case whole && !slots[k].Fixed():
				key += fmt.Sprintf("|%v", slots[k].Grids)
			default:
				key += fmt.Sprintf("|%d %v %v", len(slots[k].Grids), slots[k].Resistor.SI, slots[k].TCR.SI)
			}
		}
		if seen[key] {
			continue
		}
		seen[key] = true
		if whole {
			f(slots)
			continue
		}
		deal(slots, 0, grids, f)
	}
}

// deal fills the slots from k on with grids, in every way that differs.
func deal(slots [4]design.Arm, k int, grids []design.GridRef, f func([4]design.Arm)) {
	if k == 4 {
		f(slots)
		return
	}
	n := len(slots[k].Grids)
	if n == 0 {
		deal(slots, k+1, grids, f)
		return
	}
	chosen := make([]int, n)
	var choose func(at, from int)
	choose = func(at, from int) {
		if at < n {
			for i := from; i <= len(grids)-(n-at); i++ {
				chosen[at] = i
				choose(at+1, i+1)
			}
			return
		}
		next := slots
		next[k].Grids = make([]design.GridRef, n)
		rest := make([]design.GridRef, 0, len(grids)-n)
		c := 0
		for i, g := range grids {
			if c < n && chosen[c] == i {
				next[k].Grids[c] = g
				c++
				continue
			}
			rest = append(rest, g)
		}
		deal(next, k+1, rest, f)
	}
	choose(0, 0)
}

var permutations = func() (out [][4]int) {
	for a := range 4 {
		for b := range 4 {
			for c := range 4 {
				if d := 6 - a - b - c; a != b && b != c && a != c {
					out = append(out, [4]int{a, b, c, d})
				}
			}
		}
	}
	return out
}()

// evaluate computes the small-signal figures of a bridge with the given arms; ok
// is false when it cannot be wired or gives next to no positive output.
func (j *judge) evaluate(b *design.Bridge, arms, was [4]design.Arm) (order, bool) {
	o := order{arms: arms}
	if b.Leads.Wires > 0 {
		tried := *b
		tried.Arms = arms
		w := bridge.Wiring{Wires: b.Leads.Wires, Each: b.Leads.Each.SI, Remote: tried.Remote(), Meter: j.d.Instrument.InputResistance.SI}
		if w.Validate() != nil {
			return o, false
		}
	}
	m, s := j.r.Model, j.r.State
	var ohms [4]float64
	for k, a := range arms {
		if a.Fixed() {
			ohms[k] = a.Resistor.SI
		}
		for _, g := range a.Grids {
			ohms[k] += s.Grids[j.grid(g)].Resistance
		}
	}
	weight := bridge.PlainWeights(ohms)
	target := j.component(b.Measures)
	var signal [design.Components]float64
	var heat lots
	capacity := 0.0
	for k, a := range arms {
		for _, g := range a.Grids {
			i := j.grid(g)
			w := weight[k] * s.Grids[i].Resistance
			heat.add(m.Grids[i].Gauge, w)
			for c := range m.Components {
				signal[c] += w * s.Row(i, c) * math.Abs(m.Rated[c])
			}
			capacity += math.Abs(w * s.Row(i, target) * m.Rated[target])
		}
	}
	o.output = signal[target] * j.sense(b)
	if capacity > 0 {
		o.share = o.output / capacity
	}
	if o.share < blindShare || o.output < 1e-12 {
		return o, false
	}
	count := func(l Level) {
		switch l {
		case Fail:
			o.fails++
		case Warning:
			o.warnings++
		}
	}
	for c := range m.Components {
		if c != target {
			l, _ := j.crosstalkLevel(b, c, math.Abs(signal[c])/o.output)
			count(l)
		}
	}
	if heat.left() > compensationShare {
		o.fails++
	}
	count(balanceLevel(bridge.Plain(ohms)))
	if lim := j.d.Require.RatedOutput; lim.Set && o.output < lim.SI {
		o.fails++
	}
	for k := range arms {
		if arms[k].Fixed() {
			o.late += k
		}
		if !sameArm(arms[k], was[k]) {
			o.moved++
			if was[k].Fixed() {
				o.fixed++
			}
		}
	}
	return o, true
}

func sameArm(a, b design.Arm) bool {
	if a.Fixed() && b.Fixed() {
		return a.Resistor.SI == b.Resistor.SI && a.TCR.SI == b.TCR.SI
	}
	return slices.Equal(a.Grids, b.Grids)
}

// grid is the index of a grid in the model.
func (j *judge) grid(r design.GridRef) int {
	return slices.IndexFunc(j.r.Model.Grids, func(g model.Grid) bool { return g.Ref == r })
}

// component is the index of a component in the model.
func (j *judge) component(c design.Component) int { return slices.Index(j.r.Model.Components, c) }

// used reports which grids carry current in a bridge.
func (j *judge) used() map[design.GridRef]bool {
	out := map[design.GridRef]bool{}
	for _, b := range j.d.Bridges {
		for _, a := range b.Arms {
			for _, g := range a.Grids {
				out[g] = true
			}
		}
	}
	return out
}

// mostSpares bounds the spare grids that are tried.
const mostSpares = 12

// spares are the grids that no bridge uses, in their order.
func (j *judge) spares() []design.GridRef {
	used := j.used()
	var out []design.GridRef
	for i := range j.r.Model.Grids {
		if r := j.r.Model.Grids[i].Ref; !used[r] && len(out) < mostSpares {
			out = append(out, r)
		}
	}
	return out
}

// rearranged are the options of putting the grids that a bridge has into another
// order.
func (j *judge) rearranged(b int) []option {
	return j.once("rearranged", b, func() []option {
		db := &j.d.Bridges[b]
		return j.wire(b, best(j.orders(db, db.Arms, db.Arms), 4))
	})
}

// extended are the options of putting spare grids of the placements into a
// bridge: in place of one arm, or of two fixed resistors.
func (j *judge) extended(b int) []option {
	return j.once("extended", b, func() []option { return j.extend(b) })
}

func (j *judge) extend(b int) []option {
	db := &j.d.Bridges[b]
	var out []order
	spares := j.spares()
	for k, a := range db.Arms {
		if len(a.Grids) > 1 {
			continue
		}
		for i, one := range spares {
			arms := db.Arms
			arms[k] = design.Arm{Grids: []design.GridRef{one}, Place: a.Place}
			out = append(out, j.orders(db, arms, db.Arms)...)
			for n := k + 1; a.Fixed() && n < 4; n++ {
				if !db.Arms[n].Fixed() {
					continue
				}
				for _, two := range spares[i+1:] {
					arms[n] = design.Arm{Grids: []design.GridRef{two}, Place: db.Arms[n].Place}
					out = append(out, j.orders(db, arms, db.Arms)...)
				}
				arms[n] = db.Arms[n]
			}
		}
	}
	return j.wire(b, best(out, 4))
}

// wire makes options of orders.
func (j *judge) wire(b int, list []order) []option {
	var out []option
	for _, o := range list {
		if o.moved == 0 {
			continue
		}
		arms := o.arms
		out = append(out, option{
			text: "wire bridge " + j.d.Bridges[b].Name + " as " + armsWords(j.d, arms),
			apply: func(d *design.Design) error {
				if b >= len(d.Bridges) {
					return fmt.Errorf("the design has no bridge number %d", b+1)
				}
				for k, a := range arms {
					a.Grids = slices.Clone(a.Grids)
					d.Bridges[b].Arms[k] = a
				}
				return nil
			},
		})
	}
	return out
}

// lots sums what one unit of thermal output does to a bridge, lot by lot: grids
// of one lot have it alike, so its parts of opposite sign cancel.
type lots struct {
	sum   []float64
	total float64
}

func (l *lots) add(lot int, w float64) {
	for len(l.sum) <= lot {
		l.sum = append(l.sum, 0)
	}
	l.sum[lot] += w
	l.total += math.Abs(w)
}

// left is the share that does not cancel,
//
//	Σ over lots |Σ w_i R_i| / Σ|w_i R_i|
//
// w = ∂(V/E)/∂R of the grid's arm.
func (l *lots) left() float64 {
	if l.total == 0 {
		return 0
	}
	left := 0.0
	for _, s := range l.sum {
		left += math.Abs(s)
	}
	return left / l.total
}

// volts is an output for a message; a millionth of a mV/V is rounding.
func volts(v float64) string {
	if math.Abs(v) < 1e-9 {
		v = 0
	}
	return show(v, quantity.VoltageRatio)
}
