// Package check judges a design as proposed: whether each bridge measures what it
// is meant to and nothing else, whether temperature, stress, supply and the room
// on the part allow it. Every finding carries its figure, the limit, and a remedy
// in words that can be done; where a number or an order of arms cures it, the
// remedy was applied to a copy, predicted and judged again before it was named.
//
// It does not model fracture, buckling, wear, residual stress or what the bonding
// does; it does not judge tolerances (package uncertainty does), and it looks for
// the nearest cure of what is proposed, not for the best design (package pick
// does).
package check

import (
	"encoding/json"
	"fmt"
	"slices"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// Level is how grave a finding is.
type Level string

const (
	Fail    Level = "fail"    // the transducer does not do its job, or a stated limit is not met
	Warning Level = "warning" // it works, but with an error or a risk that someone must accept
	Note    Level = "note"    // what the reader of the figures must know
)

// rank of a level, the gravest first.
func (l Level) rank() int {
	switch l {
	case Fail:
		return 0
	case Warning:
		return 1
	}
	return 2
}

// Finding is one judgement.
type Finding struct {
	Level  Level
	Rule   string   // name of an entry of Rules
	Bridge string   // "" when it is not about one bridge
	Value  *float64 // SI; nil when there is no figure
	Limit  *float64 // SI; nil when there is no limit
	Kind   quantity.Kind
	// Message is one sentence with the figure and the limit in words and units.
	Message string
	// Remedy is what to do, with values as the design file writes them; "" only
	// for notes.
	Remedy string
	// Apply makes the remedy's change to a design; nil when no change of the file
	// alone cures it. It changes the design that it is handed: hand it a Clone.
	Apply func(*design.Design) error

	subject string                // what of several the finding is about
	options func(*judge) []option // changes that may cure it, the best first
}

// option is one change that may cure a finding.
type option struct {
	text  string
	apply func(*design.Design) error
}

// In returns the finding's figure and limit in the unit that its rule reports
// in, nil where there is none.
func (f Finding) In() (value, limit *float64, unit string) {
	for _, r := range Rules {
		if r.Name == f.Rule {
			unit = r.Unit
		}
	}
	convert := func(si *float64) *float64 {
		if si == nil {
			return nil
		}
		x, err := quantity.Convert(*si, f.Kind, unit)
		if err != nil {
			return nil
		}
		return &x
	}
	return convert(f.Value), convert(f.Limit), unit
}

// MarshalJSON writes the finding as results publish it, with figure and limit in
// the unit of its rule.
func (f Finding) MarshalJSON() ([]byte, error) {
	value, limit, unit := f.In()
	var bridge *string
	if f.Bridge != "" {
		bridge = &f.Bridge
	}
	return json.Marshal(struct {
		Level   Level    `json:"level"`
		Rule    string   `json:"rule"`
		Bridge  *string  `json:"bridge"`
		Value   *float64 `json:"value"`
		Limit   *float64 `json:"limit"`
		Unit    string   `json:"unit"`
		Message string   `json:"message"`
		Remedy  string   `json:"remedy"`
	}{f.Level, f.Rule, bridge, value, limit, unit, f.Message, f.Remedy})
}

// Pass reports whether no finding is a fail.
func Pass(findings []Finding) bool {
	return !slices.ContainsFunc(findings, func(f Finding) bool { return f.Level == Fail })
}

// Of judges a predicted design. The findings are ordered by level, then by the
// order of Rules, then by that of the bridges, and are the same for the same
// design.
func Of(r *predict.Result) []Finding {
	j := &judge{r: r, d: r.Model.Design}
	findings := j.findings()
	for i := range findings {
		if findings[i].options != nil {
			if len(j.tried) < mostTrials {
				j.cure(&findings[i], findings)
			}
			findings[i].options = nil
		}
	}
	return findings
}

// judge is one design under judgement.
type judge struct {
	r *predict.Result
	d *design.Design

	faces []section.Face // of the section, once they are asked for

	tried map[string]trial    // of options, by their text
	found map[string][]option // by what made them: several findings ask for the same
}

// trial is what was found after an option.
type trial struct {
	findings []Finding
	ok       bool
}

// once keeps the options of one kind for one bridge.
func (j *judge) once(kind string, b int, make func() []option) []option {
	key := fmt.Sprint(kind, b)
	if j.found == nil {
		j.found = map[string][]option{}
	}
	if _, ok := j.found[key]; !ok {
		j.found[key] = make()
	}
	return slices.Clone(j.found[key])
}

// findings runs every rule, without looking for remedies.
func (j *judge) findings() []Finding {
	var out []Finding
	order := map[string]int{}
	for i, rule := range Rules {
		order[rule.Name] = i
		for _, f := range rule.judge(j) {
			f.Rule = rule.Name
			if f.Kind == 0 {
				f.Kind = rule.kind
			}
			out = append(out, f)
		}
	}
	bridge := map[string]int{"": len(j.d.Bridges)}
	for i, b := range j.d.Bridges {
		bridge[b.Name] = i
	}
	slices.SortStableFunc(out, func(a, b Finding) int {
		if c := a.Level.rank() - b.Level.rank(); c != 0 {
			return c
		}
		if c := order[a.Rule] - order[b.Rule]; c != 0 {
			return c
		}
		return bridge[a.Bridge] - bridge[b.Bridge]
	})
	return out
}

// same reports whether two findings are about the same thing.
func (f *Finding) same(g *Finding) bool {
	return f.Rule == g.Rule && f.Bridge == g.Bridge && f.subject == g.subject
}

// mostOptions bounds what is tried for one finding: each costs a prediction.
const mostOptions = 24

// mostTrials bounds what is tried for all findings of a design together; past it
// remedies are words.
const mostTrials = 400

// cure gives f the first of its options that, applied to a copy, makes the
// finding vanish and no fail appear. A bridge without output hides its other
// faults: there an option also serves that leaves such a fault to be seen, and
// the remedy says so.
func (j *judge) cure(f *Finding, present []Finding) {
	options := f.options(j)
	if len(options) > mostOptions {
		options = options[:mostOptions]
	}
	hidden := map[string]bool{}
	for _, p := range present {
		if p.Rule == "blind" {
			hidden[p.Bridge] = true
		}
	}
	partly, then := -1, ""
	for i, o := range options {
		after, ok := j.after(o)
		if !ok {
			continue
		}
		gone, fresh := true, []Finding{}
		for k := range after {
			a := &after[k]
			if a.same(f) && a.Level != Note {
				gone = false
			}
			if a.Level == Fail && !slices.ContainsFunc(present, func(p Finding) bool { return p.Level == Fail && p.same(a) }) {
				fresh = append(fresh, *a)
			}
		}
		if !gone {
			continue
		}
		if len(fresh) == 0 {
			f.Remedy, f.Apply = o.text, o.apply
			return
		}
		onlyHidden := !slices.ContainsFunc(fresh, func(a Finding) bool { return a.Bridge == "" || !hidden[a.Bridge] })
		if onlyHidden && partly < 0 {
			partly, then = i, fresh[0].Message
		}
	}
	if partly >= 0 {
		f.Remedy, f.Apply = options[partly].text+"; then there is more to cure: "+then, options[partly].apply
	}
}

// after judges a copy of the design with an option applied; ok is false when
// the copy cannot be computed.
func (j *judge) after(o option) (findings []Finding, ok bool) {
	if j.tried == nil {
		j.tried = map[string]trial{}
	}
	t, known := j.tried[o.text]
	if !known && len(j.tried) >= mostTrials {
		return nil, false
	}
	if !known {
		t.findings, t.ok = j.attempt(o)
		j.tried[o.text] = t
	}
	return t.findings, t.ok
}

func (j *judge) attempt(o option) (findings []Finding, ok bool) {
	c := j.d.Clone()
	if o.apply(c) != nil {
		return nil, false
	}
	r, err := predict.Of(c)
	if err != nil || !lies(r) {
		return nil, false
	}
	next := &judge{r: r, d: c}
	return next.findings(), true
}
