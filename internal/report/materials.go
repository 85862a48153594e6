package report

import (
	"fmt"

	"gridwright/internal/material"
	"gridwright/internal/quantity"
)

// Materials writes the built-in table, then the source of every figure.
func (t Text) Materials(list []material.Material, sources bool) {
	tab := table{align: "lr"}
	stress := quantity.Stress.Unit(t.Sys)
	modulus := "GPa"
	if t.Sys == quantity.US {
		modulus = "Msi"
	}
	tab.row("name", "E", "ν", "G", "density", "expansion", "yield", "ultimate", "endurance", "E drift", "G drift")
	tab.row("", modulus, "", modulus, quantity.Density.Unit(t.Sys), quantity.PerKelvin.Unit(t.Sys), stress, stress, stress, "ppm/K", "ppm/K")
	for _, m := range list {
		tab.row(m.ID, t.in(m.E, quantity.Stress, modulus), t.bare(m.Poisson, quantity.Number), t.in(m.G, quantity.Stress, modulus), t.bare(m.Density, quantity.Density),
			t.bare(m.Expansion, quantity.PerKelvin), t.bare(m.Yield, quantity.Stress), t.bare(m.Ultimate, quantity.Stress), t.bare(m.Endurance, quantity.Stress),
			drift(m.YoungsDrift), drift(m.ShearDrift))
	}
	tab.writeTo(t.W, "")
	if !sources {
		t.printf("\n")
		t.say("", "A design takes G from E and ν unless it states one. Values hold near 20 °C for unknown heat and section; replace them by measured ones where they decide. `--sources` prints the source of every figure.")
		return
	}
	for _, m := range list {
		t.printf("\n%s: %s, confidence %s\n", m.ID, m.Name, m.Confidence)
		if m.Note != "" {
			t.say("  note: ", m.Note)
		}
		for _, f := range properties(m) {
			if !f.fig.Set {
				continue
			}
			value := t.show(f.fig.Value, f.kind)
			if f.fig.Tolerance > 0 {
				value += " ± " + t.digits(f.fig.Tolerance, f.kind, 2) + " (k=2)"
			}
			t.say(fmt.Sprintf("  %s %s: ", f.key, value), f.fig.Source)
		}
	}
}

func (t Text) bare(f material.Figure, k quantity.Kind) string {
	return t.in(f, k, k.Unit(t.Sys))
}

// in prints a figure in a unit without naming it.
func (t Text) in(f material.Figure, k quantity.Kind, unit string) string {
	if !f.Set {
		return "—"
	}
	x, err := quantity.Convert(f.Value, k, unit)
	if err != nil {
		return "—"
	}
	return quantity.Format(x, quantity.Number, t.Sys, 4)
}

func drift(f material.Figure) string {
	if !f.Set {
		return "—"
	}
	return fmt.Sprintf("%.0f", f.Value*1e6)
}

// MaterialEntry is the published shape of one built-in material; SI units.
type MaterialEntry struct {
	ID         string                    `json:"id"`
	Name       string                    `json:"name"`
	Confidence string                    `json:"confidence"`
	Note       string                    `json:"note,omitempty"`
	Figures    map[string]MaterialFigure `json:"figures"`
}

// MaterialFigure is one property with its source.
type MaterialFigure struct {
	Value     float64  `json:"value"`
	Unit      string   `json:"unit"`
	Tolerance *float64 `json:"tolerance_k2"`
	Source    string   `json:"source"`
}

// MaterialsOf puts the table into its published shape.
func MaterialsOf(list []material.Material) []MaterialEntry {
	var out []MaterialEntry
	for _, m := range list {
		e := MaterialEntry{ID: m.ID, Name: m.Name, Confidence: m.Confidence, Note: m.Note, Figures: map[string]MaterialFigure{}}
		for _, p := range properties(m) {
			if !p.fig.Set {
				continue
			}
			f := MaterialFigure{Value: p.fig.Value, Unit: p.kind.SIUnit(), Source: p.fig.Source}
			if p.fig.Tolerance > 0 {
				f.Tolerance = &p.fig.Tolerance
			}
			e.Figures[p.key] = f
		}
		out = append(out, e)
	}
	return out
}

// property is one figure of a material under the design file's key for it.
type property struct {
	key  string
	kind quantity.Kind
	fig  material.Figure
}

func properties(m material.Material) []property {
	return []property{
		{"youngs-modulus", quantity.Stress, m.E}, {"poisson-ratio", quantity.Number, m.Poisson}, {"shear-modulus", quantity.Stress, m.G},
		{"density", quantity.Density, m.Density}, {"expansion", quantity.PerKelvin, m.Expansion}, {"yield", quantity.Stress, m.Yield},
		{"ultimate", quantity.Stress, m.Ultimate}, {"endurance", quantity.Stress, m.Endurance},
		{"youngs-drift", quantity.PerKelvin, m.YoungsDrift}, {"shear-drift", quantity.PerKelvin, m.ShearDrift},
	}
}
