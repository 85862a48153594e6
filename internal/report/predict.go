package report

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"gridwright/internal/dossier"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// across is how many bridges stand side by side at the most.
const across = 4

// widest is the length of the longest line.
func widest(text string) int {
	most := 0
	for _, line := range strings.Split(text, "\n") {
		most = max(most, utf8.RuneCountInString(line))
	}
	return most
}

// Predict writes the whole prediction.
func (t Text) Predict(d *dossier.Dossier) {
	r := d.Result
	t.Part(d.Design, r.Section)
	t.loads(d)
	t.grids(r)
	for i := 0; i < len(r.Bridges); {
		n := min(across, len(r.Bridges)-i)
		var b bytes.Buffer
		for ; ; n-- {
			b.Reset()
			narrow := t
			narrow.W = &b
			narrow.bridges(d, r.Bridges[i:i+n])
			if n == 1 || widest(b.String()) <= Columns {
				break
			}
		}
		t.printf("%s", b.String())
		i += n
	}
	t.matrix(d, r)
	t.strength(r)
	t.uncertainty(d)
	if len(d.Findings) > 0 {
		t.printf("\nFINDINGS\n")
		t.Findings(d.Findings)
	}
	t.Trace(d.Digest)
}

func (t Text) loads(d *dossier.Dossier) {
	t.printf("\nLOADS at station 0\n")
	tab := table{align: "lrl"}
	for _, l := range d.Design.Loads {
		use := "reject"
		if l.Measure {
			use = "measure"
		}
		tab.row(l.Component.String(), t.show(l.Rated.SI, l.Component.Kind()), use)
	}
	tab.writeTo(t.W, "  ")
}

func (t Text) grids(r *predict.Result) {
	t.printf("\nGRIDS, strain along each at rated loads, µε\n")
	components := r.Model.Components
	tab := table{align: "lrrrr"}
	head := []string{"grid", "station", "around", "direction"}
	for _, c := range components {
		head = append(head, c.String())
	}
	tab.row(append(head, "sum of |ε|")...)
	for _, g := range r.Grids {
		cells := []string{g.Name, t.show(g.Station, quantity.Length), t.show(g.Around, quantity.Angle), t.show(g.Direction, quantity.Angle)}
		for j := range components {
			cells = append(cells, fmt.Sprintf("%.1f", clean(g.Along[j]*1e6)))
		}
		tab.row(append(cells, fmt.Sprintf("%.1f", g.TotalAlong*1e6))...)
	}
	tab.writeTo(t.W, "  ")
}

// clean drops the sign of what rounds to zero.
func clean(v float64) float64 {
	if v > -0.05 && v < 0.05 {
		return 0
	}
	return v
}

func (t Text) bridges(d *dossier.Dossier, list []predict.Bridge) {
	t.printf("\nBRIDGES\n")
	tab := table{align: "l"}
	line := func(label string, cell func(b *predict.Bridge) string) {
		cells := []string{label}
		for i := range list {
			cells = append(cells, cell(&list[i]))
		}
		tab.row(cells...)
	}
	components := d.Result.Model.Components
	line("", func(b *predict.Bridge) string { return b.Name })
	line("measures", func(b *predict.Bridge) string { return b.Measures.String() })
	for k := range 4 {
		line(fmt.Sprintf("arm %d", k+1), func(b *predict.Bridge) string { return t.arm(d, b.Name, k) })
	}
	line("excitation", func(b *predict.Bridge) string {
		for _, db := range d.Design.Bridges {
			if db.Name == b.Name && db.Excitation.Set {
				return t.show(db.Excitation.SI, quantity.Voltage)
			}
		}
		return "—"
	})
	line("rated output", func(b *predict.Bridge) string { return t.output(b.Rated) })
	for j, c := range components {
		line("sensitivity to "+c.String(), func(b *predict.Bridge) string {
			rated := d.Result.Model.Rated[j]
			if v := b.Sensitivity[j] * rated; rated != 0 && v < 1e-12 && v > -1e-12 {
				return "0"
			}
			return t.sensitivity(b.Sensitivity[j], c)
		})
	}
	for j, c := range components {
		line("crosstalk of "+c.String(), func(b *predict.Bridge) string { return t.percent(b.Crosstalk[j]) })
	}
	line("nonlinearity", func(b *predict.Bridge) string { return t.percent(b.Nonlinearity) })
	line("zero balance, nominal", func(b *predict.Bridge) string { return t.output(b.Balance.Nominal) })
	line("  rss, worst of tolerances", func(b *predict.Bridge) string {
		return t.output(b.Balance.RSS) + ", " + t.output(b.Balance.Worst)
	})
	line("zero drift", func(b *predict.Bridge) string { return t.per10K(b.Temperature.ZeroDrift) })
	line("zero from gradient", func(b *predict.Bridge) string { return t.percent(b.Temperature.ZeroGradient) })
	line("span drift", func(b *predict.Bridge) string { return t.per10K(b.Temperature.SpanDrift) })
	for i, s := range d.Design.Shunts {
		line(fmt.Sprintf("shunt %s, arm %d", t.show(s.Resistor.SI, quantity.Resistance), s.Arm), func(b *predict.Bridge) string {
			return t.output(b.Shunts[i].Output) + " = " + t.figure(b.Shunts[i].Equivalent, b.Measures.Kind())
		})
	}
	line("power per grid", func(b *predict.Bridge) string {
		if !b.Signal.Power.OK() {
			return "—"
		}
		return t.figure(b.Signal.Power, quantity.Power) + ", " + t.figure(b.Signal.PowerDensity, quantity.PowerDensity)
	})
	line("excitation limit, usual supply", func(b *predict.Bridge) string {
		if !b.Signal.Limit.OK() {
			return "—"
		}
		return t.figure(b.Signal.Limit, quantity.Voltage) + ", " + t.figure(b.Signal.Recommended, quantity.Voltage)
	})
	line("common mode above −E", func(b *predict.Bridge) string { return t.figure(b.Signal.CommonMode, quantity.Voltage) })
	line("load per step of resolution", func(b *predict.Bridge) string { return t.figure(b.Signal.Resolved, b.Measures.Kind()) })
	line("smallest step", func(b *predict.Bridge) string { return t.figure(b.Signal.Smallest, b.Measures.Kind()) })
	tab.writeTo(t.W, "  ")
}

// arm names the grids or the resistor of an arm.
func (t Text) arm(d *dossier.Dossier, bridge string, k int) string {
	for _, b := range d.Design.Bridges {
		if b.Name != bridge {
			continue
		}
		a := b.Arms[k]
		if a.Fixed() {
			return t.show(a.Resistor.SI, quantity.Resistance)
		}
		s := ""
		for i, g := range a.Grids {
			if i > 0 {
				s += "+"
			}
			s += d.Design.GridName(g)
		}
		return s
	}
	return "—"
}

func (t Text) matrix(d *dossier.Dossier, r *predict.Result) {
	m := r.Matrix
	if m.Inverse == nil {
		return
	}
	t.printf("\nMATRIX, load per mV/V")
	if m.Condition.OK() {
		t.printf(" (condition %.3g)", m.Condition.Value)
	}
	t.printf("\n")
	tab := table{align: "lr"}
	head := []string{""}
	for _, b := range r.Bridges {
		head = append(head, b.Name)
	}
	tab.row(head...)
	for k, c := range m.Measured {
		cells := []string{c.String()}
		scale := 0.0
		for _, v := range m.Inverse[k] {
			scale = max(scale, v, -v)
		}
		for _, v := range m.Inverse[k] {
			if v < 1e-9*scale && v > -1e-9*scale {
				v = 0
			}
			cells = append(cells, t.show(v*1e-3, c.Kind()))
		}
		tab.row(cells...)
	}
	tab.writeTo(t.W, "  ")
}

func (t Text) strength(r *predict.Result) {
	t.printf("\nPART\n")
	tab := table{align: "l"}
	s := r.Strength
	where := " at station " + t.show(s.Station, quantity.Length)
	if r.Section.JError > 0 {
		where += ", around " + t.show(s.Around, quantity.Angle)
	}
	tab.row("von Mises stress, all rated loads", t.show(s.VonMises, quantity.Stress)+where)
	if s.Left > 0 {
		tab.row("  beside sharp re-entrant corners", "not counted within "+t.show(s.Left, quantity.Length))
	}
	tab.row("yield over that", t.figure(s.YieldFactor, quantity.Number))
	tab.row("yield over that at overload", t.figure(s.OverloadYield, quantity.Number))
	tab.row("endurance over that, reversed", t.figure(s.Reversed, quantity.Number))
	tab.row("endurance, pulsating, Goodman", t.figure(s.Pulsating, quantity.Number))
	tab.row("torsional stiffness GJ/l", t.figure(r.Stiffness.Torsional, quantity.TorsionalStiffness))
	tab.row("axial stiffness EA/l", t.figure(r.Stiffness.Axial, quantity.AxialStiffness))
	tab.row("bending stiffness EI", t.figure(r.Stiffness.Bending, quantity.BendingStiffness))
	if r.Stiffness.Stronger.OK() {
		tab.row("  about the other principal axis", t.figure(r.Stiffness.Stronger, quantity.BendingStiffness)+", at "+t.show(round0(r.Stiffness.Axis, 1e3), quantity.Angle)+" from y")
	}
	tab.row("torsional natural frequency", t.figure(r.Stiffness.Frequency, quantity.Frequency))
	tab.row("twist at rated torque", milliradians(r.Stiffness.Twist))
	tab.row("elongation at rated axial force", t.figure(r.Stiffness.Elongation, quantity.Length))
	tab.row("bend at rated moment", milliradians(r.Stiffness.Bend))
	tab.writeTo(t.W, "  ")
}

// milliradians prints a small angle.
func milliradians(f predict.Figure) string {
	if !f.OK() {
		return "—"
	}
	return quantity.Format(f.Value*1e3, quantity.Number, quantity.SI, 4) + " mrad"
}
