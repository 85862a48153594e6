package sheet

import (
	"gridwright/internal/drawing"
	"gridwright/internal/layout"
	"gridwright/internal/work"
)

// calculation is the appendix that shows how every figure comes about.
func (b *book) calculation() error {
	chapters, err := work.Of(b.d)
	if err != nil {
		return err
	}
	b.Chapter("Appendix  Calculation")
	b.Paragraph("In SI units. Every formula was evaluated from the numbers shown with it, and gives the figure of this sheet. "+
		"Where no closed form is used the method stands in its place.", 8, drawing.Regular)
	for _, c := range chapters {
		b.Heading(c.Title, 14)
		t := layout.NewTable(layout.Text("figure"), layout.Text("formula and numbers"), layout.Text("result"), layout.Text("source"))
		t.Columns[1].Least = b.Width() * 0.42
		t.Columns[2].Least = b.Width() * 0.16
		for _, s := range c.Steps {
			formula := s.Symbol
			if s.Formula != "" {
				formula += " = " + s.Formula
			}
			if with := work.Numbers(s); with != "" {
				formula += "\nwith " + with
			}
			t.Add(s.What, formula, layout.Nonbreaking(work.InWords(s.Result, s.Unit)), s.Source)
		}
		b.Table(t)
	}
	return nil
}
