package check

import (
	"fmt"
	"math"
	"slices"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// blindShare of what its grids could give is the least that a bridge which
// measures something gives: below it, what is left is an accident of where the
// grids lie.
const blindShare = 0.02

// sightless reports a bridge that gives next to nothing for its load.
func (j *judge) sightless(b int) bool {
	pb := &j.r.Bridges[b]
	return pb.Blind || math.Abs(pb.Rated) < blindShare*pb.Capacity
}

// aim says where grids have to lie for a component.
var aim = [design.Components]string{
	design.Axial:    "bond grids along the part (direction: 0°) for arms 1 and 3, and across it (direction: 90°) for arms 2 and 4",
	design.ShearY:   "bond grids at direction: 45° and direction: -45°, at around: 90° and around: 270°",
	design.ShearZ:   "bond grids at direction: 45° and direction: -45°, at around: 0° and around: 180°",
	design.Torque:   "bond grids at direction: 45° for arms 1 and 3 and at direction: -45° for arms 2 and 4",
	design.BendingY: "bond grids along the part (direction: 0°), at around: 90° for arms 1 and 3 and at around: 270° for arms 2 and 4",
	design.BendingZ: "bond grids along the part (direction: 0°), at around: 180° for arms 1 and 3 and at around: 0° for arms 2 and 4",
	design.Pressure: "bond grids around the part (direction: 90°) for arms 1 and 3, and along it (direction: 0°) for arms 2 and 4",
}

func blind(j *judge) []Finding {
	var out []Finding
	for b := range j.r.Bridges {
		if !j.sightless(b) {
			continue
		}
		pb := &j.r.Bridges[b]
		if j.r.Model.Rated[pb.Target] == 0 {
			out = append(out, Finding{Level: Fail, Bridge: pb.Name, Value: some(0),
				Message: fmt.Sprintf("bridge %s measures %v, which is rated zero: there is no output to judge", pb.Name, pb.Measures),
				Remedy:  fmt.Sprintf("state the rated value of %v, or measure another load", pb.Measures)})
			continue
		}
		var sees []string
		for _, i := range j.gridsOf(b) {
			if math.Abs(j.r.Grids[i].Change[pb.Target]) > 1e-9 {
				sees = append(sees, j.r.Grids[i].Name)
			}
		}
		f := Finding{Level: Fail, Bridge: pb.Name, Value: some(pb.Rated), Limit: some(blindShare * pb.Capacity)}
		if len(sees) == 0 {
			f.Message = fmt.Sprintf("bridge %s is blind to %v: none of its grids sees that load, rated output %s", pb.Name, pb.Measures, volts(pb.Rated))
			f.Remedy = "no order of these grids helps: " + j.onFaces(aim[pb.Measures])
			f.options = func(j *judge) []option { return slices.Concat(j.turned(b), j.realigned(b), j.extended(b)) }
		} else {
			f.Message = fmt.Sprintf("bridge %s is blind to %v: its grids oppose each other and give %s of the %s that they could, at least %s is wanted",
				pb.Name, pb.Measures, volts(pb.Rated), volts(pb.Capacity), volts(blindShare*pb.Capacity))
			f.Remedy = fmt.Sprintf("no order of these grids helps, of which %s %s the load: %s", list(sees), verb(len(sees), "sees", "see"), j.onFaces(aim[pb.Measures]))
			f.options = func(j *judge) []option {
				return slices.Concat(j.rearranged(b), j.realigned(b), j.extended(b), j.opposed(b))
			}
		}
		out = append(out, f)
	}
	return out
}

// realigned are the options of turning all gauges of a bridge to one direction,
// along the part, across it or between, and wiring their grids anew where that is
// needed.
func (j *judge) realigned(b int) []option {
	var placements []int
	names := []string{}
	for _, i := range j.gridsOf(b) {
		if p := j.r.Model.Grids[i].Ref.Placement; !slices.Contains(placements, p) {
			placements = append(placements, p)
			names = append(names, j.d.Placements[p].Name)
		}
	}
	var out []option
	for _, angle := range []float64{0, 45 * deg, -45 * deg, 90 * deg} {
		turn := func(d *design.Design) {
			for _, p := range placements {
				set(&d.Placements[p].Direction, angle, degrees(angle))
				d.Placements[p].Measured.Direction = design.Number{}
			}
		}
		c := j.d.Clone()
		turn(c)
		r, err := predict.Of(c)
		if err != nil {
			continue
		}
		next := &judge{r: r, d: c}
		text := fmt.Sprintf("turn %s %s to direction: %s", verb(len(names), "placement", "placements"), list(names), degrees(angle))
		if !next.sightless(b) {
			out = append(out, option{text: text, apply: func(d *design.Design) error { turn(d); return nil }})
		}
		for _, o := range next.rearranged(b) {
			out = append(out, option{text: text + " and " + o.text, apply: func(d *design.Design) error { turn(d); return o.apply(d) }})
		}
	}
	return out
}

// turned are the options of turning gauges of one grid so that a bridge sees
// torque: +45° in arms 1 and 3, −45° in arms 2 and 4.
func (j *judge) turned(b int) []option {
	db := &j.d.Bridges[b]
	if db.Measures != design.Torque {
		return nil
	}
	to := map[int]float64{}
	text := ""
	for k, a := range db.Arms {
		for _, g := range a.Grids {
			if len(j.d.Gauges[j.d.Placements[g.Placement].Gauge].Directions) != 1 {
				return nil
			}
			own := j.d.Gauges[j.d.Placements[g.Placement].Gauge].Directions[0]
			angle := math.Pi / 4
			if k%2 == 1 {
				angle = -angle
			}
			to[g.Placement] = angle - own
			text += fmt.Sprintf(", placement %s to direction: %s", j.d.Placements[g.Placement].Name, degrees(angle-own))
		}
	}
	return []option{{
		text: "turn the grids to the shear strain of torque" + text,
		apply: func(d *design.Design) error {
			for p, angle := range to {
				if p >= len(d.Placements) {
					return fmt.Errorf("the design has no placement number %d", p+1)
				}
				p := &d.Placements[p]
				set(&p.Direction, angle, degrees(angle))
				p.Measured.Direction = design.Number{}
			}
			return nil
		},
	}}
}

// gridsOf are the grids of a bridge, arm by arm, as indexes into the model.
func (j *judge) gridsOf(b int) []int {
	var out []int
	for _, a := range j.r.Model.Bridges[b].Arms {
		out = append(out, a.Grids...)
	}
	return out
}

// polarity wants a positive output for a positive load. Where the load is rated
// negative, as in compression, a bridge may be wired to read positive for it:
// that is said, for it decides the sign of every reading.
func polarity(j *judge) []Finding {
	var out []Finding
	for b := range j.r.Bridges {
		pb := &j.r.Bridges[b]
		if j.sightless(b) || pb.Sensitivity[pb.Target] > 0 {
			continue
		}
		if j.sense(&j.d.Bridges[b]) < 0 {
			rated := j.r.Model.Rated[pb.Target]
			out = append(out, Finding{
				Level: Note, Bridge: pb.Name, Value: some(pb.Rated),
				Message: fmt.Sprintf("bridge %s gives %s at the rated %v of %s: it reads positive for a negative load", pb.Name, volts(pb.Rated), pb.Measures,
					show(rated, pb.Measures.Kind())),
			})
			continue
		}
		out = append(out, Finding{
			Level: Fail, Bridge: pb.Name, Value: some(pb.Rated), Limit: some(0),
			Message: fmt.Sprintf("bridge %s gives %s for a positive %v of rated size; above 0 mV/V is wanted", pb.Name, volts(pb.Rated), pb.Measures),
			Remedy:  "exchange the signal leads at the instrument and mark them",
			options: func(j *judge) []option { return j.rearranged(b) },
		})
	}
	return out
}

// sense is the sign of output that a bridge is to give for a positive load: −1
// where its load is rated negative and it reads positive for that.
func (j *judge) sense(b *design.Bridge) float64 {
	for i := range j.d.Bridges {
		pb := &j.r.Bridges[i]
		if j.d.Bridges[i].Name == b.Name && j.r.Model.Rated[pb.Target] < 0 && pb.Sensitivity[pb.Target] < 0 && !j.sightless(i) {
			return -1
		}
	}
	return 1
}

// The limits of crosstalk that hold where the file requires nothing. That 0.05 %
// is as good as none is a choice: it lies below what placement leaves.
const (
	crosstalkNone     = 0.0005
	crosstalkRejected = 0.05 // of a load to be rejected
	crosstalkMatrix   = 0.10 // of a load that another bridge measures
)

// crosstalkLevel is what a crosstalk ratio of a bridge to a component means,
// with the limit that it breaks; "" where it breaks none.
func (j *judge) crosstalkLevel(b *design.Bridge, component int, ratio float64) (Level, float64) {
	if req := j.d.Require.Crosstalk; req.Set {
		if ratio > req.SI*(1+1e-9) {
			return Fail, req.SI
		}
		return "", 0
	}
	separated := j.separated(b, component)
	switch {
	case ratio <= crosstalkNone:
		return "", 0
	case separated && ratio > crosstalkMatrix:
		return Warning, crosstalkMatrix
	case separated:
		return Note, crosstalkNone
	case ratio > crosstalkRejected:
		return Fail, crosstalkRejected
	}
	return Warning, crosstalkNone
}

// separated reports whether another bridge measures the component, so that the
// matrix of the bridges takes it out.
func (j *judge) separated(b *design.Bridge, component int) bool {
	for i := range j.d.Bridges {
		if o := &j.d.Bridges[i]; o.Name != b.Name && o.Measures == j.r.Model.Components[component] && !j.sightless(i) {
			return true
		}
	}
	return false
}

func crosstalk(j *judge) []Finding {
	var out []Finding
	for b := range j.r.Bridges {
		if j.sightless(b) {
			continue
		}
		pb, db := &j.r.Bridges[b], &j.d.Bridges[b]
		for c, figure := range pb.Crosstalk {
			if c == pb.Target || !figure.OK() {
				continue
			}
			level, limit := j.crosstalkLevel(db, c, figure.Value)
			if level == "" {
				continue
			}
			name := j.r.Model.Components[c]
			what := "is wanted"
			switch {
			case j.d.Require.Crosstalk.Set:
				what = "is required"
			case level == Note:
				what = "counts as none; another bridge measures it, so the matrix of the bridges separates them"
			case j.separated(db, c):
				what = "is wanted even where another bridge measures it and the matrix of the bridges separates them"
			}
			f := Finding{
				Level: level, Bridge: pb.Name, subject: name.String(), Value: some(figure.Value), Limit: some(limit),
				Message: fmt.Sprintf("bridge %s sums %v: %s of rated output at rated %v, at most %s %s",
					pb.Name, name, show(figure.Value, quantity.Ratio), name, show(limit, quantity.Ratio), what),
			}
			if level != Note {
				f.Remedy = j.apart(b, c)
				f.options = func(j *judge) []option {
					return slices.Concat(j.rearranged(b), j.extended(b), j.opposed(b))
				}
			}
			out = append(out, f)
		}
	}
	return out
}

// where the grids of a bending bridge lie.
var where = map[design.Component]string{
	design.BendingY: "around: 90° and around: 270°",
	design.BendingZ: "around: 0° and around: 180°",
}

// apart says what keeps a component out of a bridge when no order of its grids
// does.
func (j *judge) apart(b, component int) string {
	first := j.r.Grids[j.gridsOf(b)[0]]
	to := j.opposite(j.r.Model.Grids[j.gridsOf(b)[0]].Ref.Placement)
	if to.face == "" { // opposite the grid itself
		to = j.angle(math.Round(math.Mod(first.Around+math.Pi, 2*math.Pi)/deg*100) / 100 * deg)
	}
	bond := fmt.Sprintf("bond an equal gauge opposite, at %s for grid %s, and wire its grids so that it cancels", to.words(), first.Name)
	switch {
	case !to.ok:
		bond = "the section has no place opposite; measure this load too, with a bridge of its own, and let the matrix take it out"
	case j.taken(first.Station, to.at):
		bond = "bond the opposite grids exactly opposite each other and in one direction, so that they see it alike"
		if section.Joints(j.r.State.Section, 0) == nil {
			bond = "bond the opposite grids exactly 180° apart and in one direction, so that they see it alike"
		}
	}
	target := j.r.Bridges[b].Measures
	switch c := j.r.Model.Components[component]; c {
	case design.BendingY, design.BendingZ:
		if target == design.BendingY || target == design.BendingZ {
			return fmt.Sprintf("bond the grids exactly where %v does not reach (%s), or measure %v too, so that the matrix of the bridges takes it out", c, j.onFaces(where[target]), c)
		}
		return bond
	case design.ShearY, design.ShearZ:
		return "a shear force bends the part away from station 0, so set station: 0 mm where bending is measured; else " + bond
	case design.Torque:
		return "set the grids exactly along or across the part (direction: 0° or 90°), where torque does not strain them"
	case design.Axial, design.Pressure:
		if !slices.ContainsFunc(j.d.Bridges[b].Arms[:], design.Arm.Fixed) && target != design.Axial && target != design.Pressure {
			return fmt.Sprintf("no order of these grids hides %v from the bridge: set the grids of adjacent arms in directions that it strains alike, or measure it too, so that the matrix of the bridges takes it out", c)
		}
		if target == design.Axial || target == design.Pressure {
			return fmt.Sprintf("%v strains the part as %v does, so no bridge alone tells them apart: measure %v too, with a bridge of its own, and let the matrix take it out", c, target, c)
		}
		return "wire grids that this load strains alike into adjacent arms, bonding equal grids for the arms that are fixed resistors"
	}
	return "wire grids that this load strains alike into adjacent arms"
}
