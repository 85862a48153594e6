package sheet

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/dossier"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

// corners of the ring; arm k (from 0) runs from corner k to corner k+1.
var corners = [4]string{"+E", "−S", "−E", "+S"}

// connection is one entry of the wiring list.
type connection struct {
	from, to string
	what     string // jumper, wire or lead; a lead may be one that the design does not state
}

// element is what an arm is made of: a grid or a fixed resistor, with two ends.
type element struct {
	name  string // A3, or "resistor 3" for the one in arm 3
	value string
	grid  int // index into the result's grids; −1 for a resistor
}

func (e element) end(which string) string { return e.name + "/" + which }

// wiringList is everything that is soldered for one bridge, in the order of the
// work: jumpers inside arms, ends to the corners at the part, leads, what is
// completed at the instrument.
type wiringList struct {
	arms        [4][]element
	connections []connection
	jumpers     int
}

// cornerAt and terminalAt name a corner of the ring at the part and at the
// instrument.
func cornerAt(k int) string   { return "corner " + corners[k&3] }
func terminalAt(k int) string { return "instrument " + corners[k&3] }

// wire lists the connections of a bridge.
func wire(d *dossier.Dossier, w layout.Words, b int) wiringList {
	db := &d.Design.Bridges[b]
	out := wiringList{arms: elements(d, w, b)}
	remote := db.Remote()
	add := func(from, to, what string) { out.connections = append(out.connections, connection{from, to, what}) }
	inside := func(k int) {
		for i := 1; i < len(out.arms[k]); i++ {
			add(out.arms[k][i-1].end("b"), out.arms[k][i].end("a"), "jumper")
			out.jumpers++
		}
	}
	for k := range out.arms {
		if remote[k] {
			inside(k)
		}
	}
	last := func(k int) string { return out.arms[k][len(out.arms[k])-1].end("b") }
	first := func(k int) string { return out.arms[k][0].end("a") }
	at := [4]bool{}
	for c := range corners {
		before := (c + 3) & 3
		if remote[before] {
			add(last(before), cornerAt(c), "wire")
			at[c] = true
		}
		if remote[c] {
			add(first(c), cornerAt(c), "wire")
			at[c] = true
		}
	}
	split := leads(db, at, add)
	for k := range out.arms {
		if remote[k] {
			continue
		}
		for _, e := range []struct {
			end    string
			corner int
		}{{first(k), k}, {last(k), (k + 1) & 3}} {
			if split.arm == k && split.corner == e.corner {
				add(cornerAt(e.corner), e.end, "lead")
				continue
			}
			add(e.end, terminalAt(e.corner), "wire")
		}
	}
	return out
}

// splitLead is where a quarter bridge with three wires gives its neighbour a
// lead of its own; arm −1: nowhere.
type splitLead struct{ arm, corner int }

// leads lists those between the corners at the part and the instrument.
func leads(db *design.Bridge, at [4]bool, add func(from, to, what string)) splitLead {
	what := "lead"
	if db.Leads.Wires == 0 {
		what = "lead, not stated"
	}
	for c := range corners {
		if at[c] {
			add(cornerAt(c), terminalAt(c), what)
		}
	}
	if db.Leads.Wires == 6 {
		for _, c := range []int{0, 2} {
			add(cornerAt(c), "instrument "+corners[c]+" sense", what)
		}
	}
	none := splitLead{-1, -1}
	if db.Leads.Wires != 3 {
		return none
	}
	only := -1
	for k, r := range db.Remote() {
		if r && only >= 0 {
			return none
		}
		if r {
			only = k
		}
	}
	switch {
	case only < 0:
		return none
	case only%2 == 0: // +E to −S, or −E to +S: the signal corner is at its end
		return splitLead{(only + 1) & 3, only + 1}
	}
	return splitLead{(only + 3) & 3, only}
}

func elements(d *dossier.Dossier, w layout.Words, b int) [4][]element {
	var arms [4][]element
	for k, a := range d.Design.Bridges[b].Arms {
		if a.Fixed() {
			arms[k] = []element{{fmt.Sprintf("resistor %d", k+1), w.Stated(a.Resistor, quantity.Resistance), -1}}
			continue
		}
		grids := d.Result.Model.Bridges[b].Arms[k].Grids
		for i, ref := range a.Grids {
			arms[k] = append(arms[k], element{d.Design.GridName(ref), w.Plain(d.Design.GridResistance(ref).SI, quantity.Resistance), grids[i]})
		}
	}
	return arms
}

// rises tells whether an arm's resistance grows (+1) or falls (−1) under a
// positive load of the component that the bridge measures; 0: neither.
func rises(d *dossier.Dossier, b int, arm []element) int {
	target := d.Result.Bridges[b].Target
	sum, scale := 0.0, 0.0
	for _, e := range arm {
		if e.grid < 0 {
			continue
		}
		change := math.Copysign(1, d.Result.Model.Rated[target]) * d.Result.State.Grids[e.grid].Resistance * d.Result.Grids[e.grid].Change[target]
		sum += change
		scale += math.Abs(change)
	}
	// A part in 1e9 of an ohm's millionth is nothing that anybody measures.
	if math.Abs(sum) <= 1e-9*scale || math.Abs(sum) < 1e-12 {
		return 0
	}
	if sum > 0 {
		return 1
	}
	return -1
}
