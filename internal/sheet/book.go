package sheet

import (
	"fmt"

	"gridwright/internal/dossier"
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
)

// book is the sheet while it is laid out.
type book struct {
	*layout.Book
	d *dossier.Dossier
	w layout.Words
}

func newBook(d *dossier.Dossier, w layout.Words, paper drawing.PaperSize) *book {
	return &book{layout.New(paper), d, w}
}

// drawn are the words of drawings and plots: one system only.
func (b *book) drawn() layout.Words { return layout.Words{Sys: b.w.Sys, Alone: true} }

// titleStrip is what stands at the foot of a page.
func (b *book) titleStrip(page, of int) (upper, lower []layout.Cell) {
	p := &b.d.Design.Part
	digest := b.d.Digest
	if len(digest) > 12 {
		digest = digest[:12]
	}
	upper = []layout.Cell{{Caption: "title", Value: b.d.Design.Title, Share: 0.52}, {Caption: "part", Value: layout.OrDash(p.Number), Share: 0.2}, {Caption: "drawing", Value: layout.OrDash(p.Drawing), Share: 0.2}, {Caption: "revision", Value: layout.OrDash(p.Revision), Share: 0.08}}
	lower = []layout.Cell{{Caption: "sheet", Value: "transducer design sheet; nominal prediction, not a calibration", Share: 0.42}, {Caption: "date", Value: layout.OrDash(p.Date), Share: 0.14},
		{Caption: "program", Value: "gridwright " + dossier.Version, Share: 0.16}, {Caption: "input sha256", Value: layout.OrDash(digest), Share: 0.16}, {Caption: "page", Value: fmt.Sprintf("%d of %d", page, of), Share: 0.12}}
	return upper, lower
}
