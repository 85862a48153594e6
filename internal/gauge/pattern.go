// Package gauge turns the strain and temperature of the surface under a bonded
// grid into its relative change of resistance, and knows the patterns in which
// grids come.
//
// It does not model creep, hysteresis, reinforcement of the part by the gauge,
// heating by its own current, or strains beyond the elastic range.
package gauge

import "math"

// Pattern is an arrangement of grids on one backing.
type Pattern struct {
	Name string
	// Directions of the grids in the order of their numbers, rad clockwise from
	// the pattern's axis; nil when the design file states them.
	Directions []float64
	About      string
}

const deg = math.Pi / 180

// Patterns is the table of patterns. That the grids of a rectangular rosette
// stand 45° apart and those of a delta rosette 60° is common practice (ASTM
// E1561).
var Patterns = []Pattern{
	{"single", []float64{0}, "one grid along the pattern's axis"},
	{"tee", []float64{0, 90 * deg}, "one grid along the axis, one across it"},
	{"shear-pair", []float64{-45 * deg, 45 * deg}, "two grids at ±45° to the axis"},
	{"rectangular-rosette", []float64{-45 * deg, 0, 45 * deg}, "three grids 45° apart"},
	{"delta-rosette", []float64{-60 * deg, 0, 60 * deg}, "three grids 60° apart"},
	{"custom", nil, "grids in the directions that the file states"},
}

// FindPattern returns the pattern of that name.
func FindPattern(name string) (Pattern, bool) {
	for _, p := range Patterns {
		if p.Name == name {
			return p, true
		}
	}
	return Pattern{}, false
}

// FoldDirection brings the direction of a line into (−90°, 90°], rad.
func FoldDirection(a float64) float64 {
	a = math.Mod(a, math.Pi)
	if a <= -math.Pi/2 {
		a += math.Pi
	}
	if a > math.Pi/2 {
		a -= math.Pi
	}
	return a
}

// Offset turns a grid's centre in the pattern's axes (along the axis, and across
// it clockwise) by the direction of the placement into steps along the part and
// around it, m. sin and cos are those of the direction.
func Offset(along, across, sin, cos float64) (dx, ds float64) {
	return along*cos - across*sin, along*sin + across*cos
}

// Extent is how far a grid reaches around the part, m.
func Extent(length, width, sin, cos float64) float64 {
	return length*math.Abs(sin) + width*math.Abs(cos)
}

// Outline is the smallest rectangle about the pattern's origin that holds all
// grids, m along the pattern's axis and across it.
func Outline(directions []float64, centres [][2]float64, gridLength, gridWidth float64) (length, width float64) {
	for i, d := range directions {
		sin, cos := math.Sincos(d)
		length = max(length, 2*math.Abs(centres[i][0])+Extent(gridLength, gridWidth, cos, sin))
		width = max(width, 2*math.Abs(centres[i][1])+Extent(gridLength, gridWidth, sin, cos))
	}
	return length, width
}
