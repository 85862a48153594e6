package report

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/comparison"
	"gridwright/internal/dossier"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
)

// Differed is the published shape of a comparison.
type Differed struct {
	Format   int              `json:"gridwright"`
	Program  string           `json:"program"`
	Measure  string           `json:"measure"`
	Old      DifferedSide     `json:"old"`
	New      DifferedSide     `json:"new"`
	Inputs   []DifferedInput  `json:"inputs"` // null: not known
	Figures  []DifferedFigure `json:"figures"`
	Findings DifferedFindings `json:"findings"`
}

// DifferedSide is one of the two.
type DifferedSide struct {
	Name   string `json:"name"`
	Title  string `json:"title"`
	Digest string `json:"input_sha256"`
}

// DifferedInput is a value of the design file that differs.
type DifferedInput struct {
	Path string  `json:"path"`
	Old  *string `json:"old"`
	New  *string `json:"new"`
}

// DifferedFigure is one figure on both sides.
type DifferedFigure struct {
	Figure   string   `json:"figure"`
	Unit     string   `json:"unit"`
	Old      *float64 `json:"old"`
	New      *float64 `json:"new"`
	Change   *float64 `json:"change"`
	Percent  *float64 `json:"change_percent"`
	Expanded *float64 `json:"expanded_uncertainty_of_old"`
	Changed  bool     `json:"changed"`
	Beyond   *bool    `json:"beyond_uncertainty"`
}

// DifferedFindings are those that only one side has.
type DifferedFindings struct {
	Gone []DifferedFinding `json:"gone"`
	New  []DifferedFinding `json:"new"`
}

// DifferedFinding is one finding.
type DifferedFinding struct {
	Level   string `json:"level"`
	Rule    string `json:"rule"`
	Bridge  string `json:"bridge"`
	Message string `json:"message"`
}

// beyondMeasure says what a change is held against.
const beyondMeasure = "the change against the expanded uncertainty (k = 2) of the old figure; of crosstalk against its 95 % value above the nominal one. What both sides share, such as the gauge lot, is in that uncertainty: a change within it may still be real between transducers of one lot"

// DifferedOf puts a comparison into its published shape.
func DifferedOf(d *comparison.Difference) Differed {
	side := func(s *comparison.Side) DifferedSide { return DifferedSide{s.Name, s.Result.Title, s.Result.Digest} }
	out := Differed{Format: 1, Program: "gridwright " + dossier.Version, Measure: beyondMeasure, Old: side(d.Old), New: side(d.New), Figures: []DifferedFigure{}}
	if d.Known {
		out.Inputs = []DifferedInput{}
		for _, c := range d.Inputs {
			out.Inputs = append(out.Inputs, DifferedInput{c.Path, stated(c.Old), stated(c.New)})
		}
	}
	for i := range d.Figures {
		c := &d.Figures[i]
		f := DifferedFigure{Figure: c.Key, Unit: c.Unit, Old: c.Old, New: c.New, Expanded: c.Expanded, Changed: c.Changed, Beyond: c.Beyond}
		if c.Old != nil && c.New != nil {
			by := *c.New - *c.Old
			f.Change = &by
			f.Percent = ratio(predict.Some(by/math.Abs(*c.Old)), 100)
		}
		out.Figures = append(out.Figures, f)
	}
	findings := func(list []comparison.FindingChange) []DifferedFinding {
		all := []DifferedFinding{}
		for _, f := range list {
			all = append(all, DifferedFinding(f))
		}
		return all
	}
	out.Findings = DifferedFindings{findings(d.Gone), findings(d.Fresh)}
	return out
}

func stated(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// Diff writes a comparison.
func (t Text) Diff(d *comparison.Difference) {
	t.say("old: ", d.Old.Name+", "+d.Old.Result.Title)
	t.say("new: ", d.New.Name+", "+d.New.Result.Title)
	t.printf("\nCHANGED IN THE FILE\n")
	switch {
	case !d.Known:
		t.say("  ", "not known: a result does not hold the design that it was made of; compare two designs")
	case len(d.Inputs) == 0:
		t.printf("  nothing\n")
	}
	for _, c := range d.Inputs {
		old, now := c.Old, c.New
		if old == "" {
			old = "(not there)"
		}
		if now == "" {
			now = "(not there)"
		}
		t.say("  "+c.Path+": ", old+" → "+now)
	}
	t.diffFigures(d)
	for _, f := range []struct {
		head string
		list []comparison.FindingChange
	}{{"FINDINGS GONE", d.Gone}, {"FINDINGS NEW", d.Fresh}} {
		if len(f.list) == 0 {
			continue
		}
		t.printf("\n%s\n", f.head)
		for _, one := range f.list {
			head := one.Level + " " + one.Rule
			if one.Bridge != "" {
				head += ", bridge " + one.Bridge
			}
			t.say("  "+head+": ", one.Message)
		}
	}
	t.printf("\ngridwright %s\nold input sha256 %s\nnew input sha256 %s\n", dossier.Version, d.Old.Result.Digest, d.New.Result.Digest)
}

func (t Text) diffFigures(d *comparison.Difference) {
	t.printf("\nFIGURES\n")
	tab := table{align: "lrrrrl"}
	tab.row("figure", "old", "new", "change", "", "beyond")
	same, judged := 0, false
	for i := range d.Figures {
		c := &d.Figures[i]
		if !c.Changed {
			same++
			continue
		}
		change, percent, beyond := "—", "—", "—"
		if c.Old != nil && c.New != nil {
			by := *c.New - *c.Old
			change, _, _ = strings.Cut(t.published(&c.Figure, &by), " ")
			if by > 0 {
				change = "+" + change
			}
			if r := by / math.Abs(*c.Old); math.Abs(r) < 10 {
				percent = fmt.Sprintf("%+.3g %%", 100*r)
			}
		}
		if c.Beyond != nil {
			judged = true
			beyond = "no"
			if *c.Beyond {
				beyond = "yes"
			}
		}
		key := c.Key
		if c.Per != 0 {
			key += ", µV/V/(" + c.Per.Unit(t.Sys) + ")"
		}
		tab.row(key, t.published(&c.Figure, c.Old), t.published(&c.Figure, c.New), change, percent, beyond)
	}
	if len(tab.rows) > 1 {
		tab.writeTo(t.W, "  ")
	}
	switch {
	case same == len(d.Figures):
		t.printf("  none changed\n")
	case same > 0:
		t.printf("  %d others did not change\n", same)
	}
	if judged {
		t.say("  ", "beyond: "+beyondMeasure+".")
	}
}

// published prints a figure that stands in the unit of results.
func (t Text) published(f *comparison.Figure, v *float64) string {
	if v == nil {
		return "—"
	}
	x := *v
	if math.Abs(x) <= f.Floor {
		x = 0
	}
	if f.Per != 0 {
		per, err := quantity.Convert(1, f.Per, f.Per.Unit(t.Sys))
		if err != nil {
			return "—"
		}
		return fmt.Sprintf("%.4g", x*1e3/per)
	}
	scale := 1.0
	if f.Unit != "" {
		var err error
		if scale, err = quantity.Convert(1, f.Kind, f.Unit); err != nil {
			return "—"
		}
	}
	si := x / scale
	switch {
	case f.Unit == "µV":
		return fmt.Sprintf("%.4g µV", x)
	case f.Unit == "%/10K":
		return t.per10K(predict.Some(si))
	case f.Kind == quantity.Ratio:
		return t.percent(predict.Some(si))
	}
	return t.digits(si, f.Kind, 4)
}
