package check

import (
	"fmt"
	"math"

	"gridwright/internal/quantity"
)

// overlap judges every pair of placements, and each against itself where it
// reaches round the part. Grids of one pattern may be stacked.
func overlap(j *judge) []Finding {
	var out []Finding
	more := 0
	girth := j.r.State.Section.Perimeter(0)
	for p := range j.d.Placements {
		a := j.backing(p)
		name := j.d.Placements[p].Name
		if own := a.depth(a, girth); own > touching && j.closed() {
			out = append(out, Finding{
				Level: Fail, subject: name, Value: some(own), Limit: some(0),
				Message: fmt.Sprintf("the backing of placement %s meets itself around the part and lies %s over itself", name, show(own, quantity.Length)),
				Remedy:  fmt.Sprintf("choose a gauge whose backing is less than the girth of %s", show(girth, quantity.Length)),
			})
		}
		for q := p + 1; q < len(j.d.Placements); q++ {
			depth := j.over(a, j.backing(q))
			if depth <= touching {
				continue
			}
			if len(out) >= mostOverlaps {
				more++
				continue
			}
			other := j.d.Placements[q].Name
			f := Finding{Level: Fail, subject: name + " " + other, Value: some(depth), Limit: some(0)}
			f.Message = fmt.Sprintf("the backings of placements %s and %s overlap by %s", name, other, show(depth, quantity.Length))
			if g, k, by := j.crossing(p, q); by > touching {
				f.Message += fmt.Sprintf(", and grid %s lies over grid %s by %s", j.r.Grids[g].Name, j.r.Grids[k].Name, show(by, quantity.Length))
			}
			f.Remedy = fmt.Sprintf("move one of the two by at least %s, or choose smaller backings", show(depth, quantity.Length))
			f.options = func(j *judge) []option { return append(j.aside(q), j.aside(p)...) }
			out = append(out, f)
		}
	}
	if more > 0 {
		out = append(out, Finding{
			Level: Fail, subject: "more",
			Message: fmt.Sprintf("%d more pairs of backings overlap", more),
			Remedy:  "take placements out, or spread them over more of the part",
		})
	}
	return out
}

// mostOverlaps bounds how many overlapping pairs are told one by one.
const mostOverlaps = 24

// crossing is the pair of grids of two placements that lie deepest over one
// another.
func (j *judge) crossing(p, q int) (first, second int, by float64) {
	for i := range j.r.Model.Grids {
		if j.r.Model.Grids[i].Ref.Placement != p {
			continue
		}
		for k := range j.r.Model.Grids {
			if j.r.Model.Grids[k].Ref.Placement != q {
				continue
			}
			if d := j.over(j.foil(i), j.foil(k)); d > by {
				first, second, by = i, k, d
			}
		}
	}
	return first, second, by
}

// roomy reports whether the backing of placement p, moved, lies over no other
// and in no keep-out sector.
func (j *judge) roomy(p int, moved outline) bool {
	for q := range j.d.Placements {
		if q != p && j.over(moved, j.backing(q)) > touching {
			return false
		}
	}
	_, deep := j.intrusion(moved)
	return deep <= 0
}

// aside are the options of the nearest free place of one placement: along the
// part to 0.5 mm, around it to 1° or, on a face, along the face to 0.5 mm.
func (j *judge) aside(p int) []option {
	base := j.backing(p)
	var out []option
	for _, sign := range []float64{1, -1} {
		for n := 1; n <= 1000; n++ {
			x := math.Round((base.x+sign*float64(n)*0.5e-3)*2e3) / 2e3
			o := base
			o.x = x
			if j.roomy(p, o) {
				out = append(out, j.station([]int{p}, x))
				break
			}
		}
		for n := 1; n <= 180; n++ {
			to := j.stepped(p, sign*float64(n))
			o := base
			o.s, o.run = to.at.S, j.face(to.at)
			if j.fits(p, to.at) && j.roomy(p, o) {
				out = append(out, j.girthwise([]int{p}, []spot{to}))
				break
			}
		}
	}
	return out
}

// intrusion is how far an outline reaches into the worst keep-out sector, rad; 0
// or less when it is clear.
func (j *judge) intrusion(o outline) (sector int, deep float64) {
	deep = math.Inf(-1)
	centre, half := j.seen(o)
	for i, k := range j.d.Pick.KeepOut {
		width := math.Mod(k.To.SI-k.From.SI, 2*math.Pi)
		if width < 0 {
			width += 2 * math.Pi
		}
		off := math.Mod(centre-k.From.SI-width/2, 2*math.Pi)
		if off > math.Pi {
			off -= 2 * math.Pi
		}
		if off < -math.Pi {
			off += 2 * math.Pi
		}
		if d := width/2 + half - math.Abs(off); d > deep {
			sector, deep = i, d
		}
	}
	return sector, deep
}

func keepOut(j *judge) []Finding {
	var out []Finding
	for p := range j.d.Placements {
		name := j.d.Placements[p].Name
		sector, deep := j.intrusion(j.backing(p))
		if deep <= 1e-9 {
			continue
		}
		k := j.d.Pick.KeepOut[sector]
		out = append(out, Finding{
			Level: Fail, subject: name, Value: some(deep), Limit: some(0),
			Message: fmt.Sprintf("the backing of placement %s reaches %s into the keep-out sector from %s to %s", name, show(deep, quantity.Angle),
				show(k.From.SI, quantity.Angle), show(k.To.SI, quantity.Angle)),
			Remedy:  fmt.Sprintf("move it by at least %s around the part", show(deep, quantity.Angle)),
			options: func(j *judge) []option { return append(j.turnedRing(p), j.aside(p)...) },
		})
	}
	return out
}

// turnedRing are the options of turning all gauges at the station of one
// together, in steps of 1°, until all are free. Gauges on faces stay there.
func (j *judge) turnedRing(p int) []option {
	station := j.r.State.Placements[p].Station
	var ring []int
	for i := range j.d.Placements {
		if math.Abs(j.r.State.Placements[i].Station-station) < touching {
			if j.d.Placements[i].Face != "" {
				return nil
			}
			ring = append(ring, i)
		}
	}
	var out []option
	for _, sign := range []float64{1, -1} {
	turn:
		for n := 1; n <= 180; n++ {
			to := make([]spot, len(ring))
			for i, q := range ring {
				_, around, _ := j.d.Placements[q].AsBonded(j.d.Tolerance)
				to[i] = j.angle(around.SI + sign*float64(n)*deg)
				o := j.backing(q)
				o.s, o.run = to[i].at.S, j.face(to[i].at)
				if _, deep := j.intrusion(o); deep > 0 || !j.fits(q, to[i].at) {
					continue turn
				}
			}
			out = append(out, j.girthwise(ring, to))
			break
		}
	}
	return out
}
