package pick

import (
	"fmt"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// explain writes the words of an outcome.
func (s *search) explain(out *Outcome) {
	if len(out.Candidates) == 0 {
		return
	}
	winner := s.standings[0]
	out.Met = out.Candidates[0].Metrics.Met()
	if !out.Met {
		out.Nearest = fmt.Sprintf("no arrangement that was searched meets every requirement; the nearest, %s: %s",
			winner.layout.words(s.design), strings.Join(out.Candidates[0].Metrics.Missed, "; "))
	}
	for i := range out.Candidates {
		c := &out.Candidates[i]
		if i == 0 {
			c.Why = s.whyWins(c, winner, out)
		} else {
			c.Why = s.whyLoses(c, s.standings[i], &out.Candidates[0], winner)
		}
	}
}

// whyWins says why a candidate comes first and what cancels what in it.
func (s *search) whyWins(c *Candidate, pr *proposal, out *Outcome) string {
	var b strings.Builder
	m := &c.Metrics
	fmt.Fprintf(&b, "%s: ", capital(pr.layout.words(s.design)))
	if m.Met() {
		b.WriteString("meets every requirement")
	} else {
		b.WriteString("comes nearest though it misses this: " + strings.Join(m.Missed, "; "))
	}
	fmt.Fprintf(&b, ", least rated output %s (bridge %s)", millivolts(m.Output), m.OutputOf)
	if len(out.Candidates) > 1 {
		fmt.Fprintf(&b, "; it stands before the next by %s", s.difference(c, pr, &out.Candidates[1], s.standings[1], true))
	}
	b.WriteString(".")
	for i := range c.Design.Bridges {
		kind := "full"
		if half(&c.Design.Bridges[i]) {
			kind = "half"
		}
		r := c.Result
		fmt.Fprintf(&b, "\nBridge %s (%s bridge). %s.", r.Bridges[i].Name, kind, capital(own(r, i)))
		for j := range r.Model.Components {
			if j != r.Bridges[i].Target {
				fmt.Fprintf(&b, " %s.", capital(cancels(r, i, j)))
			}
		}
		if !c.Design.Bridges[i].Excitation.Set && s.powerStated(&c.Design.Bridges[i], c.Design) {
			fmt.Fprintf(&b, " No usual excitation keeps within the power density of its grids.")
		}
	}
	fmt.Fprintf(&b, "\n%s", wiringWords(m))
	if len(m.Unjudged) > 0 {
		fmt.Fprintf(&b, "\nNot judged: %s.", strings.Join(m.Unjudged, "; "))
	}
	return b.String()
}

// wiringWords say how the arms were chosen among wirings of equal response.
func wiringWords(m *Metrics) string {
	words := "Arms: adjacent arms are of one lot and resistance, so that their thermal output and their heating by the current balance"
	if m.Shares > 1 {
		words += fmt.Sprintf("; of up to %d ways to share a bridge's grids between its arms that answer small loads alike the one with the fewest jumpers between gauges is taken (%d in all), then the most linear one", m.Shares, m.Jumpers)
	}
	return words + "."
}

// half reports whether a bridge has fixed arms.
func half(b *design.Bridge) bool {
	for _, a := range b.Arms {
		if a.Fixed() {
			return true
		}
	}
	return false
}

// powerStated reports whether every gauge of a bridge states what it bears.
func (s *search) powerStated(b *design.Bridge, d *design.Design) bool {
	for _, a := range b.Arms {
		for _, r := range a.Grids {
			g := &d.Gauges[d.Placements[r.Placement].Gauge]
			if !g.PowerDensity.Set && g.HeatSink == "" {
				return false
			}
		}
	}
	return true
}

// whyLoses names the figure that cost a runner-up the first place.
func (s *search) whyLoses(c *Candidate, pr *proposal, best *Candidate, winner *proposal) string {
	words := fmt.Sprintf("%s: %s", capital(pr.layout.words(s.design)), s.difference(c, pr, best, winner, false))
	if c.Pareto {
		words += "; no other arrangement has " + s.gains(c, best)
	}
	return words
}

// gains are the figures of the Pareto front in which a candidate is better than
// the first.
func (s *search) gains(c, best *Candidate) string {
	var more []string
	m, n := &c.Metrics, &best.Metrics
	if m.Crosstalk95.OK() && n.Crosstalk95.OK() && !within(n.Crosstalk95.Value, m.Crosstalk95.Value) {
		more = append(more, fmt.Sprintf("crosstalk-95 of %s at most (the first %s)", percent(m.Crosstalk95.Value), percent(n.Crosstalk95.Value)))
	}
	if m.GradientZero.OK() && n.GradientZero.OK() && !within(n.GradientZero.Value, m.GradientZero.Value) {
		more = append(more, fmt.Sprintf("zero from gradients of %s at most (the first %s)", percent(m.GradientZero.Value), percent(n.GradientZero.Value)))
	}
	if m.Output > n.Output*(1+near) {
		more = append(more, fmt.Sprintf("rated output of %s at least (the first %s)", millivolts(m.Output), millivolts(n.Output)))
	}
	if m.Gauges < n.Gauges {
		more = append(more, fmt.Sprintf("only %s (the first %d)", plural(m.Gauges, "gauge"), n.Gauges))
	}
	if len(more) == 0 {
		return "as good figures together"
	}
	return list(more) + " and is as good in the rest of the front"
}

// difference words the first figure of the rule in which two candidates differ:
// from the side of the better one when wins, of the worse one otherwise.
func (s *search) difference(c *Candidate, pr *proposal, other *Candidate, than *proposal, wins bool) string {
	worse, better := c, other
	prWorse, prBetter := pr, than
	if wins {
		worse, better, prWorse, prBetter = other, c, than, pr
	}
	m, n := &worse.Metrics, &better.Metrics
	say := func(won, lost string) string {
		if wins {
			return won
		}
		return lost
	}
	switch {
	case m.Met() != n.Met() || prWorse.noBridge != prBetter.noBridge || prWorse.unlike != prBetter.unlike || !sameTo(prWorse.excess, prBetter.excess, s.tie):
		missed := strings.Join(m.Missed, "; ")
		return say("what that one misses: "+missed, "misses a requirement: "+missed)
	case prWorse.spare != prBetter.spare:
		return say(
			fmt.Sprintf("its full bridges, %d where that one has %d", n.Full, m.Full),
			fmt.Sprintf("%s where the grids of the same gauges allow a full one", plural(prWorse.spare-prBetter.spare, "more half bridge")))
	case prWorse.opposite != prBetter.opposite:
		return say("its torque and axial bridges, whose grids stand opposite each other or evenly round the part, as is wanted where there is bending",
			"a torque or axial bridge stands on one side of the part; with bending among the loads, grids opposite each other come first")
	case prWorse.gauges != prBetter.gauges:
		return say(
			fmt.Sprintf("its number of gauges, %d where that one takes %d", n.Gauges, m.Gauges),
			fmt.Sprintf("takes %s where %d do", plural(m.Gauges, "gauge"), n.Gauges))
	case !sameTo(prWorse.output, prBetter.output, s.tie):
		a, b := millivolts(prBetter.output), millivolts(prWorse.output)
		return say(
			fmt.Sprintf("its output, %s where that one gives %s", a, b),
			fmt.Sprintf("its least rated output is %s (bridge %s), that of the first %s", b, m.OutputOf, a))
	case prWorse.jumpers != prBetter.jumpers:
		return say(
			fmt.Sprintf("fewer jumpers between gauges, %d instead of %d", prBetter.jumpers, prWorse.jumpers),
			fmt.Sprintf("needs %s between gauges, the first %d", plural(prWorse.jumpers, "jumper"), prBetter.jumpers))
	case !sameTo(prWorse.aligned, prBetter.aligned, s.tie):
		a, b := millivolts(prBetter.aligned), millivolts(prWorse.aligned)
		return say(
			fmt.Sprintf("its bending bridges, which give %s where those give %s", a, b),
			fmt.Sprintf("its bending bridges give %s, those of the first %s", b, a))
	case prWorse.off != prBetter.off:
		return say(
			fmt.Sprintf("its gauges on the middle of their faces alone, %d off it where that one has %d; they are equal in all else", prBetter.off, prWorse.off),
			fmt.Sprintf("as good as the first in all figures of the rule; %s off the middle of the face, of the first %d", plural(prWorse.off, "gauge"), prBetter.off))
	case !same(prWorse.room, prBetter.room):
		length := func(x float64) string { return quantity.Format(x, quantity.Length, quantity.SI, 4) }
		return say(
			fmt.Sprintf("its wider faces alone, %s at least where that one has %s; they are equal in all else", length(prBetter.room), length(prWorse.room)),
			fmt.Sprintf("as good as the first in all figures of the rule; its narrowest face is %s wide, that of the first %s", length(prWorse.room), length(prBetter.room)))
	case prWorse.start != prBetter.start:
		return say("its smaller start angle alone; they are equal in all else",
			fmt.Sprintf("as good as the first in all figures of the rule; its start angle of %d° is larger than %d°", prWorse.start, prBetter.start))
	case prWorse.turned != prBetter.turned:
		return say("its pattern, which is turned less; they are equal in all else", "as good as the first in all figures of the rule; its pattern is turned further")
	}
	return say("the order of names alone; they are equal in all else", "as good as the first in all figures of the rule; it comes later in the order of names and stations")
}
