package section

import (
	"fmt"
	"math"
	"math/cmplx"

	"gridwright/internal/boundary"
	"gridwright/internal/quantity"
)

var keyedRoundShape = Shape{
	Name: "keyed-round",
	Dimensions: []Dimension{
		{Key: "outside-diameter", Symbol: "D", Kind: quantity.Length},
		{Key: "key-width", Symbol: "b", Kind: quantity.Length},
		{Key: "key-depth", Symbol: "t", Kind: quantity.Length},
		{Key: "key-at", Symbol: "φ", Kind: quantity.Angle, Optional: true},
		{Key: "inside-diameter", Symbol: "d", Kind: quantity.Length, Optional: true},
	},
	Example: "{shape: keyed-round, outside-diameter: 40 mm ± 0.02 mm, key-width: 12 mm, key-depth: 5 mm, key-at: 90°}",
	New:     func(open bool) Section { return newGeneral("keyed-round", open, nil, keyedRound) },
}

var groovedRoundShape = Shape{
	Name: "grooved-round",
	Dimensions: []Dimension{
		{Key: "outside-diameter", Symbol: "D", Kind: quantity.Length},
		{Key: "groove-radius", Symbol: "r", Kind: quantity.Length},
		{Key: "groove-at", Symbol: "φ", Kind: quantity.Angle, Optional: true},
		{Key: "inside-diameter", Symbol: "d", Kind: quantity.Length, Optional: true},
	},
	Example: "{shape: grooved-round, outside-diameter: 40 mm ± 0.02 mm, groove-radius: 2 mm, groove-at: 90°}",
	New:     func(open bool) Section { return newGeneral("grooved-round", open, nil, groovedRound) },
}

// keyedRound: outside diameter, width and depth of a keyway with sharp corners, its
// angle, and a bore. The depth is measured from the crown of the round surface to
// the keyway's floor. Edges 1 to 3 are the keyway's first side, floor and second
// side in the sense of growing φ.
func keyedRound(d []float64, _ []int, o *boundary.Outline) error {
	r, half, depth, at := d[0]/2, d[1]/2, d[2], d[3]
	if err := roundWithBore(r, d[4]/2, at, o); err != nil {
		return err
	}
	if !(half > 0) || half >= 0.95*r {
		return fmt.Errorf("a keyway %.6g mm wide does not fit a diameter of %.6g mm", 2e3*half, 2e3*r)
	}
	rim := math.Sqrt((r - half) * (r + half)) // distance of the keyway's mouth from the axis
	floor := r - depth
	if !(depth > 0) || !(floor < rim*(1-1e-9)) || !(floor > -0.5*r) {
		return fmt.Errorf("a keyway %.6g mm deep in a diameter of %.6g mm; deeper than the %.4g mm that the round itself leaves at its mouth, and short of the far side", 1e3*depth, 2e3*r, 1e3*(r-rim))
	}
	if bore := d[4] / 2; bore > 0 && bore >= floor {
		return fmt.Errorf("the keyway's floor, %.6g mm from the axis, reaches the bore of %.6g mm", 1e3*floor, 2e3*bore)
	}
	turn := cmplx.Rect(1, at)
	p := [4]complex128{complex(rim, -half), complex(floor, -half), complex(floor, half), complex(rim, half)}
	for k := range p {
		p[k] *= turn
	}
	mouth := math.Atan2(half, rim)
	arc := boundary.Arc(0, r, at+mouth, 2*(math.Pi-mouth))
	arc.From, arc.To = p[3], p[0]
	o.Outer = append(o.Outer[:0], arc)
	for k := range 3 {
		l := boundary.Line(p[k], p[k+1])
		l.Edge = k + 1
		o.Outer = append(o.Outer, l)
	}
	return nil
}

// groovedRound: outside diameter, radius of a groove whose centre lies on the round
// surface, its angle, and a bore.
func groovedRound(d []float64, _ []int, o *boundary.Outline) error {
	r, g, at := d[0]/2, d[1], d[2]
	if err := roundWithBore(r, d[3]/2, at, o); err != nil {
		return err
	}
	if !(g > 0) || g >= 0.95*r {
		return fmt.Errorf("a groove of radius %.6g mm in a diameter of %.6g mm; more than 0 and less than the radius", 1e3*g, 2e3*r)
	}
	if bore := d[3] / 2; bore > 0 && bore >= r-g {
		return fmt.Errorf("a groove of radius %.6g mm reaches the bore of %.6g mm", 1e3*g, 2e3*bore)
	}
	// the two circles meet at the angle 2 asin(g/2r) from the groove
	mouth := 2 * math.Asin(g/2/r)
	centre := cmplx.Rect(r, at)
	a, b := cmplx.Rect(r, at+mouth), cmplx.Rect(r, at-mouth)
	shaft := boundary.Arc(0, r, at+mouth, 2*(math.Pi-mouth))
	shaft.From, shaft.To = a, b
	// from b to a through the inside, clockwise about the groove's centre
	start := cmplx.Phase((b-centre)/cmplx.Rect(1, at)) + at
	sweep := -2 * (math.Pi - math.Abs(cmplx.Phase((b-centre)/cmplx.Rect(1, at))))
	groove := boundary.Arc(centre, g, start, sweep)
	groove.From, groove.To = b, a
	o.Outer = append(o.Outer[:0], shaft, groove)
	return nil
}

// roundWithBore checks the two and puts the bore in.
func roundWithBore(r, bore, at float64, o *boundary.Outline) error {
	if !(r > 0) || r > farthest || !(bore >= 0) || bore >= r {
		return fmt.Errorf("an outside diameter of %.6g mm and a bore of %.6g mm make no section", 2e3*r, 2e3*bore)
	}
	if math.IsNaN(at) || math.IsInf(at, 0) {
		return fmt.Errorf("an angle of %g", at)
	}
	o.Holes = o.Holes[:0]
	if bore > 0 {
		hole := holeOf(o, 0)
		o.Holes[0] = append(hole, boundary.Circle(0, bore)...)
		o.Holes[0].Reverse()
	}
	return nil
}
