package drawing

import (
	"image"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Plot draws a plot as vectors into a rectangle of the scene, given by its top
// left corner. Make the plot by NewPlot, so that its texts are measured in the
// fonts that they are set in.
//
// gonum/plot panics on data that it cannot draw (a logarithmic axis through
// zero, a tick at infinity); that becomes a fault of the scene.
func (s *Scene) Plot(p *plot.Plot, x, y, width, height float64) {
	if !At(x, y).finite() || !(width > 0 && height > 0) || !finite(width) || !finite(height) {
		s.fail("plot of %v × %v mm", width, height)
		return
	}
	defer func() {
		if fault := recover(); fault != nil {
			s.fail("plot %q: %v", p.Title.Text, fault)
		}
	}()
	p.Draw(draw.New(newCanvas(s, x, y, width, height)))
}

// canvas is gonum/plot's drawing surface on a rectangle of a scene. Its unit
// is the point, its origin the lower left corner, y up.
type canvas struct {
	scene         *Scene
	corner        Point // lower left, mm
	width, height vg.Length
	states        []state
}

// state is what Push keeps and Pop brings back.
type state struct {
	width  vg.Length
	dash   []vg.Length
	phase  vg.Length
	colour color.Color
	// matrix takes (u, v) to (m0 u + m2 v + m4, m1 u + m3 v + m5), points, y up.
	matrix [6]float64
}

func newCanvas(s *Scene, x, y, width, height float64) *canvas {
	c := &canvas{
		scene:  s,
		corner: At(x, y+height),
		width:  vg.Length(width) * vg.Millimeter,
		height: vg.Length(height) * vg.Millimeter,
		states: []state{{matrix: [6]float64{1, 0, 0, 1, 0, 0}}},
	}
	vg.Initialize(c)
	return c
}

func (c *canvas) now() *state { return &c.states[len(c.states)-1] }

func (c *canvas) Size() (width, height vg.Length) { return c.width, c.height }
func (c *canvas) SetLineWidth(w vg.Length)        { c.now().width = w }
func (c *canvas) SetColor(k color.Color)          { c.now().colour = k }
func (c *canvas) Push()                           { c.states = append(c.states, *c.now()) }
func (c *canvas) Pop()                            { c.states = c.states[:len(c.states)-1] }

func (c *canvas) SetLineDash(dash []vg.Length, phase vg.Length) {
	c.now().dash, c.now().phase = append([]vg.Length(nil), dash...), phase
}

func (c *canvas) Rotate(angle float64) {
	sin, cos := math.Sincos(angle)
	c.transform([6]float64{cos, sin, -sin, cos, 0, 0})
}

func (c *canvas) Translate(p vg.Point) {
	c.transform([6]float64{1, 0, 0, 1, float64(p.X), float64(p.Y)})
}

func (c *canvas) Scale(x, y float64) { c.transform([6]float64{x, 0, 0, y, 0, 0}) }

func (c *canvas) transform(n [6]float64) {
	m := c.now().matrix
	c.now().matrix = [6]float64{
		m[0]*n[0] + m[2]*n[1], m[1]*n[0] + m[3]*n[1],
		m[0]*n[2] + m[2]*n[3], m[1]*n[2] + m[3]*n[3],
		m[0]*n[4] + m[2]*n[5] + m[4], m[1]*n[4] + m[3]*n[5] + m[5],
	}
}

func (c *canvas) point(p vg.Point) Point {
	m := c.now().matrix
	u := m[0]*float64(p.X) + m[2]*float64(p.Y) + m[4]
	v := m[1]*float64(p.X) + m[3]*float64(p.Y) + m[5]
	return Point{c.corner.X + u*mmPerPoint, c.corner.Y - v*mmPerPoint}
}

// outline takes a path to the scene. Its arcs go there point by point, so
// that a scaled canvas makes ellipses of them.
func (c *canvas) outline(p vg.Path) *Path {
	out := new(Path)
	var here vg.Point
	for _, k := range p {
		switch k.Type {
		case vg.MoveComp:
			out.Move(c.point(k.Pos))
		case vg.LineComp:
			out.Line(c.point(k.Pos))
		case vg.CurveComp:
			c1, c2 := k.Control[0], k.Control[len(k.Control)-1]
			if len(k.Control) == 1 {
				// The cubic that is the quadratic: control points 2/3 of
				// the way from its ends to its one control point.
				c1 = here.Add(c1.Sub(here).Scale(2.0 / 3))
				c2 = k.Pos.Add(c2.Sub(k.Pos).Scale(2.0 / 3))
			}
			out.Curve(c.point(c1), c.point(c2), c.point(k.Pos))
		case vg.ArcComp:
			arc := new(Path).Arc(At(float64(k.Pos.X), -float64(k.Pos.Y)), float64(k.Radius), k.Start, k.Angle)
			arc.each(func(v verb, q []Point) {
				at := func(i int) Point { return c.point(vg.Point{X: vg.Length(q[i].X), Y: vg.Length(-q[i].Y)}) }
				if v == curve {
					out.Curve(at(0), at(1), at(2))
				} else {
					out.Line(at(0))
				}
			})
			end := arc.points[len(arc.points)-1]
			here = vg.Point{X: vg.Length(end.X), Y: vg.Length(-end.Y)}
			continue
		case vg.CloseComp:
			out.Close()
			continue
		}
		here = k.Pos
	}
	return out
}

// scale is the mean factor of the transform on lengths.
func (c *canvas) scale() float64 {
	m := c.now().matrix
	return math.Sqrt(math.Abs(m[0]*m[3] - m[1]*m[2]))
}

func (c *canvas) Stroke(p vg.Path) {
	now := c.now()
	pen := Pen{Width: float64(now.width) * mmPerPoint * c.scale(), Colour: onPaper(now.colour), Phase: float64(now.phase) * mmPerPoint}
	for _, d := range now.dash {
		pen.Dash = append(pen.Dash, float64(d)*mmPerPoint)
	}
	if pen.draws() && len(p) > 0 {
		c.scene.Path(pen, None, c.outline(p))
	}
}

func (c *canvas) Fill(p vg.Path) {
	if fill := onPaper(c.now().colour); fill != None && len(p) > 0 {
		c.scene.Path(Pen{}, fill, c.outline(p))
	}
}

func (c *canvas) FillString(f font.Face, at vg.Point, text string) {
	colour := onPaper(c.now().colour)
	if f.Font.Size == 0 || text == "" || colour == None {
		return
	}
	m := c.now().matrix
	c.scene.Text(TextStyle{
		Font:   fontOf(f.Font),
		Size:   f.Font.Size.Points() * c.scale(),
		Colour: colour,
		Angle:  math.Atan2(m[1], m[0]),
	}, c.point(at), text)
}

// DrawImage refuses: a scene holds no raster images, which gofpdf would order
// at random.
func (c *canvas) DrawImage(vg.Rectangle, image.Image) {
	c.scene.fail("plot with a raster image")
}

var _ vg.CanvasSizer = (*canvas)(nil)
