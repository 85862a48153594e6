package variant

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
)

// Prediction is one variant with what was predicted of it.
type Prediction struct {
	Result      *predict.Result
	Uncertainty *uncertainty.Result // nil: not propagated
}

// Figure is one figure of a prediction.
type Figure struct {
	Key   string // such as T.rated-output, yield-factor
	About string
	Kind  quantity.Kind
	Per   quantity.Kind // the figure is for each unit of this, 0: it is not
	In    string        // the unit that it is published in where that is not the kind's
	Usual bool          // it is one of those that a sweep shows when none is asked for

	Propagates bool // the tolerances have to be propagated for it
	Trials     bool // and Monte Carlo run

	Of func(*Prediction) predict.Figure
}

// Unit of the figure's published values.
func (f Figure) Unit(sys quantity.System) string {
	unit := f.In
	if unit == "" {
		unit = f.Kind.Unit(sys)
	}
	if f.Per != 0 {
		unit += " per " + f.Per.Unit(sys)
	}
	return unit
}

// Scale is the number of published units in one SI unit.
func (f Figure) Scale(sys quantity.System) float64 {
	unit := f.In
	if unit == "" {
		unit = f.Kind.Unit(sys)
	}
	scale, err := quantity.Convert(1, f.Kind, unit)
	if err != nil {
		panic(fmt.Sprintf("figure %s: %v", f.Key, err))
	}
	if f.Per != 0 {
		per, err := quantity.Convert(1, f.Per, f.Per.Unit(sys))
		if err != nil {
			panic(fmt.Sprintf("figure %s: %v", f.Key, err))
		}
		scale /= per
	}
	return scale
}

const perTenKelvin = "%/10K"

// Figures are all figures of a design, bridge by bridge and then those of the part.
func Figures(d *design.Design) []Figure {
	var out []Figure
	for b := range d.Bridges {
		out = append(out, bridgeFigures(d, b)...)
	}
	return append(out, partFigures...)
}

func bridgeFigures(d *design.Design, b int) []Figure {
	name, measures := d.Bridges[b].Name, d.Bridges[b].Measures
	of := func(f func(*predict.Bridge) predict.Figure) func(*Prediction) predict.Figure {
		return func(p *Prediction) predict.Figure { return f(&p.Result.Bridges[b]) }
	}
	some := func(f func(*predict.Bridge) float64) func(*Prediction) predict.Figure {
		return of(func(pb *predict.Bridge) predict.Figure { return predict.Some(f(pb)) })
	}
	out := []Figure{
		{Key: "rated-output", About: "output at rated load", Kind: quantity.VoltageRatio, Usual: true,
			Of: some(func(pb *predict.Bridge) float64 { return pb.Rated })},
	}
	for j, l := range d.Loads {
		out = append(out, Figure{Key: "sensitivity." + l.Component.String(), About: "sensitivity to the load", Kind: quantity.VoltageRatio, Per: l.Component.Kind(),
			Of: some(func(pb *predict.Bridge) float64 { return pb.Sensitivity[j] })})
	}
	out = append(out, Figure{Key: "crosstalk", About: "greatest crosstalk of all other loads, of rated output", Kind: quantity.Ratio, Usual: true,
		Of: of(func(pb *predict.Bridge) predict.Figure { return worst(pb.Crosstalk, pb.Target) })})
	for j, l := range d.Loads {
		if l.Component != measures {
			out = append(out, Figure{Key: "crosstalk." + l.Component.String(), About: "crosstalk of the load, of rated output", Kind: quantity.Ratio,
				Of: of(func(pb *predict.Bridge) predict.Figure { return pb.Crosstalk[j] })})
		}
	}
	out = append(out,
		Figure{Key: "crosstalk-95", About: "greatest 95 % value of crosstalk under the tolerances, by Monte Carlo", Kind: quantity.Ratio, Propagates: true, Trials: true,
			Of: func(p *Prediction) predict.Figure {
				if p.Uncertainty == nil {
					return predict.None(notPropagated)
				}
				u := &p.Uncertainty.Bridges[b]
				var all []predict.Figure
				for _, c := range u.Crosstalk {
					all = append(all, predict.Figure{Value: c.Quantile, Missing: c.Missing})
				}
				return worst(all, u.Target)
			}},
		Figure{Key: "nonlinearity", About: "departure from the straight line, of rated output", Kind: quantity.Ratio, Usual: true,
			Of: of(func(pb *predict.Bridge) predict.Figure { return pb.Nonlinearity })},
		Figure{Key: "zero-balance", About: "output at no load of the nominal resistances", Kind: quantity.VoltageRatio,
			Of: some(func(pb *predict.Bridge) float64 { return pb.Balance.Nominal })},
		Figure{Key: "zero-drift", About: "change of zero with temperature, of rated output", Kind: quantity.PerKelvin, In: perTenKelvin, Usual: true,
			Of: of(func(pb *predict.Bridge) predict.Figure { return pb.Temperature.ZeroDrift })},
		Figure{Key: "zero-gradient", About: "output from the temperature gradient alone, of rated output", Kind: quantity.Ratio,
			Of: of(func(pb *predict.Bridge) predict.Figure { return pb.Temperature.ZeroGradient })},
		Figure{Key: "span-drift", About: "change of sensitivity with temperature", Kind: quantity.PerKelvin, In: perTenKelvin, Usual: true,
			Of: of(func(pb *predict.Bridge) predict.Figure { return pb.Temperature.SpanDrift })},
		Figure{Key: "uncertainty", About: "expanded uncertainty of the sensitivity, k = 2, of first order unless Monte Carlo is run", Kind: quantity.Ratio, Usual: true, Propagates: true,
			Of: func(p *Prediction) predict.Figure {
				if p.Uncertainty == nil {
					return predict.None(notPropagated)
				}
				r := p.Uncertainty.Bridges[b].Relative()
				r.Value *= 2
				return r
			}},
		Figure{Key: "smallest-step", About: "smallest load that shows above the noise", Kind: measures.Kind(),
			Of: of(func(pb *predict.Bridge) predict.Figure { return pb.Signal.Smallest })},
		Figure{Key: "power", About: "power of the hottest grid", Kind: quantity.Power,
			Of: of(func(pb *predict.Bridge) predict.Figure { return pb.Signal.Power })},
	)
	for i := range out {
		out[i].Key = name + "." + out[i].Key
	}
	return out
}

const notPropagated = "the tolerances were not propagated"

// worst is the greatest of a bridge's crosstalks.
func worst(list []predict.Figure, target int) predict.Figure {
	out := predict.None("there is no other load")
	for j, f := range list {
		if j == target {
			continue
		}
		if !f.OK() {
			return f
		}
		if !out.OK() || f.Value > out.Value {
			out = f
		}
	}
	return out
}

var partFigures = []Figure{
	{Key: "strain", About: "greatest sum of a grid's strains at all rated loads", Kind: quantity.Strain, Usual: true, Of: func(p *Prediction) predict.Figure {
		most := 0.0
		for _, g := range p.Result.Grids {
			most = math.Max(most, g.TotalAlong)
		}
		return predict.Some(most)
	}},
	{Key: "von-mises-stress", About: "greatest surface stress at all rated loads", Kind: quantity.Stress,
		Of: func(p *Prediction) predict.Figure { return predict.Some(p.Result.Strength.VonMises) }},
	{Key: "yield-factor", About: "yield strength over that stress", Kind: quantity.Number, Usual: true,
		Of: func(p *Prediction) predict.Figure { return p.Result.Strength.YieldFactor }},
	{Key: "overload-yield-factor", About: "yield strength over that stress at overload", Kind: quantity.Number, Usual: true,
		Of: func(p *Prediction) predict.Figure { return p.Result.Strength.OverloadYield }},
	{Key: "endurance-factor", About: "endurance over that stress, fully reversed", Kind: quantity.Number,
		Of: func(p *Prediction) predict.Figure { return p.Result.Strength.Reversed }},
	{Key: "torsional-stiffness", About: "of the straight length", Kind: quantity.TorsionalStiffness, Usual: true,
		Of: func(p *Prediction) predict.Figure { return p.Result.Stiffness.Torsional }},
	{Key: "axial-stiffness", About: "of the straight length", Kind: quantity.AxialStiffness, Usual: true,
		Of: func(p *Prediction) predict.Figure { return p.Result.Stiffness.Axial }},
	{Key: "bending-stiffness", About: "the smaller principal one", Kind: quantity.BendingStiffness,
		Of: func(p *Prediction) predict.Figure { return p.Result.Stiffness.Bending }},
	{Key: "natural-frequency", About: "of torsion, between the end inertias", Kind: quantity.Frequency, Usual: true,
		Of: func(p *Prediction) predict.Figure { return p.Result.Stiffness.Frequency }},
	{Key: "twist", About: "of the straight length at rated torque", Kind: quantity.Angle, In: "mrad",
		Of: func(p *Prediction) predict.Figure { return p.Result.Stiffness.Twist }},
	{Key: "elongation", About: "of the straight length at rated axial force", Kind: quantity.Length,
		Of: func(p *Prediction) predict.Figure { return p.Result.Stiffness.Elongation }},
}

// Usual are the figures that a sweep shows when none is asked for.
func Usual(all []Figure) []Figure {
	return slices.DeleteFunc(slices.Clone(all), func(f Figure) bool { return !f.Usual })
}

// Choose finds figures by their keys; an unknown one is an error with the nearest, or
// with the list.
func Choose(all []Figure, keys []string) ([]Figure, error) {
	var known []string
	for _, f := range all {
		known = append(known, f.Key)
	}
	var out []Figure
	for _, key := range keys {
		i := slices.Index(known, key)
		if i < 0 {
			hint := "known are: " + strings.Join(known, ", ")
			if near := nearest(key, known); near != "" {
				hint = "did you mean " + near + "? " + hint
			}
			return nil, fmt.Errorf("no figure %s; %s", key, hint)
		}
		if slices.ContainsFunc(out, func(f Figure) bool { return f.Key == key }) {
			return nil, fmt.Errorf("figure %s is named twice; name it once", key)
		}
		out = append(out, all[i])
	}
	return out, nil
}

// Propagation is how much of the tolerances some figures need.
func Propagation(figures []Figure) (propagates, trials bool) {
	for _, f := range figures {
		propagates = propagates || f.Propagates
		trials = trials || f.Trials
	}
	return propagates, trials
}

// Predict predicts a variant; where the file assumes common practice the tolerances
// that it leaves out are filled in, in d. With options the tolerances are propagated.
func Predict(ctx context.Context, d *design.Design, o *uncertainty.Options) (*Prediction, error) {
	uncertainty.Assume(d)
	r, err := predict.Of(d)
	if err != nil {
		return nil, err
	}
	p := &Prediction{Result: r}
	if o != nil {
		if p.Uncertainty, err = uncertainty.Of(ctx, r, *o); err != nil {
			return nil, err
		}
	}
	return p, nil
}
