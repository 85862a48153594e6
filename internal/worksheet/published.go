package worksheet

import "math"

// Published is the plan as its JSON result shows it.
type Published struct {
	Gridwright int             `json:"gridwright"`
	Title      string          `json:"title"`
	Input      string          `json:"input_sha256"`
	Components []string        `json:"components"`
	Bridges    []string        `json:"bridges"`
	Rows       []PublishedStep `json:"rows"`
}

// PublishedStep is one reading: loads in SI units, outputs in mV/V.
type PublishedStep struct {
	Run      int        `json:"run"`
	Position float64    `json:"position_deg"`
	Mounting int        `json:"mounting"`
	Stepping string     `json:"stepping"`
	Loads    []float64  `json:"loads"`
	Shunt    *string    `json:"shunt"`
	Expected []*float64 `json:"expected_mv_per_v"`
	Interval []*float64 `json:"interval_mv_per_v"`
}

// Published is the plan without its remarks.
func (p *Plan) Published() Published {
	d := p.Dossier
	out := Published{Gridwright: 1, Title: d.Design.Title, Input: d.Digest, Components: []string{}, Bridges: []string{}, Rows: []PublishedStep{}}
	for _, c := range d.Result.Model.Components {
		out.Components = append(out.Components, c.String())
	}
	for _, b := range d.Result.Bridges {
		out.Bridges = append(out.Bridges, b.Name)
	}
	for _, r := range p.Rows {
		if r.Remark != "" {
			continue
		}
		step := PublishedStep{Run: r.Run, Position: r.Position, Mounting: r.Mounting, Stepping: r.Stepping, Loads: r.Loads}
		if r.Shunt >= 0 {
			s := p.shunt(r.Shunt)
			step.Shunt = &s
		}
		for b := range r.Expected {
			step.Expected = append(step.Expected, milli(r.Expected[b]))
			step.Interval = append(step.Interval, milli(r.Interval[b]))
		}
		out.Rows = append(out.Rows, step)
	}
	return out
}

// milli is V/V in mV/V, nil where there is no number.
func milli(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	v *= 1e3
	return &v
}
