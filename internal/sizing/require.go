package sizing

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/variant"
)

// Requirement is a limit on one figure.
type Requirement struct {
	Figure  variant.Figure
	Limit   float64 // SI; the magnitude of the figure counts
	AtLeast bool    // else at most
	From    string  // what states it: a path of the file, or a flag
}

// Ask is a requirement that the caller states beside the file's, or in their place.
type Ask struct {
	Key   string // rated-output, yield-factor, strain, torsional-stiffness, axial-stiffness, natural-frequency
	Limit float64
	From  string
}

// Requirements of a design: those of its file, each of every bridge, what its gauges
// bear, that the part does not yield at overload, and those asked for, which replace the
// file's of the same key. These are what package check calls a fail, as far as a figure
// tells; it also judges features, heat and room, so a choice is to be checked.
func Requirements(d *design.Design, asks []Ask) ([]Requirement, error) {
	asked := map[string]Ask{}
	for _, a := range asks {
		asked[a.Key] = a
	}
	var out []Requirement
	figures := map[string]variant.Figure{}
	for _, f := range variant.Figures(d) {
		figures[f.Key] = f
	}
	q := &d.Require
	for _, r := range []struct {
		key     string
		n       design.Number
		atLeast bool
		other   bool // it needs another load
	}{
		{"rated-output", q.RatedOutput, true, false}, {"crosstalk", q.Crosstalk, false, true}, {"crosstalk-95", q.Crosstalk95, false, true},
		{"nonlinearity", q.Nonlinearity, false, false}, {"zero-drift", q.ZeroDrift, false, false}, {"span-drift", q.SpanDrift, false, false},
		{"uncertainty", q.Uncertainty, false, false},
	} {
		limit, from := r.n.SI, "require."+r.key
		a, own := asked[r.key]
		if own {
			limit, from = a.Limit, a.From
		}
		if !own && !r.n.Set || r.other && len(d.Loads) < 2 || r.atLeast && limit == 0 {
			continue
		}
		for _, b := range d.Bridges {
			f, ok := figures[b.Name+"."+r.key]
			if !ok {
				return nil, fmt.Errorf("no figure %s.%s", b.Name, r.key)
			}
			out = append(out, Requirement{f, limit, r.atLeast, from})
		}
	}
	out = append(out, strains(d, asked)...)
	factor := Requirement{figures["yield-factor"], q.YieldFactor.SI, true, "require.yield-factor"}
	a, own := asked["yield-factor"]
	if own {
		factor.Limit, factor.From = a.Limit, a.From
	}
	if (own || q.YieldFactor.Set) && factor.Limit > 0 {
		out = append(out, factor)
	}
	if d.Part.Material.Yield.Set {
		out = append(out, Requirement{figures["overload-yield-factor"], 1, true, "overload"})
	}
	for _, key := range []string{"torsional-stiffness", "axial-stiffness", "natural-frequency"} {
		if a, ok := asked[key]; ok {
			out = append(out, Requirement{figures[key], a.Limit, true, a.From})
		}
	}
	return out, nil
}

// strains are the limits of strain of each gauge type: what it bears or what is
// required, the smaller; asked for, that limit alone.
func strains(d *design.Design, asked map[string]Ask) []Requirement {
	var out []Requirement
	for i := range d.Gauges {
		g := &d.Gauges[i]
		placed := false
		for _, p := range d.Placements {
			placed = placed || p.Gauge == i
		}
		limit, from := math.Inf(1), ""
		for _, n := range []struct {
			n    design.Number
			from string
		}{{d.Require.Strain, "require.strain"}, {g.MaxStrain, "gauges." + g.Name + ".max-strain"}} {
			if n.n.Set && n.n.SI < limit {
				limit, from = n.n.SI, n.from
			}
		}
		if a, ok := asked["strain"]; ok {
			limit, from = a.Limit, a.From
		}
		if !placed || from == "" {
			continue
		}
		f := variant.Figure{Key: "strain", About: "greatest sum of a grid's strains at all rated loads", Kind: quantity.Strain,
			Of: func(p *variant.Prediction) predict.Figure {
				most := 0.0
				for k, grid := range p.Result.Grids {
					if p.Result.Model.Grids[k].Gauge == i {
						most = math.Max(most, grid.TotalAlong)
					}
				}
				return predict.Some(most)
			}}
		if len(d.Gauges) > 1 {
			f.Key = g.Name + ".strain"
		}
		out = append(out, Requirement{f, limit, false, from})
	}
	return out
}

// Bound is "at least" or "at most".
func (r *Requirement) Bound() string {
	if r.AtLeast {
		return "at least"
	}
	return "at most"
}

// factor by which a figure meets the requirement: its magnitude over the limit, or the
// limit over it; 1 is just met.
func (r *Requirement) factor(v float64) float64 {
	v = math.Abs(v)
	switch {
	case r.AtLeast:
		return v / r.Limit
	case v == 0:
		return math.Inf(1)
	}
	return r.Limit / v
}
