package designfile

import (
	"fmt"
	"strconv"
	"strings"

	"gridwright/internal/bridge"
	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

func gridName(placement string, k int) string { return fmt.Sprintf("%s%d", placement, k+1) }

type bridgeText struct {
	design.Bridge
	measures, arms at
	leads          leads
	ownLeads       bool
}

var bridgeFields = []field[bridgeText]{
	{key: "measures", required: true, takes: "the load component that it measures", form: is(Words{List: design.ComponentNames()}), read: func(_ *reader, v at, b *bridgeText) { b.measures = v }},
	{key: "arms", required: true, takes: "a list of four arms", form: listOf(armForm, 4), read: func(_ *reader, v at, b *bridgeText) { b.arms = v }},
	number("excitation", quantity.Voltage, func(b *bridgeText) *design.Number { return &b.Excitation }, positive),
	{key: "leads", takes: "wires, each, completion, follow", form: mappingOf(leadFields), read: func(r *reader, v at, b *bridgeText) { b.leads, b.ownLeads = r.leads(v) }},
}

// leads is the lead wires while they are read.
type leads struct {
	design.Leads
}

var leadFields = []field[leads]{
	{key: "wires", required: true, takes: "2, 3, 4 or 6", form: is(Whole{Only: []int{2, 3, 4, 6}}), read: func(r *reader, v at, l *leads) {
		s, ok := r.scalar(v, "2, 3, 4 or 6")
		if !ok {
			return
		}
		n, err := strconv.Atoi(s)
		if err != nil || n != 2 && n != 3 && n != 4 && n != 6 {
			r.fail(v, "`%s` wires cannot be computed; write 4 or 6 with all arms at the part, 3 or 2 with completion at the instrument", clip(s))
			return
		}
		l.Wires = n
	}},
	number("each", quantity.Resistance, func(l *leads) *design.Number { return &l.Each }, positive).must(),
	choice("completion", []string{"part", "instrument"}, func(l *leads, w string) { l.AtInstrument = w == "instrument" }),
	choice("follow", []string{"none", "part"}, func(l *leads, w string) { l.FollowPart = w == "part" }),
}

func (r *reader) leads(v at) (leads, bool) {
	l := leads{}
	l.Place = v.place()
	before := len(r.problems)
	mapping(r, v, leadFields, &l)
	if len(r.problems) > before {
		return l, false
	}
	if far := l.Wires == 2 || l.Wires == 3; far != l.AtInstrument {
		want := map[bool]string{true: "`completion: instrument`", false: "`completion: part`, or 3 or 2 wires"}[far]
		r.fail(v, "%d wires do not go with that completion; write %s", l.Wires, want)
		return l, false
	}
	return l, true
}

func (f *file) readBridges() {
	r := f.r
	used := map[design.GridRef]string{}
	r.named(f.bridges, "measures and arms", func(name string, v at) {
		b := bridgeText{}
		b.Name, b.Place = name, v.place()
		before := len(r.problems)
		mapping(r, v, bridgeFields, &b)
		if b.measures.node != nil {
			f.measured(&b)
		}
		if b.arms.node != nil {
			f.arms(name, &b, used)
		}
		switch {
		case b.ownLeads:
			b.Leads = b.leads.Leads
		case f.leads:
			b.Leads = f.leadsRaw.Leads
		}
		if len(r.problems) == before {
			f.wiring(v, &b.Bridge)
		}
		f.Bridges = append(f.Bridges, b.Bridge)
	})
}

// measured resolves the component that a bridge measures.
func (f *file) measured(b *bridgeText) {
	r := f.r
	name, ok := r.scalar(b.measures, "the name of a load")
	if !ok {
		return
	}
	var names []string
	for _, l := range f.Loads {
		names = append(names, l.Component.String())
	}
	if len(names) == 0 {
		return // said already
	}
	c, ok := design.ParseComponent(name)
	if !ok {
		if near := quantity.Nearest(name, design.ComponentNames()); near != "" {
			r.fail(b.measures, "`%s` is no load; did you mean `%s`?", clip(name), near)
		} else {
			r.fail(b.measures, "`%s` is no load; write one of: %s", clip(name), strings.Join(names, ", "))
		}
		return
	}
	if _, ok := f.Load(c); !ok {
		r.fail(b.measures, "the file has no load `%s`; add it under `loads`, or measure one of: %s", name, strings.Join(names, ", "))
		return
	}
	b.Measures = c
}

func (f *file) arms(name string, b *bridgeText, used map[design.GridRef]string) {
	const takes = "four arms, each a grid (A1), a list of grids in series, or a fixed resistor (350 Ω)"
	items, ok := f.r.list(b.arms, takes, 4)
	if !ok {
		return
	}
	any := false
	for k, item := range items {
		b.Arms[k] = f.arm(item, fmt.Sprintf("%s, arm %d", name, k+1), used)
		any = any || !b.Arms[k].Fixed()
	}
	if !any && len(f.r.problems) == 0 {
		f.r.fail(b.arms, "no arm has a grid; write at least one, such as A1")
	}
}

var resistorFields = []field[design.Arm]{
	number("value", quantity.Resistance, func(a *design.Arm) *design.Number { return &a.Resistor }, positive).must(),
	number("tcr", quantity.PerKelvin, func(a *design.Arm) *design.Number { return &a.TCR }),
}

// armForm is what arm reads.
func armForm(path string) Form {
	grid := Name{Of: "grid"}
	return OneOf{grid, quantityOf(quantity.Resistance, positive)(path), List{Of: grid, Least: 1}, mappingOf(resistorFields)(path)}
}

func (f *file) arm(v at, where string, used map[design.GridRef]string) design.Arm {
	a := design.Arm{Place: v.place()}
	r := f.r
	switch {
	case v.kind == mappingNode:
		mapping(r, v, resistorFields, &a)
	case v.kind == listNode:
		if len(v.values) == 0 {
			r.fail(v, "the arm is an empty list; write grids, or a resistor such as 350 Ω")
		}
		for i := range v.values {
			f.grid(v.item(i), where, used, &a)
		}
	case v.null:
		r.fail(v, "the arm is empty; write a grid such as A1, or a resistor such as 350 Ω")
	case v.text != "" && (startsWithDigit(v.text) || strings.ContainsRune("+-.−", []rune(v.text)[0])):
		a.Resistor, _ = r.quantity(v, quantity.Resistance, positive)
	default:
		f.grid(v, where, used, &a)
	}
	return a
}

// grid resolves the name of a grid and books it.
func (f *file) grid(v at, where string, used map[design.GridRef]string, a *design.Arm) {
	r := f.r
	name, ok := r.scalar(v, "the name of a grid, such as A1")
	if !ok {
		return
	}
	var names []string
	for i, p := range f.Placements {
		if p.Gauge >= len(f.Gauges) {
			continue
		}
		for k := range f.Gauges[p.Gauge].Directions {
			n := gridName(p.Name, k)
			if n == name {
				ref := design.GridRef{Placement: i, Grid: k}
				if other, twice := used[ref]; twice {
					r.fail(v, "grid %s is used twice, first in bridge %s; a grid carries one current", name, other)
					return
				}
				used[ref] = where
				a.Grids = append(a.Grids, ref)
				return
			}
			names = append(names, n)
		}
	}
	for _, p := range f.doubtful {
		if rest, ok := strings.CutPrefix(name, p); ok && startsWithDigit(rest) {
			return // its placement was complained of
		}
	}
	if len(f.Placements) == 0 {
		r.fail(v, "no grid `%s`: the file places no gauge; add it under `placements`", clip(name))
		return
	}
	if near := quantity.Nearest(name, names); near != "" && len(name) > 2 {
		r.fail(v, "no grid `%s`; did you mean `%s`?", clip(name), near)
		return
	}
	if len(names) > 24 {
		names = append(names[:24], "…")
	}
	r.fail(v, "no grid `%s`; the grids are %s", clip(name), strings.Join(names, ", "))
}

// wiring checks that the leads fit the bridge.
func (f *file) wiring(v at, b *design.Bridge) {
	for _, s := range f.Shunts {
		if s.Arm > 0 && !s.AtInstrument && !b.Remote()[s.Arm-1] {
			f.r.failAt(s.Place, "arm %d of bridge %s is completed at the instrument, where no shunt at the part reaches; write `at: instrument`", s.Arm, b.Name)
		}
	}
	w := bridge.Wiring{Wires: b.Leads.Wires, Each: b.Leads.Each.SI, Remote: b.Remote(), Meter: f.Instrument.InputResistance.SI}
	if err := w.Validate(); err != nil {
		f.r.fail(v, "%v", err)
	}
}
