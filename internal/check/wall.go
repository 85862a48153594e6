package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// round reports a section whose figures are closed forms.
func (j *judge) round() bool { return section.Joints(j.r.State.Section, 0) == nil }

// greatest is what the length over which ends disturb is called.
func (j *judge) greatest() string {
	if j.round() {
		return "outer diameter"
	}
	return "greatest width of the section"
}

// accuracyLimit is the relative error of torsion constant or surface stress from
// which the solution of a section is worth a warning.
const accuracyLimit = 1e-3

func accuracy(j *judge) []Finding {
	p := j.r.Section
	worst := math.Max(p.JError, p.StressError)
	if worst <= accuracyLimit {
		return nil
	}
	return []Finding{{
		Level: Warning, Value: some(worst), Limit: some(accuracyLimit),
		Message: fmt.Sprintf("the section could be solved to %s of its torsion constant and %s of its greatest surface shear only; at most %s is wanted",
			percent(p.JError), percent(p.StressError), percent(accuracyLimit)),
		Remedy: "state the radii that corners of the section have, and leave details out that are far smaller than the section",
	}}
}

func percent(v float64) string { return show(v, quantity.Ratio) }

// reentrant says what the strength of a section with re-entrant corners leaves out.
func reentrant(j *judge) []Finding {
	left := j.r.Strength.Left
	s := j.r.State.Section
	where := "of its outline"
	if left == 0 {
		for loop := 1; loop < section.Loops(s); loop++ {
			left = math.Max(left, predict.WorstOf(s, loop, func(section.Coordinate) float64 { return 0 }).Left)
		}
		where = "of its hole"
	}
	if left == 0 {
		return nil
	}
	return []Finding{{
		Level: Note, Value: some(left),
		Message: fmt.Sprintf("the section has sharp re-entrant corners %s, where stress has no bound: it is not counted within %s of them, and what the true fillet concentrates is not judged",
			where, show(left, quantity.Length)),
		Remedy: "state the stress concentration of the fillet under `features`, or draw the section with its radii",
	}}
}

// warping judges placements against the length over which a restraint of warping at
// an end of the straight length dies out, where that is longer than the section is
// wide: there torsion and shear flow are not Saint-Venant's.
func warping(j *judge) []Finding {
	s := j.d.Part.StraightLength
	if !s.Set || j.round() {
		return nil
	}
	_, twisted := j.d.Load(design.Torque)
	_, y := j.d.Load(design.ShearY)
	_, z := j.d.Load(design.ShearZ)
	decay := j.r.State.Section.Walls().Decay
	if !(twisted || y || z) || decay <= j.r.Section.Depth*(1+1e-6) {
		return nil
	}
	var out []Finding
	for p := range j.d.Placements {
		low, high := j.span(p)
		near := math.Min(low-s.From.SI, s.To.SI-high)
		if near < -touching || near >= decay-touching {
			continue // rule end speaks of grids beyond the end
		}
		name := j.d.Placements[p].Name
		out = append(out, Finding{
			Level: Warning, subject: name, Value: some(near), Limit: some(decay),
			Message: fmt.Sprintf("a grid of placement %s lies %s from an end of the straight length; where that end keeps the section from warping, torsion strain falls off from it over a length of %s (to 1/e) and is not that of the free bar",
				name, show(near, quantity.Length), show(decay, quantity.Length)),
			Remedy:  fmt.Sprintf("place the gauges %s from both ends, or leave the ends free to warp", show(decay, quantity.Length)),
			options: func(j *judge) []option { return append(j.moved(p, decay), j.longer(p, decay)) },
		})
	}
	return out
}

// Buckling coefficients of long plates under uniform compression: held along both
// edges, and along one (Timoshenko and Gere, Theory of Elastic Stability; from memory).
const (
	heldOnBothEdges = 4
	heldOnOneEdge   = 0.43
)

// buckling compares what the slenderest flat wall bears before it buckles,
//
//	σcr = k π²E/(12(1 − ν²)) · (t/b)²
//
// k = 4 for the walls of a hollow section, 0.43 for the free flanges of an open one,
// with yield and with the stress at overload. A note: neither imperfections nor the
// sign of the stress is known here.
func buckling(j *judge) []Finding {
	slender := j.r.State.Section.Walls().Slenderness
	if j.round() || slender == 0 {
		return nil
	}
	k, edges := float64(heldOnOneEdge), "held along one edge"
	if section.Loops(j.r.State.Section) > 1 {
		k, edges = heldOnBothEdges, "held along both edges"
	}
	nu := j.d.Part.Material.Poisson.SI
	critical := k * math.Pi * math.Pi * j.r.State.Young() / (12 * (1 - nu*nu) * slender * slender)
	stress := j.r.Strength.VonMises * j.d.Overload.SI
	bears := stress
	f := Finding{Level: Warning, Value: some(slender)}
	against := fmt.Sprintf("less than the %s at overload", show(stress, quantity.Stress))
	if critical >= stress {
		yield := j.d.Part.Material.Yield
		if !yield.Set || critical >= yield.SI {
			return nil
		}
		bears, f.Level = yield.SI, Note
		against = fmt.Sprintf("before it yields; at overload it bears %s", show(stress, quantity.Stress))
	}
	f.Limit = some(slender * math.Sqrt(critical/bears))
	f.Message = fmt.Sprintf("a flat wall %s times as wide as thick, %s, buckles locally at about %s in compression, %s", show(slender, quantity.Number), edges, show(critical, quantity.Stress), against)
	f.Remedy = "thicken the wall, or prove its stability by the code that applies to the part"
	return []Finding{f}
}

// standOff says by how much the foil's height above a flat adds to the strain of
// torque, which is counted: 2hθ′ beside the surface's γ.
func standOff(j *judge) []Finding {
	if _, ok := j.d.Load(design.Torque); !ok || j.round() {
		return nil
	}
	most, which := 0.0, ""
	for p := range j.d.Placements {
		h := j.d.Gauges[j.d.Placements[p].Gauge].StandOff.SI
		at := &j.r.State.Placements[p]
		if h == 0 || j.r.State.Section.Curvature(at.Coordinate) != 0 {
			continue
		}
		var u section.Unit
		j.r.State.Section.Surface(at.Coordinate, at.Station, &u)
		// γ = τ/G, θ′ = T/GJ
		share := math.Abs(2 * h / (j.r.Section.J * u[design.Torque].Shear))
		if share > most && !math.IsInf(share, 0) {
			most, which = share, j.d.Placements[p].Name
		}
	}
	if which == "" {
		return nil
	}
	return []Finding{{
		Level: Note, Value: some(most),
		Message: fmt.Sprintf("the foil's stand-off raises the strain of torque under placement %s by %s over that of the flat surface; it is counted in all figures", which, percent(most)),
	}}
}

// holeStress is the greatest von Mises stress along the holes of a section at rated
// loads; ok is false for a section without or whose bore has closed forms.
func (j *judge) holeStress() (float64, bool) {
	s := j.r.State.Section
	worst, ok := 0.0, false
	for loop := 1; loop < section.Loops(s); loop++ {
		for x := range j.stations() {
			w := predict.WorstOf(s, loop, func(c section.Coordinate) float64 { return predict.VonMises(j.r.Model, j.r.State, c, x) })
			worst, ok = math.Max(worst, w.Value), true
		}
	}
	return worst, ok
}
