package drawing

import (
	"math"
	"slices"
)

const (
	flatness   = 0.005 // mm that a polygon may be off the curve it stands for
	maxHatches = 20000 // lines in one area; more is a fault of scale, not a drawing
)

// Hatch fills an area with parallel lines, spacing mm apart, in the direction
// angle. The lines of equal spacing and angle lie on one grid of the scene, so
// areas that touch are hatched through.
func (s *Scene) Hatch(pen Pen, area *Path, spacing, angle float64) {
	if !(spacing > 0) || !finite(spacing) || !finite(angle) || !area.finite() {
		s.fail("hatch of spacing %v mm", spacing)
		return
	}
	polygons := area.pieces(flatness)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, polygon := range polygons {
		for _, p := range polygon {
			d := p.dot(across(angle))
			lo, hi = math.Min(lo, d), math.Max(hi, d)
		}
	}
	if (hi-lo)/spacing > maxHatches || math.Max(hi, -lo)/spacing > 1e9 {
		s.fail("hatch of more than %d lines, or too far from the scene", maxHatches)
		return
	}
	path := new(Path)
	for _, l := range hatchLines(polygons, spacing, angle) {
		path.Move(l[0]).Line(l[1])
	}
	if len(path.points) > 0 {
		s.Path(pen, None, path)
	}
}

// across is the unit vector square to the hatch lines.
func across(angle float64) Point {
	sin, cos := math.Sincos(angle)
	return Point{sin, cos}
}

// hatchLines cuts the grid of lines  p·across = k spacing  by the polygons,
// even-odd rule.
//
// A side counts for a line when one end is below it and the other on or above
// it, so that a line through a corner crosses an even number of sides.
func hatchLines(polygons [][]Point, spacing, angle float64) [][2]Point {
	normal := across(angle)
	along := Point{normal.Y, -normal.X}
	cuts := make(map[int][]float64)
	for _, polygon := range polygons {
		for i, b := range polygon {
			a := polygon[(i+len(polygon)-1)%len(polygon)]
			h1, h2 := a.dot(normal), b.dot(normal)
			if h1 > h2 {
				a, b, h1, h2 = b, a, h2, h1
			}
			for k := int(math.Floor(h1 / spacing)); float64(k)*spacing <= h2; k++ {
				if float64(k)*spacing <= h1 {
					continue
				}
				t := (float64(k)*spacing - h1) / (h2 - h1)
				cuts[k] = append(cuts[k], a.dot(along)+t*(b.dot(along)-a.dot(along)))
			}
		}
	}
	var rows []int
	for k := range cuts {
		rows = append(rows, k)
	}
	slices.Sort(rows)
	var lines [][2]Point
	for _, k := range rows {
		slices.Sort(cuts[k])
		foot := normal.times(float64(k) * spacing)
		for i := 0; i+1 < len(cuts[k]); i += 2 {
			from, to := cuts[k][i], cuts[k][i+1]
			if to > from {
				lines = append(lines, [2]Point{foot.plus(along.times(from)), foot.plus(along.times(to))})
			}
		}
	}
	return lines
}
