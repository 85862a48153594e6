package work

// PublishedChapter is a chapter as the JSON result shows it.
type PublishedChapter struct {
	Title string          `json:"title"`
	Steps []PublishedStep `json:"steps"`
}

// PublishedStep is one step, its numbers in coherent SI units.
type PublishedStep struct {
	What    string            `json:"what"`
	Symbol  string            `json:"symbol"`
	Formula *string           `json:"formula"`
	Source  string            `json:"source"`
	With    []PublishedNumber `json:"with"`
	Result  float64           `json:"result"`
	Unit    string            `json:"unit"`
}

// PublishedNumber is a number of a step.
type PublishedNumber struct {
	Symbol string  `json:"symbol"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
}

// Published is the calculation for a JSON result.
func Published(chapters []Chapter) []PublishedChapter {
	var out []PublishedChapter
	for _, c := range chapters {
		p := PublishedChapter{Title: c.Title, Steps: []PublishedStep{}}
		for _, s := range c.Steps {
			step := PublishedStep{What: s.What, Symbol: s.Symbol, Source: s.Source, With: []PublishedNumber{}, Result: s.Result, Unit: s.Unit}
			if s.Formula != "" {
				step.Formula = &s.Formula
			}
			for _, n := range s.With {
				step.With = append(step.With, PublishedNumber{n.Symbol, n.SI, n.Unit})
			}
			p.Steps = append(p.Steps, step)
		}
		out = append(out, p)
	}
	return out
}
