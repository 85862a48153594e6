package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

type failer interface {
	Helper()
	Fatal(...any)
}

type element struct {
	name  string
	attrs map[string]string
	text  string
}

// wellFormed writes the scene and reads it back as XML.
func wellFormed(t failer, s *Scene) []element {
	t.Helper()
	var b bytes.Buffer
	if err := s.WriteSVG(&b); err != nil {
		t.Fatal(err)
	}
	var all []element
	var open []int
	r := xml.NewDecoder(&b)
	for {
		token, err := r.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := element{name: token.Name.Local, attrs: map[string]string{}}
			for _, a := range token.Attr {
				e.attrs[a.Name.Local] = a.Value
			}
			open = append(open, len(all))
			all = append(all, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				all[open[len(open)-1]].text += string(token)
			}
		}
	}
	return all
}

func TestSVG(t *testing.T) {
	s := NewScene(120.5, 80)
	s.Title = "a < b & \"c\""
	s.Path(Outline, Mist, CirclePath(At(20, 20), 10))
	s.Line(CentreLine, At(5, 20), At(35, 20))
	s.Text(TextStyle{Size: 10, Font: Bold, Colour: Accent, Angle: math.Pi / 6}, At(50, 40), `γ < "1" & 'x'  two spaces`)
	all := wellFormed(t, s)
	root := all[0]
	if root.name != "svg" || root.attrs["viewBox"] != "0 0 120.5 80" || root.attrs["width"] != "120.5mm" || root.attrs["height"] != "80mm" {
		t.Errorf("root %v", root)
	}
	var names []string
	for _, e := range all[1:] {
		names = append(names, e.name)
		switch e.name {
		case "title":
			if e.text != s.Title {
				t.Errorf("title %q", e.text)
			}
		case "text":
			if e.text != `γ < "1" & 'x'  two spaces` {
				t.Errorf("text %q", e.text)
			}
			size, _ := strconv.ParseFloat(e.attrs["font-size"], 64)
			length, _ := strconv.ParseFloat(e.attrs["textLength"], 64)
			if !near(size, 10*25.4/72, 1e-3) || !near(length, widthOf(e.text, Bold, 10), 1e-3) ||
				e.attrs["transform"] != "rotate(-30 50 40)" || e.attrs["font-family"] != "sans-serif" ||
				e.attrs["font-weight"] != "bold" || e.attrs["fill"] != "#1f4e79" {
				t.Errorf("text attributes %v", e.attrs)
			}
		}
	}
	if got := strings.Join(names, " "); got != "title path path text" {
		t.Errorf("elements %s", got)
	}
	if e := all[3]; e.attrs["d"] != "M5 20L35 20" || e.attrs["stroke-dasharray"] != "4.32 0.54 0.18 0.54" || e.attrs["fill"] != "none" {
		t.Errorf("centre line %v", e.attrs)
	}
}

// Both back ends draw the same lines: the numbers of the SVG paths, taken to
// points with y up, are those of the PDF's operators.
func TestSVGAndPDFAgree(t *testing.T) {
	s := demoFigure()
	d := &Document{plain: true}
	d.Add(s)
	pdf := pdfOf(t, d)
	_, content, _ := strings.Cut(pdf, "stream\n")
	content, _, _ = strings.Cut(content, "endstream")
	var want []float64
	for _, m := range regexp.MustCompile(`(?m)^([-0-9. ]+) [mlc]$`).FindAllStringSubmatch(content, -1) {
		for _, f := range strings.Fields(m[1]) {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			want = append(want, v)
		}
	}
	var got []float64
	for _, e := range wellFormed(t, s) {
		if e.name != "path" {
			continue
		}
		for i, f := range regexp.MustCompile(`-?[0-9.]+`).FindAllString(e.attrs["d"], -1) {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			if i%2 == 1 {
				v = s.Height - v
			}
			got = append(got, v*72/25.4)
		}
	}
	if len(got) != len(want) || len(got) < 1000 {
		t.Fatalf("%d numbers in SVG, %d in PDF", len(got), len(want))
	}
	for i := range got {
		if !near(got[i], want[i], 0.0055) { // PDF has two decimals, SVG four of a mm
			t.Fatalf("number %d: %v in SVG, %v in PDF", i, got[i], want[i])
		}
	}
}

func TestDecimal(t *testing.T) {
	for v, want := range map[float64]string{0: "0", -1e-9: "0", 1: "1", -2.5: "-2.5", 1.00004: "1", 1.00006: "1.0001", 1e7: "10000000"} {
		if got := decimal(v); got != want {
			t.Errorf("%v: %s", v, got)
		}
	}
}
