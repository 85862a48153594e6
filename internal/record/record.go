// Package record lays out the record of a calibration: the readings, the fits, the
// figures of the method with their uncertainty, the matrix, the comparison with the
// prediction, and what most likely happened where they differ. It says what stands on
// the pages; packages layout and drawing know how.
//
// It computes no figure: every number comes from the evaluation or the diagnosis, and
// only units are converted and places on the paper worked out here. What is missing is
// a dash, with the reason below it.
//
// In US customary units the SI value stands beside every load; plots are in one system,
// the one asked for.
//
// A record is not a certificate of an accredited laboratory and says so. Not shown: the
// covariances of the matrix, which the as-calibrated file holds, and more than 600
// readings, which stay in the data file.
package record

import (
	"fmt"
	"io"
	"time"

	"gridwright/internal/calibration"
	"gridwright/internal/diagnosis"
	"gridwright/internal/dossier"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

// Options of a record.
type Options struct {
	Paper string // a4 (default) or letter
	Sys   quantity.System
}

// book is the record while it is laid out.
type book struct {
	*layout.Book
	r    *calibration.Result
	diag *diagnosis.Diagnosis
	w    layout.Words
	off  map[int]bool // lines of the data that are outliers
}

// Write writes the record of a calibration as PDF; diag is nil when no diagnosis was
// made. The characters that the fonts lack are printed as a box and returned, for a
// warning. The same result gives the same bytes.
func Write(w io.Writer, r *calibration.Result, diag *diagnosis.Diagnosis, opt Options) (missing []rune, err error) {
	b, err := build(r, diag, opt)
	if err != nil {
		return nil, err
	}
	return b.Doc.Missing(), b.Doc.WritePDF(w)
}

func build(r *calibration.Result, diag *diagnosis.Diagnosis, opt Options) (*book, error) {
	paper, err := layout.PaperSize(opt.Paper)
	if err != nil {
		return nil, err
	}
	b := &book{layout.New(paper), r, diag, layout.Words{Sys: opt.Sys}, map[int]bool{}}
	for _, o := range r.Outliers {
		b.off[o.Line] = true
	}
	b.Doc.Title = r.Title
	b.Doc.Subject = "record of a transducer calibration"
	b.Doc.Creator = "gridwright " + dossier.Version
	b.Doc.Keywords = "design sha256 " + layout.OrDash(r.Options.DesignDigest) + ", data sha256 " + layout.OrDash(r.Options.DataDigest)
	if date, err := time.Parse(time.DateOnly, r.Options.Date); err == nil {
		b.Doc.Date = date
	}
	b.identity()
	b.data()
	b.fits()
	b.figures()
	b.matrix()
	b.comparison()
	b.diagnosis()
	b.cautions()
	b.Finish(b.titleStrip)
	return b, nil
}

// titleStrip is what stands at the foot of a page.
func (b *book) titleStrip(page, of int) (upper, lower []layout.Cell) {
	p := &b.r.Design.Part
	upper = []layout.Cell{{Caption: "title", Value: b.r.Title, Share: 0.44}, {Caption: "part", Value: layout.OrDash(p.Number), Share: 0.18},
		{Caption: "serial", Value: layout.OrDash(p.Serial), Share: 0.14}, {Caption: "drawing", Value: layout.OrDash(p.Drawing), Share: 0.16}, {Caption: "revision", Value: layout.OrDash(p.Revision), Share: 0.08}}
	lower = []layout.Cell{{Caption: "sheet", Value: "record of a calibration; not an accredited certificate", Share: 0.32}, {Caption: "date", Value: layout.OrDash(b.r.Options.Date), Share: 0.12},
		{Caption: "program", Value: "gridwright " + dossier.Version, Share: 0.14}, {Caption: "design sha256", Value: brief(b.r.Options.DesignDigest), Share: 0.15},
		{Caption: "data sha256", Value: brief(b.r.Options.DataDigest), Share: 0.15}, {Caption: "page", Value: fmt.Sprintf("%d of %d", page, of), Share: 0.12}}
	return upper, lower
}

// brief is the beginning of a digest.
func brief(digest string) string {
	if len(digest) > 12 {
		digest = digest[:12]
	}
	return layout.OrDash(digest)
}
