package drawing

import (
	"fmt"
	"io"
	"time"
)

// Document is a sheet of several pages, each a scene.
type Document struct {
	Title, Subject, Creator, Keywords string
	// Date is the date of creation and of change that the file states; zero
	// is 1 January 2000, for a file never states when it was really written:
	// the same document gives the same bytes.
	Date time.Time

	pages []*Scene
	plain bool // leave page contents uncompressed, for tests
}

// PaperSize is a paper's width and height in mm, upright.
type PaperSize struct{ Width, Height float64 }

var (
	A4     = PaperSize{210, 297}              // ISO 216
	Letter = PaperSize{8.5 * 25.4, 11 * 25.4} // ANSI/ASME Y14.1 size A
)

// Page appends an empty page of a paper and returns it.
func (d *Document) Page(paper PaperSize) *Scene {
	s := NewScene(paper.Width, paper.Height)
	d.Add(s)
	return s
}

// Add appends a scene as a page and returns its number, from 1.
func (d *Document) Add(s *Scene) int {
	d.pages = append(d.pages, s)
	return len(d.pages)
}

// Pages is the number of pages so far.
func (d *Document) Pages() int { return len(d.pages) }

// Missing lists the characters of all pages that the fonts lack.
func (d *Document) Missing() []rune {
	all := make(map[rune]bool)
	for _, s := range d.pages {
		for r := range s.missing {
			all[r] = true
		}
	}
	return sortedRunes(all)
}

// Err is the first fault of the document: one of a page, a link that leads
// nowhere, an outline that skips a level.
func (d *Document) Err() error {
	if len(d.pages) == 0 {
		return fmt.Errorf("drawing: document without a page")
	}
	level := -1
	for i, s := range d.pages {
		if s.err != nil {
			return fmt.Errorf("page %d: %w", i+1, s.err)
		}
		for _, l := range s.links {
			if l.page < 1 || l.page > len(d.pages) {
				return fmt.Errorf("page %d: drawing: link to page %d of %d", i+1, l.page, len(d.pages))
			}
		}
		for _, b := range s.bookmarks {
			if b.level > level+1 {
				return fmt.Errorf("page %d: drawing: bookmark %q at level %d below level %d", i+1, b.title, b.level, level)
			}
			level = b.level
		}
	}
	return nil
}

// WritePDF writes the document as a PDF file with its fonts embedded.
func (d *Document) WritePDF(w io.Writer) error {
	if err := d.Err(); err != nil {
		return err
	}
	return writePDF(w, d)
}
