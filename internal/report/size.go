package report

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/check"
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

// Size writes the outcome of a sizing.
func (t Text) Size(s *Sizing) {
	p, o := s.Problem, s.Outcome
	t.say("", p.Base.Design.Title)
	for i, a := range p.Axes {
		t.say("vary ", fmt.Sprintf("%s from %s to %s (now %s), in steps of %s", a.Value.Path, a.Show(a.From), a.Show(a.To), a.Value.Now.Text, a.Show(p.Steps[i])))
	}
	t.sizeOutcome(s)
	t.sizePoints(s)
	if len(p.Axes) == 1 {
		t.sizeCurve(s)
	}
	t.sizeCheck(s)
	t.printf("\ngridwright %s, input sha256 %s\n%d variants predicted\n", dossier.Version, s.Digest, o.Evaluated)
}

func (t Text) sizeOutcome(s *Sizing) {
	p, o := s.Problem, s.Outcome
	a := p.Axes[0]
	if o.Nearest != nil {
		t.printf("\nNO VALUE MEETS EVERYTHING\n")
		q := o.Nearest
		if q.Err == nil {
			r := &p.Requirements[q.Active]
			t.say("  ", fmt.Sprintf("nearest is %s: there %s is %s where %s %s is wanted (%s)", placeOf(p, q), r.Figure.Key,
				t.valueOf(q, q.Active, r), r.Bound(), t.limit(r), r.From))
		}
		t.blocks(s)
		return
	}
	t.printf("\nEVERYTHING IS MET\n")
	if len(p.Axes) == 1 {
		for _, v := range o.Intervals {
			t.say("  ", fmt.Sprintf("from %s (%s) to %s (%s)", a.Show(short(v.Low.X)), t.ended(s, v.Low), a.Show(short(v.High.X)), t.ended(s, v.High)))
		}
	}
	t.bands(s)
	if o.Chosen == nil {
		t.say("  ", fmt.Sprintf("best is %s; no multiple of the step lies where everything is met, so --step may be finer", placeOf(p, o.Best)))
		return
	}
	t.say("  ", fmt.Sprintf("chosen: %s, of the steps the one whose tightest requirement has most to spare (without steps %s)", placeOf(p, o.Chosen), placeOf(p, o.Best)))
}

// bands of a problem of two axes.
func (t Text) bands(s *Sizing) {
	p := s.Problem
	if len(p.Axes) != 2 {
		return
	}
	for _, b := range s.Outcome.Bands {
		var words []string
		for _, v := range b.Intervals {
			words = append(words, fmt.Sprintf("%s (%s) to %s (%s)", p.Axes[0].Show(short(v.Low.X)), t.ended(s, v.Low), p.Axes[0].Show(short(v.High.X)), t.ended(s, v.High)))
		}
		if words == nil {
			words = []string{"none"}
		}
		t.say(fmt.Sprintf("  at %s: ", p.Axes[1].Show(short(b.Y))), strings.Join(words, "; "))
	}
}

// open says that nothing required ends an interval there.
func open(e sizing.End) bool { return e.Range || e.Err != nil }

// blocks says which requirements keep each other out, and which hold nowhere.
func (t Text) blocks(s *Sizing) {
	p, o := s.Problem, s.Outcome
	a := p.Axes[0]
	for i, alone := range o.Alone {
		r := &p.Requirements[i]
		name := fmt.Sprintf("%s, %s %s (%s): ", r.Figure.Key, r.Bound(), t.limit(r), r.From)
		switch {
		case len(alone.Intervals) == 0:
			t.say("  ", name+fmt.Sprintf("blocks, for it holds at no value; at best %s at %s", t.valueOf(&alone.Best, i, r), a.Show(short(alone.Best.X[0]))))
		case len(alone.Intervals) == 1 && open(alone.Intervals[0].Low) && open(alone.Intervals[0].High): // it blocks nothing
		default:
			var words []string
			for _, v := range alone.Intervals {
				words = append(words, a.Show(short(v.Low.X))+" to "+a.Show(short(v.High.X)))
			}
			t.say("  ", name+"holds from "+strings.Join(words, ", "))
		}
	}
	if len(p.Axes) == 2 {
		for i := range p.Requirements {
			best := math.Inf(-1)
			var at *sizing.Point
			for k := range o.Curve {
				if q := &o.Curve[k]; q.Err == nil && q.Factors[i] > best {
					best, at = q.Factors[i], q
				}
			}
			r := &p.Requirements[i]
			if at != nil && best < 1 {
				t.say("  ", fmt.Sprintf("%s, %s %s (%s): blocks, for it holds nowhere on the grid; at best %s at %s", r.Figure.Key, r.Bound(), t.limit(r), r.From, t.valueOf(at, i, r), placeOf(p, at)))
			}
		}
	}
}

func (t Text) valueOf(q *sizing.Point, i int, r *sizing.Requirement) string {
	if q.Err != nil || q.Missing[i] != "" {
		return "—"
	}
	return t.requiredFigure(q.Values[i], &r.Figure)
}

// spare is a factor in words.
func spare(f float64) string {
	if f >= 1000 {
		return "> 1000"
	}
	return fmt.Sprintf("%.4g", f)
}

// sizePoints writes every requirement at the point that matters.
func (t Text) sizePoints(s *Sizing) {
	p, o := s.Problem, s.Outcome
	q := o.Chosen
	if q == nil {
		q = o.Best
	}
	if q == nil {
		q = o.Nearest
	}
	if q.Err != nil {
		return
	}
	t.printf("\n")
	t.say("REQUIREMENTS at ", placeOf(p, q))
	var idle []string
	tab := table{align: "llrrrl"}
	tab.row("figure", "", "limit", "there", "met by", "stated by")
	for i := range p.Requirements {
		r := &p.Requirements[i]
		mark := "factor " + spare(q.Factors[i])
		if q.Factors[i] < 1 {
			mark = "not, " + spare(q.Factors[i])
		}
		if o.Idle[i] {
			idle = append(idle, r.Figure.Key)
		}
		tab.row(r.Figure.Key, r.Bound(), t.limit(r), t.valueOf(q, i, r), mark, r.From)
	}
	tab.writeTo(t.W, "  ")
	if len(idle) > 0 {
		t.say("  do not move with it, and so do not count in the choice: ", strings.Join(idle, ", "))
	}
}

// curveRows is how many rows of the curve are printed.
const curveRows = 17

// sizeCurve writes the requirements that move against the value.
func (t Text) sizeCurve(s *Sizing) {
	p, o := s.Problem, s.Outcome
	var shown []int
	last := p.Axes[0].Value.Path[strings.LastIndex(p.Axes[0].Value.Path, ".")+1:]
	room := Columns - 2 - max(len(last), 12) - len("  least factor")
	for i := range p.Requirements {
		if width := max(len(p.Requirements[i].Figure.Key), 14) + len(gap); !o.Idle[i] && width <= room {
			shown, room = append(shown, i), room-width
		}
	}
	t.printf("\nCURVE, * where a requirement is not met\n")
	tab := table{align: "r"}
	head := []string{last}
	for _, i := range shown {
		head = append(head, p.Requirements[i].Figure.Key)
	}
	tab.row(append(head, "least factor")...)
	every := (len(o.Curve) - 1) / (curveRows - 1)
	for k := 0; k < len(o.Curve); k += every {
		q := &o.Curve[k]
		cells := []string{p.Axes[0].Show(short(q.X[0]))}
		if q.Err != nil {
			tab.row(append(cells, "no design")...)
			continue
		}
		for _, i := range shown {
			cell := t.valueOf(q, i, &p.Requirements[i])
			if q.Factors[i] < 1 {
				cell += "*"
			} else {
				cell += " "
			}
			cells = append(cells, cell)
		}
		tab.row(append(cells, spare(q.Least))...)
	}
	tab.writeTo(t.W, "  ")
}

func (t Text) sizeCheck(s *Sizing) {
	if s.Checked == nil {
		return
	}
	t.printf("\nCHECK of the design with this value, read anew\n")
	var grave []check.Finding
	count := map[check.Level]int{}
	for _, f := range s.Checked.Findings {
		count[f.Level]++
		if f.Level != check.Note {
			grave = append(grave, f)
		}
	}
	verdict := "pass"
	if count[check.Fail] > 0 {
		verdict = "fail"
	}
	t.printf("  %s (%d fail, %d warning, %d note)\n", verdict, count[check.Fail], count[check.Warning], count[check.Note])
	t.Findings(grave)
	t.assumed(s.Checked)
}

// clipped is how many times its limit a figure is plotted up to: the border is what
// the plot is for.
const clipped = 6

// SizePanels are the plots of the requirements that move.
func (t Text) SizePanels(s *Sizing) []variant.Panel {
	p, o := s.Problem, s.Outcome
	var chosen *float64
	if o.Chosen != nil {
		chosen = &o.Chosen.X[0]
	}
	if len(p.Axes) == 2 {
		return []variant.Panel{t.sizePlane(s)}
	}
	var ranges [][2]float64
	for _, v := range o.Intervals {
		ranges = append(ranges, [2]float64{v.Low.X, v.High.X})
	}
	var out []variant.Panel
	for i := range p.Requirements {
		if o.Idle[i] || len(out) == 6 {
			continue
		}
		r := &p.Requirements[i]
		scale := r.Figure.Scale(t.Sys)
		limit := r.Limit * scale
		up := r.Figure.Key
		if unit := r.Figure.Unit(t.Sys); unit != "" {
			up += ", " + unit
		}
		panel := variant.Panel{Across: p.Axes[0].Header(), Up: up, Limit: &limit, Feasible: ranges, Chosen: chosen, Lines: make([]variant.Line, 1)}
		for k := range o.Curve {
			q := &o.Curve[k]
			y := math.NaN()
			if q.Err == nil {
				y = math.Abs(q.Values[i]) * scale
			}
			if y > clipped*limit {
				y = math.NaN()
			}
			panel.Lines[0].X, panel.Lines[0].Y = append(panel.Lines[0].X, q.X[0]), append(panel.Lines[0].Y, y)
		}
		out = append(out, panel)
	}
	return out
}

// sizePlane is the smallest factor against the first value for some of the second.
func (t Text) sizePlane(s *Sizing) variant.Panel {
	p, o := s.Problem, s.Outcome
	one := 1.0
	panel := variant.Panel{Across: p.Axes[0].Header(), Up: "smallest factor", Limit: &one}
	n := 0
	for n < len(o.Curve) && o.Curve[n].X[0] == o.Curve[0].X[0] {
		n++
	}
	for j := 0; j < n; j += max(1, (n-1)/4) {
		l := variant.Line{Name: p.Axes[1].Show(short(o.Curve[j].X[1]))}
		for i := j; i < len(o.Curve); i += n {
			q := &o.Curve[i]
			y := q.Least
			if q.Err != nil || y > 5 {
				y = math.NaN()
			}
			l.X, l.Y = append(l.X, q.X[0]), append(l.Y, y)
		}
		panel.Lines = append(panel.Lines, l)
	}
	return panel
}
