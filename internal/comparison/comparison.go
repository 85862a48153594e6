// Package comparison says what differs between two designs, or two results of a
// prediction, or one of each: values that were changed in the file, and what that did to
// each figure. What means the same is no difference: 60 mm and 6 cm, another order of
// keys, a default that is written out.
//
// A change is held against the expanded uncertainty of the old figure. Much of that is
// common to both sides (the same lot of gauges on the same bar), so a change within it
// may well be real between two transducers of one lot; what it says is whether one
// transducer alone could have shown the new figure with the old design.
package comparison

import (
	"math"

	"gridwright/internal/design"
	"gridwright/internal/dossier"
)

// Side is one of the two that are compared.
type Side struct {
	Name   string
	Result dossier.Result
	Values []Value // of the design as read; nil of a result, which does not hold it
}

// Change is a value of the design file that differs.
type Change struct {
	Path     string
	Old, New string // as the files have it; "" where it is not there
}

// FigureChange is one figure on both sides.
type FigureChange struct {
	Figure
	New     *float64
	Changed bool  // by more than rounding, or only one side has it
	Beyond  *bool // the change is greater than the old figure's expanded uncertainty; nil: that is not known
}

// FindingChange is a finding that only one side has.
type FindingChange struct {
	Level, Rule, Bridge, Message string
}

// Difference of two sides.
type Difference struct {
	Old, New    *Side
	Known       bool // Inputs were compared: both sides are designs, or results of one input
	Inputs      []Change
	Figures     []FigureChange
	Gone, Fresh []FindingChange
}

// Of compares two sides.
func Of(old, now *Side) *Difference {
	d := &Difference{Old: old, New: now}
	if old.Values != nil && now.Values != nil {
		d.Known, d.Inputs = true, inputs(old.Values, now.Values)
	} else if old.Result.Digest == now.Result.Digest {
		d.Known = true
	}
	d.figures()
	d.Gone, d.Fresh = unmatched(old.Result, now.Result), unmatched(now.Result, old.Result)
	return d
}

// inputs compares values by path. A gauge, placement, bridge or feature that only one
// side has is one change.
func inputs(old, now []Value) []Change {
	index := func(list []Value) map[string]*Value {
		m := map[string]*Value{}
		for i := range list {
			m[list[i].Path] = &list[i]
		}
		return m
	}
	a, b := index(old), index(now)
	var out []Change
	for i := range old {
		v := &old[i]
		switch w := b[v.Path]; {
		case v.Group != "" && b[v.Group] == nil:
			// told with its group
		case w == nil:
			if !v.empty() {
				out = append(out, Change{v.Path, v.String(), ""})
			}
		case !v.same(w):
			out = append(out, Change{v.Path, v.String(), w.String()})
		}
	}
	for i := range now {
		v := &now[i]
		if a[v.Path] == nil && !v.empty() && (v.Group == "" || a[v.Group] != nil) {
			out = append(out, Change{v.Path, "", v.String()})
		}
	}
	return gathered(out, old)
}

// gathered tells a list once whose items all changed alike.
func gathered(changes []Change, old []Value) []Change {
	of, size := map[string]string{}, map[string]int{}
	for _, v := range old {
		if v.list != "" {
			of[v.Path] = v.list
			size[v.list]++
		}
	}
	var out []Change
	for i := 0; i < len(changes); i++ {
		c := changes[i]
		whole, n := of[c.Path], 1
		for whole != "" && i+n < len(changes) && of[changes[i+n].Path] == whole && changes[i+n].Old == c.Old && changes[i+n].New == c.New {
			n++
		}
		if whole != "" && n == size[whole] {
			c.Path = whole
			i += n - 1
		}
		out = append(out, c)
	}
	return out
}

// rounding is what two computations of one figure may differ by.
const rounding = 1e-9

func (d *Difference) figures() {
	now := map[string]Figure{}
	for _, f := range Figures(&d.New.Result) {
		now[f.Key] = f
	}
	seen := map[string]bool{}
	for _, f := range Figures(&d.Old.Result) {
		c := FigureChange{Figure: f}
		if w, ok := now[f.Key]; ok {
			c.New = w.Old
		}
		c.judge()
		seen[f.Key] = true
		d.Figures = append(d.Figures, c)
	}
	for _, f := range Figures(&d.New.Result) {
		if !seen[f.Key] {
			c := FigureChange{Figure: f, New: f.Old}
			c.Old, c.Expanded = nil, nil
			c.judge()
			d.Figures = append(d.Figures, c)
		}
	}
}

// judge says whether the figure changed, and beyond what.
func (c *FigureChange) judge() {
	switch {
	case c.Old == nil && c.New == nil:
		return
	case c.Old == nil || c.New == nil:
		c.Changed = true
		return
	}
	by := math.Abs(*c.New - *c.Old)
	c.Changed = by > math.Max(c.Floor, rounding*math.Max(math.Abs(*c.Old), math.Abs(*c.New)))
	if c.Expanded != nil {
		beyond := c.Changed && by > *c.Expanded
		c.Beyond = &beyond
	}
}

// unmatched are the findings of a that b has not, by level, rule and bridge, as often.
func unmatched(a, b dossier.Result) []FindingChange {
	type key struct{ level, rule, bridge string }
	count := map[key]int{}
	for _, f := range b.Findings {
		count[key{string(f.Level), f.Rule, f.Bridge}]++
	}
	var out []FindingChange
	for _, f := range a.Findings {
		k := key{string(f.Level), f.Rule, f.Bridge}
		if count[k] > 0 {
			count[k]--
			continue
		}
		out = append(out, FindingChange{string(f.Level), f.Rule, f.Bridge, f.Message})
	}
	return out
}

// Read is the side of a design; its values are those of the file, before any tolerance
// of common practice is filled in.
func Read(name string, d *design.Design) *Side { return &Side{Name: name, Values: Values(d)} }
