package report

import (
	"math"

	"gridwright/internal/variant"
)

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
