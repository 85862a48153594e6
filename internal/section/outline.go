package section

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"

	"gridwright/internal/boundary"
)

// Outline is what a drawing of the section asks for beyond its points.
type Outline interface {
	// Loops of the outline about the centroid, m: the outer one counterclockwise
	// from +y toward +z, then the holes. They are not to be changed.
	Loops() []boundary.Loop

	// Normal is the angle of the outward normal at a coordinate of the outer loop,
	// rad in (−π, π] from +y toward +z; at a corner that of the side after it.
	Normal(c Coordinate) float64
}

// Loops are the circle, and that of the bore.
func (r *Round) Loops() []boundary.Loop {
	loops := []boundary.Loop{boundary.Circle(0, r.b)}
	if r.a > 0 {
		loops = append(loops, boundary.Circle(0, r.a))
	}
	return loops
}

// Normal of the circle is φ.
func (r *Round) Normal(c Coordinate) float64 { return math.Remainder(c.S/r.b, 2*math.Pi) }

// Loops about the centroid.
func (g *General) Loops() []boundary.Loop { return g.now().Loops() }

// Normal lies a quarter turn clockwise of the side's direction.
func (g *General) Normal(c Coordinate) float64 {
	side, t := g.locate(c)
	return cmplx.Phase(side.Velocity(t) * -1i)
}

// Run is what foil and paper follow in one: a straight face, or a curve, whether it
// is one or is drawn in short straight sides.
type Run struct {
	Name     string // as Face.Name where one face alone bears it; "" of a curve
	Edge     int    // as Face.Edge; 0 of a curve
	Straight bool
	Closed   bool    // the whole loop
	From     float64 // arc length where it begins, m in [0, perimeter)
	Length   float64 // m
	Normal   float64 // at its middle, rad in [0, 2π)
	Faces    []int   // by their places in Section.Faces
}

// Title names the run in a drawing: "+y", "edge 3", or "curve at 45°", the angle
// that of its outward normal in the middle.
func (r Run) Title() string {
	switch {
	case r.Name != "":
		return strings.ReplaceAll(r.Name, "-", "−")
	case r.Edge > 0:
		return fmt.Sprintf("edge %d", r.Edge)
	case r.Closed:
		return "curve"
	case r.Straight:
		return "flat at " + degrees(r.Normal)
	}
	return "curve at " + degrees(r.Normal)
}

func degrees(rad float64) string {
	d := math.Round(rad*180/math.Pi*10) / 10
	return fmt.Sprintf("%g°", math.Mod(d, 360))
}

// Runs of the outer loop in the sense of growing φ. A loop that is one smooth curve
// is one run, from arc length 0.
func Runs(s Section) []Run {
	faces, total := s.Faces(), s.Perimeter(0)
	drawn := func(f *Face) bool {
		return f.Straight && f.Before+f.Behind > f.Length*(1+1e-9)
	}
	n := len(faces)
	start := 0 // of a run that does not go through the end of the list
	for start < n && drawn(&faces[start]) && drawn(&faces[(start+n-1)%n]) {
		start++
	}
	var all []Run
	if start == n { // drawn all round
		whole := Run{Length: total, Closed: true}
		for i := range faces {
			whole.Faces = append(whole.Faces, i)
		}
		return append(all, whole)
	}
	for k := range n {
		i := (start + k) % n
		f := &faces[i]
		if last := len(all) - 1; k > 0 && drawn(f) && drawn(&faces[(i+n-1)%n]) {
			all[last].Length += f.Length
			all[last].Faces = append(all[last].Faces, i)
			continue
		}
		all = append(all, Run{Name: f.Name, Edge: f.Edge, Straight: f.Straight, From: onLoop(f.Middle.S-f.Length/2, total), Length: f.Length, Faces: []int{i}})
	}
	for i := range all {
		r := &all[i]
		if len(r.Faces) > 1 || drawn(&faces[r.Faces[0]]) {
			r.Name, r.Edge, r.Straight = "", 0, false
		}
		if n == 1 {
			r.From, r.Closed = 0, true
		}
		if r.Name != "" && !alone(faces, r.Name) {
			r.Name = ""
		}
		if r.Normal = s.Normal(Coordinate{S: r.From + r.Length/2}); r.Normal < -1e-9 {
			r.Normal += 2 * math.Pi
		}
		r.Normal = max(r.Normal, 0)
	}
	return all
}

func alone(faces []Face, name string) bool {
	n := 0
	for i := range faces {
		if faces[i].Name == name {
			n++
		}
	}
	return n == 1
}

// FaceTitle names a face in a drawing, by its place in Section.Faces.
func FaceTitle(s Section, face int) string {
	faces := s.Faces()
	f := faces[face]
	r := Run{Edge: f.Edge, Straight: f.Straight, Normal: f.Normal, Closed: len(faces) == 1}
	if f.Name != "" && alone(faces, f.Name) {
		r.Name = f.Name
	}
	return r.Title()
}

// onLoop brings an arc length into [0, total), to 0 where it is that but for rounding.
func onLoop(s, total float64) float64 {
	if s = math.Mod(s, total); s < 0 {
		s += total
	}
	if total-s < 1e-9*total {
		return 0
	}
	return s
}

// Convex tells whether the outer loop is convex, so that a strip of paper can lie on
// it all round.
func Convex(s Section) bool {
	const hair = 1e-9
	outer := s.Loops()[0]
	for i := range outer {
		if side := &outer[i]; !side.Straight() && side.Sweep < 0 {
			return false
		}
		if len(outer) > 1 && outer.Turn(i) < -hair {
			return false
		}
	}
	return true
}
