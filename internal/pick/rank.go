package pick

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/model"
	"gridwright/internal/predict"
)

// proposal is one set of bridges on one layout.
type proposal struct {
	layout *layout
	set    set
	standing
}

// standing is what candidates are ranked by, in the order of the rule.
type standing struct {
	noBridge int // loads without a bridge
	unlike   int // bridges whose thermal output does not cancel
	excess   float64
	spare    int // half bridges where the layout admits a full one
	opposite bool
	gauges   int
	output   float64
	jumpers  int
	aligned  float64
	off      int     // gauges off the middle of their face; 0 on a round part
	room     float64 // width of the narrowest face with a gauge; 0 on a round part
	// and so that the order is always the same:
	start  int
	turned int
	name   string
}

// rule is the ranking rule in a sentence.
func (p *problem) rule() string {
	limit := fmt.Sprintf("nominal crosstalk of every load of the file at most %s", percent(p.crosstalk))
	if !p.stated {
		limit += " (the file states no limit)"
	}
	words := []string{
		"requirements met (" + limit + ", thermal output cancels between adjacent arms of one lot and resistance, output positive for a positive load, and what else the file requires)",
		"full bridges wherever spare grids of the same gauges allow one",
	}
	if p.bends {
		words = append(words, "torque and axial bridges on grids opposite each other or evenly round the part before those on one side, because there is bending")
	}
	words = append(words, "fewer gauges", "the greater of the least rated outputs", "fewer jumpers between gauges", "more output of the bending bridges")
	if !p.round {
		words = append(words, "fewer gauges off the middle of their face", "the wider faces")
	}
	words = append(words, "the smaller start angle", "the pattern turned less", "the earlier name")
	within := "1e-6 of each other"
	if p.tie > tie {
		within = fmt.Sprintf("%.1g of each other, which the stress of the section is known to,", p.tie)
	}
	return "ranked by, in this order: " + strings.Join(words, "; ") + "; figures within " + within + " are ties, and outputs are compared by the response to small loads"
}

// proposals lists what all layouts gave.
func (s *search) proposals() []*proposal {
	var out []*proposal
	for i, w := range s.results {
		if w == nil {
			continue
		}
		l := &s.layouts[i]
		full := 0
		for k := range w.sets {
			full = max(full, w.sets[k].full)
		}
		for _, st := range w.sets {
			pr := &proposal{layout: l, set: st}
			pr.standing = standing{
				noBridge: st.missing, unlike: st.unlike, excess: st.excess, spare: full - st.full, opposite: st.opposite,
				gauges: len(l.placements), output: st.output, jumpers: st.touched, aligned: st.aligned,
				off: l.off(), room: l.room(), start: l.start(), turned: l.turned(), name: s.label(l, &st),
			}
			out = append(out, pr)
		}
	}
	return out
}

// label tells proposals apart that are alike in all else.
func (s *search) label(l *layout, st *set) string {
	name := ""
	for _, r := range l.rings {
		name += fmt.Sprintf("%s %d", s.design.Gauges[r.gauge].Name, len(r.angles))
		name += fmt.Sprintf(" %+020.9f", math.Abs(r.station.SI))
		name += fmt.Sprintf(" %+020.9f %03d %v ", r.station.SI, r.turn, r.free)
		name += r.class
	}
	for c := range s.measured {
		switch w := &st.bridges[c]; {
		case w.none():
			name += "-"
		case w.shape.full():
			name += "f"
		default:
			name += "h"
		}
	}
	return name
}

// rank sorts proposals, best first. Figures are sorted into classes of equals
// first, so that ties are ties for all alike.
func rank(p *problem, all []*proposal) []*proposal {
	excess := classes(all, p.tie, func(s *standing) float64 { return -s.excess })
	output := classes(all, p.tie, func(s *standing) float64 { return s.output })
	aligned := classes(all, p.tie, func(s *standing) float64 { return s.aligned })
	room := classes(all, tie, func(s *standing) float64 { return s.room })
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b *proposal) int {
		x, y := &a.standing, &b.standing
		for _, c := range []int{
			x.noBridge - y.noBridge, x.unlike - y.unlike, excess[x] - excess[y], x.spare - y.spare, no(x.opposite) - no(y.opposite),
			x.gauges - y.gauges, output[x] - output[y], x.jumpers - y.jumpers, aligned[x] - aligned[y],
			x.off - y.off, room[x] - room[y], x.start - y.start, x.turned - y.turned, strings.Compare(x.name, y.name),
		} {
			if c != 0 {
				return c
			}
		}
		return 0
	})
	return sorted
}

func no(b bool) int {
	if b {
		return 0
	}
	return 1
}

// classes numbers the classes of equal figures, the greatest first.
func classes(all []*proposal, tie float64, of func(*standing) float64) map[*standing]int {
	sorted := make([]*standing, len(all))
	for i, pr := range all {
		sorted[i] = &pr.standing
	}
	slices.SortStableFunc(sorted, func(a, b *standing) int {
		switch x, y := of(a), of(b); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	out := make(map[*standing]int, len(all))
	class, head := 0, 0.0
	for i, s := range sorted {
		if v := of(s); i == 0 || !sameTo(v, head, tie) {
			class++
			head = v
		}
		out[s] = class
	}
	return out
}

// family is what proposals share that differ only in the start angle.
func (s *search) family(pr *proposal) string {
	l := pr.layout
	if l.given {
		return fmt.Sprintf("%s %v", pr.name, pr.set.front)
	}
	return pr.name
}

// maxPredictions bounds the exact predictions of one search.
const maxPredictions = 2000

// maxFront bounds the members of the Pareto front that are kept beyond the best.
const maxFront = 40

// predict builds the best proposals and those of the front, predicts them exactly
// and ranks them by that. A proposal that misses a requirement only the exact
// prediction knows stands after all that meet it.
func (s *search) predict(ctx context.Context, ranked []*proposal, opt Options) (out []Candidate, bounded bool, err error) {
	var met, missed []*proposal
	built := map[*proposal]*judged{}
	seen := map[string]bool{}
	pareto := paretoOf(ranked)
	kept := 0
	for i, pr := range ranked {
		family := s.family(pr)
		wanted := opt.All || len(met) < opt.Most && !seen[family] && !pr.set.front
		if pareto[pr] && !wanted && kept < maxFront {
			wanted = true
			kept++
		}
		if !wanted {
			continue
		}
		if i > 0 && ctx.Err() != nil && len(built) >= opt.Most {
			break
		}
		if len(built) >= maxPredictions {
			bounded = true
			break
		}
		hoped := pr.noBridge == 0 && pr.unlike == 0 && pr.excess == 0
		if !hoped && !opt.All && len(missed) >= opt.Most {
			break
		}
		c, err := s.candidate(pr)
		if err != nil {
			return nil, false, fmt.Errorf("placement set %s: %w", pr.layout.words(s.design), err)
		}
		built[pr] = c
		if c.Metrics.Met() {
			c.Pareto = pareto[pr]
			met = append(met, pr)
			seen[family] = true
			continue
		}
		missed = append(missed, pr)
		if !hoped {
			seen[family] = true
		} else if c.byWiring {
			bounded = true // another wiring of the same kind was not tried
		}
	}
	order := append(rank(s.problem, met), dedupe(s, rank(s.problem, missed), seen, opt.All, len(met) > 0)...)
	for i, pr := range order {
		c := built[pr]
		if i >= opt.Most && !opt.All && !c.Pareto {
			continue
		}
		c.Rank = len(out) + 1
		out = append(out, c.Candidate)
		s.standings = append(s.standings, pr)
	}
	return out, bounded, nil
}

// dedupe keeps the best start angle of each family.
func dedupe(s *search, ranked []*proposal, taken map[string]bool, all, skipTaken bool) []*proposal {
	if all {
		return ranked
	}
	seen := map[string]bool{}
	var out []*proposal
	for _, pr := range ranked {
		f := s.family(pr)
		if seen[f] || skipTaken && taken[f] {
			continue
		}
		seen[f] = true
		out = append(out, pr)
	}
	return out
}

// judged is a candidate, and whether what it misses depends on the wiring.
type judged struct {
	Candidate
	byWiring bool
}

// candidate builds and predicts one proposal and sets its exact standing.
func (s *search) candidate(pr *proposal) (*judged, error) {
	d, jumpers, ways, err := s.build(pr)
	if err != nil {
		return nil, err
	}
	r, err := predict.Of(d)
	if err != nil {
		return nil, err
	}
	j := s.judge(pr, r)
	c := &judged{Candidate{Design: d, Result: r}, j.byWiring}
	m := &c.Metrics
	*m = Metrics{
		Gauges: len(d.Placements), HalfSpare: pr.spare, Opposite: pr.opposite, Thermal: pr.unlike == 0, NoBridge: pr.noBridge,
		Jumpers: jumpers, Shares: ways, Missed: j.missed, Unjudged: j.unjudged, Excess: j.excess,
		Crosstalk95: predict.None("the file has no other load"), GradientZero: predict.None("no bridge"),
		Crosstalk: predict.None("the file has no other load"), ZeroDrift: predict.None("the file gives no temperature range"),
	}
	if err := s.tolerate(m, pr.layout, r); err != nil {
		return nil, err
	}
	least, bend := math.Inf(1), 0.0
	for i := range r.Bridges {
		b := &r.Bridges[i]
		full := true
		for _, a := range d.Bridges[i].Arms {
			m.Grids += len(a.Grids)
			m.Joints += 2 * max(1, len(a.Grids))
			full = full && !a.Fixed()
		}
		m.Leads += leadsOf(&d.Bridges[i])
		if full {
			m.Full++
		} else {
			m.Half++
		}
		if m.OutputOf == "" || math.Abs(b.Rated) < m.Output {
			m.Output, m.OutputOf = math.Abs(b.Rated), b.Name
		}
		small := b.Sensitivity[b.Target] * s.rated[b.Target]
		least = math.Min(least, small)
		if bending(b.Measures) {
			bend += small
		}
		for k, f := range b.Crosstalk {
			if f.OK() && (!m.Crosstalk.OK() || f.Value > m.Crosstalk.Value) {
				m.Crosstalk, m.CrosstalkOf = f, loadWords(s.component(k))+" in "+b.Name
			}
		}
		if f := b.Temperature.ZeroDrift; f.OK() && (!m.ZeroDrift.OK() || f.Value > m.ZeroDrift.Value) {
			m.ZeroDrift = f
		}
	}
	pr.output, pr.aligned, pr.jumpers, pr.excess = least, bend, jumpers, j.excess
	return c, nil
}

// tolerate sets the figures of a built candidate under tolerances and gradients,
// by the weights of its exact network.
func (s *search) tolerate(m *Metrics, l *layout, r *predict.Result) error {
	var t *tolerances
	var err error
	if s.shared != nil {
		t, err = s.shared.of(l)
	} else {
		t, err = newTolerances(r.Model, r.State)
	}
	if err != nil {
		return err
	}
	weights := make([]float64, len(r.Model.Grids))
	for i := range r.Bridges {
		b := &r.Bridges[i]
		if b.Blind {
			continue
		}
		condition := model.At(s.design.Temperature.Reference.SI)
		solved, err := r.Model.Solve(r.State, i, &condition)
		if err != nil {
			return err
		}
		clear(weights)
		for k, arm := range r.Model.Bridges[i].Arms {
			for _, g := range arm.Grids {
				weights[g] = solved.Weight[k] * r.State.Grids[g].Resistance
			}
		}
		if x, of := t.crosstalk95(weights, b.Target); of >= 0 && (!m.Crosstalk95.OK() || x > m.Crosstalk95.Value) {
			m.Crosstalk95, m.Crosstalk95Of = predict.Some(x), loadWords(r.Model.Components[of])+" in "+b.Name
		}
		if x := t.gradientZero(weights, b.Target); !m.GradientZero.OK() || x > m.GradientZero.Value {
			m.GradientZero, m.GradientOf = predict.Some(x), b.Name
		}
	}
	return nil
}

// leadsOf is how many wires run from the part for a bridge: those that the file
// states, else one for each corner that the part has.
func leadsOf(b *design.Bridge) int {
	switch {
	case b.Leads.Wires > 0:
		return b.Leads.Wires
	case b.Leads.AtInstrument && half(b):
		return 3
	}
	return 4
}
