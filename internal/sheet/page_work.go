package sheet

import (
	"gridwright/internal/drawing"
	"gridwright/internal/work"
)

// calculation is the appendix that shows how every figure comes about.
func (b *book) calculation() error {
	chapters, err := work.Of(b.d)
	if err != nil {
		return err
	}
	b.chapter("Appendix  Calculation")
	b.paragraph("In SI units. Every formula was evaluated from the numbers shown with it, and gives the figure of this sheet. "+
		"Where no closed form is used the method stands in its place.", 8, drawing.Regular)
	for _, c := range chapters {
		b.heading(c.Title, 14)
		t := newTable(text("figure"), text("formula and numbers"), text("result"), text("source"))
		t.columns[1].least = b.width() * 0.42
		t.columns[2].least = b.width() * 0.16
		for _, s := range c.Steps {
			formula := s.Symbol
			if s.Formula != "" {
				formula += " = " + s.Formula
			}
			if with := work.Numbers(s); with != "" {
				formula += "\nwith " + with
			}
			t.add(s.What, formula, nonbreaking(work.InWords(s.Result, s.Unit)), s.Source)
		}
		b.table(t)
	}
	return nil
}
