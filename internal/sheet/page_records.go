package sheet

import (
	"fmt"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/gauge"
	"gridwright/internal/quantity"
)

const blankRow = 6.2 // mm: room to write by hand

// records is the chapter of the lots as given, and of forms for what is found
// while bonding and wiring.
func (b *book) records() {
	b.chapter("6  Records")
	for i := range b.d.Design.Gauges {
		b.lot(&b.d.Design.Gauges[i])
	}
	b.installation()
	b.heading("Cautions and assumptions", 16)
	for _, c := range dossier.Cautions {
		b.paragraph("– "+c, 8, drawing.Regular)
	}
	b.assumptions()
}

// lot is one gauge entry as the design gives it.
func (b *book) lot(g *design.Gauge) {
	w := b.w
	b.heading("Gauge lot "+g.Name+": "+strings.ReplaceAll(g.Pattern, "-", " ")+numbering(g), 30)
	left, right := keyTable(), keyTable()
	left.add("grid", w.given(g.GridLength, quantity.Length)+" × "+w.given(g.GridWidth, quantity.Length))
	backing := w.given(g.Backing.Length, quantity.Length) + " × " + w.given(g.Backing.Width, quantity.Length)
	if !g.Backing.Set {
		backing += ", taken from the grids"
	}
	left.add("backing", backing)
	left.add("stand-off", orNone(w, g.StandOff, quantity.Length))
	left.add("factor scatter", orNone(w, g.Scatter, quantity.Ratio))
	left.add("factor drift", orNone(w, g.Drift, quantity.PerKelvin))
	left.add("greatest strain", orNone(w, g.MaxStrain, quantity.Strain))
	left.add("power density", b.allowed(g))
	th := &g.Thermal
	if th.Set {
		for n, c := range th.Coefficients {
			right.add("thermal output, "+power(n), b.coefficient(th, n, c))
		}
		right.add("for gauge factor", w.plain(th.ForFactor.SI, quantity.Number)+unless(th.ForFactor.Set, ", default"))
		if th.ForExpansion.Set {
			right.add("for expansion", w.given(th.ForExpansion, quantity.PerKelvin))
		} else {
			right.add("for expansion", "that of the part, not stated")
		}
		right.add("grid-to-grid spread", orNone(w, th.Spread, quantity.PerKelvin))
	} else {
		right.add("thermal output", "not stated, taken as 0")
	}
	right.add("lot", orDash(g.Lot))
	b.beside(left, right)
	t := newTable(label("grid"), number("direction in the pattern"), text("centre: along, across"), text("resistance"), text("gauge factor"), text("transverse sensitivity"))
	for k := range g.Directions {
		t.add(fmt.Sprint(k+1), angle(g.Directions[k]), w.plain(g.Centres[k][0].SI, quantity.Length)+", "+w.plain(g.Centres[k][1].SI, quantity.Length),
			w.given(g.Resistance[k], quantity.Resistance), w.given(g.GaugeFactor[k], quantity.Number), orNone(w, g.Transverse[k], quantity.Ratio))
	}
	b.table(t)
}

// coefficient n of the thermal output as given and, converted, for the other
// scale of temperature.
func (b *book) coefficient(th *design.ThermalOutput, n int, c design.Number) string {
	given, other := "°C", "°F"
	if th.Fahrenheit {
		given, other = other, given
	}
	var coefficients []float64
	for _, c := range th.Coefficients {
		coefficients = append(coefficients, c.SI)
	}
	converted := gauge.OtherScale(coefficients, th.Fahrenheit)[n]
	alone := words{b.w.sys, true}
	return alone.given(c, quantity.Number) + " µε" + perPower(n, given) + " = " + nonbreaking(alone.rounded(converted, quantity.Number, 6)+" µε"+perPower(n, other))
}

func numbering(g *design.Gauge) string {
	if g.CounterClockwise {
		return ", numbered counterclockwise"
	}
	return ""
}

func power(n int) string {
	if n == 0 {
		return "constant"
	}
	return "T" + superscript(n)
}

func perPower(n int, unit string) string {
	if n == 0 {
		return ""
	}
	return "/" + unit + superscript(n)
}

// superscript of a power from 1 to 4.
func superscript(n int) string { return []string{"", "", "²", "³", "⁴"}[n] }

func unless(set bool, s string) string {
	if set {
		return ""
	}
	return s
}

func orNone(w words, n design.Number, k quantity.Kind) string {
	if !n.Set {
		return "not stated"
	}
	return w.given(n, k)
}

// installation is the form to fill in while bonding and wiring.
func (b *book) installation() {
	b.heading("Bonding and wiring record", 40)
	form := newTable(text("step"), blank("what was done", 78), blank("date", 20), blank("by", 20))
	for _, s := range []string{"serial number of the part", "surface: prepared, roughness, cleaned with", "layout: reference and station lines scribed",
		"adhesive, lot, use-by date", "clamping, cure time and temperature", "cover coat, moisture protection", "leads, strain relief"} {
		form.rows = append(form.rows, row{cells: []string{s}, least: blankRow})
	}
	b.table(form)
	d := b.d.Design
	if len(b.d.Result.Grids) > 0 {
		b.heading("Grids: resistance and insulation", 20)
		t := newTable(text("grid"), text("in bridge, arm"), text("nominal"), blank("measured, Ω", 26), blank("to the part, MΩ", 26), blank("date, by", 26))
		for i := range b.d.Result.Grids {
			ref := b.d.Result.Model.Grids[i].Ref
			t.rows = append(t.rows, row{cells: []string{b.d.Result.Grids[i].Name, b.use(i), b.w.given(d.GridResistance(ref), quantity.Resistance)}, least: blankRow})
		}
		b.table(t)
	}
	if len(b.d.Result.Bridges) > 0 {
		b.heading("Bridges: zero balance without load", 20)
		t := newTable(text("bridge"), text("predicted, with the greatest departure"), blank("measured, mV/V", 28), blank("temperature, "+quantity.Temperature.Unit(b.w.sys), 26), blank("date, by", 26))
		for i := range b.d.Result.Bridges {
			br := &b.d.Result.Bridges[i]
			t.rows = append(t.rows, row{cells: []string{br.Name, b.w.output(br.Balance.Nominal) + " ± " + b.w.show(br.Balance.Worst, quantity.VoltageRatio)}, least: blankRow})
		}
		b.table(t)
		b.note("The limit holds for the stated resistance tolerances of grids and resistors; bonding strains the grids and may add to it.")
	}
}

// use says where a grid is wired.
func (b *book) use(grid int) string {
	var places []string
	for _, br := range b.d.Result.Model.Bridges {
		for k := range br.Arms {
			for _, g := range br.Arms[k].Grids {
				if g == grid {
					places = append(places, fmt.Sprintf("%s, %d", br.Name, k+1))
				}
			}
		}
	}
	if len(places) == 0 {
		return "spare"
	}
	return strings.Join(places, "; ")
}

func (b *book) assumptions() {
	d := b.d.Design
	b.paragraph("– A value without a tolerance is taken as exact. "+b.standing(), 8, drawing.Regular)
	if d.Assume != "" {
		b.paragraph("– The design asks for assumptions of "+strings.ReplaceAll(d.Assume, "-", " ")+" where it states no tolerance; "+b.assumed(), 8, drawing.Regular)
	}
	b.paragraph("– Written by gridwright "+dossier.Version+", input sha256 "+orDash(b.d.Digest)+".", 8, drawing.Regular)
}
