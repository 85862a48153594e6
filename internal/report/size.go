package report

import (
	"fmt"
	"math"
	"strings"

	"gridwright/internal/check"
	"gridwright/internal/dossier"
	"gridwright/internal/sizing"
)

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
