package drawing

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/jung-kurt/gofpdf"
	"golang.org/x/image/font"
	"pgregory.net/rapid"
)

// plainText draws text of single characters that the fonts have.
var plainText = rapid.StringOfN(rapid.RuneFrom([]rune("abcdefgXYZ 0123456789µεΩφ°±·−²→,.-()éÅ")), 0, 60, -1)

var anyFont = rapid.SampledFrom([]Font{Regular, Bold, Italic, Mono})

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

func TestMeasureIsAdditiveAndScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, f := plainText.Draw(t, "a"), plainText.Draw(t, "b"), anyFont.Draw(t, "font")
		size, k := rapid.Float64Range(1, 40).Draw(t, "size"), rapid.Float64Range(0.1, 5).Draw(t, "k")
		wa, up, down := Measure(a, f, size)
		wb, _, _ := Measure(b, f, size)
		wab, _, _ := Measure(a+b, f, size)
		if !near(wab, wa+wb, 1e-9) {
			t.Fatalf("%q + %q: %v mm, together %v mm", a, b, wa+wb, wab)
		}
		wk, upk, downk := Measure(a, f, k*size)
		if !near(wk, k*wa, 1e-9) || !near(upk, k*up, 1e-9) || !near(downk, k*down, 1e-9) {
			t.Fatalf("%q at %v times the size: %v mm instead of %v mm", a, k, wk, k*wa)
		}
	})
}

// gofpdf reads the same font file with a reader of its own, to whole
// thousandths of the type size.
func TestMeasureAgreesWithPDF(t *testing.T) {
	pdf := gofpdf.New("P", "mm", "A4", "")
	for f, style := range pdfStyle {
		pdf.AddUTF8FontFromBytes(style.family, style.style, slices.Clone(f.face().ttf))
	}
	rapid.Check(t, func(t *rapid.T) {
		text, f := plainText.Draw(t, "text"), anyFont.Draw(t, "font")
		pdf.SetFont(pdfStyle[f].family, pdfStyle[f].style, 10)
		want := pdf.GetStringWidth(text)
		got, _, _ := Measure(text, f, 10)
		if limit := float64(utf8.RuneCountInString(text))*0.001*10*25.4/72 + 1e-9; !near(got, want, limit) {
			t.Fatalf("%q in font %d: %v mm, gofpdf says %v mm", text, f, got, want)
		}
	})
}

// The back ends set text without kerning, gonum/plot measures with it: they
// agree because the fonts have none.
func TestFontsHaveNoKerning(t *testing.T) {
	sample := []rune("AVToLWPyjrf.,-'1740ΩΔµλ")
	for _, f := range []Font{Regular, Bold, Italic, Mono} {
		face := f.face()
		for _, a := range sample {
			for _, b := range sample {
				ga, _ := face.sfnt.GlyphIndex(nil, a)
				gb, _ := face.sfnt.GlyphIndex(nil, b)
				if k, err := face.sfnt.Kern(nil, ga, gb, face.unhinted(), font.HintingNone); err == nil && k != 0 {
					t.Errorf("font %d kerns %c%c by %v", f, a, b, k)
				}
			}
		}
	}
}

func TestDigitsHaveOneWidth(t *testing.T) {
	for _, f := range []Font{Regular, Bold, Italic, Mono} {
		for _, d := range "123456789" {
			if f.face().advance(d) != f.face().advance('0') {
				t.Errorf("font %d: %c is not as wide as 0", f, d)
			}
		}
	}
}

func TestCapHeight(t *testing.T) {
	for _, f := range []Font{Regular, Bold, Italic, Mono} {
		// 2.5 mm is a height of ISO 3098 lettering.
		size := SizeOfCapHeight(f, 2.5)
		if got := CapHeight(f, size); !near(got, 2.5, 1e-12) {
			t.Errorf("font %d: %v mm", f, got)
		}
		_, ascent, descent := Measure("H", f, size)
		if !(ascent > 2.5 && descent > 0) || !near(LineHeight(f, size), ascent+descent, 1e-12) {
			t.Errorf("font %d: ascent %v, descent %v, line %v mm", f, ascent, descent, LineHeight(f, size))
		}
	}
}

func TestEveryGlyphOfTheTrade(t *testing.T) {
	const sample = "µμεΩΩφθαβγνστρπλΔΣ°±·×÷√∞≈≤≥≠→←↑↓−–—²³⁴⁻¹⁰½¼¾‰…□“”„‘’′″«»ÄÖÜäöüßéèêçñåÅøØæ⌀∅ \u00a0\u202f\u2009\u2011"
	for _, f := range []Font{Regular, Bold, Italic, Mono} {
		shown, missing := printable(sample, f)
		if len(missing) > 0 || strings.Count(shown, "□") != 1 {
			t.Errorf("font %d: %q lacks %q", f, shown, missing)
		}
	}
}

func TestPrintable(t *testing.T) {
	for _, c := range []struct{ text, shown, missing string }{
		{"plain", "plain", ""},
		{"Pru\u0308fko\u0308rper", "Prüfkörper", ""}, // composed
		{"⌀60 N\u202fm\u2011x", "Ø60 N\u00a0m-x", ""},
		{"漢 字", "□ □", "漢字"},
		{"bell\a tab\t", "bell□ tab□", "\a\t"},
		{"bi\u202edi", "bi□di", "\u202e"},
		{"clef 𝄞", "clef □", "𝄞"}, // above U+FFFF
		{"∠45°", "□45°", "∠"},
	} {
		shown, missing := printable(c.text, Regular)
		if shown != c.shown || string(missing) != c.missing {
			t.Errorf("%q: %q lacking %q, want %q lacking %q", c.text, shown, string(missing), c.shown, c.missing)
		}
	}
	if shown, missing := printable("a\xffb", Regular); !utf8.ValidString(shown) || len([]rune(shown)) != 3 {
		t.Errorf("broken UTF-8: %q, %q", shown, missing)
	}
}

func TestMissingIsCollected(t *testing.T) {
	d := new(Document)
	figure := NewScene(50, 50)
	figure.Text(TextStyle{Size: 7}, At(5, 5), "字 ∠")
	s := d.Page(A4)
	s.Place(figure, At(10, 10))
	s.Dimension(Dimension{From: At(0, 0), To: At(30, 0), Through: At(0, 10), Text: "30 漢"})
	if got := string(s.Missing()); got != "∠字漢" { // by code: U+2220, U+5B57, U+6F22
		t.Errorf("scene lacks %q", got)
	}
	if got := string(d.Missing()); got != "∠字漢" {
		t.Errorf("document lacks %q", got)
	}
	if got := d.Page(A4).Missing(); len(got) != 0 {
		t.Errorf("empty page lacks %q", got)
	}
}

func TestFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, f := plainText.Draw(t, "text"), anyFont.Draw(t, "font")
		width := rapid.Float64Range(0, 80).Draw(t, "width")
		const size, smallest = 8, 6
		fitted, at := Fit(text, f, size, smallest, width)
		got := widthOf(fitted, f, at)
		if got > width {
			t.Fatalf("%q is %v mm wide at %v points", fitted, got, at)
		}
		if at < smallest || at > size {
			t.Fatalf("size %v", at)
		}
		switch {
		case widthOf(text, f, size) <= width:
			if fitted != text || at != size {
				t.Fatalf("%q fits but became %q at %v points", text, fitted, at)
			}
		case fitted == text:
			if !near(got, width, 1e-6) {
				t.Fatalf("%q shrunk to %v of %v mm", text, got, width)
			}
		case fitted == "":
			if widthOf(ellipsis, f, smallest) <= width {
				t.Fatalf("%q became nothing in %v mm", text, width)
			}
		default:
			stem, cut := strings.CutSuffix(fitted, ellipsis)
			if !cut || at != smallest || !strings.HasPrefix(text, stem) {
				t.Fatalf("%q became %q at %v points", text, fitted, at)
			}
		}
	})
}

func TestWrap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, f := plainText.Draw(t, "text"), anyFont.Draw(t, "font")
		width := rapid.Float64Range(0, 60).Draw(t, "width")
		lines := Wrap(text, f, 7, width)
		for _, l := range lines {
			if widthOf(l, f, 7) > width && utf8.RuneCountInString(l) > 1 {
				t.Fatalf("%q is %v mm wide, not %v", l, widthOf(l, f, 7), width)
			}
		}
		squeeze := func(s string) string { return strings.ReplaceAll(s, " ", "") }
		if got := squeeze(strings.Join(lines, "")); got != squeeze(text) {
			t.Fatalf("%q lost something: %q", text, lines)
		}
		// Greedy: the first word of a line would not have fitted the line before.
		for i := 1; i < len(lines); i++ {
			word, _, _ := strings.Cut(lines[i], " ")
			if strings.Contains(text, lines[i-1]+" "+word) && !strings.Contains(text, lines[i-1]+word) &&
				widthOf(lines[i-1]+" "+word, f, 7) <= width {
				t.Fatalf("%q had room for %q", lines[i-1], word)
			}
		}
	})
}

func TestWrapBreaks(t *testing.T) {
	for _, c := range []struct {
		text  string
		width float64
		want  []string
	}{
		{"", 50, []string{""}},
		{"one\r\n\r\ntwo\n", 50, []string{"one", "", "two"}},
		{"350\u00a0Ω 120\u00a0Ω", widthOf("350 Ω 1", Regular, 7), []string{"350\u00a0Ω", "120\u00a0Ω"}},
		{"aaaa", widthOf("aa", Regular, 7), []string{"aa", "aa"}},
		{"xaa", 0, []string{"x", "a", "a"}},
	} {
		if got := Wrap(c.text, Regular, 7, c.width); !slices.Equal(got, c.want) {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

func TestTextAnchors(t *testing.T) {
	const text, size = "Hx", 10
	width, ascent, descent := Measure(text, Regular, size)
	half := CapHeight(Regular, size) / 2
	at := At(100, 80)
	for _, c := range []struct {
		align Align
		left  float64
	}{{Left, 0}, {Centre, -width / 2}, {Right, -width}} {
		for _, l := range []struct {
			level Level
			base  float64 // below the point
		}{{Baseline, 0}, {Middle, half}, {Top, ascent}} {
			s := NewScene(200, 200)
			b := s.Text(TextStyle{Size: size, Align: c.align, Level: l.level}, at, text)
			lo, hi := b.Bounds()
			if !near(lo.X, at.X+c.left, 1e-9) || !near(hi.X, lo.X+width, 1e-9) ||
				!near(lo.Y, at.Y+l.base-ascent, 1e-9) || !near(hi.Y, at.Y+l.base+descent, 1e-9) {
				t.Errorf("align %d level %d: %v … %v", c.align, l.level, lo, hi)
			}
			// A quarter turn to the left takes (along, up) to (up, left).
			q := NewScene(200, 200)
			turned := q.Text(TextStyle{Size: size, Align: c.align, Level: l.level, Angle: math.Pi / 2}, at, text)
			for i, p := range b.Corners {
				want := At(at.X+(p.Y-at.Y), at.Y-(p.X-at.X))
				if turned.Corners[i].distance(want) > 1e-9 {
					t.Errorf("align %d level %d turned: corner %d at %v, want %v", c.align, l.level, i, turned.Corners[i], want)
				}
			}
		}
	}
}

func TestOverlaps(t *testing.T) {
	s := NewScene(200, 200)
	put := func(at Point, angle float64, text string) TextBox {
		return s.Text(TextStyle{Size: 10, Angle: angle}, at, text)
	}
	a := put(At(50, 50), 0, "first")
	pitch := LineHeight(Regular, 10)
	for _, c := range []struct {
		name string
		b    TextBox
		want bool
	}{
		{"itself", a, true},
		{"next line", put(At(50, 50+pitch), 0, "first"), false},
		{"line too close", put(At(50, 50+pitch-0.01), 0, "first"), true},
		{"follows", put(At(50+widthOf("first", Regular, 10), 50), 0, "first"), false},
		{"crosses", put(At(53, 60), math.Pi/2, "across"), true},
		// The upright rectangles round these meet, the texts do not.
		{"slants past", put(At(40, 50), math.Pi/4, "slanting text"), false},
		{"empty", put(At(51, 49), 0, ""), false},
	} {
		if a.Overlaps(c.b) != c.want || c.b.Overlaps(a) != c.want {
			t.Errorf("%s: overlaps is not %v", c.name, c.want)
		}
	}
	lo, hi := a.Bounds()
	if l, h := put(At(40, 50), math.Pi/4, "slanting text").Bounds(); !(l.X < hi.X && h.X > lo.X && l.Y < hi.Y && h.Y > lo.Y) {
		t.Error("the slanting text is no example: its rectangle does not meet the other")
	}
	if !a.Within(lo, hi.X-lo.X+1e-9, hi.Y-lo.Y+1e-9) || a.Within(lo.plus(At(0.1, 0)), 50, 50) {
		t.Error("Within does not agree with Bounds")
	}
}
