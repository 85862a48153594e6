// Package profile gathers what is to be known of a section before gauges are chosen:
// its properties, the shear stress around its surface for a unit of each load, and the
// places where a grid sees most of one; and draws that.
//
// It is the free bar of package section: no ends, no concentrations. Which gauge fits a
// place, and what else it sees there, is for pick and check.
package profile

import (
	"fmt"
	"math"
	"slices"

	"gridwright/internal/design"
	"gridwright/internal/section"
)

// Profile of a section.
type Profile struct {
	Section    section.Section
	Properties section.Properties
	Solved     bool // by the boundary equations; otherwise closed forms
	Larger     float64
	Smaller    float64 // principal second moments, m⁴
	Axis       float64 // rad from y toward z of the axis of the larger
	Walls      section.Walls
	Faces      []section.Face
	Best       []Best
}

// Point is the surface shear at a place, Pa for a unit of torque and of each shear
// force, positive along growing φ. The shear forces act through the shear centre: they
// do not twist.
type Point struct {
	At                     section.Coordinate
	Around, Y, Z           float64 // rad, m
	Torque, ShearY, ShearZ float64
}

// Best is where the surface stress of one load is greatest for a grid.
type Best struct {
	Load   design.Component
	Stress float64 // Pa per unit: shear of torque and shear forces, axial of bending
	Places []Place // equal ones, at most mostPlaces
	More   int     // equal ones beyond
	Even   bool    // all round alike
}

// Place on the surface.
type Place struct {
	At     section.Coordinate
	Face   section.Face
	Name   string  // of the face as the file writes it, "" of a curved one
	Across float64 // m from the middle of the face
	Around float64 // rad
	Y, Z   float64 // m
	Stress float64
}

// Of a part.
func Of(p design.Part) (*Profile, error) {
	s, err := section.Of(p)
	if err != nil {
		return nil, err
	}
	out := &Profile{Section: s, Properties: s.Properties(), Walls: s.Walls(), Faces: s.Faces(), Solved: section.Joints(s, 0) != nil}
	out.Larger, out.Smaller, out.Axis = out.Properties.Principal()
	for _, c := range []design.Component{design.Torque, design.BendingY, design.BendingZ, design.ShearY, design.ShearZ} {
		out.Best = append(out.Best, out.best(c))
	}
	return out, nil
}

// Shear is the surface shear at a coordinate.
func (p *Profile) Shear(c section.Coordinate) Point {
	var u section.Unit
	p.Section.Surface(c, 0, &u)
	section.WithoutTwist(p.Properties, &u)
	out := Point{At: c, Around: turn(p.Section.Angle(c)), Torque: u[design.Torque].Shear, ShearY: u[design.ShearY].Shear, ShearZ: u[design.ShearZ].Shear}
	out.Y, out.Z = p.Section.Point(c)
	return out
}

// turn brings an angle into [0, 2π).
func turn(phi float64) float64 {
	phi = math.Mod(phi, 2*math.Pi)
	if phi < -1e-12 {
		phi += 2 * math.Pi
	}
	return math.Max(phi, 0)
}

// beside is how close to a re-entrant corner a stress is not given, of the section's
// greatest dimension: there it has no bound.
const beside = 1e-3

// Around is the shear at n points spread evenly along the outer loop from φ = 0, and
// in the middle of every straight face that is no part of a drawn curve; none at a
// re-entrant corner.
func (p *Profile) Around(n int) []Point {
	girth := p.Section.Perimeter(0)
	var at []float64
	for i := range n {
		at = append(at, girth*float64(i)/float64(n))
	}
	for _, f := range p.Faces {
		if f.Straight && f.Length > girth/100 {
			at = append(at, f.Middle.S)
		}
	}
	slices.Sort(at)
	joints := section.Joints(p.Section, 0)
	var out []Point
	for i, s := range at {
		if i > 0 && s-at[i-1] < 1e-9*girth || p.singular(joints, s) {
			continue
		}
		out = append(out, p.Shear(section.Coordinate{S: s}))
	}
	return out
}

func (p *Profile) singular(joints []section.Joint, s float64) bool {
	for _, j := range joints {
		if j.Reentrant() && math.Abs(math.Remainder(s-j.At.S, p.Section.Perimeter(0))) < beside*p.Properties.Depth {
			return true
		}
	}
	return false
}

const (
	mostPlaces = 8
	equal      = 1e-3 // relative: stresses this close count as one
)

// best finds the places of the greatest stress of a component: on a straight face its
// middle for bending, the greatest shear away from its ends for the rest; on a curved
// one the greatest of either.
func (p *Profile) best(c design.Component) Best {
	out := Best{Load: c}
	stress := func(at section.Coordinate) float64 {
		var u section.Unit
		p.Section.Surface(at, 0, &u)
		section.WithoutTwist(p.Properties, &u)
		if c == design.BendingY || c == design.BendingZ {
			return u[c].Axial
		}
		return u[c].Shear
	}
	if !p.Solved && c == design.Torque {
		out.Stress, out.Even = stress(section.Coordinate{}), true
		return out
	}
	girth := p.Section.Perimeter(0)
	var all []Place
	type drawnSide struct {
		face   int
		stress float64
	}
	var drawn []drawnSide // sides of curves drawn in short ones: their middles
	for i, f := range p.Faces {
		if f.Straight && f.Before+f.Behind < girth/50 || p.notch(f) {
			continue // no place for a grid
		}
		if f.Before > f.Length && f.Behind > f.Length { // a short side of a drawn curve
			at := f.Middle
			v := stress(at)
			drawn = append(drawn, drawnSide{i, v})
			out.Stress = math.Max(out.Stress, math.Abs(v))
			continue
		}
		for _, across := range p.candidates(i, f, c, stress) {
			at := p.Section.OnFace(i, across)
			place := Place{At: at, Face: f, Across: across, Around: turn(p.Section.Angle(at)), Stress: stress(at)}
			place.Y, place.Z = p.Section.Point(at)
			place.Name = p.named(i)
			all = append(all, place)
			out.Stress = math.Max(out.Stress, math.Abs(place.Stress))
		}
	}
	least := math.Inf(1)
	for _, d := range drawn {
		least = math.Min(least, math.Abs(d.stress))
	}
	if len(drawn) == len(p.Faces) && least > out.Stress*(1-equal) { // a round that is drawn
		out.Even = true
		return out
	}
	for _, d := range drawn {
		if math.Abs(d.stress) < out.Stress*(1-equal) {
			continue
		}
		if len(out.Places) == mostPlaces {
			out.More++
			continue
		}
		f := p.Faces[d.face]
		place := Place{At: f.Middle, Face: f, Around: turn(p.Section.Angle(f.Middle)), Stress: d.stress}
		place.Y, place.Z = p.Section.Point(f.Middle)
		out.Places = append(out.Places, place)
	}
	for _, a := range all {
		switch {
		case math.Abs(a.Stress) < out.Stress*(1-equal):
		case len(out.Places) < mostPlaces:
			out.Places = append(out.Places, a)
		default:
			out.More++
		}
	}
	return out
}

// notch reports a short face that ends at a re-entrant corner: the floor or the side of
// a keyway, where no gauge is bonded.
func (p *Profile) notch(f section.Face) bool {
	if f.Length > p.Properties.Depth/3 {
		return false
	}
	girth := p.Section.Perimeter(0)
	for _, j := range section.Joints(p.Section, 0) {
		off := math.Abs(math.Remainder(j.At.S-f.Middle.S, girth))
		if j.Reentrant() && math.Abs(off-f.Length/2) < 1e-9*girth {
			return true
		}
	}
	return false
}

// candidates are the places on a face, m from its middle. What grows toward an end of
// the face is no place for a grid: there the middle stands for it, or nothing where the
// surface goes on beyond a curve.
func (p *Profile) candidates(i int, f section.Face, c design.Component, stress func(section.Coordinate) float64) []float64 {
	if f.Straight && (c == design.BendingY || c == design.BendingZ) {
		return []float64{0}
	}
	const n, margin = 720, 0.05
	span := f.Length * (1 - 2*margin)
	step := span / n
	if !p.Solved || len(p.Faces) == 1 { // a curve without an end
		span, step = f.Length, f.Length/n
	}
	value := func(k int) float64 {
		return math.Abs(stress(p.Section.OnFace(i, step*float64(k)-span/2)))
	}
	top := 0.0
	v := make([]float64, n+1)
	for k := range v {
		v[k] = value(k)
		top = math.Max(top, v[k])
	}
	if top == 0 {
		return nil
	}
	// of each stretch that is all but the greatest, its middle
	var out []float64
	for k := 0; k <= n; k++ {
		if v[k] < top*(1-1e-4) {
			continue
		}
		end := k
		for end < n && v[end+1] >= top*(1-1e-4) {
			end++
		}
		if p.Solved && len(p.Faces) > 1 && (k == 0 || end == n) {
			k = end
			continue
		}
		out = append(out, step*float64(k+end)/2-span/2)
		k = end
	}
	if closed := len(p.Faces) == 1; closed && len(out) > 1 && math.Abs(out[0]+span/2) < 20*step && math.Abs(out[len(out)-1]-span/2) < 20*step {
		out = append([]float64{-span / 2}, out[1:len(out)-1]...)
	}
	if len(out) == 0 && f.Straight {
		out = []float64{0}
	}
	for k := range out { // what is the middle but for the step is the middle
		if math.Abs(out[k]) < step/2+1e-12 {
			out[k] = 0
		}
	}
	return out
}

// named is how the file names a straight face: by the side it looks to, where one
// alone does, else by its edge number.
func (p *Profile) named(i int) string {
	f := &p.Faces[i]
	if !f.Straight {
		return ""
	}
	for _, name := range []string{f.Name, fmt.Sprint(f.Edge)} {
		if k, err := section.FaceNamed(p.Section, name); err == nil && k == i {
			return name
		}
	}
	return ""
}
