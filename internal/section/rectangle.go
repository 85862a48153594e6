package section

import (
	"fmt"

	"gridwright/internal/boundary"
	"gridwright/internal/quantity"
)

var rectangleShape = Shape{
	Name: "rectangle",
	Dimensions: []Dimension{
		{Key: "width", Symbol: "w", Kind: quantity.Length},
		{Key: "height", Symbol: "h", Kind: quantity.Length},
		{Key: "corner-radius", Symbol: "r", Kind: quantity.Length, Optional: true},
	},
	Example: "{shape: rectangle, width: 40 mm ± 0.05 mm, height: 20 mm ± 0.05 mm, corner-radius: 1 mm}",
	New:     func(open bool) Section { return newGeneral("rectangle", open, nil, rectangle) },
}

var boxShape = Shape{
	Name: "box",
	Dimensions: []Dimension{
		{Key: "width", Symbol: "w", Kind: quantity.Length},
		{Key: "height", Symbol: "h", Kind: quantity.Length},
		{Key: "wall", Symbol: "t", Kind: quantity.Length},
		{Key: "corner-radius", Symbol: "r", Kind: quantity.Length, Optional: true},
	},
	Example: "{shape: box, width: 60 mm ± 0.2 mm, height: 40 mm ± 0.2 mm, wall: 3 mm ± 0.1 mm, corner-radius: 6 mm}",
	New:     func(open bool) Section { return newGeneral("box", open, nil, box) },
}

var ellipseShape = Shape{
	Name: "ellipse",
	Dimensions: []Dimension{
		{Key: "width", Symbol: "w", Kind: quantity.Length},
		{Key: "height", Symbol: "h", Kind: quantity.Length},
	},
	Example: "{shape: ellipse, width: 40 mm ± 0.05 mm, height: 25 mm ± 0.05 mm}",
	New:     func(open bool) Section { return newGeneral("ellipse", open, nil, ellipse) },
}

// rectangle: width along y, height along z, corner radius.
func rectangle(d []float64, _ []int, o *boundary.Outline) error {
	w, h, r := d[0], d[1], d[2]
	if err := sides(w, h, r); err != nil {
		return err
	}
	o.Outer = boundary.RoundedRectangle(o.Outer[:0], w, h, r)
	return nil
}

// box: width along y, height along z, wall, outer corner radius; the inner corners
// have the radius max(outer − wall, 0).
func box(d []float64, _ []int, o *boundary.Outline) error {
	w, h, t, r := d[0], d[1], d[2], d[3]
	if err := sides(w, h, r); err != nil {
		return err
	}
	if !(t > 0) || 2*t >= min(w, h) {
		return fmt.Errorf("a wall of %.6g mm leaves no box of %.6g mm by %.6g mm; more than 0 and less than half the smaller side", 1e3*t, 1e3*w, 1e3*h)
	}
	o.Outer = boundary.RoundedRectangle(o.Outer[:0], w, h, r)
	hole := holeOf(o, 0)
	o.Holes[0] = boundary.RoundedRectangle(hole, w-2*t, h-2*t, max(r-t, 0))
	o.Holes[0].Reverse()
	o.Holes = o.Holes[:1]
	return nil
}

func sides(w, h, r float64) error {
	if !(w > 0) || !(h > 0) || w > farthest || h > farthest {
		return fmt.Errorf("a width of %.6g mm and a height of %.6g mm make no section; both more than 0", 1e3*w, 1e3*h)
	}
	if !(r >= 0) || 2*r > min(w, h)*(1+1e-12) {
		return fmt.Errorf("a corner radius of %.6g mm does not fit %.6g mm by %.6g mm; at most half the smaller side", 1e3*r, 1e3*w, 1e3*h)
	}
	return nil
}

// ellipse: width along y, height along z: twice the semi-axes.
func ellipse(d []float64, _ []int, o *boundary.Outline) error {
	if err := sides(d[0], d[1], 0); err != nil {
		return err
	}
	if ratio := max(d[0]/d[1], d[1]/d[0]); ratio > 30 {
		return fmt.Errorf("an ellipse %.3g times as long as wide; at most 30", ratio)
	}
	o.Outer = append(o.Outer[:0], boundary.Ellipse(d[0]/2, d[1]/2)...)
	return nil
}

const farthest = 100.0 // m: larger is no dimension of a part

// holeOf makes room for hole k and returns its old sides' room.
func holeOf(o *boundary.Outline, k int) boundary.Loop {
	for len(o.Holes) <= k {
		if len(o.Holes) < cap(o.Holes) {
			o.Holes = o.Holes[:len(o.Holes)+1]
		} else {
			o.Holes = append(o.Holes, nil)
		}
	}
	return o.Holes[k][:0]
}
