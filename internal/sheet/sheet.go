// Package sheet lays out the design sheet: what the person who bonds the gauges,
// the one who wires them and the laboratory that calibrates the result work
// from. It says what is drawn; package drawing knows how.
//
// It computes no figure of the design: every number comes from the dossier, and
// only where a line or a word goes on the paper is worked out here.
//
// In US customary units the SI value stands beside every figure; drawings and
// plots are in one system, the one asked for.
//
// Not shown: calibration results and the 1:1 template that is wrapped round the
// part, which have documents of their own.
package sheet

import (
	"fmt"
	"io"
	"time"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

// Options of a sheet.
type Options struct {
	Paper string // a4 (default) or letter
	Work  bool   // with the calculation as an appendix
	Sys   quantity.System
}

// Figure is one drawing of the sheet with a name for its file.
type Figure struct {
	Name  string
	Scene *drawing.Scene
}

// Write writes the design sheet as PDF. The characters of the design's texts
// that the fonts lack are printed as a box and returned, for a warning. The same
// dossier gives the same bytes.
func Write(w io.Writer, d *dossier.Dossier, opt Options) (missing []rune, err error) {
	b, err := build(d, opt)
	if err != nil {
		return nil, err
	}
	return b.Doc.Missing(), b.Doc.WritePDF(w)
}

// Figures draws the sheet's figures one by one: side view, section, developed
// surface, each gauge in detail, the diagram of each bridge.
func Figures(d *dossier.Dossier, opt Options) ([]Figure, error) {
	paper, err := layout.PaperSize(opt.Paper)
	if err != nil {
		return nil, err
	}
	w, width := layout.Words{Sys: opt.Sys, Alone: true}, paper.Width-2*layout.Margin
	figures := []Figure{
		{"side-view", sideView(d, w, width-sectionWidth)},
		{"section", sectionView(d, w)},
	}
	for i, l := range developedSurfaces(d, w, width, surfaceHeight) {
		name := "developed-surface"
		if i > 0 {
			name = fmt.Sprintf("developed-surface-%d", i+1)
		}
		figures = append(figures, Figure{name, l.scene})
	}
	for i := range d.Design.Gauges {
		figures = append(figures, Figure{"gauge-" + d.Design.Gauges[i].Name, gaugeDetail(d, i)})
	}
	for i := range d.Result.Bridges {
		figures = append(figures, Figure{"bridge-" + d.Result.Bridges[i].Name, bridgeDiagram(d, w, i)})
	}
	for _, f := range figures {
		if err := f.Scene.Err(); err != nil {
			return nil, fmt.Errorf("figure %s: %w", f.Name, err)
		}
	}
	return figures, nil
}

// build lays out all pages.
func build(d *dossier.Dossier, opt Options) (*book, error) {
	paper, err := layout.PaperSize(opt.Paper)
	if err != nil {
		return nil, err
	}
	b := newBook(d, layout.Words{Sys: opt.Sys}, paper)
	b.Doc.Title = d.Design.Title
	b.Doc.Subject = "transducer design sheet"
	b.Doc.Creator = "gridwright " + dossier.Version
	b.Doc.Keywords = "input sha256 " + d.Digest
	if date, err := time.Parse(time.DateOnly, d.Design.Part.Date); err == nil {
		b.Doc.Date = date
	}
	b.identity()
	b.part()
	b.bridges()
	b.figures()
	b.curves()
	b.records()
	b.calibration()
	if opt.Work {
		if err := b.calculation(); err != nil {
			return nil, err
		}
	}
	b.Finish(b.titleStrip)
	return b, nil
}
