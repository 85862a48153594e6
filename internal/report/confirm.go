package report

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/pick"
	"gridwright/internal/predict"
	"gridwright/internal/uncertainty"
)

// Confirmed is what Monte Carlo says of the first candidate, which the search
// judged by the first order.
type Confirmed struct {
	Trials      int      `json:"trials"`
	Seed        uint64   `json:"seed"`
	Crosstalk95 *float64 `json:"worst_crosstalk_95_percent"`
	Of          string   `json:"worst_crosstalk_95_of"`
}

// ConfirmedOf the first candidate; nil when there is nothing to say.
func ConfirmedOf(o *pick.Outcome, u *uncertainty.Result) *Confirmed {
	if u == nil || u.Trials == 0 || len(o.Candidates) == 0 {
		return nil
	}
	worst, of := worstQuantile(o, u)
	if of == "" {
		return nil
	}
	percent := 100 * worst
	return &Confirmed{u.Trials, u.Seed, &percent, of}
}

// worstQuantile is the greatest crosstalk of all bridges that 95 % of all do not
// pass, and of what.
func worstQuantile(o *pick.Outcome, u *uncertainty.Result) (worst float64, of string) {
	worst = math.Inf(-1)
	components := o.Candidates[0].Result.Model.Components
	for i := range u.Bridges {
		for j, f := range u.Bridges[i].Crosstalk {
			if f.OK() && f.Quantile > worst {
				worst, of = f.Quantile, components[j].String()+" in bridge "+u.Bridges[i].Name
			}
		}
	}
	return worst, of
}

// Confirm writes beside the first order of the search what Monte Carlo makes of
// its first candidate, bridge by bridge.
func (t Text) Confirm(d *design.Design, o *pick.Outcome, u *uncertainty.Result) {
	if d.Assume != "" {
		t.printf("\n")
		t.say("", "Tolerances that the file leaves out were filled in by common practice; `predict` lists them.")
	}
	if ConfirmedOf(o, u) == nil {
		return
	}
	components := o.Candidates[0].Result.Model.Components
	var parts []string
	for i := range u.Bridges {
		b := &u.Bridges[i]
		worst, at := math.Inf(-1), -1
		for j, f := range b.Crosstalk {
			if f.OK() && f.Quantile > worst {
				worst, at = f.Quantile, j
			}
		}
		r := b.Relative()
		s := fmt.Sprintf("bridge %s: expanded uncertainty (k = 2) %s", b.Name, t.percent(predict.Figure{Value: 2 * r.Value, Missing: r.Missing}))
		if at >= 0 {
			s += fmt.Sprintf(", worst crosstalk at 95 %% %s of %v", t.percent(predict.Some(worst)), components[at])
		}
		parts = append(parts, s)
	}
	t.printf("\nTHE FIRST BY MONTE CARLO, %d trials, seed %d\n", u.Trials, u.Seed)
	t.say("  ", strings.Join(parts, "; "))
	if limit := d.Require.Crosstalk95; limit.Set {
		if worst, of := worstQuantile(o, u); worst > limit.SI {
			t.say("  ", fmt.Sprintf("Monte Carlo does not confirm the first order: %s passes the %s required", of, t.percent(predict.Some(limit.SI))))
		}
	}
}
