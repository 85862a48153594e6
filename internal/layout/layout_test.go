package layout

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/drawing"
	"gridwright/internal/quantity"
)

// texts of a page, in drawing order.
func texts(p *drawing.Scene) []string {
	var out []string
	for _, x := range p.TextBoxes() {
		out = append(out, x.Text)
	}
	return out
}

func count(list []string, s string) int {
	n := 0
	for _, x := range list {
		if x == s {
			n++
		}
	}
	return n
}

// TestTableFlows: a table goes on over the pages with its head on each, every row
// stands once, in order, and nothing reaches into the title strip.
func TestTableFlows(t *testing.T) {
	for _, rows := range []int{1, 50, 300} {
		for _, paper := range []string{"a4", "letter", ""} {
			size, err := PaperSize(paper)
			if err != nil {
				t.Fatal(err)
			}
			b := New(size)
			b.Chapter("1  Rows")
			table := NewTable(Label("name"), Number("value, mm"), Text("remark"))
			for i := range rows {
				table.Add(fmt.Sprintf("row%d", i), fmt.Sprint(i), strings.Repeat("word ", i%40))
			}
			b.Table(table)
			b.Finish(func(page, of int) (upper, lower []Cell) {
				return []Cell{{Caption: "title", Value: "t", Share: 1}}, []Cell{{Caption: "page", Value: fmt.Sprintf("%d of %d", page, of), Share: 1}}
			})
			next := 0
			for i, p := range b.Pages {
				all := texts(p)
				if count(all, "value, mm") != 1 || count(all, fmt.Sprintf("%d of %d", i+1, len(b.Pages))) != 1 {
					t.Errorf("%d rows on %s, page %d: %v", rows, paper, i+1, all[:5])
				}
				for _, x := range p.TextBoxes() {
					if x.Text == fmt.Sprintf("row%d", next) {
						next++
					}
					if _, low := x.Bounds(); strings.HasPrefix(x.Text, "word") && low.Y > size.Height-stripFoot-stripHeight {
						t.Errorf("%q at %v stands in the title strip", x.Text, low)
					}
				}
			}
			if next != rows {
				t.Errorf("%d rows on %s: %d stand in order", rows, paper, next)
			}
			if rows == 300 && len(b.Pages) < 3 {
				t.Errorf("%d pages", len(b.Pages))
			}
		}
	}
	if _, err := PaperSize("a3"); err == nil {
		t.Error("paper a3: no error")
	}
}

// TestNumbersUnbroken: a column of numbers keeps each on one line while there is any
// room, however long the words beside it.
func TestNumbersUnbroken(t *testing.T) {
	table := NewTable(Text("words"), Number("number"))
	table.Add(strings.Repeat("long words that want all the room there is ", 20), "123456.789012")
	l := table.Fit(60)
	b := New(drawing.A4)
	b.Chapter("1  x")
	l.DrawRow(b.Page, Margin, b.Y, 0)
	if count(texts(b.Page), "123456.789012") != 1 {
		t.Error(texts(b.Page))
	}
	if l.Width() > 60+1e-9 || l.Height() < l.RowHeight(0) {
		t.Errorf("%g wide, %g high, its row %g", l.Width(), l.Height(), l.RowHeight(0))
	}
}

// TestLinksLead: a row with a target leads to the page where that was marked.
func TestLinksLead(t *testing.T) {
	b := New(drawing.A4)
	b.Chapter("1  from")
	table := NewTable(Label("name"))
	table.Rows = append(table.Rows, Row{Cells: []string{"there"}, Target: "far"}, Row{Cells: []string{"nowhere"}, Target: "not marked"})
	b.Table(table)
	b.Chapter("2  to")
	b.Mark("far")
	b.Finish(func(int, int) (upper, lower []Cell) { return nil, nil })
	var pdf bytes.Buffer
	if err := b.Doc.WritePDF(&pdf); err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(pdf.Bytes(), []byte("/Subtype /Link")); n != 1 {
		t.Errorf("%d links, want 1", n)
	}
}

// TestWords: US customary units with SI beside; 1 lbf = 4.4482216152605 N and
// 1 in = 25.4 mm (NIST SP 811), so 1 lbf·in = 0.1129848 N·m.
func TestWords(t *testing.T) {
	us, si := Words{Sys: quantity.US}, Words{}
	for _, c := range []struct{ got, want string }{
		{us.Show(0.0254, quantity.Length), "1.000 in (25.40\u00A0mm)"},
		{si.Show(0.0254, quantity.Length), "25.40 mm"},
		{us.Show(0, quantity.Length), "0 in"},
		{Words{Sys: quantity.US, Alone: true}.Show(0.0254, quantity.Length), "1.000 in"},
		{us.LoadUnit(design.Torque), "lbf·in (N·m)"},
		{us.PerUnit(1e-6, design.Torque), "0.1130 (1.000)"},
		{si.PerUnit(-1e-6, design.Torque), "−1.000"},
		{si.PerUnit(math.NaN(), design.Torque), Dash},
		{Fixed(-0.0001, 2), "0.00"},
		{Fixed(-1.5, 1), "−1.5"},
		{Fixed(math.Inf(1), 1), Dash},
		{Listed([]string{"a", "b", "c"}), "a, b and c"},
		{Plural(1, "grid") + Plural(2, "grid"), "1 grid2 grids"},
		{OneLine(" a\n b "), "a b"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
