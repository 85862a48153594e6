package report

import (
	"math"

	"gridwright/internal/pick"
	"gridwright/internal/quantity"
)

// PickedError is what one error of one placement does to the bridges.
type PickedError struct {
	Placement string        `json:"placement"`
	Kind      string        `json:"error"`
	PerDegree *PickedEffect `json:"per_degree"`
	PerTenth  *PickedEffect `json:"per_0.1_mm"`
	AtLimit   PickedEffect  `json:"at_tolerance"`
}

// PickedEffect is the greatest change of crosstalk, in percentage points of rated
// output, and of output.
type PickedEffect struct {
	Crosstalk *float64 `json:"crosstalk_percent"`
	Bridge    string   `json:"crosstalk_in,omitempty"`
	Of        string   `json:"crosstalk_of,omitempty"`
	Output    float64  `json:"output_percent"`
	OutputOf  string   `json:"output_of"`
}

// PickedChange is a change of the problem with which something meets the
// requirements.
type PickedChange struct {
	Words  string  `json:"change"`
	Path   string  `json:"key"`
	Amount float64 `json:"relaxed_percent"`
	Gauges int     `json:"gauges"`
}

func pickedChanges(changes []pick.Change) []PickedChange {
	var out []PickedChange
	for _, c := range changes {
		out = append(out, PickedChange{c.Words, c.Path, c.Amount * 100, c.Gauges})
	}
	return out
}

func pickedErrors(c *pick.Candidate) []PickedError {
	effect := func(e pick.Effect) PickedEffect {
		p := PickedEffect{Output: e.Output * 100, OutputOf: e.OutputOf}
		if e.Bridge != "" {
			x := e.Crosstalk * 100
			p.Crosstalk, p.Bridge, p.Of = &x, e.Bridge, e.Of.String()
		}
		return p
	}
	unit := func(e *pick.Effect) *PickedEffect {
		if e == nil {
			return nil
		}
		p := effect(*e)
		return &p
	}
	out := []PickedError{}
	for _, p := range c.Robust {
		out = append(out, PickedError{p.Placement, p.Kind, unit(p.PerDegree), unit(p.PerTenth), effect(p.AtLimit)})
	}
	return out
}

// robustness shows what each single placement error does to a candidate.
func (t Text) robustness(c *pick.Candidate) {
	if len(c.Robust) == 0 {
		return
	}
	t.printf("\n  IF ONE PLACEMENT IS OFF\n")
	t.say("  ", c.Care())
	tab := table{align: "lllr"}
	tab.row("error", "lets in, most", "output", "within tolerance")
	for _, p := range c.Robust {
		for _, e := range []struct {
			of   string
			what *pick.Effect
		}{{"1°", p.PerDegree}, {t.show(1e-4, quantity.Length), p.PerTenth}} {
			if e.what == nil {
				continue
			}
			within := "—"
			if p.AtLimit.Bridge != "" {
				within = points(p.AtLimit.Crosstalk)
			}
			tab.row(p.Placement+" "+p.Kind+", "+e.of, t.letIn(e.what), points(e.what.Output)+" ("+e.what.OutputOf+")", within)
		}
	}
	tab.writeTo(t.W, "    ")
}

// letIn is the crosstalk that an error lets in.
func (t Text) letIn(e *pick.Effect) string {
	switch {
	case e.Bridge == "":
		return "—"
	case e.Crosstalk < 1e-6:
		return "nothing"
	}
	return points(e.Crosstalk) + " of " + e.Of.String() + " in " + e.Bridge
}

// points is a ratio in percent to two digits, what is below 0.0001 % as 0.
func points(x float64) string {
	if math.Abs(x) < 1e-6 {
		return "0 %"
	}
	return quantity.Format(x, quantity.Ratio, quantity.SI, 2)
}

// changes shows with what change of the problem something meets the requirements.
func (t Text) changes(o *pick.Outcome) {
	if o.Change == "" {
		return
	}
	if len(o.Changes) == 0 {
		t.say("  ", o.Change)
		return
	}
	t.say("  smallest change that gives one: ", o.Change)
	const most = 5
	for i, c := range o.Changes[1:] {
		if i+1 >= most {
			t.printf("  or one of %d more; --json lists them\n", len(o.Changes)-most)
			break
		}
		t.say("  or: ", c.Words)
	}
}
