package section

import (
	"fmt"

	"gridwright/internal/boundary"
	"gridwright/internal/quantity"
)

var polygonShape = Shape{
	Name: "polygon",
	Lists: []List{
		{Key: "outline", Pairs: true, AtLeast: 3, Fields: pointFields},
		{Key: "holes", Pairs: true, Nested: true, Optional: true, AtLeast: 3, Fields: pointFields},
	},
	Example: "{shape: polygon, outline: [[0 mm, 0 mm], [40 mm, 0 mm], [40 mm, 8 mm], [8 mm, 8 mm], [8 mm, 40 mm], [0 mm, 40 mm]]}",
	NewOf:   func(open bool, counts []int) Section { return newGeneral("polygon", open, counts, polygon) },
}

var pointFields = []Dimension{
	{Key: "y", Symbol: "y", Kind: quantity.Length},
	{Key: "z", Symbol: "z", Kind: quantity.Length},
}

// polygon: y and z of the points of the outline and of each hole. Edge k of the
// outline runs from point k to the next, counted from 1, whichever way round the
// points are written.
func polygon(d []float64, counts []int, o *boundary.Outline) error {
	for i, n := range counts {
		var loop boundary.Loop
		if i == 0 {
			loop = o.Outer[:0]
			o.Holes = o.Holes[:0]
		} else {
			loop = holeOf(o, i-1)
		}
		for k := range n {
			j := (k + 1) % n
			l := boundary.Line(complex(d[2*k], d[2*k+1]), complex(d[2*j], d[2*j+1]))
			if i == 0 {
				l.Edge = k + 1
			}
			if l.From == l.To {
				return fmt.Errorf("points %d and %d of the outline are one point at [%.6g mm, %.6g mm]; write it once, also where the outline closes", k+1, j+1, 1e3*d[2*k], 1e3*d[2*k+1])
			}
			loop = append(loop, l)
		}
		if i == 0 {
			o.Outer = loop
		} else {
			o.Holes[i-1] = loop
		}
		d = d[2*n:]
	}
	o.Orient()
	return nil
}
