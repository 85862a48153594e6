package drawing

import (
	"fmt"
	"math"
	"slices"
)

// Scene is a page or a figure, Width × Height in mm.
type Scene struct {
	Width, Height float64
	Title         string // what the figure shows; the title of its SVG file

	items     []item
	boxes     []TextBox
	links     []link
	bookmarks []bookmark
	missing   map[rune]bool
	err       error
}

// item is what a back end draws.
type item interface {
	draw(backend)
	moved(by Point) item
}

// backend knows how to draw the two things that a drawing is made of.
type backend interface {
	path(stroke)
	text(lettering)
}

// stroke is a path with the pen that draws it and the colour that fills it.
type stroke struct {
	path *Path
	pen  Pen
	fill Colour
}

func (s stroke) draw(b backend) { b.path(s) }

func (s stroke) moved(by Point) item {
	s.path = s.path.moved(by)
	return s
}

type link struct {
	at            Point
	width, height float64
	page          int
}

type bookmark struct {
	title string
	level int
	y     float64
}

// NewScene is an empty scene of the given size in mm.
func NewScene(width, height float64) *Scene {
	s := &Scene{Width: width, Height: height}
	if !(width > 0 && height > 0) || !finite(width) || !finite(height) {
		s.fail("scene of %v × %v mm", width, height)
	}
	return s
}

// Err is the first fault of the drawing so far.
func (s *Scene) Err() error { return s.err }

func (s *Scene) fail(format string, args ...any) {
	if s.err == nil {
		s.err = fmt.Errorf("drawing: "+format, args...)
	}
}

// Path draws an outline with a pen and fills it with a colour; either may be
// the zero value, not both. The scene takes a copy.
func (s *Scene) Path(pen Pen, fill Colour, path *Path) {
	switch {
	case !path.finite():
		s.fail("path through a point that is not finite")
		return
	case len(path.points) == 0:
		s.fail("path without a point")
		return
	case !pen.draws() && fill == None:
		s.fail("path with neither pen nor fill")
		return
	}
	if err := pen.check(); err != nil {
		s.fail("%v", err)
		return
	}
	s.items = append(s.items, stroke{path: &Path{verbs: slices.Clone(path.verbs), points: slices.Clone(path.points)}, pen: pen, fill: fill})
}

// Line draws a straight line.
func (s *Scene) Line(pen Pen, from, to Point) {
	s.Path(pen, None, new(Path).Move(from).Line(to))
}

// Polyline draws straight lines from point to point.
func (s *Scene) Polyline(pen Pen, points ...Point) {
	path := new(Path)
	for _, p := range points {
		path.Line(p)
	}
	s.Path(pen, None, path)
}

// Polygon draws the closed outline through the points.
func (s *Scene) Polygon(pen Pen, fill Colour, points ...Point) {
	s.Path(pen, fill, PolygonPath(points...))
}

// Rectangle draws an upright rectangle from its top left corner.
func (s *Scene) Rectangle(pen Pen, fill Colour, corner Point, width, height float64) {
	s.TurnedRectangle(pen, fill, corner.plus(At(width/2, height/2)), width, height, 0)
}

// TurnedRectangle draws a rectangle about its centre, its width turned by
// angle from the horizontal.
func (s *Scene) TurnedRectangle(pen Pen, fill Colour, centre Point, width, height, angle float64) {
	c := corners(centre, -width/2, width/2, height/2, -height/2, angle)
	s.Polygon(pen, fill, c[:]...)
}

// corners are those of a box about p, turned by angle: bottom left, bottom
// right, top right, top left when the box is upright. up and down are
// distances upward on the paper.
func corners(p Point, left, right, up, down, angle float64) [4]Point {
	sin, cos := math.Sincos(angle)
	at := func(along, above float64) Point {
		return Point{p.X + along*cos - above*sin, p.Y - along*sin - above*cos}
	}
	return [4]Point{at(left, down), at(right, down), at(right, up), at(left, up)}
}

// Circle draws a circle.
func (s *Scene) Circle(pen Pen, fill Colour, centre Point, r float64) {
	if !(r > 0) {
		s.fail("circle of radius %v mm", r)
		return
	}
	s.Path(pen, fill, CirclePath(centre, r))
}

// Arc draws a circular arc from the angle start over sweep.
func (s *Scene) Arc(pen Pen, centre Point, r, start, sweep float64) {
	if !(r > 0) {
		s.fail("arc of radius %v mm", r)
		return
	}
	s.Path(pen, None, new(Path).Arc(centre, r, start, sweep))
}

// Place draws a figure, as it is by now, at its true size with its top left
// corner at the given point; its links and bookmarks come along.
func (s *Scene) Place(figure *Scene, at Point) {
	if figure.err != nil && s.err == nil {
		s.err = figure.err
	}
	if !at.finite() {
		s.fail("figure placed at a point that is not finite")
		return
	}
	for _, it := range figure.items {
		s.items = append(s.items, it.moved(at))
	}
	for _, b := range figure.boxes {
		s.boxes = append(s.boxes, b.moved(at))
	}
	for _, l := range figure.links {
		l.at = l.at.plus(at)
		s.links = append(s.links, l)
	}
	for _, b := range figure.bookmarks {
		b.y += at.Y
		s.bookmarks = append(s.bookmarks, b)
	}
	s.lacks(figure.Missing())
}

// Link makes a rectangle lead to a page of the document (the first is 1).
// An SVG file has no links.
func (s *Scene) Link(corner Point, width, height float64, page int) {
	if !corner.finite() || !(width > 0 && height > 0) || !finite(width) || !finite(height) {
		s.fail("link from a rectangle of %v × %v mm", width, height)
		return
	}
	s.links = append(s.links, link{corner, width, height, page})
}

// Bookmark enters the height y of the scene in the document's outline, at a
// level from 0, at most one deeper than the entry before it.
func (s *Scene) Bookmark(title string, level int, y float64) {
	if level < 0 || !finite(y) {
		s.fail("bookmark %q at level %d, height %v mm", title, level, y)
		return
	}
	s.bookmarks = append(s.bookmarks, bookmark{title, level, y})
}

// Missing lists the characters that the fonts lack and that were replaced by
// a box, in order of their code.
func (s *Scene) Missing() []rune { return sortedRunes(s.missing) }

func (s *Scene) lacks(runes []rune) {
	if s.missing == nil && len(runes) > 0 {
		s.missing = make(map[rune]bool)
	}
	for _, r := range runes {
		s.missing[r] = true
	}
}
