package pick

import (
	"fmt"
	"strings"

	"gridwright/internal/design"
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
	if len(m.Unjudged) > 0 {
		fmt.Fprintf(&b, "\nNot judged: %s.", strings.Join(m.Unjudged, "; "))
	}
	return b.String()
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
	return fmt.Sprintf("%s: %s", capital(pr.layout.words(s.design)), s.difference(c, pr, best, winner, false))
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
	case m.Met() != n.Met() || prWorse.noBridge != prBetter.noBridge || prWorse.unlike != prBetter.unlike || !same(prWorse.excess, prBetter.excess):
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
	case !same(prWorse.output, prBetter.output):
		a, b := millivolts(prBetter.output), millivolts(prWorse.output)
		return say(
			fmt.Sprintf("its output, %s where that one gives %s", a, b),
			fmt.Sprintf("its least rated output is %s (bridge %s), that of the first %s", b, m.OutputOf, a))
	case prWorse.jumpers != prBetter.jumpers:
		return say(
			fmt.Sprintf("fewer jumpers between gauges, %d instead of %d", prBetter.jumpers, prWorse.jumpers),
			fmt.Sprintf("needs %s between gauges, the first %d", plural(prWorse.jumpers, "jumper"), prBetter.jumpers))
	case !same(prWorse.aligned, prBetter.aligned):
		a, b := millivolts(prBetter.aligned), millivolts(prWorse.aligned)
		return say(
			fmt.Sprintf("its bending bridges, which give %s where those give %s", a, b),
			fmt.Sprintf("its bending bridges give %s, those of the first %s", b, a))
	case prWorse.start != prBetter.start:
		return say("its smaller start angle alone; they are equal in all else",
			fmt.Sprintf("as good as the first in all figures; its start angle of %d° is larger than %d°", prWorse.start, prBetter.start))
	case prWorse.turned != prBetter.turned:
		return say("its pattern, which is not turned; they are equal in all else", "as good as the first in all figures; its pattern is turned")
	}
	return say("the order of names alone; they are equal in all else", "as good as the first in all figures; it comes later in the order of names, stations and arms in series")
}

// space says what was searched.
func (s *search) space() string {
	if len(s.layouts) == 1 && s.layouts[0].given {
		return "the wirings of the gauges that the file places" + s.armWords()
	}
	return fmt.Sprintf("%s of one gauge type: 1, 2, 3, 4 or 6 positions equally spaced on one ring or alike on two, pattern as it is or turned 45°, start angles every 15° (every 5° where sectors kept out exclude those)%s",
		plural(len(s.layouts), "placement set"), s.armWords())
}

func (s *search) armWords() string {
	words := ", every wiring of their grids with 1, 2 or 3 of one resistance in series in each arm, those of equal response to small loads counted once"
	if s.design.Pick.ForbidFixedArms {
		words += ", full bridges only"
	} else {
		words += ", full bridges and half bridges with two fixed arms"
	}
	left := 0
	for _, w := range s.results {
		if w != nil && w.bounded {
			left++
		}
	}
	if left > 0 {
		words += fmt.Sprintf("; for %s the longest arms were left out, to stay below %d wirings each", plural(left, "placement set"), maxWirings)
	}
	if s.left != "" {
		words += "; " + s.left
	}
	return words
}

// nothing says why there is no candidate at all.
func (s *search) nothing() string {
	if len(s.layouts) == 0 {
		return "no gauge fits: every position overlaps another backing, lies in a sector kept out, or reaches beyond the straight length; widen `pick.keep-out`, `pick.stations` or the straight length, or offer a smaller gauge"
	}
	names := make([]string, len(s.measured))
	for i, t := range s.measured {
		names[i] = loadWords(s.component(t))
	}
	why := "no wiring of the grids that fit gives a balanced bridge with an output for " + list(names)
	switch {
	case s.kept(false, 350, 350) == 0 && (s.design.Pick.ForbidFixedArms || s.kept(true, 350, 350) == 0):
		return why + ": the leads allow neither full nor half bridges; give 4 or 6 wires, or 3 with half bridges completed at the instrument"
	case s.design.Pick.ForbidFixedArms:
		return why + ": a full bridge takes four grids; raise `pick.at-most`, allow fixed arms, or offer gauges with more grids"
	}
	return why + ": a half bridge takes two grids that feel the load differently; raise `pick.at-most`, or offer gauges with grids in other directions"
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
