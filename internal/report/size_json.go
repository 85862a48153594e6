package report

import (
	"fmt"
	"strings"

	"gridwright/internal/dossier"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/sizing"
	"gridwright/internal/variant"
)

// Sizing is a problem with its outcome and, where a value was chosen, the dossier of the
// design that has it.
type Sizing struct {
	Problem *sizing.Problem
	Outcome *sizing.Outcome
	Checked *dossier.Dossier // nil: nothing was chosen
	Digest  string           // of the input
}

// Sized is the published shape of a sizing.
type Sized struct {
	Format       int                `json:"gridwright"`
	Title        string             `json:"title"`
	Program      string             `json:"program"`
	Digest       string             `json:"input_sha256"`
	Vary         []SizedAxis        `json:"vary"`
	Requirements []SizedRequirement `json:"requirements"`
	Feasible     []SizedInterval    `json:"feasible"`
	Bands        []SizedBand        `json:"bands"`
	Best         *SizedPoint        `json:"best"`
	Chosen       *SizedPoint        `json:"chosen"`
	Nearest      *SizedPoint        `json:"nearest"`
	Alone        []SizedAlone       `json:"alone"`
	Curve        []SizedPoint       `json:"curve"`
	Check        *Verdict           `json:"check"`
}

// SizedAxis is a value that was varied.
type SizedAxis struct {
	Path string  `json:"path"`
	Now  string  `json:"now"`
	Unit string  `json:"unit"`
	From float64 `json:"from"`
	To   float64 `json:"to"`
	Step float64 `json:"step"`
}

// SizedRequirement is a limit on a figure.
type SizedRequirement struct {
	Figure string  `json:"figure"`
	Unit   string  `json:"unit"`
	Bound  string  `json:"bound"`
	Limit  float64 `json:"limit"`
	From   string  `json:"from"`
	Moved  bool    `json:"moved"`
}

// SizedInterval is a range of the first value in which everything is met.
type SizedInterval struct {
	Low    float64 `json:"low"`
	LowBy  string  `json:"low_ended_by"`
	High   float64 `json:"high"`
	HighBy string  `json:"high_ended_by"`
}

// SizedBand is the intervals at one value of the second.
type SizedBand struct {
	At       float64         `json:"at"`
	Feasible []SizedInterval `json:"feasible"`
}

// SizedPoint is one variant; lists go with the requirements.
type SizedPoint struct {
	At      []float64  `json:"at"`
	Figures []*float64 `json:"figures"`
	Factors []*float64 `json:"factors"`
	Least   *float64   `json:"least_factor"`
	By      *string    `json:"least_by"`
	Error   *string    `json:"error"`
}

// SizedAlone is where one requirement holds by itself, told when not all hold together.
type SizedAlone struct {
	Figure   string      `json:"figure"`
	Feasible [][]float64 `json:"feasible"`
	Best     *float64    `json:"best"`
	At       float64     `json:"at"`
}

// SizedOf puts a sizing into its published shape.
func (t Text) SizedOf(s *Sizing) Sized {
	p, o := s.Problem, s.Outcome
	out := Sized{Format: 1, Title: p.Base.Design.Title, Program: "gridwright " + dossier.Version, Digest: s.Digest,
		Feasible: []SizedInterval{}, Bands: []SizedBand{}, Alone: []SizedAlone{}, Curve: []SizedPoint{}}
	for i, a := range p.Axes {
		out.Vary = append(out.Vary, SizedAxis{a.Value.Path, a.Value.Now.Text, a.Unit, a.From, a.To, p.Steps[i]})
	}
	for i := range p.Requirements {
		r := &p.Requirements[i]
		out.Requirements = append(out.Requirements, SizedRequirement{r.Figure.Key, r.Figure.Unit(t.Sys), r.Bound(), r.Limit * r.Figure.Scale(t.Sys), r.From, !o.Idle[i]})
	}
	intervals := func(list []sizing.Interval) []SizedInterval {
		all := []SizedInterval{}
		for _, v := range list {
			all = append(all, SizedInterval{v.Low.X, t.ended(s, v.Low), v.High.X, t.ended(s, v.High)})
		}
		return all
	}
	out.Feasible = intervals(o.Intervals)
	for _, b := range o.Bands {
		out.Bands = append(out.Bands, SizedBand{b.Y, intervals(b.Intervals)})
	}
	point := func(q *sizing.Point) *SizedPoint {
		if q == nil {
			return nil
		}
		one := t.sizedPoint(p, q)
		return &one
	}
	out.Best, out.Chosen, out.Nearest = point(o.Best), point(o.Chosen), point(o.Nearest)
	if o.Best == nil {
		for i, a := range o.Alone {
			one := SizedAlone{Figure: p.Requirements[i].Figure.Key, Feasible: [][]float64{}, At: a.Best.X[0]}
			for _, v := range a.Intervals {
				one.Feasible = append(one.Feasible, []float64{v.Low.X, v.High.X})
			}
			if a.Best.Err == nil {
				one.Best = ratio(figureOf(a.Best, i), p.Requirements[i].Figure.Scale(t.Sys))
			}
			out.Alone = append(out.Alone, one)
		}
	}
	for i := range o.Curve {
		out.Curve = append(out.Curve, t.sizedPoint(p, &o.Curve[i]))
	}
	if s.Checked != nil {
		v := VerdictOf(s.Checked)
		out.Check = &v
	}
	return out
}

func figureOf(p sizing.Point, i int) predict.Figure {
	if p.Missing[i] != "" {
		return predict.None(p.Missing[i])
	}
	return predict.Some(p.Values[i])
}

func (t Text) sizedPoint(p *sizing.Problem, q *sizing.Point) SizedPoint {
	out := SizedPoint{At: q.X, Figures: []*float64{}, Factors: []*float64{}}
	if q.Err != nil {
		why := q.Err.Error()
		out.Error = &why
		return out
	}
	for i := range p.Requirements {
		out.Figures = append(out.Figures, ratio(figureOf(*q, i), p.Requirements[i].Figure.Scale(t.Sys)))
		out.Factors = append(out.Factors, ratio(predict.Some(q.Factors[i]), 1))
	}
	out.Least = ratio(predict.Some(q.Least), 1)
	out.By = &p.Requirements[q.Active].Figure.Key
	return out
}

// ended says what ends an interval.
func (t Text) ended(s *Sizing, e sizing.End) string {
	switch {
	case e.Range:
		return "end of the range"
	case e.Err != nil:
		return "no design beyond: " + e.Err.Error()
	}
	r := &s.Problem.Requirements[e.By]
	return fmt.Sprintf("%s, %s %s", r.Figure.Key, r.Bound(), t.limit(r))
}

// limit of a requirement with its unit.
func (t Text) limit(r *sizing.Requirement) string { return t.requiredFigure(r.Limit, &r.Figure) }

// requiredFigure prints a figure in the unit in which sweeps and sizings publish it.
func (t Text) requiredFigure(v float64, f *variant.Figure) string {
	if f.Kind == quantity.Ratio {
		return t.percent(predict.Some(v))
	}
	if f.In == "%/10K" {
		return t.per10K(predict.Some(v))
	}
	return t.show(v, f.Kind)
}

// place is the values of a point in words.
func placeOf(p *sizing.Problem, q *sizing.Point) string {
	var words []string
	for i, a := range p.Axes {
		words = append(words, fmt.Sprintf("%s %s", a.Value.Path, a.Show(short(q.X[i]))))
	}
	return strings.Join(words, ", ")
}

// short rounds what a search found to what a reader wants of it.
func short(x float64) float64 {
	var y float64
	if _, err := fmt.Sscanf(fmt.Sprintf("%.7g", x), "%g", &y); err != nil {
		return x
	}
	return y
}
