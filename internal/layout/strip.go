package layout

import "gridwright/internal/drawing"

// Cell of the title strip: a caption, what stands below it, and its share of the
// width.
type Cell struct {
	Caption, Value string
	Share          float64
}

// Finish draws what needs the number of pages: links, and on every page its frame
// with the two rows of the title strip.
func (b *Book) Finish(strip func(page, of int) (upper, lower []Cell)) {
	for i, p := range b.Pages {
		upper, lower := strip(i+1, len(b.Pages))
		b.strip(p, upper, lower)
	}
	for _, l := range b.links {
		if page, ok := b.targets[l.target]; ok {
			l.page.Link(l.at, l.width, l.height, page)
		}
	}
}

// strip is the frame of a page and the title strip at its foot.
func (b *Book) strip(s *drawing.Scene, upper, lower []Cell) {
	const edge, half = 8.0, 9.0
	x, y := Margin-4, b.Paper.Height-stripFoot-stripHeight
	width := b.Paper.Width - 2*x
	s.Rectangle(drawing.Thin, drawing.None, drawing.At(x, edge), width, b.Paper.Height-edge-stripFoot)
	s.Line(drawing.Outline, drawing.At(x, y), drawing.At(x+width, y))
	b.stripRow(s, x, y, width, half, upper)
	s.Line(drawing.Thin, drawing.At(x, y+half), drawing.At(x+width, y+half))
	b.stripRow(s, x, y+half, width, stripHeight-half, lower)
}

// stripRow draws a row of captions with values fitted to their cells.
func (b *Book) stripRow(s *drawing.Scene, x, y, width, height float64, cells []Cell) {
	for i, c := range cells {
		w := c.Share * width
		if i > 0 {
			s.Line(drawing.Thin, drawing.At(x, y), drawing.At(x, y+height))
		}
		s.Text(drawing.TextStyle{Size: 5, Colour: drawing.Grey, Level: drawing.Top}, drawing.At(x+1.2, y+0.6), c.Caption)
		value, size := drawing.Fit(OneLine(c.Value), drawing.Regular, 8.5, 6, w-2.4)
		if value != "" {
			top := y + 0.6 + drawing.LineHeight(drawing.Regular, 5)
			s.Text(drawing.TextStyle{Size: size, Level: drawing.Top}, drawing.At(x+1.2, top), value)
		}
		x += w
	}
}
