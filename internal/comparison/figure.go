package comparison

import (
	"math"

	"gridwright/internal/design"
	"gridwright/internal/dossier"
	"gridwright/internal/quantity"
)

// Figure is one figure of a result, in the unit that results publish it in.
type Figure struct {
	Key      string
	Unit     string
	Kind     quantity.Kind
	Per      quantity.Kind // it is for each SI unit of this, 0: it is not
	Old      *float64      // nil where the result has none
	Expanded *float64      // its expanded uncertainty, k = 2, in Unit; nil: not known
	Floor    float64       // below this it is rounding
}

// Figures of a result, bridge by bridge and then those of the part.
func Figures(r *dossier.Result) []Figure {
	var out []Figure
	for i := range r.Bridges {
		out = append(out, bridgeFigures(r, &r.Bridges[i])...)
	}
	for _, s := range r.Signal {
		k := s.Bridge + "."
		out = append(out,
			Figure{Key: k + "johnson-noise", Unit: "µV", Kind: quantity.Voltage, Old: s.Johnson},
			Figure{Key: k + "smallest-step", Unit: loadOf(r, s.Bridge).Kind().SIUnit(), Kind: loadOf(r, s.Bridge).Kind(), Old: s.Smallest},
			Figure{Key: k + "power", Unit: "mW", Kind: quantity.Power, Old: s.Power},
			Figure{Key: k + "excitation-limit", Unit: "V", Kind: quantity.Voltage, Old: s.Limit})
	}
	plain := func(key string, v *float64) Figure { return Figure{Key: key, Kind: quantity.Number, Old: v} }
	st, sf := r.Strength, r.Stiffness
	out = append(out,
		Figure{Key: "von-mises-stress", Unit: "MPa", Kind: quantity.Stress, Old: st.VonMises},
		plain("yield-factor", st.YieldFactor), plain("overload-yield-factor", st.OverloadYield), plain("endurance-factor", st.Reversed),
		Figure{Key: "strain", Unit: "µε", Kind: quantity.Strain, Old: greatestStrain(r)},
		Figure{Key: "torsional-stiffness", Unit: "N·m/rad", Kind: quantity.TorsionalStiffness, Old: sf.Torsional},
		Figure{Key: "axial-stiffness", Unit: "N/mm", Kind: quantity.AxialStiffness, Old: sf.Axial},
		Figure{Key: "bending-stiffness", Unit: "N·m²", Kind: quantity.BendingStiffness, Old: sf.Bending},
		Figure{Key: "natural-frequency", Unit: "Hz", Kind: quantity.Frequency, Old: sf.Frequency},
		Figure{Key: "section.area", Unit: "mm²", Kind: quantity.Area, Old: &r.Section.Area},
		Figure{Key: "section.iy", Unit: "mm⁴", Kind: quantity.SecondMoment, Old: &r.Section.Iy},
		Figure{Key: "section.iz", Unit: "mm⁴", Kind: quantity.SecondMoment, Old: &r.Section.Iz},
		Figure{Key: "section.j", Unit: "mm⁴", Kind: quantity.SecondMoment, Old: &r.Section.J})
	condition := plain("condition", r.Matrix.Condition)
	condition.Floor = rounding
	return append(out, condition)
}

func loadOf(r *dossier.Result, bridge string) design.Component {
	for i := range r.Bridges {
		if r.Bridges[i].Name == bridge {
			c, _ := design.ParseComponent(r.Bridges[i].Measures)
			return c
		}
	}
	return 0
}

func bridgeFigures(r *dossier.Result, b *dossier.Bridge) []Figure {
	measures, _ := design.ParseComponent(b.Measures)
	// what circuits and sums of rounded numbers leave behind
	const percentFloor, outputFloor = 1e-7, 1e-10
	percent := func(key string, v *float64) Figure {
		return Figure{Key: key, Unit: "%", Kind: quantity.Ratio, Old: v, Floor: percentFloor}
	}
	drift := func(key string, v *float64) Figure {
		return Figure{Key: key, Unit: "%/10K", Kind: quantity.PerKelvin, Old: v, Floor: percentFloor}
	}
	own := b.Sensitivity[b.Measures]
	out := []Figure{
		{Key: "rated-output", Unit: "mV/V", Kind: quantity.VoltageRatio, Old: b.Rated, Expanded: expanded(b, b.Rated), Floor: outputFloor},
		{Key: "sensitivity", Unit: "mV/V per " + measures.Kind().SIUnit(), Kind: quantity.VoltageRatio, Per: measures.Kind(), Old: own, Expanded: expanded(b, own)},
	}
	for _, c := range r.Matrix.Components {
		if c == b.Measures {
			continue
		}
		f := percent("crosstalk."+c, b.Crosstalk[c])
		if limit, v := b.Crosstalk95[c], b.Crosstalk[c]; limit != nil && v != nil {
			u := math.Max(0, *limit-*v)
			f.Expanded = &u
		}
		out = append(out, f, percent("crosstalk-95."+c, b.Crosstalk95[c]))
	}
	out = append(out,
		percent("nonlinearity", b.Nonlinearity),
		Figure{Key: "zero-balance", Unit: "mV/V", Kind: quantity.VoltageRatio, Old: b.ZeroBalance.Nominal, Floor: outputFloor},
		drift("zero-drift", b.ZeroDrift), percent("zero-gradient", b.ZeroGradient), drift("zero-spread", b.ZeroSpread), drift("span-drift", b.SpanDrift))
	if u := b.Uncertainty; u != nil {
		f := percent("uncertainty", u.Expanded)
		if f.Old == nil && u.FirstOrder != nil {
			twice := 2 * *u.FirstOrder
			f.Old = &twice
		}
		out = append(out, f)
	}
	for i := range out {
		out[i].Key = b.Name + "." + out[i].Key
	}
	return out
}

// expanded uncertainty of what is proportional to the bridge's sensitivity: by Monte
// Carlo where it was run, else of first order.
func expanded(b *dossier.Bridge, v *float64) *float64 {
	if b.Uncertainty == nil || v == nil {
		return nil
	}
	u := b.Uncertainty.Standard
	if u == nil {
		u = b.Uncertainty.FirstOrder
	}
	if u == nil {
		return nil
	}
	out := 2 * *u / 100 * math.Abs(*v)
	return &out
}

// greatestStrain is the greatest sum of a grid's strains, µε.
func greatestStrain(r *dossier.Result) *float64 {
	var most *float64
	for _, g := range r.Grids {
		sum := 0.0
		for _, c := range r.Matrix.Components {
			if e := g.Strain[c]; e != nil {
				sum += math.Abs(*e)
			}
		}
		if most == nil || sum > *most {
			most = &sum
		}
	}
	return most
}
