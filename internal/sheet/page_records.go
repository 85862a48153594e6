package sheet

import (
	"fmt"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/gauge"
	"gridwright/internal/layout"
	"gridwright/internal/material"
	"gridwright/internal/quantity"
)

const blankRow = 6.2 // mm: room to write by hand

// records is the chapter of the lots as given, and of forms for what is found
// while bonding and wiring.
func (b *book) records() {
	b.Chapter("6  Records")
	for i := range b.d.Design.Gauges {
		b.lot(&b.d.Design.Gauges[i])
	}
	b.installation()
	b.Heading("Cautions and assumptions", 16)
	for _, c := range dossier.Cautions {
		b.Paragraph("– "+c, 8, drawing.Regular)
	}
	b.assumptions()
}

// lot is one gauge entry as the design gives it.
func (b *book) lot(g *design.Gauge) {
	w := b.w
	b.Heading("Gauge lot "+g.Name+": "+strings.ReplaceAll(g.Pattern, "-", " ")+numbering(g), 30)
	left, right := layout.KeyTable(), layout.KeyTable()
	left.Add("grid", w.Given(g.GridLength, quantity.Length)+" × "+w.Given(g.GridWidth, quantity.Length))
	backing := w.Given(g.Backing.Length, quantity.Length) + " × " + w.Given(g.Backing.Width, quantity.Length)
	if !g.Backing.Set {
		backing += ", taken from the grids"
	}
	left.Add("backing", backing)
	left.Add("stand-off", orNone(w, g.StandOff, quantity.Length))
	left.Add("factor scatter", orNone(w, g.Scatter, quantity.Ratio))
	left.Add("factor drift", orNone(w, g.Drift, quantity.PerKelvin))
	left.Add("greatest strain", orNone(w, g.MaxStrain, quantity.Strain))
	left.Add("power density", b.allowed(g))
	th := &g.Thermal
	if th.Set {
		for n, c := range th.Coefficients {
			right.Add("thermal output, "+power(n), b.coefficient(th, n, c))
		}
		right.Add("for gauge factor", w.Plain(th.ForFactor.SI, quantity.Number)+unless(th.ForFactor.Set, ", default"))
		if th.ForExpansion.Set {
			right.Add("for expansion", w.Given(th.ForExpansion, quantity.PerKelvin))
		} else {
			right.Add("for expansion", "that of the part, not stated")
		}
		right.Add("grid-to-grid spread", orNone(w, th.Spread, quantity.PerKelvin))
	} else {
		right.Add("thermal output", "not stated, taken as 0")
	}
	right.Add("lot", layout.OrDash(g.Lot))
	b.Beside(left, right)
	t := layout.NewTable(layout.Label("grid"), layout.Number("direction in the pattern"), layout.Text("centre: along, across"), layout.Text("resistance"), layout.Text("gauge factor"), layout.Text("transverse sensitivity"))
	for k := range g.Directions {
		t.Add(fmt.Sprint(k+1), layout.Angle(g.Directions[k]), w.Plain(g.Centres[k][0].SI, quantity.Length)+", "+w.Plain(g.Centres[k][1].SI, quantity.Length),
			w.Given(g.Resistance[k], quantity.Resistance), w.Given(g.GaugeFactor[k], quantity.Number), orNone(w, g.Transverse[k], quantity.Ratio))
	}
	b.Table(t)
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
	alone := layout.Words{Sys: b.w.Sys, Alone: true}
	return alone.Given(c, quantity.Number) + " µε" + perPower(n, given) + " = " + layout.Nonbreaking(alone.Rounded(converted, quantity.Number, 6)+" µε"+perPower(n, other))
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

func orNone(w layout.Words, n design.Number, k quantity.Kind) string {
	if !n.Set {
		return "not stated"
	}
	return w.Given(n, k)
}

// installation is the form to fill in while bonding and wiring.
func (b *book) installation() {
	b.Heading("Bonding and wiring record", 40)
	form := layout.NewTable(layout.Text("step"), layout.Blank("what was done", 78), layout.Blank("date", 20), layout.Blank("by", 20))
	for _, s := range []string{"serial number of the part", "surface: prepared, roughness, cleaned with", "layout: reference and station lines scribed",
		"adhesive, lot, use-by date", "clamping, cure time and temperature", "cover coat, moisture protection", "leads, strain relief"} {
		form.Rows = append(form.Rows, layout.Row{Cells: []string{s}, Least: blankRow})
	}
	b.Table(form)
	d := b.d.Design
	if len(b.d.Result.Grids) > 0 {
		b.Heading("Grids: resistance and insulation", 20)
		t := layout.NewTable(layout.Text("grid"), layout.Text("in bridge, arm"), layout.Text("nominal"), layout.Blank("measured, Ω", 26), layout.Blank("to the part, MΩ", 26), layout.Blank("date, by", 26))
		for i := range b.d.Result.Grids {
			ref := b.d.Result.Model.Grids[i].Ref
			t.Rows = append(t.Rows, layout.Row{Cells: []string{b.d.Result.Grids[i].Name, b.use(i), b.w.Given(d.GridResistance(ref), quantity.Resistance)}, Least: blankRow})
		}
		b.Table(t)
	}
	if len(b.d.Result.Bridges) > 0 {
		b.Heading("Bridges: zero balance without load", 20)
		t := layout.NewTable(layout.Text("bridge"), layout.Text("predicted, with the greatest departure"), layout.Blank("measured, mV/V", 28), layout.Blank("temperature, "+quantity.Temperature.Unit(b.w.Sys), 26), layout.Blank("date, by", 26))
		for i := range b.d.Result.Bridges {
			br := &b.d.Result.Bridges[i]
			t.Rows = append(t.Rows, layout.Row{Cells: []string{br.Name, b.w.Output(br.Balance.Nominal) + " ± " + b.w.Show(br.Balance.Worst, quantity.VoltageRatio)}, Least: blankRow})
		}
		b.Table(t)
		b.Note("The limit holds for the stated resistance tolerances of grids and resistors; bonding strains the grids and may add to it.")
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
	b.Paragraph("– A value without a tolerance is taken as exact. "+b.standing(), 8, drawing.Regular)
	if d.Assume != "" {
		b.Paragraph("– The design asks for assumptions of "+strings.ReplaceAll(d.Assume, "-", " ")+" where it states no tolerance; "+b.assumed(), 8, drawing.Regular)
	}
	b.Paragraph("– Written by gridwright "+dossier.Version+", data tables "+material.Digest()[:12]+", input sha256 "+layout.OrDash(b.d.Digest)+".", 8, drawing.Regular)
}
