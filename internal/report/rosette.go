package report

import (
	"fmt"
	"math"

	"gridwright/internal/model"
	"gridwright/internal/quantity"
	"gridwright/internal/rosette"
)

// Rosette is what readings of rosettes were reduced to.
type Rosette struct {
	Model    *model.Model
	Rosettes []RosetteOne
	Implied  *rosette.Implied
	Missing  string // why no loads are implied
}

// RosetteOne is one placement.
type RosetteOne struct {
	Name      string
	Reading   rosette.Reading
	Reduction *rosette.Reduction
	Standard  *rosette.Standard
	Missing   string // why it was not reduced
}

// Rosettes writes the reduction as text: every figure with its standard uncertainty.
func (t Text) Rosettes(r *Rosette) {
	t.printf("%s\n", r.Model.Design.Title)
	for _, one := range r.Rosettes {
		t.printf("\nPLACEMENT %s\n", one.Name)
		if one.Reduction == nil {
			t.printf("  not reduced: %s\n", one.Missing)
			continue
		}
		red, u := one.Reduction, one.Standard
		tab := table{align: "lrr"}
		tab.row("", "", "standard uncertainty")
		strain := func(name string, x, u float64) {
			tab.row(name, strains(x)+" µε", strains(u)+" µε")
		}
		for k := range red.Corrected {
			tab.row(fmt.Sprintf("grid %d, read", k+1), strains(one.Reading.Strains[k])+" µε", "")
			tab.row(fmt.Sprintf("grid %d, corrected", k+1), strains(red.Corrected[k])+" µε", "")
		}
		strain("along the part, εx", red.X, u.X)
		strain("around it, εφ", red.Phi, u.Phi)
		strain("shear γxφ", red.Gamma, u.Gamma)
		strain("greatest principal strain", red.Max, u.Max)
		strain("least principal strain", red.Min, u.Min)
		strain("greatest shear strain", red.Shear, u.Shear)
		tab.row("its direction from grid 1 toward grid 2", t.angleOf(red.FromGrid), t.angleOf(u.FromGrid))
		tab.row("from the part axis toward +φ", t.angleOf(red.FromAxis), t.angleOf(u.FromAxis))
		stress := func(name string, x, u float64) {
			tab.row(name, t.show(x, quantity.Stress), t.show(u, quantity.Stress))
		}
		stress("greatest principal stress", red.Stress.Max, u.Stress.Max)
		stress("least principal stress", red.Stress.Min, u.Stress.Min)
		stress("greatest shear stress in the plane", red.Stress.Shear, u.Stress.Shear)
		stress("von Mises stress", red.Stress.VonMises, u.Stress.VonMises)
		tab.writeTo(t.W, "  ")
		for _, s := range []string{red.FromGrid.Missing, u.Undetermined, red.Assumed} {
			if s != "" {
				t.printf("  note: %s\n", s)
			}
		}
	}
	t.printf("\nLOADS that the readings imply, least squares over all grids\n")
	if r.Implied == nil {
		t.printf("  none: %s\n", r.Missing)
		return
	}
	im := r.Implied
	tab := table{align: "lrr"}
	tab.row("load", "", "standard uncertainty")
	for j, c := range im.Components {
		tab.row(c.String(), t.show(im.Load[j], c.Kind()), t.show(im.Standard[j], c.Kind()))
	}
	tab.writeTo(t.W, "  ")
	t.printf("  %s\n", im.Basis)
	if im.Freedom > 0 {
		t.printf("  residuals: standard deviation %s µε with %d to spare\n", strains(im.Residual), im.Freedom)
	}
	for _, n := range im.Notes {
		t.printf("  note: %s\n", n)
	}
}

func strains(x float64) string { return fmt.Sprintf("%.2f", clean(x*1e6)) }

func (t Text) angleOf(a rosette.Angle) string {
	if a.Missing != "" {
		return "—"
	}
	return t.show(a.Value, quantity.Angle)
}

type rosetteJSON struct {
	Format   int                `json:"gridwright"`
	Title    string             `json:"title"`
	Rosettes []rosetteOneJSON   `json:"rosettes"`
	Loads    map[string]float64 `json:"loads"`
	Standard map[string]float64 `json:"loads_standard_uncertainty"`
	Residual *float64           `json:"residual_ue"`
	Freedom  int                `json:"degrees_of_freedom"`
	Why      string             `json:"why,omitempty"`
	Notes    []string           `json:"notes"`
}

type rosetteOneJSON struct {
	Placement string              `json:"placement"`
	Read      []float64           `json:"read_ue"`
	Corrected []float64           `json:"corrected_ue"`
	Figures   map[string]*float64 `json:"figures"`
	Standard  map[string]*float64 `json:"standard_uncertainty"`
	Why       string              `json:"why,omitempty"`
	Assumed   string              `json:"assumed,omitempty"`
}

// Published is the JSON shape: strains µε, stresses MPa, angles degrees, loads in
// N, N·m and Pa.
func (r *Rosette) Published(title string) any {
	out := rosetteJSON{Format: 1, Title: title, Rosettes: []rosetteOneJSON{}, Notes: []string{}, Why: r.Missing}
	for _, one := range r.Rosettes {
		j := rosetteOneJSON{Placement: one.Name, Read: micro(one.Reading.Strains), Corrected: []float64{}, Why: one.Missing}
		if red, u := one.Reduction, one.Standard; red != nil {
			j.Corrected, j.Assumed = micro(red.Corrected), red.Assumed
			j.Figures = figuresOf(red.Strain, red.Max, red.Min, red.Shear, red.FromGrid, red.FromAxis, red.Stress)
			j.Standard = figuresOf(u.Strain, u.Max, u.Min, u.Shear, u.FromGrid, u.FromAxis, u.Stress)
		}
		out.Rosettes = append(out.Rosettes, j)
	}
	if im := r.Implied; im != nil {
		out.Loads, out.Standard = map[string]float64{}, map[string]float64{}
		for i, c := range im.Components {
			out.Loads[c.String()], out.Standard[c.String()] = im.Load[i], im.Standard[i]
		}
		out.Freedom, out.Residual = im.Freedom, finiteTimes(im.Residual, 1e6)
		out.Notes = append(out.Notes, im.Basis)
		out.Notes = append(out.Notes, im.Notes...)
	}
	return out
}

func figuresOf(s rosette.Strain, high, low, shear float64, fromGrid, fromAxis rosette.Angle, stress rosette.Stress) map[string]*float64 {
	degrees := func(a rosette.Angle) *float64 {
		if a.Missing != "" {
			return nil
		}
		return finiteTimes(a.Value, 180/math.Pi)
	}
	return map[string]*float64{
		"axial_ue": finiteTimes(s.X, 1e6), "around_ue": finiteTimes(s.Phi, 1e6), "shear_ue": finiteTimes(s.Gamma, 1e6),
		"max_ue": finiteTimes(high, 1e6), "min_ue": finiteTimes(low, 1e6), "max_shear_ue": finiteTimes(shear, 1e6),
		"angle_from_grid_deg": degrees(fromGrid), "angle_from_axis_deg": degrees(fromAxis),
		"max_mpa": finiteTimes(stress.Max, 1e-6), "min_mpa": finiteTimes(stress.Min, 1e-6), "max_shear_mpa": finiteTimes(stress.Shear, 1e-6),
		"von_mises_mpa": finiteTimes(stress.VonMises, 1e-6),
	}
}

func finiteTimes(x, scale float64) *float64 {
	x *= scale
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

func micro(x []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = x[i] * 1e6
	}
	return out
}
