package diagnosis

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/model"
)

// findInput reads one input off the part. Under causes that leave it alone it is what the
// file says, within its tolerance.
func (b *bench) findInput(input int, within float64) func(w *worker, k *mode) ([]float64, []float64) {
	return func(w *worker, k *mode) ([]float64, []float64) {
		copy(w.x, b.m.Nominal)
		if k.cause.inputs != nil {
			k.cause.inputs(w.x, k.theta)
		}
		u := b.m.Inputs[input].Standard()
		if k.cause.parameter != nil && slices.Contains(k.cause.parameter.owns, input) {
			u = k.sd
		}
		return []float64{w.x[input]}, []float64{math.Hypot(u, within)}
	}
}

// findModulus reads E to half a percent.
func (b *bench) findModulus(w *worker, k *mode) ([]float64, []float64) {
	_, s, err := w.scene(k.cause, k.theta, 0)
	if err != nil {
		return nil, nil
	}
	u := 0.0
	for i, in := range b.m.Inputs {
		if in.Nominal == b.m.Design.Part.Material.Youngs.SI && (k.cause.parameter == nil || !slices.Contains(k.cause.parameter.owns, i)) {
			u = in.Standard()
		}
	}
	return []float64{s.Young()}, []float64{math.Hypot(u, 0.005*s.Young())}
}

// findLeads reads the resistance of one lead of each bridge to 0.05 Ω.
func (b *bench) findLeads(w *worker, k *mode) ([]float64, []float64) {
	m, _, err := w.scene(k.cause, k.theta, 0)
	if err != nil {
		return nil, nil
	}
	var v, u []float64
	for br := range m.Bridges {
		each := m.Bridges[br].Wiring.Each
		for _, at := range b.leadInputs([]int{br}) {
			copy(w.x, b.m.Nominal)
			if k.cause.inputs != nil {
				k.cause.inputs(w.x, k.theta)
			}
			each = w.x[at]
		}
		v, u = append(v, each), append(u, math.Hypot(0.05, 0.1*each))
	}
	return v, u
}

// findGridShunts is the change of every bridge by 100 kΩ across each wired grid in turn.
func (b *bench) findGridShunts(w *worker, k *mode) ([]float64, []float64) {
	const ohm = 100e3
	_, used := b.seats()
	var each [][]int
	for _, g := range used {
		each = append(each, []int{g})
	}
	v := b.touched(w, k, each, func(_ *model.State, g *model.GridState, _ int) { g.Resistance *= ohm / (g.Resistance + ohm) })
	u := make([]float64, len(v))
	for i := range v {
		u[i] = 1e-6 + 0.02*math.Abs(v[i])
	}
	return v, u
}

// findWarmth is which way every bridge goes when one gauge after the other is warmed by
// some 5 K: +1, −1, or 0 where it goes too little to see.
func (b *bench) findWarmth(w *worker, k *mode) ([]float64, []float64) {
	const warm, seen = 5, 5e-6 // K, V/V
	t := b.m.Design.Temperature.Reference.SI + warm
	v := b.touched(w, k, b.gauges(), func(s *model.State, g *model.GridState, i int) { g.Resistance *= 1 + s.Thermal(i, t) })
	u := make([]float64, len(v))
	for i := range v {
		switch {
		case v[i] > seen:
			v[i] = 1
		case v[i] < -seen:
			v[i] = -1
		case math.Abs(v[i]) > seen/5:
			v[i] = math.NaN() // not to be relied on
		default:
			v[i] = 0
		}
		u[i] = 0.2
	}
	return v, u
}

// gauges are the wired grids of each placement.
func (b *bench) gauges() [][]int {
	var out [][]int
	for _, s := range b.spots() {
		var of []int
		_, used := b.seats()
		for _, g := range used {
			if b.m.Grids[g].Ref.Placement == s.number {
				of = append(of, g)
			}
		}
		out = append(out, of)
	}
	return out
}

// touched is the change of every bridge, as the instrument shows it, when one set of
// grids after the other is changed. Grids are told by where they sit on the part, so that
// a wrong wiring shows.
func (b *bench) touched(w *worker, k *mode, sets [][]int, change func(s *model.State, g *model.GridState, i int)) []float64 {
	m, s, err := w.scene(k.cause, k.theta, 0)
	if err != nil {
		return nil
	}
	// the grids of a cause that edits none are the bench's own
	own := *s
	own.Grids = slices.Clone(s.Grids)
	y := make([]float64, len(b.figures))
	zeros := func() []float64 {
		for br := range m.Bridges {
			v, err := m.Sensitivity(&own, br, b.kelvin, w.out)
			if err != nil {
				v = math.NaN()
			}
			y[br*b.row+len(b.m.Components)] = v
		}
		if k.cause.readings != nil {
			k.cause.readings(y, k.theta)
		}
		var z []float64
		for br := range m.Bridges {
			z = append(z, y[br*b.row+len(b.m.Components)])
		}
		return z
	}
	rest := zeros()
	var out []float64
	for _, set := range sets {
		for _, g := range set {
			change(s, &own.Grids[g], g)
		}
		for br, z := range zeros() {
			out = append(out, z-rest[br])
		}
		for _, g := range set {
			own.Grids[g] = s.Grids[g]
		}
	}
	return out
}

// moreReadings are the zeros and shunt readings that were not taken.
func (b *bench) moreReadings() []look {
	var out []look
	missing := func(kind figureKind, item int) []int {
		var at []int
		for i, f := range b.figures {
			if f.kind == kind && f.item == item && !slices.Contains(b.used, i) && !b.offScale[f.bridge] {
				at = append(at, i)
			}
		}
		return at
	}
	if at := missing(zero, 0); at != nil {
		out = append(out, look{text: "take the zero reading of every bridge", cost: 1.1, finds: b.findFigures(at)})
	}
	for s, sh := range b.m.Design.Shunts {
		if at := missing(shunt, s); at != nil {
			out = append(out, look{text: fmt.Sprintf("take the shunt reading of every bridge (%.4g kΩ across arm %d)", sh.Resistor.SI/1e3, sh.Arm), cost: 1.3, finds: b.findFigures(at)})
		}
	}
	return out
}

// moreLoads are the components of the design that were not applied, and those that were,
// applied again from the other side so that what comes with them changes its sign.
func (b *bench) moreLoads() []look {
	var out []look
	for j, on := range b.applied() {
		c := b.m.Components[j]
		if on {
			name := c.String()
			out = append(out, look{text: "apply " + name + " again with the lever or the part turned by 180° about its axis: what comes with it off axis then changes its sign", cost: 5,
				reveals: func(k *cause) bool { return k.class == offAxis && k.load == name }})
			continue
		}
		if c == design.Pressure {
			continue
		}
		var at []int
		for i, f := range b.figures {
			if f.kind == sensitivity && f.item == j && !b.offScale[f.bridge] {
				at = append(at, i)
			}
		}
		out = append(out, look{text: "calibrate with " + strings.ReplaceAll(c.String(), "-", " in ") + " as well", cost: 6, finds: b.findFigures(at)})
	}
	return out
}

// findFigures predicts figures that were not measured, with their spread by the
// tolerances and a reading good to 0.1 % of the rated output.
func (b *bench) findFigures(at []int) func(w *worker, k *mode) ([]float64, []float64) {
	return func(w *worker, k *mode) ([]float64, []float64) {
		j, err := w.jacobian(k.cause, k.theta)
		if err != nil {
			return nil, nil
		}
		v, u := make([]float64, len(at)), make([]float64, len(at))
		for i, f := range at {
			v[i] = k.y[f]
			q := math.Pow(floorOutput+1e-3*b.scale[b.figures[f].bridge], 2)
			for _, d := range j {
				q += d[f] * d[f]
			}
			u[i] = math.Sqrt(q)
		}
		return v, u
	}
}
