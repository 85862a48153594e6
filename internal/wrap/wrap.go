// Package wrap lays out the template that is printed at true size, cut out and
// laid round the part to mark where the gauges are bonded. It says what is drawn;
// package drawing knows how.
//
// On a round part of outside diameter D the paper, of thickness t, bends about
// its middle: once round it is
//
//	L = π (D + t)
//
// long, and what lies at the angle φ of the part is drawn at L·φ/360°. So
// distances around the part are longer on the paper than on the surface by
// (D + t)/D, the outlines of gauges among them; distances along the part are
// true.
//
// On another part a flat face is drawn as it is, and a curve as the paper's middle
// runs, t/2 outside the surface: one of radius R is longer by (R + t/2)/R. A fold at
// an edge is taken to add nothing, so that the edges are to be laid on the folds one
// by one. A convex part gets one strip of all its faces if that fits a page, another
// one strip for each face that carries a gauge.
//
// Not modelled: paper that stretches or shrinks, a printer that scales, layers of
// glue, a taper, what the lap of the flap adds under the paper's other end.
package wrap

import (
	"fmt"
	"math"
	"slices"
	"time"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/quantity"
)

// DefaultThickness is that of office paper of 80 g/m², m (common practice).
const DefaultThickness = 0.1e-3

// Options of a template.
type Options struct {
	Paper     string  // a4 (default) or letter
	Thickness float64 // of the paper, m; 0 is DefaultThickness
	Sys       quantity.System
}

func (o Options) paper() (drawing.PaperSize, error) {
	switch o.Paper {
	case "", "a4":
		return drawing.A4, nil
	case "letter":
		return drawing.Letter, nil
	}
	return drawing.PaperSize{}, fmt.Errorf("paper %q is not known; write a4 or letter", o.Paper)
}

// thickness in range: paper thicker than that neither bends as the formula has
// it nor goes through a printer.
func (o Options) thickness() (float64, error) {
	const most = 1e-3
	switch t := o.Thickness; {
	case t == 0:
		return DefaultThickness, nil
	case !(t > 0 && t <= most):
		return 0, fmt.Errorf("a paper thickness of %.4g mm is not between 0 and 1 mm; 0.1 mm is common", t*1e3)
	default:
		return t, nil
	}
}

// Of draws the template of a design: one page or several, all at true size, none
// to be scaled in print. Warnings are sentences on what the person with the
// template has to know beyond what stands on it.
//
// A design that places nothing, a paper or thickness out of range, and a part that takes more than 60 pages are errors.
func Of(d *dossier.Dossier, o Options) (*drawing.Document, []string, error) {
	b, err := build(d, o)
	if err != nil {
		return nil, nil, err
	}
	return &b.doc, b.warnings, nil
}

// build lays out the template of a design's part.
func build(d *dossier.Dossier, o Options) (*book, error) {
	t, err := o.thickness()
	if err != nil {
		return nil, err
	}
	if outer := d.Result.State.Section.Loops()[0]; len(outer) != 1 || !outer[0].Circular() {
		panels, err := generalPanels(d, t, o)
		if err != nil {
			return nil, err
		}
		return layOut(d, o, t, panels)
	}
	p, err := roundPanel(d, t)
	if err != nil {
		return nil, err
	}
	return layOut(d, o, t, []panel{p})
}

// layOut puts panels on pages.
func layOut(d *dossier.Dossier, o Options, thickness float64, panels []panel) (*book, error) {
	paper, err := o.paper()
	if err != nil {
		return nil, err
	}
	for _, p := range panels {
		if len(p.backings) == 0 {
			continue
		}
		if !(p.girth > 0) || math.IsInf(p.girth, 0) {
			return nil, fmt.Errorf("a face of %g mm has no template", p.girth*1e3)
		}
	}
	b := &book{d: d, w: words{o.Sys}, thickness: thickness, panels: panels}
	b.doc.Title = d.Design.Title
	b.doc.Subject = "layout template, true size"
	b.doc.Creator = "gridwright " + dossier.Version
	b.doc.Keywords = "input sha256 " + d.Digest
	if date, err := time.Parse(time.DateOnly, d.Design.Part.Date); err == nil {
		b.doc.Date = date
	}
	if err := b.choose(paper); err != nil {
		return nil, err
	}
	b.draw()
	if err := b.doc.Err(); err != nil {
		return nil, err
	}
	if missing := b.doc.Missing(); len(missing) > 0 {
		b.warn("the fonts lack %q, printed as a box", string(missing))
	}
	return b, nil
}

// warn adds a warning once.
func (b *book) warn(format string, args ...any) {
	if s := fmt.Sprintf(format, args...); !slices.Contains(b.warnings, s) {
		b.warnings = append(b.warnings, s)
	}
}
