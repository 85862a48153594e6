package report

import (
	"fmt"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/pick"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// Picked is the published shape of a search.
type Picked struct {
	Candidates []PickedCandidate `json:"candidates"`
	Searched   int64             `json:"searched"`
	Proof      string            `json:"proof"`
	Rule       string            `json:"rule"`
	Space      string            `json:"space"`
	Met        bool              `json:"requirements_met"`
	Nearest    string            `json:"nearest,omitempty"`
}

// PickedCandidate is one arrangement in the words of the design file.
type PickedCandidate struct {
	Rank       int                        `json:"rank"`
	Placements map[string]PickedPlacement `json:"placements"`
	Bridges    map[string]PickedBridge    `json:"bridges"`
	Metrics    PickedMetrics              `json:"metrics"`
	Why        string                     `json:"why"`
}

// PickedPlacement is one placement of the design file.
type PickedPlacement struct {
	Gauge     string `json:"gauge"`
	Station   string `json:"station"`
	Around    string `json:"around"`
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
	Gauges       int      `json:"gauges"`
	FullBridges  int      `json:"full_bridges"`
	HalfBridges  int      `json:"half_bridges"`
	HalfSpare    int      `json:"half_bridges_that_could_be_full"`
	Opposite     bool     `json:"opposite"`
	Thermal      bool     `json:"thermal_output_cancels"`
	Output       *float64 `json:"least_rated_output_mv_per_v"`
	OutputOf     string   `json:"least_rated_output_of"`
	Crosstalk    *float64 `json:"worst_crosstalk_percent"`
	CrosstalkOf  string   `json:"worst_crosstalk_of"`
	ZeroDrift    *float64 `json:"worst_zero_drift_percent_per_10k"`
	SolderJoints int      `json:"solder_joints"`
	Jumpers      int      `json:"jumpers"`
	Missed       []string `json:"requirements_missed"`
}

func ratio(f predict.Figure, scale float64) *float64 {
	if !f.OK() {
		return nil
	}
	v := f.Value * scale
	return &v
}

// PickedOf puts an outcome into its published shape.
func PickedOf(o *pick.Outcome) Picked {
	out := Picked{Candidates: []PickedCandidate{}, Searched: o.Searched, Proof: o.Proof, Rule: o.Rule, Space: o.Space, Met: o.Met, Nearest: o.Nearest}
	for _, c := range o.Candidates {
		m := c.Metrics
		mv := m.Output * 1e3
		pc := PickedCandidate{Rank: c.Rank, Why: c.Why, Placements: map[string]PickedPlacement{}, Bridges: map[string]PickedBridge{},
			Metrics: PickedMetrics{m.Gauges, m.Full, m.Half, m.HalfSpare, m.Opposite, m.Thermal, &mv, m.OutputOf, ratio(m.Crosstalk, 100), m.CrosstalkOf,
				ratio(m.ZeroDrift, 1000), m.Joints, m.Jumpers, append([]string{}, m.Missed...)}}
		a := designfile.Describe(c.Design)
		for _, p := range a.Placements {
			pc.Placements[p.Name] = PickedPlacement{p.Gauge, p.Station, p.Around, p.Direction}
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
	t.printf("%s\n", d.Title)
	wrap(t.W, "rule: ", o.Rule)
	wrap(t.W, "searched: ", fmt.Sprintf("%d distinct wirings, %s; %s", o.Searched, o.Proof, o.Space))
	if !o.Met {
		t.printf("\nNOTHING MEETS THE REQUIREMENTS\n")
		if o.Nearest != "" {
			wrap(t.W, "  ", o.Nearest)
		}
	}
	if len(o.Candidates) == 0 {
		return
	}
	t.printf("\nCANDIDATES\n")
	tab := table{align: "rrrllr"}
	tab.row("rank", "gauges", "full + half", "least rated output", "worst crosstalk", "zero drift")
	for _, c := range o.Candidates {
		m := c.Metrics
		tab.row(fmt.Sprint(c.Rank), fmt.Sprint(m.Gauges), fmt.Sprintf("%d + %d", m.Full, m.Half),
			t.output(m.Output)+" ("+m.OutputOf+")", t.percent(m.Crosstalk), t.per10K(m.ZeroDrift))
	}
	tab.writeTo(t.W, "  ")
	for i, c := range o.Candidates {
		if i > 0 && !explain && i >= 3 {
			t.printf("\n%d more; --explain shows them all\n", len(o.Candidates)-i)
			break
		}
		t.candidate(&c)
	}
}

func (t Text) candidate(c *pick.Candidate) {
	t.printf("\nRANK %d\n", c.Rank)
	a := designfile.Describe(c.Design)
	tab := table{align: "llrrr"}
	for i, p := range a.Placements {
		n := c.Design.Placements[i]
		tab.row(p.Name, p.Gauge, "station "+t.show(n.Station.SI, quantity.Length), "around "+t.show(n.Around.SI, quantity.Angle), "direction "+t.show(n.Direction.SI, quantity.Angle))
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
		wrap(t.W, "  misses: ", s)
	}
	wrap(t.W, "  ", c.Why)
}
