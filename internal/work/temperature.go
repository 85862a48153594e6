package work

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/gauge"
	"gridwright/internal/model"
)

// zeroDrift shows the output at the two temperatures between which the zero moves
// most, and the drift.
func (w *writer) zeroDrift(b int, rest float64) {
	r := w.d.Result
	br := &r.Bridges[b]
	if !br.Temperature.ZeroDrift.OK() {
		return
	}
	type extreme struct{ kelvin, zero float64 }
	low, high := extreme{zero: math.Inf(1)}, extreme{zero: math.Inf(-1)}
	for _, p := range br.Temperature.Rows {
		s, err := w.solve(b, model.At(p.Kelvin))
		if err != nil {
			return
		}
		z := s.Output - rest
		if z < low.zero {
			low = extreme{p.Kelvin, z}
		}
		if z > high.zero {
			high = extreme{p.Kelvin, z}
		}
	}
	for n, e := range []extreme{low, high} {
		what := []string{"where the zero is lowest", "where it is highest"}[n]
		w.zeroAt(b, e.kelvin, rest, e.zero, fmt.Sprintf("%.6g °C, %s", e.kelvin-273.15, what), []string{"Zl", "Zh"}[n])
	}
	t := &w.d.Design.Temperature
	w.show(Step{What: "zero drift", Symbol: "dZ", Formula: "(Zh − Zl)/(Th − Tl)/abs(Vr)", Source: "definition, ratio of rated output per kelvin",
		With:   []Number{{"Zh", high.zero, voltage}, {"Zl", low.zero, voltage}, {"Th", t.High.SI, "K"}, {"Tl", t.Low.SI, "K"}, {"Vr", br.Rated, voltage}},
		Result: br.Temperature.ZeroDrift.Value, Unit: "1/K"}, 1e-6)
}

// zeroAt shows the zero of a bridge at one uniform temperature.
func (w *writer) zeroAt(b int, kelvin, rest, zero float64, where, name string) {
	r := w.d.Result
	mb := &r.Model.Bridges[b]
	for k := range mb.Arms {
		for _, i := range mb.Arms[k].Grids {
			w.thermal(i, kelvin, where)
		}
	}
	for k := range mb.Arms {
		if a := &w.d.Design.Bridges[b].Arms[k]; a.Fixed() && a.TCR.SI != 0 && !w.d.Design.Bridges[b].Leads.AtInstrument {
			w.add(Step{What: "a fixed resistor changes by its temperature coefficient; the zero at " + where, Symbol: name, Result: zero, Unit: voltage, Source: network})
			return
		}
	}
	if mb.Follow {
		w.add(Step{What: "leads follow the part; the zero at " + where, Symbol: name, Result: zero, Unit: voltage, Source: network})
		return
	}
	s, err := w.solve(b, model.At(kelvin))
	if err != nil {
		return
	}
	arms := w.arms(b, "at "+where, "q", func(i int) float64 { return r.State.Thermal(i, kelvin) })
	w.outputStep(b, "output at "+where, "VT", arms, s.Output)
	w.show(Step{What: "zero at " + where, Symbol: name, Formula: "VT − V0", Source: definedBy, With: []Number{{"VT", s.Output, voltage}, {"V0", rest, voltage}}, Result: zero, Unit: voltage}, 1)
}

// thermal shows ΔR/R of an unloaded grid.
func (w *writer) thermal(i int, kelvin float64, where string) {
	r := w.d.Result
	gs := &r.State.Grids[i]
	g := &w.d.Design.Gauges[r.Model.Grids[i].Gauge]
	step := Step{What: "ΔR/R of grid " + r.Grids[i].Name + " without load at " + where, Symbol: symbol("q", r.Grids[i].Name), Result: r.State.Thermal(i, kelvin)}
	t0 := w.d.Design.Temperature.Reference.SI
	if kelvin == t0 {
		step.Source = "the reference temperature"
		w.add(step)
		return
	}
	part := w.d.Design.Part.Material.Expansion.SI
	alpha := math.Atan2(gs.Sin, gs.Cos)
	var terms []string
	if g.Thermal.Set {
		t, tr, unit := kelvin-273.15, t0-273.15, "°C"
		if g.Thermal.Fahrenheit {
			t, tr, unit = kelvin*9/5-459.67, t0*9/5-459.67, "°F"
		}
		var poly, reference []string
		for n, c := range g.Thermal.Coefficients {
			if n == 0 {
				continue // it drops out of the difference
			}
			name := fmt.Sprintf("c%d", n)
			step.With = append(step.With, Number{name, c.SI, "µε/" + unit + superscript(n)})
			poly = append(poly, fmt.Sprintf("%s·t^%d", name, n))
			reference = append(reference, fmt.Sprintf("%s·t0^%d", name, n))
		}
		if len(poly) > 0 {
			terms = append(terms, "Fi·1e-6·("+strings.Join(poly, " + ")+" − ("+strings.Join(reference, " + ")+"))")
			step.With = append(step.With, Number{"t", t, unit}, Number{"t0", tr, unit}, Number{"Fi", g.Thermal.ForFactor.SI, ""})
		}
		if e := g.Thermal.ForExpansion; e.Set && e.SI != part {
			terms = append(terms, "F·(1 + Kt)/(1 − 0.285·Kt)·(αp − αl)·ΔT")
			step.With = append(step.With, Number{"αp", part, "1/K"}, Number{"αl", e.SI, "1/K"})
		}
	}
	if g.StandOffExpansion.Set {
		w.layer(i, &step, &terms, g.StandOff.SI, g.StandOffExpansion.SI, g.StandOffPoisson.SI, part, alpha)
	}
	if len(terms) == 0 {
		step.Source = "no thermal output is stated"
		w.add(step)
		return
	}
	step.With = append(step.With, Number{"F", gs.Factor, ""}, Number{"Kt", gs.Transverse, ""}, Number{"ΔT", kelvin - t0, "K"})
	step.Formula, step.Source = sum(terms), "polynomial of the lot, and the mismatch of expansion as an equal biaxial strain"
	w.show(step, 1e-6)
}

// layer adds the curvature effect of the layer under the foil.
func (w *writer) layer(i int, step *Step, terms *[]string, h, alphaL, nuL, part, alpha float64) {
	r := w.d.Result
	gs := &r.State.Grids[i]
	curvature := r.State.Section.Curvature(gs.Coordinate)
	k := gauge.Curvature(h, curvature, nuL, alphaL, part, gs.Sin, gs.Cos)
	if k == (gauge.Strain{}) {
		return
	}
	*terms = append(*terms, "F/(1 − 0.285·Kt)·h·κ·(1 + νL)/(1 − νL)·(αL − αp)·(sin(α)^2 + Kt·cos(α)^2)·ΔT")
	step.With = append(step.With, Number{"h", h, "m"}, Number{"κ", curvature, "1/m"}, Number{"νL", nuL, ""}, Number{"αL", alphaL, "1/K"}, Number{"α", alpha, "rad"})
	for _, n := range step.With {
		if n.Symbol == "αp" {
			return
		}
	}
	step.With = append(step.With, Number{"αp", part, "1/K"})
}

func superscript(n int) string {
	if n < 2 || n > 4 {
		return ""
	}
	return []string{"²", "³", "⁴"}[n-2]
}

// spanDrift shows the span at its two extremes, in one formula where all grids
// feel one modulus and one drift, and the drift.
func (w *writer) spanDrift(b int) {
	r := w.d.Result
	br := &r.Bridges[b]
	if !br.Temperature.SpanDrift.OK() {
		return
	}
	low, high := br.Temperature.Rows[0], br.Temperature.Rows[0]
	for _, p := range br.Temperature.Rows {
		if p.Span.Value < low.Span.Value {
			low = p
		}
		if p.Span.Value > high.Span.Value {
			high = p
		}
	}
	for n, p := range []struct{ kelvin, span float64 }{{low.Kelvin, low.Span.Value}, {high.Kelvin, high.Span.Value}} {
		s := Step{What: fmt.Sprintf("span at %.6g °C over that at the reference temperature", p.kelvin-273.15), Symbol: []string{"Sl", "Sh"}[n], Result: p.span}
		drift, modulus, power, ok := w.oneDrift(b)
		if !ok {
			s.Source = "sensitivity at that temperature, every grid with its own drift"
			w.add(s)
			continue
		}
		s.Formula, s.Source = fmt.Sprintf("(1 + β·ΔT)/((1 + e·ΔT)·(1 + αp·ΔT)^%d)", power), "drift of gauge factor, of the modulus, and growth of the part"
		s.With = []Number{{"β", drift, "1/K"}, {"e", modulus, "1/K"}, {"αp", w.d.Design.Part.Material.Expansion.SI, "1/K"}, {"ΔT", p.kelvin - w.d.Design.Temperature.Reference.SI, "K"}}
		w.show(s, 0)
	}
	t := &w.d.Design.Temperature
	w.show(Step{What: "span drift", Symbol: "dS", Formula: "(Sh − Sl)/(Th − Tl)", Source: definedBy, Result: br.Temperature.SpanDrift.Value, Unit: "1/K",
		With: []Number{{"Sh", high.Span.Value, ""}, {"Sl", low.Span.Value, ""}, {"Th", t.High.SI, "K"}, {"Tl", t.Low.SI, "K"}}}, 1e-6)
}

// oneDrift is the drift of gauge factor and modulus that all grids of a bridge
// share, and the power of the part's growth; ok is false where they differ.
func (w *writer) oneDrift(b int) (drift, modulus float64, power int, ok bool) {
	r := w.d.Result
	mb := &r.Model.Bridges[b]
	m := &w.d.Design.Part.Material
	first := true
	for k := range mb.Arms {
		for _, i := range mb.Arms[k].Grids {
			d := w.d.Design.Gauges[r.Model.Grids[i].Gauge].Drift.SI
			if !first && d != drift {
				return 0, 0, 0, false
			}
			drift, first = d, false
		}
	}
	if first || mb.Follow || m.ShearDrift.Set && m.ShearDrift.SI != m.YoungsDrift.SI {
		return 0, 0, 0, false
	}
	switch unitName(r.Bridges[b].Measures) {
	case "N·m":
		power = 3
	case "N":
		power = 2
	}
	return drift, m.YoungsDrift.SI, power, true
}
