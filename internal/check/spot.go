package check

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/section"
)

// spot is a place on the girth as the design file writes it: an angle, or a face and
// the distance from its middle.
type spot struct {
	at     section.Coordinate
	ok     bool    // it lies on the part
	phi    float64 // rad, where face is ""
	face   string
	index  int     // of the face
	across float64 // m
}

// words are the keys of the design file.
func (s spot) words() string {
	if s.face == "" {
		return "around: " + degrees(s.phi)
	}
	return "face: " + s.face + ", across: " + mm(s.across)
}

// set puts a placement there.
func (s spot) set(p *design.Placement) {
	p.Measured.Around, p.Measured.Across = design.Number{}, design.Number{}
	if s.face == "" {
		set(&p.Around, s.phi, degrees(s.phi))
		p.Face, p.FaceIndex, p.Across = "", 0, design.Number{}
		return
	}
	p.Face, p.FaceIndex, p.Around = s.face, s.index, design.Number{}
	set(&p.Across, s.across, mm(s.across))
}

// angle is the spot at an angle, rad.
func (j *judge) angle(phi float64) spot {
	s := j.r.State.Section
	return spot{at: s.Around(phi), ok: s.Meets(phi) == nil, phi: math.Mod(phi+4*math.Pi, 2*math.Pi)}
}

// stepped is the spot n steps from where placement p lies: 1° each to a whole one,
// or on a face 0.5 mm to a whole one.
func (j *judge) stepped(p int, n float64) spot {
	pl := &j.d.Placements[p]
	if pl.Face == "" {
		_, around, _ := pl.AsBonded(j.d.Tolerance)
		return j.angle(math.Round(around.SI/deg+n) * deg)
	}
	across := math.Round((pl.AcrossAsBonded(j.d.Tolerance).SI+n*0.5e-3)*2e3) / 2e3
	return spot{at: j.r.State.Section.OnFace(pl.FaceIndex, across), ok: true, face: pl.Face, index: pl.FaceIndex, across: across}
}

// named is the spot at a coordinate: on a flat face by the face, else by its angle.
func (j *judge) named(c section.Coordinate) spot {
	s := j.r.State.Section
	i := j.face(c)
	f := s.Faces()[i]
	if f.Straight {
		across := math.Remainder(c.S-f.Middle.S, s.Perimeter(0))
		for _, name := range []string{f.Name, fmt.Sprint(f.Edge)} {
			if k, err := section.FaceNamed(s, name); err == nil && k == i {
				return spot{at: c, ok: true, face: name, index: i, across: across}
			}
		}
	}
	phi := s.Angle(c)
	return spot{at: c, ok: s.Meets(phi) == nil, phi: math.Mod(phi+4*math.Pi, 2*math.Pi)}
}

// face is the place in Section.Faces of the face that a coordinate lies on: of two
// that meet there, the first.
func (j *judge) face(c section.Coordinate) int {
	s := j.r.State.Section
	if j.faces == nil {
		j.faces = s.Faces()
	}
	return section.FaceAt(s, j.faces, c)
}

// joined reports whether no edge parts two outlines: they lie on one face, or on one
// curve that is drawn in straight sides.
func (j *judge) joined(o, p outline) bool {
	if o.run == p.run {
		return true
	}
	f, girth := &j.faces[o.run], j.r.State.Section.Perimeter(0)
	d := math.Remainder(p.s-f.Middle.S, girth)
	return d > -f.Before && d < f.Behind
}

// closed reports whether the outer surface is one face all round.
func (j *judge) closed() bool {
	j.face(section.Coordinate{})
	return j.faces[0].Before+j.faces[0].Behind >= j.r.State.Section.Perimeter(0)*(1-1e-9)
}

// fits reports whether every grid of placement p, with its origin at c, lies on the
// part and over no edge.
func (j *judge) fits(p int, c section.Coordinate) bool {
	at := &j.r.State.Placements[p]
	for i := range j.r.Model.Grids {
		if j.r.Model.Grids[i].Ref.Placement != p {
			continue
		}
		g := &j.r.State.Grids[i]
		patch := section.Patch{Centre: c, Sin: g.Sin, Cos: g.Cos, Length: g.Length, Width: g.Width}
		patch.Centre.S += g.Coordinate.S - at.Coordinate.S
		if j.r.State.Section.Within(&patch) != nil {
			return false
		}
	}
	return true
}

// lies reports whether a design could be read: every placement at an angle at which
// there is a surface, every grid within its face.
func lies(r *predict.Result) bool {
	j := &judge{r: r, d: r.Model.Design}
	for p := range j.d.Placements {
		at := &r.State.Placements[p]
		if j.d.Placements[p].Face == "" && r.State.Section.Meets(at.Around) != nil || !j.fits(p, at.Coordinate) {
			return false
		}
	}
	return true
}

// seen is the sector that an outline covers as the centroid sees it: its middle and
// half its width, rad.
func (j *judge) seen(o outline) (middle, half float64) {
	s := j.r.State.Section
	_, reach := o.reach()
	if section.Joints(s, 0) == nil {
		turn := 2 * math.Pi / s.Perimeter(0)
		return o.s * turn, reach * turn
	}
	const n = 16
	low, high := math.Inf(1), math.Inf(-1)
	for k := range n + 1 {
		phi := s.Angle(section.Coordinate{S: o.s + reach*(2*float64(k)/n-1)})
		low, high = math.Min(low, phi), math.Max(high, phi)
	}
	return (low + high) / 2, (high - low) / 2
}

// girthwise is the option of moving placements around the part.
func (j *judge) girthwise(placements []int, to []spot) option {
	words := ""
	by := map[string]spot{}
	for i, p := range placements {
		by[j.d.Placements[p].Name] = to[i]
		w := to[i].words()
		if i > 0 {
			if to[i].face == "" && to[i-1].face == "" {
				w = degrees(to[i].phi)
			}
			words += ", "
		}
		words += w
	}
	return j.place(placements, words, func(p *design.Placement) { by[p.Name].set(p) })
}

// edges finds backings that reach over an edge of the part, where nothing bears them.
func edges(j *judge) []Finding {
	var out []Finding
	for p := range j.d.Placements {
		o := j.backing(p)
		f := &j.faces[o.run]
		_, half := o.reach()
		at := math.Remainder(o.s-f.Middle.S, j.r.State.Section.Perimeter(0))
		over := math.Max(half-at-f.Before, half+at-f.Behind)
		if over <= touching || j.closed() {
			continue
		}
		name := j.d.Placements[p].Name
		out = append(out, Finding{
			Level: Warning, subject: name, Value: some(over), Limit: some(0),
			Message: fmt.Sprintf("the backing of placement %s hangs %s over the edge of its face, which is %s wide", name, show(over, quantity.Length), show(f.Before+f.Behind, quantity.Length)),
			Remedy:  "cut the backing back to its trim marks, or choose a gauge that fits the face",
			options: func(j *judge) []option { return j.inward(p, at, over, half, f) },
		})
	}
	return out
}

// inward is the option of moving a placement away from an edge, to 0.1 mm.
func (j *judge) inward(p int, at, over, half float64, f *section.Face) []option {
	if f.Before+f.Behind < 2*half || !f.Straight {
		return nil
	}
	to := at - over
	if at < 0 {
		to = at + over
	}
	to = math.Trunc(to*1e4+math.Copysign(1e-4, to)) / 1e4 // toward the middle, free of rounding
	s := j.named(section.Coordinate{S: f.Middle.S + to})
	if s.face == "" {
		return nil
	}
	s.across = to
	o := j.backing(p)
	o.s = s.at.S
	if !j.roomy(p, o) {
		return nil
	}
	return []option{j.girthwise([]int{p}, []spot{s})}
}

// onFaces writes the angles of a remedy's words as faces where flat ones lie there.
func (j *judge) onFaces(words string) string {
	for i, name := range [4]string{"+y", "+z", "-y", "-z"} {
		s := j.r.State.Section
		k, err := section.FaceNamed(s, name)
		if err != nil {
			continue
		}
		f := s.Faces()[k]
		if math.Abs(math.Remainder(s.Around(float64(i)*math.Pi/2).S-f.Middle.S, s.Perimeter(0))) < f.Length/2 {
			words = strings.ReplaceAll(words, "around: "+degrees(float64(i)*90*deg), "face: "+name)
		}
	}
	return words
}
