package section

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"strconv"
	"strings"

	"gridwright/internal/boundary"
)

// Face is a straight side of the outer loop, or a run of curved ones.
type Face struct {
	// Name is +y, -y, +z or -z of a straight face whose outward normal points there,
	// else "". Edge is the number by which the file knows a straight side, from 1; 0
	// of a curved run.
	Name     string
	Edge     int
	Straight bool
	Middle   Coordinate
	Length   float64 // m
	// Normal is the angle of the outward normal, rad in [0, 2π): of a curved run that
	// at its middle.
	Normal float64
	// Before and Behind are how far a grid may reach from the middle, m: half the
	// length, but of a short side of a curve drawn in straight sides as far as the
	// curve goes.
	Before, Behind float64
}

// Faces of the outer loop in the sense of growing φ. A short straight side of a
// curve drawn in straight sides is a face too, but a grid may reach beyond it.
func (g *General) Faces() []Face {
	s := g.now()
	outer := s.Loops()[0]
	n := len(outer)
	var out []Face
	for i := range n {
		if g.curvedStart(outer, i) == i {
			out = append(out, g.face(outer, i))
		}
	}
	return out
}

// curvedStart is the first side of the run that side i belongs to: its own but for
// curved sides, which run on where they meet without a corner; the loop's first where
// they run all round.
func (g *General) curvedStart(outer boundary.Loop, i int) int {
	n := len(outer)
	if outer[i].Straight() {
		return i
	}
	for k := i; ; {
		before := (k + n - 1) % n
		switch {
		case before == i:
			return 0
		case outer[before].Straight() || math.Abs(outer.Turn(before)) >= boundary.SharpTurn:
			return k
		}
		k = before
	}
}

// face is that of side i, the first of its run.
func (g *General) face(outer boundary.Loop, i int) Face {
	s := g.now()
	n := len(outer)
	start := s.Start(0, i)
	side := &outer[i]
	f := Face{Straight: side.Straight(), Length: s.Start(0, i+1) - start}
	if f.Straight {
		f.Edge = side.Edge
	} else {
		for k := i; k-i+1 < n; k++ {
			next := (k + 1) % n
			if outer[next].Straight() || math.Abs(outer.Turn(k%n)) >= boundary.SharpTurn {
				break
			}
			f.Length += s.Start(0, next+1) - s.Start(0, next)
		}
	}
	f.Middle.S = s.Wrap(0, start+f.Length/2-g.origin)
	if f.Middle.S > s.Perimeter(0)*(1-1e-12) {
		f.Middle.S = 0
	}
	at, t := g.locate(f.Middle)
	v := at.Velocity(t)
	f.Normal = cmplx.Phase(v * -1i)
	if f.Normal < -1e-9 {
		f.Normal += 2 * math.Pi
	}
	f.Normal = max(f.Normal, 0)
	if f.Straight {
		for k, name := range [4]string{"+y", "+z", "-y", "-z"} {
			if d := math.Remainder(f.Normal-float64(k)*math.Pi/2, 2*math.Pi); math.Abs(d) < 1e-6 {
				f.Name = name
			}
		}
	}
	f.Before, f.Behind = f.Length/2, f.Length/2
	if outer.Drawn(i) {
		for k := i; ; {
			before := (k + n - 1) % n
			if before == i || !outer.Drawn(before) {
				break
			}
			f.Before += s.Start(0, before+1) - s.Start(0, before)
			k = before
		}
		for k := i; ; {
			next := (k + 1) % n
			if next == i || !outer.Drawn(next) {
				break
			}
			f.Behind += s.Start(0, next+1) - s.Start(0, next)
			k = next
		}
	}
	return f
}

// OnFace is the coordinate across metres from the middle of a face, by its place in
// Faces.
func (g *General) OnFace(face int, across float64) Coordinate {
	outer := g.now().Loops()[0]
	for i := range outer {
		if g.curvedStart(outer, i) != i {
			continue
		}
		if face == 0 {
			c := g.face(outer, i).Middle
			c.S += across
			return c
		}
		face--
	}
	return Coordinate{S: across}
}

// FaceNamed is the place in Faces of the straight face of a name, +y, -y, +z or -z, or
// of an edge's number, from 1. A name that several faces bear, or none, is an error
// that lists what there is.
func FaceNamed(s Section, name string) (int, error) {
	var found []int
	var known []string
	for i, f := range s.Faces() {
		if !f.Straight {
			continue
		}
		edge := strconv.Itoa(f.Edge)
		if name == edge || name == f.Name && name != "" {
			found = append(found, i)
		}
		if f.Name != "" && !slices.Contains(known, f.Name) {
			known = append(known, f.Name)
		}
		if f.Edge > 0 && len(known) < 12 {
			known = append(known, edge)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return 0, fmt.Errorf("%d faces of the section look toward %s; name the one by its edge number", len(found), name)
	case len(known) == 0:
		return 0, fmt.Errorf("the section has no flat face %s; place the grid by its angle `around`", name)
	}
	return 0, fmt.Errorf("the section has no flat face %s; its faces are %s", name, strings.Join(known, ", "))
}

// faceAt is the face that a coordinate of the outer loop lies on.
func (g *General) faceAt(c Coordinate) Face {
	s := g.now()
	outer := s.Loops()[0]
	side, _ := s.Locate(0, c.S+g.origin)
	return g.face(outer, g.curvedStart(outer, side))
}

// Within refuses a patch that reaches over the end of its face: a corner, or the
// joint of a flat and a curved side, where the surface that the foil would have to
// follow changes its curvature. Along a curve drawn in short straight sides it may
// reach as far as the curve goes.
func (g *General) Within(p *Patch) error {
	if p.Centre.Loop != 0 {
		return nil
	}
	f := g.faceAt(p.Centre)
	half := (math.Abs(p.Length*p.Sin) + math.Abs(p.Width*p.Cos)) / 2
	total := g.now().Perimeter(0)
	at := math.Remainder(p.Centre.S-f.Middle.S, total)
	if f.Before+f.Behind >= total*(1-1e-9) { // a closed curve has no end
		if 2*half > total/2 {
			return fmt.Errorf("reaches %.4g mm around the part, more than half its girth of %.4g mm", 2e3*half, 1e3*total)
		}
		return nil
	}
	slack := 1e-9 * total
	over := max(half-at-f.Before, half+at-f.Behind)
	if over <= slack {
		return nil
	}
	name := "its face"
	switch {
	case f.Name != "":
		name = "the face " + f.Name
	case f.Edge > 0:
		name = fmt.Sprintf("edge %d", f.Edge)
	case !f.Straight:
		name = "its curved side"
	}
	return fmt.Errorf("reaches %.4g mm over the end of %s: it covers %.4g mm to %.4g mm from the middle, of %.4g mm to %.4g mm", 1e3*over, name, 1e3*(at-half), 1e3*(at+half), -1e3*f.Before, 1e3*f.Behind)
}
