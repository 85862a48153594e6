package section

import (
	"fmt"
	"math"
	"math/cmplx"

	"gridwright/internal/boundary"
	"gridwright/internal/quantity"
)

var flattedRoundShape = Shape{
	Name:       "flatted-round",
	Dimensions: []Dimension{{Key: "outside-diameter", Symbol: "D", Kind: quantity.Length}},
	Lists: []List{{Key: "flats", AtLeast: 1, Fields: []Dimension{
		{Key: "normal", Symbol: "φ", Kind: quantity.Angle},
		{Key: "across", Symbol: "a", Kind: quantity.Length},
	}}},
	Example: "{shape: flatted-round, outside-diameter: 40 mm ± 0.05 mm, flats: [{normal: 0°, across: 17 mm}, {normal: 180°, across: 17 mm}]}",
	NewOf:   func(open bool, counts []int) Section { return newGeneral("flatted-round", open, counts, flattedRound) },
}

var regularPolygonShape = Shape{
	Name: "regular-polygon",
	Dimensions: []Dimension{
		{Key: "sides", Symbol: "n", Kind: quantity.Number, Whole: true},
		{Key: "across-flats", Symbol: "s", Kind: quantity.Length},
		{Key: "turned", Symbol: "φ", Kind: quantity.Angle, Optional: true},
	},
	Example: "{shape: regular-polygon, sides: 6, across-flats: 36 mm ± 0.1 mm}",
	New:     func(open bool) Section { return newGeneral("regular-polygon", open, nil, regularPolygon) },
}

const mostFlats = 60

// flattedRound: outside diameter, then for each flat the angle of its outward
// normal and its distance from the axis. Flats that meet inside the circle meet in
// a corner. Edge k is the k-th flat of the list.
func flattedRound(d []float64, counts []int, o *boundary.Outline) error {
	r, n := d[0]/2, counts[0]
	if !(r > 0) || r > farthest {
		return fmt.Errorf("an outside diameter of %.6g mm makes no section", 2e3*r)
	}
	if n > mostFlats {
		return fmt.Errorf("%d flats; at most %d", n, mostFlats)
	}
	type flat struct {
		normal, across, half float64 // half the angle of its chord
		edge                 int
	}
	var room [mostFlats]flat
	flats := room[:n]
	for k := range flats {
		f := flat{normal: math.Mod(d[1+2*k], 2*math.Pi), across: d[2+2*k], edge: k + 1}
		if f.normal < 0 {
			f.normal += 2 * math.Pi
		}
		if !(f.across > 0) || !(f.across < r*(1-1e-9)) {
			return fmt.Errorf("flat %d lies %.6g mm from the axis; between 0 and the radius of %.6g mm", k+1, 1e3*f.across, 1e3*r)
		}
		f.half = math.Acos(f.across / r)
		flats[k] = f
		for i := k; i > 0 && flats[i].normal < flats[i-1].normal; i-- {
			flats[i], flats[i-1] = flats[i-1], flats[i]
		}
	}
	// the two ends of each flat: on the circle, or where it meets its neighbour
	var from, to [mostFlats]complex128
	var arcs [mostFlats]float64 // of the circle after flat k; 0 when the next one meets it
	for k := range flats {
		a, b := &flats[k], &flats[(k+1)%n]
		between := b.normal - a.normal
		if k == n-1 {
			between += 2 * math.Pi
		}
		if free := between - a.half - b.half; free > 1e-12 {
			arcs[k] = free
			to[k] = cmplx.Rect(r, a.normal+a.half)
			from[(k+1)%n] = cmplx.Rect(r, b.normal-b.half)
			continue
		}
		if between < 1e-9 || between >= math.Pi {
			return fmt.Errorf("flats %d and %d leave no section between them; each must cut off a piece of its own", a.edge, b.edge)
		}
		// along a from its foot: (b − a cos)/sin
		s, c := math.Sincos(between)
		p := complex(a.across, (b.across-a.across*c)/s) * cmplx.Rect(1, a.normal)
		to[k], from[(k+1)%n] = p, p
	}
	o.Outer, o.Holes = o.Outer[:0], o.Holes[:0]
	for k := range flats {
		f := &flats[k]
		along := cmplx.Rect(1, f.normal) * 1i
		if l := to[k] - from[k]; real(l*cmplx.Conj(along)) <= 1e-9*r {
			return fmt.Errorf("flat %d is cut off by its neighbours; leave it out", f.edge)
		}
		line := boundary.Line(from[k], to[k])
		line.Edge = f.edge
		o.Outer = append(o.Outer, line)
		if arcs[k] > 0 {
			arc := boundary.Arc(0, r, f.normal+f.half, arcs[k])
			arc.From, arc.To = to[k], from[(k+1)%n]
			o.Outer = append(o.Outer, arc)
		}
	}
	return nil
}

// regularPolygon: number of sides, across flats (twice the distance of a side from
// the axis), and the angle by which it is turned: 0 puts the normal of side 1 on +y.
func regularPolygon(d []float64, _ []int, o *boundary.Outline) error {
	n := int(math.Round(d[0]))
	if math.Abs(d[0]-float64(n)) > 1e-9 || n < 3 || n > 400 {
		return fmt.Errorf("a polygon of %g sides; a whole number from 3 to 400", d[0])
	}
	if !(d[1] > 0) || d[1] > farthest || math.IsNaN(d[2]) || math.IsInf(d[2], 0) {
		return fmt.Errorf("%.6g mm across flats makes no section", 1e3*d[1])
	}
	out := d[1] / 2 / math.Cos(math.Pi/float64(n))
	corner := func(k int) complex128 {
		return cmplx.Rect(out, d[2]+(2*float64(k%n)-1)*math.Pi/float64(n))
	}
	o.Outer, o.Holes = o.Outer[:0], o.Holes[:0]
	for k := range n {
		l := boundary.Line(corner(k), corner(k+1))
		l.Edge = k + 1
		o.Outer = append(o.Outer, l)
	}
	return nil
}
