package work

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/model"
)

const (
	ring      = "Wheatstone bridge, arm 1 from +E to −S, 2 to −E, 3 to +S, 4 to +E"
	network   = "node voltages of the bridge with its leads and meter (Kirchhoff)"
	linear    = "derivative at no load: weight of each arm by ΔR of its grids"
	voltage   = "V/V"
	definedBy = "definition"
)

// resistances are the arms as R1 to R4.
func resistances(arms [4]float64) []Number {
	var out []Number
	for k, r := range arms {
		out = append(out, Number{fmt.Sprintf("R%d", k+1), r, "Ω"})
	}
	return out
}

// output is the formula of V/E in the arms for the bridge's wiring, with the
// numbers beside the arms; "" where the network has no short one.
func (w *writer) output(b int) (formula string, with []Number) {
	mb := &w.d.Result.Model.Bridges[b]
	db := &w.d.Design.Bridges[b]
	const plain = "R3/(R3 + R4) − R2/(R1 + R2)"
	lead := Number{"r", db.Leads.Each.SI, "Ω"}
	meter := w.d.Design.Instrument.InputResistance
	switch {
	case mb.Wiring.Wires == 0 && !meter.Set, mb.Wiring.Wires == 6 && !meter.Set:
		return plain, nil
	case mb.Wiring.Wires == 0, mb.Wiring.Wires == 6:
		inner := "R1·R2/(R1 + R2) + R3·R4/(R3 + R4)"
		with = []Number{{"Rm", meter.SI, "Ω"}}
		if mb.Wiring.Wires == 6 {
			inner, with = inner+" + 2·r", append(with, lead)
		}
		return "(" + plain + ")·Rm/(Rm + " + inner + ")", with
	case mb.Wiring.Wires == 4 && !meter.Set:
		parallel := "(R1 + R2)·(R3 + R4)/(R1 + R2 + R3 + R4)"
		return "(" + plain + ")·" + parallel + "/(" + parallel + " + 2·r)", []Number{lead}
	}
	return "", nil
}

// outputStep shows V/E for arms.
func (w *writer) outputStep(b int, what, name string, arms [4]float64, v float64) {
	formula, with := w.output(b)
	s := Step{What: what, Symbol: name, Result: v, Unit: voltage, With: append(resistances(arms), with...)}
	if formula == "" {
		s.Source = network
		w.add(s)
		return
	}
	s.Formula, s.Source = formula, ring
	w.show(s, 1)
}

// arms shows the arms of bridge b whose grids change by part(i), at rest where it is nil, and returns them.
func (w *writer) arms(b int, what, change string, part func(grid int) float64) [4]float64 {
	r := w.d.Result
	var out [4]float64
	for k := range r.Model.Bridges[b].Arms {
		a := &r.Model.Bridges[b].Arms[k]
		if a.Fixed {
			out[k] = w.d.Design.Bridges[b].Arms[k].Resistor.SI
			w.add(Step{What: fmt.Sprintf("arm %d, fixed resistor", k+1), Symbol: fmt.Sprintf("R%d", k+1), Result: out[k], Unit: "Ω", Source: "design"})
			continue
		}
		var terms []string
		var with []Number
		for _, i := range a.Grids {
			name := r.Grids[i].Name
			res, q := symbol("R", name), symbol(change, name)
			x := 0.0
			term := res
			if part != nil {
				x = part(i)
				term += "·(1 + " + q + ")"
			}
			terms = append(terms, term)
			with = append(with, Number{res, r.State.Grids[i].Resistance, "Ω"}, Number{q, x, ""})
			out[k] += r.State.Grids[i].Resistance * (1 + x)
		}
		w.show(Step{What: fmt.Sprintf("arm %d %s", k+1, what), Symbol: fmt.Sprintf("R%d", k+1), Formula: sum(terms), Source: "grids in series", With: with, Result: out[k], Unit: "Ω"}, 0)
	}
	return out
}

// bridge shows everything of one bridge.
func (w *writer) bridge(b int) {
	r := w.d.Result
	br := &r.Bridges[b]
	w.chapter("Bridge " + br.Name + ", " + br.Measures.String())
	reference := w.d.Design.Temperature.Reference.SI
	rest, err := w.solve(b, model.At(reference))
	if err != nil {
		return
	}
	arms := w.arms(b, "at rest", "q", nil)
	w.outputStep(b, "output at rest", "V0", arms, rest.Output)
	w.weights(b, arms, rest.Weight, rest.Output, rest.OutputResistance)
	for j := range r.Model.Components {
		w.sensitivity(b, j, rest.Weight)
	}
	w.rated(b, rest.Output)
	w.crosstalk(b)
	w.balance(b, rest.Weight)
	w.shunts(b, arms, rest.Output)
	w.zeroDrift(b, rest.Output)
	w.spanDrift(b)
	w.signal(b, rest.Current, rest.OutputResistance)
	w.uncertainty(b)
}

func (w *writer) solve(b int, c model.Condition) (s struct {
	Output, OutputResistance float64
	Weight, Current          [4]float64
}, err error) {
	v, err := w.d.Result.Model.Solve(w.d.Result.State, b, &c)
	if err != nil && w.err == nil {
		w.err = err
	}
	s.Output, s.OutputResistance, s.Weight, s.Current = v.Output, v.OutputResistance, v.Weight, v.Current
	return s, err
}

// weights shows ∂(V/E)/∂R of each arm.
func (w *writer) weights(b int, arms, weight [4]float64, rest, outputResistance float64) {
	mb := &w.d.Result.Model.Bridges[b]
	lossless := mb.Wiring.Wires == 0 || mb.Wiring.Wires == 6
	meter := w.d.Design.Instrument.InputResistance
	for k, f := range []string{"R2/(R1 + R2)^2", "−1·R1/(R1 + R2)^2", "R4/(R3 + R4)^2", "−1·R3/(R3 + R4)^2"} {
		s := Step{What: fmt.Sprintf("weight of arm %d, ∂(V/E)/∂R", k+1), Symbol: fmt.Sprintf("w%d", k+1), With: resistances(arms), Result: weight[k], Unit: "1/Ω"}
		if !lossless {
			s.Source = "derivative of the bridge's output by the arm, from the adjoint node voltages"
			w.add(s)
			continue
		}
		s.Formula, s.Source = f, "derivative of V/E"
		if meter.Set {
			pair := []string{"(R2/(R1 + R2))^2", "(R1/(R1 + R2))^2", "(R4/(R3 + R4))^2", "(R3/(R3 + R4))^2"}[k]
			s.Formula = "(" + f + " − V0/Rm·" + pair + ")·Rm/(Rm + Ro)"
			s.Source = "derivative of V/E with the ring as its Thévenin equivalent; Ro: output resistance, signal wires included"
			s.With = append(s.With, Number{"V0", rest, voltage}, Number{"Rm", meter.SI, "Ω"}, Number{"Ro", outputResistance, "Ω"})
		}
		w.show(s, 0)
	}
}

// sensitivity shows S_j = Σ w R k.
func (w *writer) sensitivity(b, j int, weight [4]float64) {
	r := w.d.Result
	var terms []string
	var with []Number
	scale := 0.0
	for k := range r.Model.Bridges[b].Arms {
		for _, i := range r.Model.Bridges[b].Arms[k].Grids {
			name := r.Grids[i].Name
			wk, res, row := fmt.Sprintf("w%d", k+1), symbol("R", name), symbol("k", name)
			terms = append(terms, wk+"·"+res+"·"+row)
			with = appendNew(with, Number{wk, weight[k], "1/Ω"})
			with = append(with, Number{res, r.State.Grids[i].Resistance, "Ω"}, Number{row, r.State.Row(i, j), ""})
			scale += math.Abs(weight[k] * r.State.Grids[i].Resistance * r.State.Row(i, j))
		}
	}
	if len(terms) == 0 {
		return
	}
	load, _ := unitOf(r.Model.Components[j])
	c := r.Model.Components[j].String()
	w.show(Step{What: "sensitivity to " + c, Symbol: symbol("S", c), Formula: sum(terms), Source: linear, With: with, Result: r.Bridges[b].Sensitivity[j], Unit: "V/V per " + load}, scale)
}

func appendNew(list []Number, n Number) []Number {
	for _, x := range list {
		if x.Symbol == n.Symbol {
			return list
		}
	}
	return append(list, n)
}

// rated shows the output at rated load, and how far it departs from a line.
func (w *writer) rated(b int, rest float64) {
	r := w.d.Result
	br := &r.Bridges[b]
	j := br.Target
	f := r.Model.Rated[j]
	v, err := w.at(b, f)
	if err != nil {
		return
	}
	arms := w.arms(b, "at rated load", "q", func(i int) float64 { return r.State.Row(i, j) * f })
	w.outputStep(b, "output at rated load", "V", arms, v)
	w.show(Step{What: "rated output", Symbol: "Vr", Formula: "V − V0", Source: definedBy, With: []Number{{"V", v, voltage}, {"V0", rest, voltage}}, Result: br.Rated, Unit: voltage}, math.Abs(rest))
	if !br.Nonlinearity.OK() {
		return
	}
	worst := 0
	for i, p := range br.Line {
		if math.Abs(p.Departure) > math.Abs(br.Line[worst].Departure) {
			worst = i
		}
	}
	p := br.Line[worst]
	x := float64(worst) / float64(len(br.Line)-1)
	w.show(Step{What: "departure from the straight line, at the step of the curve where it is largest (the nonlinearity is the largest between the steps)",
		Symbol: "δ", Formula: "(Vx − Vr·x)/Vr", Source: definedBy, With: []Number{{"Vx", p.Output, voltage}, {"x", x, ""}, {"Vr", br.Rated, voltage}}, Result: p.Departure}, 1)
	w.add(Step{What: "nonlinearity, largest |δ|", Symbol: "δmax", Source: "golden-section search between the steps", Result: br.Nonlinearity.Value})
}

// at is V/E of bridge b under the load f of its measured component.
func (w *writer) at(b int, f float64) (float64, error) {
	c := model.At(w.d.Design.Temperature.Reference.SI)
	c.Load[w.d.Result.Bridges[b].Target] = f
	s, err := w.solve(b, c)
	return s.Output, err
}

func (w *writer) crosstalk(b int) {
	r := w.d.Result
	br := &r.Bridges[b]
	own := br.Measures.String()
	for j, c := range r.Model.Components {
		if !br.Crosstalk[j].OK() {
			continue
		}
		w.show(Step{What: "crosstalk of " + c.String(), Symbol: symbol("X", c.String()), Formula: "abs(S·F/(St·Ft))", Source: definedBy,
			With: []Number{{"S", br.Sensitivity[j], "V/V per unit"}, {"F", r.Model.Rated[j], unitName(c)},
				{"St", br.Sensitivity[br.Target], "V/V per unit of " + own}, {"Ft", r.Model.Rated[br.Target], unitName(br.Measures)}},
			Result: br.Crosstalk[j].Value}, 1)
	}
}

func unitName(c design.Component) string {
	u, _ := unitOf(c)
	return u
}

// balance shows what the stated half-widths of the resistances do.
func (w *writer) balance(b int, weight [4]float64) {
	r := w.d.Result
	br := &r.Bridges[b]
	var worst, squares []string
	var with []Number
	add := func(k int, name string, half float64) {
		wk := fmt.Sprintf("w%d", k+1)
		with = appendNew(with, Number{wk, weight[k], "1/Ω"})
		with = append(with, Number{name, half, "Ω"})
		worst = append(worst, "abs("+wk+")·"+name)
		squares = append(squares, "("+wk+"·"+name+")^2")
	}
	for k, a := range w.d.Design.Bridges[b].Arms {
		if a.Fixed() {
			add(k, fmt.Sprintf("a%d", k+1), a.Resistor.Tolerance)
		}
		for _, g := range a.Grids {
			add(k, symbol("a", w.d.Design.GridName(g)), w.d.Design.GridResistance(g).Tolerance)
		}
	}
	const source = "half-width a of each resistance"
	w.show(Step{What: "zero balance, worst", Symbol: "Zw", Formula: sum(worst), Source: source, With: with, Result: br.Balance.Worst, Unit: voltage}, 0)
	w.show(Step{What: "zero balance, root sum of squares", Symbol: "Zs", Formula: "√(" + sum(squares) + ")", Source: source, With: with, Result: br.Balance.RSS, Unit: voltage}, 0)
}

// shunts shows what a shunt at the part does to a plain ring.
func (w *writer) shunts(b int, arms [4]float64, rest float64) {
	br := &w.d.Result.Bridges[b]
	formula, with := w.output(b)
	for i, sh := range br.Shunts {
		parallel := arms
		k := sh.Arm - 1
		parallel[k] = arms[k] * sh.Resistor / (arms[k] + sh.Resistor)
		name := fmt.Sprintf("shunt %g Ω across arm %d", sh.Resistor, sh.Arm)
		s := Step{What: name + ", change of output", Symbol: "ΔV", Result: sh.Output, Unit: voltage}
		if formula == "" || w.d.Design.Shunts[i].AtInstrument {
			s.Source = network
			w.add(s)
		} else {
			w.show(Step{What: name + ", the arm", Symbol: fmt.Sprintf("R%d", sh.Arm), Formula: "R·Rs/(R + Rs)", Source: "resistors in parallel",
				With: []Number{{"R", arms[k], "Ω"}, {"Rs", sh.Resistor, "Ω"}}, Result: parallel[k], Unit: "Ω"}, 0)
			s.Formula, s.Source = formula+" − V0", ring
			s.With = append(append(resistances(parallel), with...), Number{"V0", rest, voltage})
			w.show(s, 1)
		}
		if sh.Equivalent.OK() {
			w.show(Step{What: name + ", the load it stands for", Symbol: "Fs", Formula: "ΔV/S", Source: definedBy,
				With: []Number{{"ΔV", sh.Output, voltage}, {"S", br.Sensitivity[br.Target], "V/V per " + unitName(br.Measures)}}, Result: sh.Equivalent.Value, Unit: unitName(br.Measures)}, 0)
		}
	}
}

// uncertainty shows the law of propagation with the largest shares.
func (w *writer) uncertainty(b int) {
	u := w.d.Uncertainty
	if u == nil {
		return
	}
	ub := &u.Bridges[b]
	if ub.FirstOrder.Missing != "" || len(ub.FirstOrder.Budget) == 0 {
		return
	}
	var terms []string
	var with []Number
	rest := ub.FirstOrder.Standard * ub.FirstOrder.Standard
	for n, share := range ub.FirstOrder.Budget {
		if n == 6 {
			break
		}
		part := ub.FirstOrder.Standard * math.Sqrt(share.Percent/100)
		rest -= part * part
		name := fmt.Sprintf("u%d", n+1)
		terms = append(terms, name+"^2")
		with = append(with, Number{name, part, u.Inputs[share.Input].Label})
	}
	rest = math.Sqrt(math.Max(rest, 0))
	w.show(Step{What: "standard uncertainty of the sensitivity, first order: contribution c·u of each input, its name behind it", Symbol: "u", Formula: "√(" + sum(append(terms, "ur^2")) + ")",
		Source: "JCGM 100:2008, eq. 10, inputs independent; c by central differences of the exact model", With: append(with, Number{"ur", rest, "all others"}),
		Result: ub.FirstOrder.Standard, Unit: "V/V per " + unitName(w.d.Result.Bridges[b].Measures)}, 0)
	if rel := ub.Relative(); rel.OK() {
		source := "JCGM 101:2008, Monte Carlo, " + fmt.Sprint(u.Trials) + " trials"
		if u.Trials == 0 {
			source = "of first order"
		}
		w.add(Step{What: "standard uncertainty over the sensitivity", Symbol: "ur", Source: source, Result: rel.Value})
		w.show(Step{What: "expanded uncertainty, k = 2", Symbol: "U", Formula: "2·ur", Source: "JCGM 100:2008, 6.2.1", With: []Number{{"ur", rel.Value, ""}}, Result: 2 * rel.Value}, 0)
	}
}
