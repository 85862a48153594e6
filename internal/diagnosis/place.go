package diagnosis

import (
	"fmt"
	"math"
)

const deg = math.Pi / 180

// spot is a placement with grids in bridges, and the inputs of where it sits.
type spot struct {
	name                               string
	number                             int
	station, around, across, direction int     // inputs; -1 where there is none
	face                               float64 // width of the face that across counts on, m
}

// spots finds, for each placement that is wired, its inputs: those at the place of the
// number that the model uses, measured or planned.
func (b *bench) spots() []spot {
	_, used := b.seats()
	wired := map[int]bool{}
	for _, g := range used {
		wired[b.m.Grids[g].Ref.Placement] = true
	}
	var out []spot
	for i := range b.m.Design.Placements {
		if !wired[i] {
			continue
		}
		p := &b.m.Design.Placements[i]
		station, around, direction := p.AsBonded(b.m.Design.Tolerance)
		at := func(place, key string) int {
			if place == "" {
				place = "placements." + p.Name + "." + key
			}
			if found := b.inputsAt(place); len(found) == 1 {
				return found[0]
			}
			return -1
		}
		found := spot{name: p.Name, number: i, station: at(station.Place.Path, "station"), around: -1, across: -1, direction: at(direction.Place.Path, "direction")}
		if p.Face == "" {
			found.around = at(around.Place.Path, "around")
		} else {
			found.across = at(p.AcrossAsBonded(b.m.Design.Tolerance).Place.Path, "across")
			found.face = b.states[0].Section.Faces()[p.FaceIndex].Length
		}
		out = append(out, found)
	}
	return out
}

// moved is a cause that shifts one input by its parameter.
func moved(c cause, input int) *cause {
	c.inputs = func(x []float64, theta float64) { x[input] += theta }
	c.parameter.owns = []int{input}
	return &c
}

// turnedPlacements: a gauge bonded in another direction, from some degrees to half a
// turn.
func (b *bench) turnedPlacements() []*cause {
	var out []*cause
	for _, s := range b.spots() {
		if s.direction < 0 {
			continue
		}
		out = append(out, moved(cause{class: turned, id: "turned " + s.name,
			says: func(theta, sd float64) string {
				return fmt.Sprintf("placement %s turned by %s, + is clockwise", s.name, amount(theta/deg, sd/deg, "°"))
			},
			parameter: &parameter{from: -math.Pi, to: math.Pi, scan: angleScan(), logPrior: angles, quantity: "direction of " + s.name, unit: "°", perUnit: 1 / deg}}, s.direction))
	}
	return out
}

// placedAround: a gauge at another angle around the part, or elsewhere on its face.
func (b *bench) placedAround() []*cause {
	var out []*cause
	for _, s := range b.spots() {
		if s.across >= 0 {
			reach := 0.4 * s.face
			sigma := max(0.002, 0.1*s.face)
			out = append(out, moved(cause{class: wrongAround, id: "across " + s.name,
				says: func(theta, sd float64) string {
					return fmt.Sprintf("placement %s is off across its face by %s", s.name, amount(1e3*theta, 1e3*sd, "mm"))
				},
				parameter: &parameter{from: -reach, to: reach, scan: even(-reach, reach, 20), logPrior: spread(sigma, -reach, reach, 0.1), quantity: "place across of " + s.name, unit: "mm", perUnit: 1e3}}, s.across))
		}
		if s.around < 0 {
			continue
		}
		out = append(out, moved(cause{class: wrongAround, id: "around " + s.name,
			says: func(theta, sd float64) string {
				return fmt.Sprintf("placement %s is off around the part by %s", s.name, amount(theta/deg, sd/deg, "°"))
			},
			parameter: &parameter{from: -math.Pi, to: math.Pi, scan: angleScan(), logPrior: angles, quantity: "angle around of " + s.name, unit: "°", perUnit: 1 / deg}}, s.around))
	}
	return out
}

// placedAlong: a gauge at another station. The slip is usually some millimetres, larger
// on a large part.
func (b *bench) placedAlong() []*cause {
	depth := b.states[0].Section.Properties().Depth
	var out []*cause
	for _, s := range b.spots() {
		if s.station < 0 {
			continue
		}
		reach := max(0.05, 3*depth)
		sigma := max(0.004, 0.2*depth)
		out = append(out, moved(cause{class: wrongStation, id: "station " + s.name,
			says: func(theta, sd float64) string {
				return fmt.Sprintf("placement %s is off along the part by %s", s.name, amount(1e3*theta, 1e3*sd, "mm"))
			},
			parameter: &parameter{from: -reach, to: reach, scan: even(-reach, reach, 20), logPrior: spread(sigma, -reach, reach, 0.1), quantity: "station of " + s.name, unit: "mm", perUnit: 1e3}}, s.station))
	}
	return out
}
