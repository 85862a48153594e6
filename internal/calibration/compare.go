package calibration

import (
	"fmt"
	"math"

	"gridwright/internal/predict"
)

// Comparison of one figure. Sensitivities are V/V per N, N·m or Pa, the others V/V.
type Comparison struct {
	Figure    string // bridge.load, bridge.zero, or bridge.shunt …
	Kind      FigureKind
	Bridge    int
	Index     int // of the load or the shunt
	Predicted Expected
	Measured  float64
	Standard  predict.Figure // standard uncertainty of Measured
	// NormalisedError is (measured − predicted)/√(U_m² + U_p²), U = 2 u.
	NormalisedError predict.Figure
	Sentence        string
}

// FigureKind is what is compared.
type FigureKind int

// The kinds.
const (
	SensitivityFigure FigureKind = iota
	ZeroFigure
	ShuntFigure
)

// NormalisedError is
//
//	En = (m − p)/√(U_m² + U_p²),   U = 2 u
//
// Two figures agree when |En| ≤ 1. It is missing where neither has an uncertainty.
//
// Source: common practice in comparisons of laboratories (ISO/IEC 17043), the sign
// that of measured less predicted.
func NormalisedError(measured, um, predicted, up float64) predict.Figure {
	u := 2 * math.Hypot(um, up)
	if u == 0 {
		return predict.None("neither the reading nor the prediction has an uncertainty")
	}
	return predict.Some((measured - predicted) / u)
}

// compare fits what the prediction gives for the same readings in the same way and
// compares every entry of the matrix, every zero balance and every shunt.
func (r *Result) compare() error {
	data, m, p := r.Data, r.Matrix, r.Prediction
	curved, err := m.predicted(data, p)
	if err != nil {
		return err
	}
	add := func(c Comparison) {
		if c.Standard.OK() {
			c.NormalisedError = NormalisedError(c.Measured, c.Standard.Value, c.Predicted.Value, c.Predicted.Standard)
		} else {
			c.NormalisedError = predict.None(c.Standard.Missing)
		}
		c.Sentence = sentence(&c)
		r.Comparison = append(r.Comparison, c)
	}
	for k, bridge := range m.Bridges {
		name := data.Bridges[bridge]
		for j, comp := range m.Components {
			e := p.Sensitivity[bridge][comp]
			if curved != nil {
				e.Value = curved[k][j]
			}
			add(Comparison{Figure: name + "." + data.Components[comp].String(), Kind: SensitivityFigure, Bridge: bridge, Index: comp,
				Predicted: e, Measured: m.Sensitivity[k][j], Standard: predict.Some(m.Standard[k][j])})
		}
		if z := r.Zeros[bridge]; z.Missing == "" {
			add(Comparison{Figure: name + ".zero", Kind: ZeroFigure, Bridge: bridge, Predicted: p.Balance[bridge], Measured: z.Value, Standard: z.Standard})
		} else {
			r.Notes = append(r.Notes, fmt.Sprintf("zero balance of bridge %s: %s", name, z.Missing))
		}
		for s := range data.Shunts {
			v := r.Shunts[bridge][s]
			switch {
			case v.Missing != "":
				r.Notes = append(r.Notes, fmt.Sprintf("shunt %s on bridge %s: %s", shuntName(data.Shunts[s]), name, v.Missing))
			case bridge >= len(p.Shunt) || s >= len(p.Shunt[bridge]):
				r.Notes = append(r.Notes, fmt.Sprintf("shunt %s on bridge %s: not predicted", shuntName(data.Shunts[s]), name))
			default:
				add(Comparison{Figure: name + ".shunt " + shuntName(data.Shunts[s]), Kind: ShuntFigure, Bridge: bridge, Index: s, Predicted: p.Shunt[bridge][s], Measured: v.Value, Standard: v.Standard})
			}
		}
	}
	return nil
}

// predicted is the matrix that the exact outputs of the prediction give for the
// same readings; nil when the prediction has no outputs.
func (m *Matrix) predicted(data *Data, p *Prediction) ([][]float64, error) {
	if p.Output == nil {
		return nil, nil
	}
	rows, groups := matrixRows(data)
	loads, _ := m.columns(data, rows)
	var out [][]float64
	for _, b := range m.Bridges {
		var x [][]float64
		var y []float64
		var g []int
		for i, row := range rows {
			if math.IsNaN(data.Readings[row].Outputs[b]) {
				continue
			}
			v, err := p.Output(b, data.Readings[row].Loads)
			if err != nil {
				return nil, fmt.Errorf("the prediction at line %d: %w", data.Readings[row].Line, err)
			}
			x, y, g = append(x, m.terms(loads[i])), append(y, v), append(g, groups[i])
		}
		f, err := regressGroups(x, y, g, len(x[0]))
		if err != nil {
			return nil, fmt.Errorf("the prediction to compare with: %w", err)
		}
		out = append(out, f.Slopes[:len(m.Components)])
	}
	return out, nil
}

func sentence(c *Comparison) string {
	what := c.Figure
	if !c.NormalisedError.OK() {
		return fmt.Sprintf("%s: not judged, %s", what, c.NormalisedError.Missing)
	}
	by := ""
	if p := c.Predicted.Value; p != 0 && c.Kind != ZeroFigure {
		if rel := 100 * (c.Measured - p) / math.Abs(p); math.Abs(rel) < 1000 {
			by = fmt.Sprintf(", %+.2g %% of it", rel)
		}
	}
	verdict := "agrees with the prediction"
	if math.Abs(c.NormalisedError.Value) > 1 {
		verdict = "does not agree with the prediction"
	}
	return fmt.Sprintf("%s %s: %+.2f times the expanded uncertainty of the difference%s", what, verdict, c.NormalisedError.Value, by)
}

// agreement in a sentence.
func agreement(list []Comparison) (agrees bool, text string) {
	judged, off, worst := 0, []string{}, -1
	for i := range list {
		e := list[i].NormalisedError
		if !e.OK() {
			continue
		}
		judged++
		if worst < 0 || math.Abs(e.Value) > math.Abs(list[worst].NormalisedError.Value) {
			worst = i
		}
		if math.Abs(e.Value) > 1 {
			off = append(off, list[i].Figure)
		}
	}
	switch {
	case judged == 0:
		return false, "nothing could be compared with the prediction"
	case len(off) == 0:
		return true, fmt.Sprintf("the calibration agrees with the prediction: each of %d figures lies within the expanded uncertainty of the difference, the worst, %s, at %.2f of it", judged, list[worst].Figure, math.Abs(list[worst].NormalisedError.Value))
	}
	return false, fmt.Sprintf("the calibration does not agree with the prediction: %d of %d figures lie outside the expanded uncertainty of the difference (%s), the worst, %s, at %.2f times it", len(off), judged, list2(off), list[worst].Figure, math.Abs(list[worst].NormalisedError.Value))
}

func list2(names []string) string {
	if len(names) > 6 {
		return list(append(append([]string{}, names[:6]...), fmt.Sprintf("%d more", len(names)-6)))
	}
	return list(names)
}
