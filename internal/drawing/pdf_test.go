package drawing

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func pdfOf(t testing.TB, d *Document) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.WritePDF(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestPDFStructure(t *testing.T) {
	d := demoDocument(t)
	d.plain = true
	d.Date = time.Date(2024, 2, 29, 12, 0, 0, 0, time.UTC)
	pdf := pdfOf(t, d)
	if !strings.HasPrefix(pdf, "%PDF-1.") || !strings.HasSuffix(pdf, "%%EOF\n") {
		t.Errorf("starts %q, ends %q", pdf[:8], pdf[len(pdf)-8:])
	}
	for _, want := range []string{
		"/Count 2",
		"/MediaBox [0 0 595.28 841.89]", // A4, ISO 216: 210 × 297 mm
		"/MediaBox [0 0 612.00 792.00]", // US Letter: 8.5 × 11 in
		"/CreationDate (D:20240229120000)",
		"/ModDate (D:20240229120000)",
		"/Dest [5 0 R /XYZ 0 792.00 null]", // the link, to the top of the second page
		"/Dest [3 0 R /XYZ 0 841.89 null]", // the bookmark at the top of the first, taller page
		"/Dest [5 0 R /XYZ 0 763.65 null]", // 10 mm down the second
	} {
		if !strings.Contains(pdf, want) {
			t.Errorf("lacks %s", want)
		}
	}
	// No picture and no transparency.
	for _, not := range []string{"/Subtype /Image", "/ExtGState", " gs\n", "NaN", "+Inf", "-Inf"} {
		if strings.Contains(pdf, not) {
			t.Errorf("has %s", not)
		}
	}
	// The cross-reference table is where the file says, and the objects are
	// where the table says.
	at := regexp.MustCompile(`startxref\n(\d+)\n`).FindStringSubmatch(pdf)
	if at == nil {
		t.Fatal("no startxref")
	}
	var offset int
	fmt.Sscan(at[1], &offset)
	if !strings.HasPrefix(pdf[offset:], "xref\n") {
		t.Errorf("startxref leads to %q", pdf[offset:offset+10])
	}
	for i, m := range regexp.MustCompile(`(?m)^(\d{10}) 00000 n `).FindAllStringSubmatch(pdf[offset:], -1) {
		var o int
		fmt.Sscanf(strings.TrimLeft(m[1], "0"), "%d", &o)
		if want := fmt.Sprintf("%d 0 obj", i+1); !strings.HasPrefix(pdf[o:], want) {
			t.Errorf("object %d is at %q", i+1, pdf[o:o+10])
		}
	}
}

func TestPDFIsReproducible(t *testing.T) {
	first := pdfOf(t, demoDocument(t))
	for range 20 {
		if pdfOf(t, demoDocument(t)) != first {
			t.Fatal("the same document gave another file")
		}
	}
	d := demoDocument(t)
	if once, twice := pdfOf(t, d), pdfOf(t, d); once != twice {
		t.Error("writing twice gave another file")
	}
	if strings.Contains(first, time.Now().Format("D:2006")) {
		t.Error("the file states the date of writing")
	}
}

func TestPDFEmbedsUsedFontsOnly(t *testing.T) {
	for _, c := range []struct {
		fonts []Font
		want  int
	}{{nil, 0}, {[]Font{Regular}, 1}, {[]Font{Mono, Bold, Mono}, 2}} {
		d := new(Document)
		s := d.Page(A4)
		for _, f := range c.fonts {
			s.Text(TextStyle{Font: f, Size: 8}, At(20, 20), "Ω")
		}
		if got := strings.Count(pdfOf(t, d), "/FontFile2"); got != c.want {
			t.Errorf("fonts %v: %d embedded, want %d", c.fonts, got, c.want)
		}
	}
}

// The operators of one page, in points with y up: 1 mm = 72/25.4 pt.
func TestPDFOperators(t *testing.T) {
	d := &Document{plain: true}
	s := d.Add(NewScene(100, 100))
	page := d.pages[s-1]
	page.Line(Pen{Width: 0.5, Colour: RGB(255, 0, 0)}, At(10, 20), At(60, 20))
	page.Line(Pen{Width: 0.5, Colour: RGB(255, 0, 0), Dash: []float64{2, 1}}, At(10, 30), At(60, 30))
	page.Polygon(Pen{}, RGB(0, 0, 255), At(0, 0), At(10, 0), At(10, 10))
	page.Polygon(Outline, Mist, At(0, 0), At(10, 0), At(10, 10))
	page.Text(TextStyle{Size: 10}, At(10, 50), "φ(1)")
	page.Text(TextStyle{Size: 10, Angle: math.Pi / 2}, At(10, 50), "x")
	pdf := pdfOf(t, d)
	for _, want := range []string{
		"1.42 w\n",               // 0.5 mm
		"1.000 0.000 0.000 RG\n", // red line
		"28.35 226.77 m\n170.08 226.77 l\nS\n",
		"[5.67 2.83] 0.00 d\n",
		"0.000 0.000 1.000 rg\n",
		"28.35 255.12 l\nh\nf*\n",
		"28.35 255.12 l\nh\nB*\n",
		"BT 28.35 141.73 Td (\x03\xc6\x00\\(\x001\x00\\)) Tj ET", // UTF-16, brackets escaped
		"0.00000 1.00000 -1.00000 0.00000 170.07874 113.38583 cm\n",
	} {
		if !strings.Contains(pdf, want) {
			t.Errorf("lacks %q", want)
		}
	}
}

// What one page sets must not be taken for set on the next.
func TestPDFPagesStandAlone(t *testing.T) {
	d := &Document{plain: true}
	for range 3 {
		s := d.Page(A4)
		s.Line(Hidden.With(Second), At(10, 10), At(20, 10))
		s.Line(Outline, At(10, 12), At(20, 12))
		s.Text(TextStyle{Size: 9}, At(10, 20), "same")
	}
	pages := regexp.MustCompile(`(?s)stream\n(.*?)endstream`).FindAllStringSubmatch(pdfOf(t, d), 3)
	// gofpdf repeats on later pages what was set last; then comes all that a
	// page draws, its whole state first.
	const state = "0.110 g\n0.71 w\n" // Ink and the width of Thin
	_, first, found := strings.Cut(pages[0][1], state)
	if !found {
		t.Fatalf("page 1 does not set its state:\n%s", pages[0][1])
	}
	first = state + first
	for i, p := range pages[1:] {
		if !strings.HasSuffix(p[1], first) {
			t.Errorf("page %d is not drawn as page 1:\n%s\n%s", i+2, first, p[1])
		}
	}
	for _, operator := range []string{" g\n", " G\n", " w\n", "[] 0.00 d\n", " Tf "} {
		if !strings.Contains(first, operator) {
			t.Errorf("the state lacks %q", operator)
		}
	}
}

// Names and notes of a design are anybody's text.
func TestAnyTextIsPrinted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) })).Draw(t, "text")
		d := &Document{Title: text, Subject: text, Keywords: text, Creator: text}
		s := d.Page(A4)
		s.Title = text
		s.Bookmark(text, 0, 0)
		if rapid.Bool().Draw(t, "with text") {
			f := anyFont.Draw(t, "font")
			s.Text(TextStyle{Size: 8, Font: f}, At(20, 20), text)
			for i, l := range Wrap(text, f, 8, 40) {
				s.Text(TextStyle{Size: 8, Font: f}, At(20, 30+float64(i)), l)
			}
			fitted, size := Fit(text, f, 8, 6, 30)
			s.Text(TextStyle{Size: size, Font: f}, At(20, 25), fitted)
		}
		if err := d.WritePDF(io.Discard); err != nil {
			t.Fatal(err)
		}
		wellFormed(t, s)
	})
}

func TestBookmarkWithoutFont(t *testing.T) {
	d := new(Document)
	d.Page(A4).Bookmark("µε", 0, 0)
	with := new(Document)
	s := with.Page(A4)
	s.Bookmark("µε", 0, 0)
	s.Text(TextStyle{Size: 8}, At(20, 20), "text")
	for _, d := range []*Document{d, with} {
		if want := "/Title (\xfe\xff\x00\xb5\x03\xb5)"; !strings.Contains(pdfOf(t, d), want) {
			t.Errorf("bookmark is not UTF-16 %q", want)
		}
	}
}

// Metadata is UTF-16 without surrogates: gofpdf garbles what lies above U+FFFF.
func TestMetadata(t *testing.T) {
	d := &Document{Title: "Ω 𝄞\n\xff"}
	d.Page(A4).Bookmark("Ω 𝄞", 0, 0)
	pdf := pdfOf(t, d)
	if want := "/Title (\xfe\xff\x03\xa9\x00 \x25\xa1\x25\xa1\x25\xa1)"; !strings.Contains(pdf, want) {
		t.Errorf("title is not %q", want)
	}
	if want := "/Title (\xfe\xff\x03\xa9\x00 \x25\xa1)"; !strings.Contains(pdf, want) {
		t.Errorf("bookmark is not %q", want)
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriteErrors(t *testing.T) {
	d := demoDocument(t)
	if err := d.WritePDF(brokenWriter{}); err == nil || !strings.Contains(err.Error(), "disk full") {
		t.Errorf("PDF: %v", err)
	}
	if err := demoFigure().WriteSVG(brokenWriter{}); err == nil || !strings.Contains(err.Error(), "disk full") {
		t.Errorf("SVG: %v", err)
	}
}
