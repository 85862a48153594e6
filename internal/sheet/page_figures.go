package sheet

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// figures is the chapter of tables: every figure of the prediction.
func (b *book) figures() {
	b.chapter("4  Figures")
	b.paragraph(b.standing()+" Sums of strain take every load at its rated value with the sign that adds.", 8, drawing.Regular)
	b.sensitivities()
	b.crosstalk()
	b.inverse()
	b.strains()
	b.partFigures()
	b.signals()
	b.zero()
	b.shunts()
	b.uncertainties()
}

func (b *book) components() []design.Component { return b.d.Result.Model.Components }

// byComponent is a table with a column for each load.
func (b *book) byComponent(first []column, head func(c design.Component) string) *table {
	columns := append([]column(nil), first...)
	for _, c := range b.components() {
		columns = append(columns, number(head(c)))
	}
	return newTable(columns...)
}

func (b *book) sensitivities() {
	r := b.d.Result
	if len(r.Bridges) == 0 {
		return
	}
	b.heading("Sensitivity to each load, µV/V per unit of the load", 14)
	t := b.byComponent([]column{text("bridge"), text("measures")}, func(c design.Component) string {
		return component(c) + ", µV/V per " + b.w.loadUnit(c)
	})
	for i := range r.Bridges {
		br := &r.Bridges[i]
		cells := []string{br.Name, component(br.Measures)}
		for j, c := range b.components() {
			v := br.Sensitivity[j]
			if rated := r.Model.Rated[j]; rated != 0 && math.Abs(v*rated) < 1e-12 { // below a picovolt per volt
				v = 0
			}
			cells = append(cells, b.w.perUnit(v, c))
		}
		t.add(cells...)
	}
	b.table(t)
}

func (b *book) crosstalk() {
	r := b.d.Result
	if len(r.Bridges) == 0 {
		return
	}
	b.heading("Crosstalk at each load's rated value, % of the bridge's rated output", 14)
	t := b.byComponent([]column{text("bridge"), number("rated output")}, component)
	for i := range r.Bridges {
		br := &r.Bridges[i]
		cells := []string{br.Name, b.w.output(br.Rated)}
		for _, f := range br.Crosstalk {
			cells = append(cells, b.w.percent(f))
		}
		t.add(cells...)
	}
	b.table(t)
}

// inverse is the matrix that turns outputs into loads, six bridges abreast.
func (b *book) inverse() {
	m, bridges := b.d.Result.Matrix, b.d.Result.Bridges
	if m.Inverse == nil {
		return
	}
	head := "Loads from outputs, load per mV/V of each bridge"
	if m.Condition.OK() {
		head += fmt.Sprintf(" (condition number %.3g)", m.Condition.Value)
	}
	b.heading(head, 14)
	const abreast = 6
	for from := 0; from < len(bridges); from += abreast {
		to := min(from+abreast, len(bridges))
		columns := []column{text("load")}
		for _, br := range bridges[from:to] {
			columns = append(columns, column{head: br.Name, align: drawing.Right, wraps: true})
		}
		t := newTable(columns...)
		for k, c := range m.Measured {
			cells := []string{component(c)}
			for _, v := range clean(m.Inverse[k])[from:to] {
				cells = append(cells, nonbreaking(b.w.show(v*1e-3, c.Kind())))
			}
			t.add(cells...)
		}
		b.table(t)
	}
}

// clean makes zero what is zero but for rounding beside the greatest value.
func clean(values []float64) []float64 {
	scale := 0.0
	for _, v := range values {
		scale = max(scale, math.Abs(v))
	}
	out := make([]float64, len(values))
	for i, v := range values {
		if math.Abs(v) >= 1e-9*scale {
			out[i] = v
		}
	}
	return out
}

func (b *book) strains() {
	r := b.d.Result
	if len(r.Grids) == 0 {
		return
	}
	b.heading("Strain along each grid at rated loads, µε", 14)
	t := b.byComponent([]column{text("grid")}, component)
	t.columns = append(t.columns, number("sum of |ε|"), number("limit"))
	for i, g := range r.Grids {
		cells := []string{g.Name}
		for j := range b.components() {
			cells = append(cells, fixed(g.Along[j]*1e6, 1))
		}
		t.add(append(cells, fixed(g.TotalAlong*1e6, 1), b.strainLimit(r.Model.Grids[i].Gauge))...)
	}
	b.table(t)
	if s := b.d.Design.Require.Strain; s.Set {
		b.note("The design asks for a sum of at most " + b.w.stated(s, quantity.Strain) + "; the limit is the lower of that and the gauge's own.")
	} else {
		b.note("The limit is the gauge's stated greatest strain.")
	}
}

func (b *book) strainLimit(gauge int) string {
	limits := []design.Number{b.d.Design.Gauges[gauge].MaxStrain, b.d.Design.Require.Strain}
	lowest := math.Inf(1)
	for _, n := range limits {
		if n.Set {
			lowest = min(lowest, n.SI)
		}
	}
	return b.w.bare(lowest, quantity.Strain, 4)
}

func (b *book) partFigures() {
	r, w := b.d.Result, b.w
	b.heading("Part", 20)
	strength, stiff, p := keyTable(), keyTable(), r.Section
	strength.add("von Mises stress, surface", w.show(r.Strength.VonMises, quantity.Stress)+", station "+w.show(r.Strength.Station, quantity.Length))
	strength.add("yield over that", w.figure(r.Strength.YieldFactor, quantity.Number))
	strength.add("yield over that at overload", w.figure(r.Strength.OverloadYield, quantity.Number))
	strength.add("endurance over that, reversed", w.figure(r.Strength.Reversed, quantity.Number))
	strength.add("endurance, pulsating, Goodman", w.figure(r.Strength.Pulsating, quantity.Number))
	strength.add("area A", w.show(p.Area, quantity.Area))
	strength.add("Iy, Iz", w.show(p.Iy, quantity.SecondMoment)+", "+w.show(p.Iz, quantity.SecondMoment))
	strength.add("torsion constant J", w.show(p.J, quantity.SecondMoment))
	stiff.add("torsional stiffness GJ/l", w.figure(r.Stiffness.Torsional, quantity.TorsionalStiffness))
	stiff.add("axial stiffness EA/l", w.figure(r.Stiffness.Axial, quantity.AxialStiffness))
	stiff.add("bending stiffness EI", w.figure(r.Stiffness.Bending, quantity.BendingStiffness))
	stiff.add("torsional natural frequency", w.figure(r.Stiffness.Frequency, quantity.Frequency))
	stiff.add("twist at rated torque", milliradians(r.Stiffness.Twist))
	stiff.add("elongation at rated axial force", w.figure(r.Stiffness.Elongation, quantity.Length))
	stiff.add("bend at rated moment", milliradians(r.Stiffness.Bend))
	b.beside(strength, stiff)
	b.note("All rated loads together, worst signs, smooth surface: no concentration and no overload, unless said.")
}

func (b *book) signals() {
	r, d, w := b.d.Result, b.d.Design, b.w
	if len(r.Bridges) == 0 {
		return
	}
	b.heading("Signal and heating", 14)
	t := newTable(text("bridge"), number("excitation"), number("signal at rated"), number("Johnson noise, rms"), number("smallest load step"),
		number("power, hottest grid"), number("power density"), number("allowed"), number("excitation at most"))
	for i := range r.Bridges {
		br := &r.Bridges[i]
		allowed := dash
		if br.Signal.PowerDensity.OK() && br.Signal.Hottest < len(r.Model.Grids) {
			allowed = b.allowed(&d.Gauges[r.Model.Grids[br.Signal.Hottest].Gauge])
		}
		johnson := dash
		if br.Signal.Johnson.OK() {
			johnson = fmt.Sprintf("%.3g µV", br.Signal.Johnson.Value*1e6)
		}
		t.add(br.Name, excitation(w, d.Bridges[i]), signal(br, d.Bridges[i]), johnson, w.figure(br.Signal.Smallest, br.Measures.Kind()),
			w.figure(br.Signal.Power, quantity.Power), w.figure(br.Signal.PowerDensity, quantity.PowerDensity), allowed, w.figure(br.Signal.Limit, quantity.Voltage))
	}
	b.table(t)
}

func (b *book) allowed(g *design.Gauge) string {
	switch {
	case g.PowerDensity.Set:
		return b.w.stated(g.PowerDensity, quantity.PowerDensity)
	case g.HeatSink != "":
		return g.HeatSink + " heat sink"
	}
	return dash
}

func excitation(w words, br design.Bridge) string {
	if !br.Excitation.Set {
		return dash
	}
	return w.stated(br.Excitation, quantity.Voltage)
}

// signal is the voltage at rated load under the stated excitation.
func signal(br *predict.Bridge, db design.Bridge) string {
	if !db.Excitation.Set || br.Blind {
		return dash
	}
	return minus(fmt.Sprintf("%.4g mV", br.Rated*db.Excitation.SI*1e3))
}

// zero tells how every bridge rests and drifts.
func (b *book) zero() {
	r, w := b.d.Result, b.w
	if len(r.Bridges) == 0 {
		return
	}
	b.heading("Zero and temperature", 14)
	t := newTable(text("bridge"), number("zero, nominal"), number("tolerances, rss"), number("tolerances, worst"), number("zero drift"),
		number("zero from gradient"), number("span drift"), number("nonlinearity"))
	for i := range r.Bridges {
		br := &r.Bridges[i]
		t.add(br.Name, w.output(br.Balance.Nominal), "± "+w.show(br.Balance.RSS, quantity.VoltageRatio), "± "+w.show(br.Balance.Worst, quantity.VoltageRatio),
			w.per10K(br.Temperature.ZeroDrift), w.percent(br.Temperature.ZeroGradient), w.per10K(br.Temperature.SpanDrift), w.percent(br.Nonlinearity))
	}
	b.table(t)
}

func (b *book) shunts() {
	r, d := b.d.Result, b.d.Design
	if len(d.Shunts) == 0 || len(r.Bridges) == 0 {
		return
	}
	b.heading("Shunt calibration", 14)
	t := newTable(number("resistor"), label("arm"), label("at"), text("bridge"), number("change of output"), number("stands for"))
	for i, sh := range d.Shunts {
		at := "part"
		if sh.AtInstrument {
			at = "instrument"
		}
		for k := range r.Bridges {
			br := &r.Bridges[k]
			s := br.Shunts[i]
			t.add(b.w.stated(sh.Resistor, quantity.Resistance), fmt.Sprint(sh.Arm), at, br.Name, b.w.output(s.Output),
				b.w.figure(s.Equivalent, br.Measures.Kind())+" "+component(br.Measures))
		}
	}
	b.table(t)
}

// milliradians is a small angle.
func milliradians(f predict.Figure) string {
	if !f.OK() {
		return dash
	}
	return quantity.Format(f.Value*1e3, quantity.Number, quantity.SI, 4) + " mrad"
}
