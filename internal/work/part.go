package work

import (
	"fmt"
	"math"

	"gridwright/internal/section"
)

// strength shows the equivalent stress from the stresses where it is greatest.
func (w *writer) strength() {
	w.chapter("Strength")
	r := w.d.Result
	var u section.Unit
	r.State.Section.Surface(r.Strength.At, r.Strength.Station, &u)
	// The signs of the loads that make it greatest, of all combinations.
	var worst section.Stress
	best := -1.0
	for signs := range 1 << len(r.Model.Components) {
		var t section.Stress
		for j, c := range r.Model.Components {
			f := r.Model.Rated[j]
			if signs>>j&1 == 1 && unitName(c) != "Pa" {
				f = -f
			}
			t.Axial += f * u[c].Axial
			t.Hoop += f * u[c].Hoop
			t.Shear += f * u[c].Shear
		}
		if v := math.Sqrt(t.Axial*t.Axial - t.Axial*t.Hoop + t.Hoop*t.Hoop + 3*t.Shear*t.Shear); v > best {
			worst, best = t, v
		}
	}
	w.show(Step{What: fmt.Sprintf("von Mises stress on the surface, all rated loads with the worst signs, where it is greatest: station %.6g m, φ = %.6g rad", r.Strength.Station, r.Strength.Around), Symbol: "σv",
		Formula: "√(σ^2 − σ·θ + θ^2 + 3·τ^2)", Source: "von Mises, plane stress", Result: r.Strength.VonMises, Unit: "Pa",
		With: []Number{{"σ", worst.Axial, "Pa"}, {"θ", worst.Hoop, "Pa"}, {"τ", worst.Shear, "Pa"}}}, 0)
	stress := Number{"σv", r.Strength.VonMises, "Pa"}
	m := &w.d.Design.Part.Material
	if r.Strength.YieldFactor.OK() {
		w.show(Step{What: "yield over that", Symbol: "n", Formula: "Re/σv", Source: definedBy, With: []Number{{"Re", m.Yield.SI, "Pa"}, stress}, Result: r.Strength.YieldFactor.Value}, 0)
		w.show(Step{What: "yield over that at overload", Symbol: "no", Formula: "Re/(σv·f)", Source: definedBy, With: []Number{{"Re", m.Yield.SI, "Pa"}, stress, {"f", w.d.Design.Overload.SI, ""}}, Result: r.Strength.OverloadYield.Value}, 0)
	}
	if r.Strength.Reversed.OK() {
		w.show(Step{What: "endurance over that, fully reversed", Symbol: "ne", Formula: "Se/σv", Source: definedBy, With: []Number{{"Se", m.Endurance.SI, "Pa"}, stress}, Result: r.Strength.Reversed.Value}, 0)
	}
	if r.Strength.Pulsating.OK() {
		w.show(Step{What: "endurance, pulsating", Symbol: "np", Formula: "1/(σv/2/Se + σv/2/Su)", Source: "Goodman's line (from memory)",
			With: []Number{{"Se", m.Endurance.SI, "Pa"}, {"Su", m.Ultimate.SI, "Pa"}, stress}, Result: r.Strength.Pulsating.Value}, 0)
	}
}

func (w *writer) stiffness() {
	span := w.d.Design.Part.StraightLength
	r := w.d.Result
	if !span.Set {
		return
	}
	w.chapter("Stiffness")
	l := Number{"l", span.To.SI - span.From.SI, "m"}
	w.show(Step{What: "torsional stiffness", Symbol: "kt", Formula: "G·J/l", Source: handbook, With: []Number{{"G", r.State.Rigidity(), "Pa"}, {"J", r.Section.J, "m⁴"}, l}, Result: r.Stiffness.Torsional.Value, Unit: "N·m/rad"}, 0)
	w.show(Step{What: "axial stiffness", Symbol: "ka", Formula: "E·A/l", Source: handbook, With: []Number{{"E", r.State.Young(), "Pa"}, {"A", r.Section.Area, "m²"}, l}, Result: r.Stiffness.Axial.Value, Unit: "N/m"}, 0)
	w.show(Step{What: "bending stiffness about the weaker principal axis", Symbol: "EI", Formula: "E·((Iy + Iz)/2 − √(((Iy − Iz)/2)^2 + Iyz^2))", Source: handbook,
		With: []Number{{"E", r.State.Young(), "Pa"}, {"Iy", r.Section.Iy, "m⁴"}, {"Iz", r.Section.Iz, "m⁴"}, {"Iyz", r.Section.Iyz, "m⁴"}}, Result: r.Stiffness.Bending.Value, Unit: "N·m²"}, 0)
	if r.Stiffness.Frequency.OK() {
		j := w.d.Design.Part.EndInertias
		w.show(Step{What: "torsional natural frequency", Symbol: "f", Formula: "√(kt·(1/J1 + 1/J2))/(2·π)", Source: "two inertias on a massless spring",
			With: []Number{{"kt", r.Stiffness.Torsional.Value, "N·m/rad"}, {"J1", j[0].SI, "kg·m²"}, {"J2", j[1].SI, "kg·m²"}}, Result: r.Stiffness.Frequency.Value, Unit: "Hz"}, 0)
	}
}

// signal shows heating and noise of a bridge.
func (w *writer) signal(b int, current [4]float64, output float64) {
	r, d := w.d.Result, w.d.Design
	br := &r.Bridges[b]
	e := d.Bridges[b].Excitation
	if s := br.Signal; s.Power.OK() {
		i := s.Hottest
		gs := &r.State.Grids[i]
		for k := range r.Model.Bridges[b].Arms {
			for _, g := range r.Model.Bridges[b].Arms[k].Grids {
				if g != i {
					continue
				}
				w.show(Step{What: "power density of grid " + r.Grids[i].Name, Symbol: "p", Formula: "(I·E)^2·R/(L·W)", Source: "Joule heating; I: current for one volt of excitation",
					With:   []Number{{"I", current[k], "A/V"}, {"E", e.SI, "V"}, {"R", gs.Resistance, "Ω"}, {"L", gs.Length, "m"}, {"W", gs.Width, "m"}},
					Result: s.PowerDensity.Value, Unit: "W/m²"}, 0)
			}
		}
	}
	if s := br.Signal; s.Johnson.OK() {
		w.show(Step{What: "Johnson noise, rms", Symbol: "Uj", Formula: "√(4·1.380649e-23·T·Ro·B)", Source: "Nyquist; Boltzmann constant exact",
			With: []Number{{"T", d.Temperature.Reference.SI, "K"}, {"Ro", output, "Ω"}, {"B", d.Instrument.Bandwidth.SI, "Hz"}}, Result: s.Johnson.Value, Unit: "V"}, 0)
		if s.Smallest.OK() {
			w.show(Step{What: "smallest load step above the noise", Symbol: "Fmin", Formula: "√(Uj^2 + Ui^2)/abs(S·E)", Source: definedBy,
				With:   []Number{{"Uj", s.Johnson.Value, "V"}, {"Ui", d.Instrument.Noise.SI, "V"}, {"S", br.Sensitivity[br.Target], "V/V per " + unitName(br.Measures)}, {"E", e.SI, "V"}},
				Result: s.Smallest.Value, Unit: unitName(br.Measures)}, 0)
		}
	}
}
