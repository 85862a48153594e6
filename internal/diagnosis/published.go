package diagnosis

import "math"

// Published is the diagnosis as its JSON result shows it.
type Published struct {
	Agrees      bool             `json:"agrees"`
	Sentence    string           `json:"sentence"`
	ChiSquare   *float64         `json:"chi_square"`
	Freedom     int              `json:"degrees_of_freedom"`
	Probability *float64         `json:"probability"`
	Unexplained bool             `json:"unexplained"`
	Causes      []PublishedCause `json:"causes"`
	SeparateBy  *string          `json:"separate_by"`
}

// PublishedCause is one cause; Estimate is nil where nothing is estimated.
type PublishedCause struct {
	Cause     string             `json:"cause"`
	Share     float64            `json:"share"`
	Estimate  *PublishedEstimate `json:"estimate"`
	Group     int                `json:"group"`
	ChiSquare *float64           `json:"chi_square"`
}

// PublishedEstimate is a deviation from the design, standard its standard uncertainty.
type PublishedEstimate struct {
	Quantity string   `json:"quantity"`
	Value    *float64 `json:"value"`
	Standard *float64 `json:"standard"`
	Unit     string   `json:"unit"`
}

// Published is the diagnosis in the shape of the JSON result; what is not finite is null.
func (d *Diagnosis) Published() Published {
	out := Published{Agrees: d.Agrees, Sentence: d.Sentence, ChiSquare: finite(d.ChiSquare), Freedom: d.Freedom,
		Probability: finite(d.Probability), Unexplained: d.Unexplained, Causes: []PublishedCause{}}
	for _, c := range d.Causes {
		p := PublishedCause{Cause: c.Text, Share: c.Share, Group: c.Group, ChiSquare: finite(c.ChiSquare)}
		if e := c.Estimate; e != nil {
			p.Estimate = &PublishedEstimate{Quantity: e.Quantity, Value: finite(e.Value), Standard: finite(e.Standard), Unit: e.Unit}
		}
		out.Causes = append(out.Causes, p)
	}
	if d.SeparateBy != "" {
		out.SeparateBy = &d.SeparateBy
	}
	return out
}

func finite(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}
