package report

import (
	"fmt"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/pick"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
)

// Picked is the published shape of a search.
type Picked struct {
	Candidates []PickedCandidate `json:"candidates"`
	Searched   int64             `json:"searched"`
	Excluded   int64             `json:"excluded"`
	Proof      string            `json:"proof"`
	Proved     string            `json:"proved"`
	Gap        *PickedGap        `json:"gap"`
	Symmetry   string            `json:"symmetry"`
	Rule       string            `json:"rule"`
	Space      string            `json:"space"`
	Met        bool              `json:"requirements_met"`
	Nearest    string            `json:"nearest,omitempty"`
	Change     string            `json:"smallest_change,omitempty"`
	Changes    []PickedChange    `json:"changes,omitempty"`
	Confirmed  *Confirmed        `json:"first_by_monte_carlo"`
}

// PickedGap is what the part of the space that was left out could give at most.
type PickedGap struct {
	Wirings int64   `json:"wirings"`
	Output  float64 `json:"least_rated_output_at_most_mv_per_v"`
	Gauges  int     `json:"gauges_at_least"`
}

// PickedCandidate is one arrangement in the words of the design file.
type PickedCandidate struct {
	Rank       int                        `json:"rank"`
	Placements map[string]PickedPlacement `json:"placements"`
	Bridges    map[string]PickedBridge    `json:"bridges"`
	Metrics    PickedMetrics              `json:"metrics"`
	Pareto     bool                       `json:"pareto"`
	Why        string                     `json:"why"`
}

// PickedPlacement is one placement of the design file.
type PickedPlacement struct {
	Gauge     string `json:"gauge"`
	Station   string `json:"station"`
	Around    string `json:"around,omitempty"`
	Face      string `json:"face,omitempty"`
	Across    string `json:"across,omitempty"`
	Direction string `json:"direction"`
}

// PickedBridge is one bridge of the design file.
type PickedBridge struct {
	Measures   string `json:"measures"`
	Arms       []any  `json:"arms"`
	Excitation string `json:"excitation,omitempty"`
}

// PickedMetrics are the figures that candidates are ranked by.
type PickedMetrics struct {
	Gauges      int      `json:"gauges"`
	FullBridges int      `json:"full_bridges"`
	HalfBridges int      `json:"half_bridges"`
	HalfSpare   int      `json:"half_bridges_that_could_be_full"`
	Opposite    bool     `json:"opposite"`
	Thermal     bool     `json:"thermal_output_cancels"`
	Output      *float64 `json:"least_rated_output_mv_per_v"`
	OutputOf    string   `json:"least_rated_output_of"`
	Crosstalk   *float64 `json:"worst_crosstalk_percent"`
	CrosstalkOf string   `json:"worst_crosstalk_of"`
	ZeroDrift   *float64 `json:"worst_zero_drift_percent_per_10k"`

	Crosstalk95   *float64 `json:"worst_crosstalk_95_percent"`
	Crosstalk95Of string   `json:"worst_crosstalk_95_of"`
	GradientZero  *float64 `json:"worst_zero_from_gradients_percent"`
	GradientOf    string   `json:"worst_zero_from_gradients_of"`

	SolderJoints int      `json:"solder_joints"`
	Leads        int      `json:"leads"`
	Jumpers      int      `json:"jumpers"`
	Missed       []string `json:"requirements_missed"`

	Robustness []PickedError `json:"robustness"`
	Care       string        `json:"care,omitempty"`
}

func ratio(f predict.Figure, scale float64) *float64 {
	if !f.OK() {
		return nil
	}
	v := f.Value * scale
	return &v
}

// PickedOf puts an outcome into its published shape.
func PickedOf(o *pick.Outcome, u *uncertainty.Result) Picked {
	out := Picked{Candidates: []PickedCandidate{}, Searched: o.Searched, Excluded: o.Excluded, Proof: o.Proof, Proved: o.Proved, Symmetry: o.Symmetry, Rule: o.Rule, Space: o.Space, Met: o.Met, Nearest: o.Nearest, Change: o.Change, Changes: pickedChanges(o.Changes), Confirmed: ConfirmedOf(o, u)}
	if g := o.Gap; g != nil {
		out.Gap = &PickedGap{g.Wirings, g.Output * 1e3, g.Gauges}
	}
	for _, c := range o.Candidates {
		m := c.Metrics
		mv := m.Output * 1e3
		pc := PickedCandidate{Rank: c.Rank, Pareto: c.Pareto, Why: c.Why, Placements: map[string]PickedPlacement{}, Bridges: map[string]PickedBridge{},
			Metrics: PickedMetrics{m.Gauges, m.Full, m.Half, m.HalfSpare, m.Opposite, m.Thermal, &mv, m.OutputOf, ratio(m.Crosstalk, 100), m.CrosstalkOf,
				ratio(m.ZeroDrift, 1000), ratio(m.Crosstalk95, 100), m.Crosstalk95Of, ratio(m.GradientZero, 100), m.GradientOf,
				m.Joints, m.Leads, m.Jumpers, append([]string{}, m.Missed...), pickedErrors(&c), c.Care()}}
		a := designfile.Describe(c.Design)
		for _, p := range a.Placements {
			pc.Placements[p.Name] = PickedPlacement{p.Gauge, p.Station, p.Around, p.Face, p.Across, p.Direction}
		}
		for i, b := range a.Bridges {
			pb := PickedBridge{Measures: b.Measures, Excitation: b.Excitation}
			for k, arm := range c.Design.Bridges[i].Arms {
				if len(arm.Grids) > 1 {
					var names []string
					for _, g := range arm.Grids {
						names = append(names, c.Design.GridName(g))
					}
					pb.Arms = append(pb.Arms, names)
					continue
				}
				pb.Arms = append(pb.Arms, b.Arms[k])
			}
			pc.Bridges[b.Name] = pb
		}
		out.Candidates = append(out.Candidates, pc)
	}
	return out
}

// Pick writes the ranked candidates. explain adds the words of every runner-up.
func (t Text) Pick(d *design.Design, o *pick.Outcome, explain bool) {
	t.say("", d.Title)
	t.say("rule: ", o.Rule)
	t.say("searched: ", fmt.Sprintf("%d distinct wirings, %s; %s", o.Searched, o.Proof, o.Space))
	t.say("proof: ", o.Proved+"; "+o.Symmetry)
	switch {
	case o.Met:
	case o.Proof == pick.Interrupted:
		t.printf("\nINTERRUPTED BEFORE ANYTHING THAT MEETS THE REQUIREMENTS WAS FOUND; what follows is the best so far\n")
	default:
		t.printf("\nNOTHING MEETS THE REQUIREMENTS\n")
		if o.Nearest != "" {
			t.say("  ", o.Nearest)
		}
		t.changes(o)
	}
	if len(o.Candidates) == 0 {
		return
	}
	t.printf("\nCANDIDATES\n")
	tab := table{align: "rrrllrrr"}
	tab.row("rank", "gauges", "full+half", "least rated output", "crosstalk", "95 %", "zero drift", "gradient")
	for _, c := range o.Candidates {
		m := c.Metrics
		rank := fmt.Sprint(c.Rank) + " "
		if c.Pareto {
			rank = fmt.Sprint(c.Rank) + "*"
		}
		tab.row(rank, fmt.Sprint(m.Gauges), fmt.Sprintf("%d + %d", m.Full, m.Half), t.output(m.Output)+" ("+m.OutputOf+")",
			t.percent(m.Crosstalk), t.percent(m.Crosstalk95), t.per10K(m.ZeroDrift), t.percent(m.GradientZero))
	}
	tab.writeTo(t.W, "  ")
	gradient := "of the file"
	if tg := d.Temperature; !tg.Across.Set && !tg.Along.Set {
		gradient = "of 1 K across the part and 1 K/m along it, to rank by"
	}
	t.say("  ", "95 %: worst crosstalk under the tolerances, first order; gradient: zero from the temperature gradient "+gradient+
		"; *: on the Pareto front, no other has as few gauges, as little crosstalk at 95 %, as much output and as little zero from the gradient together")
	for i, c := range o.Candidates {
		if i > 0 && !explain && i >= 3 {
			t.printf("\n%d more; --explain shows them all\n", len(o.Candidates)-i)
			break
		}
		t.candidate(&c)
		if i == 0 || explain {
			t.robustness(&c)
		}
	}
}

func (t Text) candidate(c *pick.Candidate) {
	t.printf("\nRANK %d\n", c.Rank)
	a := designfile.Describe(c.Design)
	tab := table{align: "llrrr"}
	for i, p := range a.Placements {
		n := c.Design.Placements[i]
		tab.row(p.Name, p.Gauge, "station "+t.show(n.Station.SI, quantity.Length), t.where(n), "direction "+t.show(n.Direction.SI, quantity.Angle))
	}
	tab.writeTo(t.W, "  ")
	tab = table{align: "l"}
	for i, b := range a.Bridges {
		cells := []string{b.Name, b.Measures, "arms " + strings.Join(b.Arms, ", ")}
		if i < len(c.Result.Bridges) {
			cells = append(cells, t.output(c.Result.Bridges[i].Rated))
		}
		tab.row(cells...)
	}
	tab.writeTo(t.W, "  ")
	for _, s := range c.Metrics.Missed {
		t.say("  misses: ", s)
	}
	t.say("  ", c.Why)
}

// where on the girth a placement sits, in words.
func (t Text) where(p design.Placement) string {
	if p.Face == "" {
		return "around " + t.show(p.Around.SI, quantity.Angle)
	}
	if p.Across.SI == 0 {
		return "face " + p.Face
	}
	return "face " + p.Face + ", across " + t.show(p.Across.SI, quantity.Length)
}
