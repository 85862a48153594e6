package sheet

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// figures is the chapter of tables: every figure of the prediction.
func (b *book) figures() {
	b.Chapter("4  Figures")
	b.Paragraph(b.standing()+" Sums of strain take every load at its rated value with the sign that adds.", 8, drawing.Regular)
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
func (b *book) byComponent(first []layout.Column, head func(c design.Component) string) *layout.Table {
	columns := append([]layout.Column(nil), first...)
	for _, c := range b.components() {
		columns = append(columns, layout.Number(head(c)))
	}
	return layout.NewTable(columns...)
}

func (b *book) sensitivities() {
	r := b.d.Result
	if len(r.Bridges) == 0 {
		return
	}
	b.Heading("Sensitivity to each load, µV/V per unit of the load", 14)
	t := b.byComponent([]layout.Column{layout.Text("bridge"), layout.Text("measures")}, func(c design.Component) string {
		return layout.Component(c) + ", µV/V per " + b.w.LoadUnit(c)
	})
	for i := range r.Bridges {
		br := &r.Bridges[i]
		cells := []string{br.Name, layout.Component(br.Measures)}
		for j, c := range b.components() {
			v := br.Sensitivity[j]
			if rated := r.Model.Rated[j]; rated != 0 && math.Abs(v*rated) < 1e-12 { // below a picovolt per volt
				v = 0
			}
			cells = append(cells, b.w.PerUnit(v, c))
		}
		t.Add(cells...)
	}
	b.Table(t)
}

func (b *book) crosstalk() {
	r := b.d.Result
	if len(r.Bridges) == 0 {
		return
	}
	b.Heading("Crosstalk at each load's rated value, % of the bridge's rated output", 14)
	t := b.byComponent([]layout.Column{layout.Text("bridge"), layout.Number("rated output")}, layout.Component)
	for i := range r.Bridges {
		br := &r.Bridges[i]
		cells := []string{br.Name, b.w.Output(br.Rated)}
		for _, f := range br.Crosstalk {
			cells = append(cells, b.w.Percent(f))
		}
		t.Add(cells...)
	}
	b.Table(t)
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
	b.Heading(head, 14)
	const abreast = 6
	for from := 0; from < len(bridges); from += abreast {
		to := min(from+abreast, len(bridges))
		columns := []layout.Column{layout.Text("load")}
		for _, br := range bridges[from:to] {
			columns = append(columns, layout.Column{Head: br.Name, Align: drawing.Right, Wraps: true})
		}
		t := layout.NewTable(columns...)
		for k, c := range m.Measured {
			cells := []string{layout.Component(c)}
			for _, v := range clean(m.Inverse[k])[from:to] {
				cells = append(cells, layout.Nonbreaking(b.w.Show(v*1e-3, c.Kind())))
			}
			t.Add(cells...)
		}
		b.Table(t)
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
	b.Heading("Strain along each grid at rated loads, µε", 14)
	t := b.byComponent([]layout.Column{layout.Text("grid")}, layout.Component)
	t.Columns = append(t.Columns, layout.Number("sum of |ε|"), layout.Number("limit"))
	for i, g := range r.Grids {
		cells := []string{g.Name}
		for j := range b.components() {
			cells = append(cells, layout.Fixed(g.Along[j]*1e6, 1))
		}
		t.Add(append(cells, layout.Fixed(g.TotalAlong*1e6, 1), b.strainLimit(r.Model.Grids[i].Gauge))...)
	}
	b.Table(t)
	if s := b.d.Design.Require.Strain; s.Set {
		b.Note("The design asks for a sum of at most " + b.w.Stated(s, quantity.Strain) + "; the limit is the lower of that and the gauge's own.")
	} else {
		b.Note("The limit is the gauge's stated greatest strain.")
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
	return b.w.Bare(lowest, quantity.Strain, 4)
}

func (b *book) partFigures() {
	r, w := b.d.Result, b.w
	b.Heading("Part", 20)
	strength, stiff, p := layout.KeyTable(), layout.KeyTable(), r.Section
	strength.Add("von Mises stress, surface", w.Show(r.Strength.VonMises, quantity.Stress)+", station "+w.Show(r.Strength.Station, quantity.Length))
	strength.Add("yield over that", w.Figure(r.Strength.YieldFactor, quantity.Number))
	strength.Add("yield over that at overload", w.Figure(r.Strength.OverloadYield, quantity.Number))
	strength.Add("endurance over that, reversed", w.Figure(r.Strength.Reversed, quantity.Number))
	strength.Add("endurance, pulsating, Goodman", w.Figure(r.Strength.Pulsating, quantity.Number))
	strength.Add("area A", w.Show(p.Area, quantity.Area))
	strength.Add("Iy, Iz", w.Show(p.Iy, quantity.SecondMoment)+", "+w.Show(p.Iz, quantity.SecondMoment))
	strength.Add("torsion constant J", w.Show(p.J, quantity.SecondMoment))
	stiff.Add("torsional stiffness GJ/l", w.Figure(r.Stiffness.Torsional, quantity.TorsionalStiffness))
	stiff.Add("axial stiffness EA/l", w.Figure(r.Stiffness.Axial, quantity.AxialStiffness))
	stiff.Add("bending stiffness EI", w.Figure(r.Stiffness.Bending, quantity.BendingStiffness))
	stiff.Add("torsional natural frequency", w.Figure(r.Stiffness.Frequency, quantity.Frequency))
	stiff.Add("twist at rated torque", milliradians(r.Stiffness.Twist))
	stiff.Add("elongation at rated axial force", w.Figure(r.Stiffness.Elongation, quantity.Length))
	stiff.Add("bend at rated moment", milliradians(r.Stiffness.Bend))
	b.Beside(strength, stiff)
	b.Note("All rated loads together, worst signs, smooth surface: no concentration and no overload, unless said.")
}

func (b *book) signals() {
	r, d, w := b.d.Result, b.d.Design, b.w
	if len(r.Bridges) == 0 {
		return
	}
	b.Heading("Signal and heating", 14)
	t := layout.NewTable(layout.Text("bridge"), layout.Number("excitation"), layout.Number("signal at rated"), layout.Number("Johnson noise, rms"), layout.Number("smallest load step"),
		layout.Number("power, hottest grid"), layout.Number("power density"), layout.Number("allowed"), layout.Number("excitation at most"))
	for i := range r.Bridges {
		br := &r.Bridges[i]
		allowed := layout.Dash
		if br.Signal.PowerDensity.OK() && br.Signal.Hottest < len(r.Model.Grids) {
			allowed = b.allowed(&d.Gauges[r.Model.Grids[br.Signal.Hottest].Gauge])
		}
		johnson := layout.Dash
		if br.Signal.Johnson.OK() {
			johnson = fmt.Sprintf("%.3g µV", br.Signal.Johnson.Value*1e6)
		}
		t.Add(br.Name, excitation(w, d.Bridges[i]), signal(br, d.Bridges[i]), johnson, w.Figure(br.Signal.Smallest, br.Measures.Kind()),
			w.Figure(br.Signal.Power, quantity.Power), w.Figure(br.Signal.PowerDensity, quantity.PowerDensity), allowed, w.Figure(br.Signal.Limit, quantity.Voltage))
	}
	b.Table(t)
}

func (b *book) allowed(g *design.Gauge) string {
	switch {
	case g.PowerDensity.Set:
		return b.w.Stated(g.PowerDensity, quantity.PowerDensity)
	case g.HeatSink != "":
		return g.HeatSink + " heat sink"
	}
	return layout.Dash
}

func excitation(w layout.Words, br design.Bridge) string {
	if !br.Excitation.Set {
		return layout.Dash
	}
	return w.Stated(br.Excitation, quantity.Voltage)
}

// signal is the voltage at rated load under the stated excitation.
func signal(br *predict.Bridge, db design.Bridge) string {
	if !db.Excitation.Set || br.Blind {
		return layout.Dash
	}
	return layout.Minus(fmt.Sprintf("%.4g mV", br.Rated*db.Excitation.SI*1e3))
}

// zero tells how every bridge rests and drifts.
func (b *book) zero() {
	r, w := b.d.Result, b.w
	if len(r.Bridges) == 0 {
		return
	}
	b.Heading("Zero and temperature", 14)
	t := layout.NewTable(layout.Text("bridge"), layout.Number("zero, nominal"), layout.Number("tolerances, rss"), layout.Number("tolerances, worst"), layout.Number("zero drift"),
		layout.Number("zero from gradient"), layout.Number("span drift"), layout.Number("nonlinearity"))
	for i := range r.Bridges {
		br := &r.Bridges[i]
		t.Add(br.Name, w.Output(br.Balance.Nominal), "± "+w.Show(br.Balance.RSS, quantity.VoltageRatio), "± "+w.Show(br.Balance.Worst, quantity.VoltageRatio),
			w.Per10K(br.Temperature.ZeroDrift), w.Percent(br.Temperature.ZeroGradient), w.Per10K(br.Temperature.SpanDrift), w.Percent(br.Nonlinearity))
	}
	b.Table(t)
}

func (b *book) shunts() {
	r, d := b.d.Result, b.d.Design
	if len(d.Shunts) == 0 || len(r.Bridges) == 0 {
		return
	}
	b.Heading("Shunt calibration", 14)
	t := layout.NewTable(layout.Number("resistor"), layout.Label("arm"), layout.Label("at"), layout.Text("bridge"), layout.Number("change of output"), layout.Number("stands for"))
	for i, sh := range d.Shunts {
		at := "part"
		if sh.AtInstrument {
			at = "instrument"
		}
		for k := range r.Bridges {
			br := &r.Bridges[k]
			s := br.Shunts[i]
			t.Add(b.w.Stated(sh.Resistor, quantity.Resistance), fmt.Sprint(sh.Arm), at, br.Name, b.w.Output(s.Output),
				b.w.Figure(s.Equivalent, br.Measures.Kind())+" "+layout.Component(br.Measures))
		}
	}
	b.Table(t)
}

// milliradians is a small angle.
func milliradians(f predict.Figure) string {
	if !f.OK() {
		return layout.Dash
	}
	return quantity.Format(f.Value*1e3, quantity.Number, quantity.SI, 4) + " mrad"
}
