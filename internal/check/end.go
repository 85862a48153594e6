package check

import (
	"fmt"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// touching is a distance that counts as none, m.
const touching = 1e-9

// span is what the grids of a placement cover along the part, m: the stations of
// the outermost edges.
func (j *judge) span(p int) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i := range j.r.Model.Grids {
		if j.r.Model.Grids[i].Ref.Placement != p {
			continue
		}
		o := j.foil(i)
		axial, _ := o.reach()
		low, high = math.Min(low, o.x-axial), math.Max(high, o.x+axial)
	}
	return low, high
}

// ends judges each placement against the nearest end of the straight length and
// the nearest feature. Within one outer diameter of either the strain is not that
// of the plain section (Saint-Venant).
func ends(j *judge) []Finding {
	var out []Finding
	clear := j.r.Section.Depth
	for p := range j.d.Placements {
		low, high := j.span(p)
		name := j.d.Placements[p].Name
		worst, what, over := math.Inf(1), "", ""
		if s := j.d.Part.StraightLength; s.Set {
			if d := low - s.From.SI; d < worst {
				worst, what, over = d, "the end of the straight length at station "+show(s.From.SI, quantity.Length), "beyond"
			}
			if d := s.To.SI - high; d < worst {
				worst, what, over = d, "the end of the straight length at station "+show(s.To.SI, quantity.Length), "beyond"
			}
		}
		for _, f := range j.d.Part.Features {
			d := math.Max(low-f.Station.SI, f.Station.SI-high)
			if d < worst {
				worst, what, over = d, fmt.Sprintf("feature %q at station %s", f.Name, show(f.Station.SI, quantity.Length)), "over"
			}
		}
		f := Finding{Level: Warning, subject: name, Value: some(worst), Limit: some(clear)}
		switch {
		case worst < -touching:
			f.Level, f.Limit = Fail, some(0)
			f.Message = fmt.Sprintf("a grid of placement %s lies %s %s %s", name, show(-worst, quantity.Length), over, what)
		case worst < clear-touching:
			f.Message = fmt.Sprintf("a grid of placement %s lies %s from %s; at least one %s, %s, is wanted", name, show(worst, quantity.Length), what, j.greatest(), show(clear, quantity.Length))
		default:
			continue
		}
		f.Remedy = fmt.Sprintf("no station of the straight length is free on both sides: the gauge wants %s without a feature, its own length and one %s on each side",
			show(high-low+2*clear, quantity.Length), j.greatest())
		if !j.d.Part.StraightLength.Set {
			f.Remedy = fmt.Sprintf("move placement %s until its grids are %s away", name, show(clear, quantity.Length))
		}
		f.options = func(j *judge) []option { return append(j.moved(p, clear), j.longer(p, clear)) }
		out = append(out, f)
	}
	return out
}

// free are the stations of a placement nearest to its own at which grids that
// reach from low to high of the present one are clear m from ends and features, one
// on each side of each obstacle, the nearest first; mm where that is enough.
func (j *judge) free(now, low, high, clear float64) []float64 {
	from, to := math.Inf(-1), math.Inf(1)
	if s := j.d.Part.StraightLength; s.Set {
		from, to = s.From.SI+clear+now-low, s.To.SI-clear+now-high
	}
	var out []float64
	add := func(x, toward float64) {
		for _, grid := range []float64{1e3, 1e4, 1e5} {
			r := math.Round(x*grid) / grid
			switch {
			case math.Abs(r-x) < touching:
			case toward > 0:
				r = math.Ceil(x*grid) / grid
			default:
				r = math.Floor(x*grid) / grid
			}
			ok := r >= from-touching && r <= to+touching
			for _, f := range j.d.Part.Features {
				ok = ok && math.Max(r+low-now-f.Station.SI, f.Station.SI-(r+high-now)) >= clear-touching
			}
			if ok {
				out = append(out, r)
				return
			}
		}
	}
	add(from, 1)
	add(to, -1)
	for _, f := range j.d.Part.Features {
		add(f.Station.SI+clear+now-low, 1)
		add(f.Station.SI-clear+now-high, -1)
	}
	// nearest to the present one first
	for i := range out {
		for k := i; k > 0 && math.Abs(out[k]-now) < math.Abs(out[k-1]-now); k-- {
			out[k], out[k-1] = out[k-1], out[k]
		}
	}
	return out
}

// moved are the options of another station: for the placement with all that
// share its station, so that they stay a ring, then for it alone.
func (j *judge) moved(p int, clear float64) []option {
	now, _, _ := j.d.Placements[p].AsBonded(j.d.Tolerance)
	ring := []int{}
	low, high := math.Inf(1), math.Inf(-1)
	for i := range j.d.Placements {
		if x, _, _ := j.d.Placements[i].AsBonded(j.d.Tolerance); math.Abs(x.SI-now.SI) < touching {
			ring = append(ring, i)
			a, b := j.span(i)
			low, high = math.Min(low, a), math.Max(high, b)
		}
	}
	var out []option
	for _, x := range j.free(now.SI, low, high, clear) {
		out = append(out, j.station(ring, x))
	}
	if len(ring) > 1 {
		low, high = j.span(p)
		for _, x := range j.free(now.SI, low, high, clear) {
			out = append(out, j.station([]int{p}, x))
		}
	}
	return out
}

// station is the option of setting the station of placements.
func (j *judge) station(placements []int, x float64) option {
	return j.place(placements, "station: "+mm(x), func(p *design.Placement) {
		set(&p.Station, x, mm(x))
		p.Measured.Station = design.Number{}
	})
}

// place is the option of changing placements.
func (j *judge) place(placements []int, what string, change func(*design.Placement)) option {
	names := make([]string, len(placements))
	for i, p := range placements {
		names[i] = j.d.Placements[p].Name
	}
	return option{
		text: fmt.Sprintf("move %s %s to %s", verb(len(names), "placement", "placements"), list(names), what),
		apply: func(d *design.Design) error {
			for _, p := range placements {
				if p >= len(d.Placements) {
					return fmt.Errorf("the design has no placement number %d", p+1)
				}
				change(&d.Placements[p])
			}
			return nil
		},
	}
}

// longer is the option of a straight length that clears a placement where it is.
func (j *judge) longer(p int, clear float64) option {
	low, high := j.span(p)
	from := math.Floor((low-clear)*1e3+1e-6) / 1e3
	to := math.Ceil((high+clear)*1e3-1e-6) / 1e3
	if s := j.d.Part.StraightLength; s.Set {
		from, to = math.Min(from, s.From.SI), math.Max(to, s.To.SI)
	}
	return j.straight(from, to)
}

// straight is the option of another straight length.
func (j *judge) straight(from, to float64) option {
	return option{
		text: fmt.Sprintf("make the part with straight-length: {from: %s, to: %s}", mm(from), mm(to)),
		apply: func(d *design.Design) error {
			s := &d.Part.StraightLength
			set(&s.From, from, mm(from))
			set(&s.To, to, mm(to))
			s.Set = true
			return nil
		},
	}
}

// poissonClear is how many outer diameters of straight length a bridge wants
// whose grids across an axial force rely on free lateral contraction: about one
// on each side of the gauges and one for them (common practice).
const poissonClear = 3

func poissonLength(j *judge) []Finding {
	span := j.d.Part.StraightLength
	if !span.Set {
		return nil
	}
	length, limit := span.To.SI-span.From.SI, poissonClear*j.r.Section.Depth
	if length >= limit-touching {
		return nil
	}
	var out []Finding
	for b := range j.r.Bridges {
		if j.d.Bridges[b].Measures != design.Axial {
			continue
		}
		across := false
		for _, i := range j.gridsOf(b) {
			across = across || math.Abs(j.r.State.Grids[i].Sin) > math.Sin(60*deg)
		}
		if !across {
			continue
		}
		out = append(out, Finding{
			Level: Warning, Bridge: j.r.Bridges[b].Name, Value: some(length), Limit: some(limit),
			Message: fmt.Sprintf("bridge %s counts on lateral contraction under axial force, but the straight length is %s; at least 3 outer diameters, %s, are wanted",
				j.r.Bridges[b].Name, show(length, quantity.Length), show(limit, quantity.Length)),
			Remedy: fmt.Sprintf("lengthen the straight length to %s with the gauges in its middle", show(limit, quantity.Length)),
			options: func(j *judge) []option {
				middle := (span.From.SI + span.To.SI) / 2
				half := math.Ceil(limit/2*1e3-1e-6) / 1e3
				return []option{j.straight(middle-half, middle+half)}
			},
		})
	}
	return out
}
