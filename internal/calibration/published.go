package calibration

import (
	"math"

	"gridwright/internal/predict"
)

// Published is a result in the shape that is printed as JSON: outputs in mV/V,
// loads in N, N·m or Pa, shares in percent; what is missing is null. Diagnosis is
// left for the caller to fill.
func Published(r *Result) any { return Publish(r) }

// Publish is Published with its type.
func Publish(r *Result) *PublishedResult {
	out := &PublishedResult{Gridwright: 1, Title: r.Title, Method: string(r.Options.Method), Zero: string(r.Options.Zero), Constant: r.Constant,
		Temperature: celsius(r.Kelvin), DesignDigest: r.Options.DesignDigest, DataDigest: r.Options.DataDigest, Date: r.Options.Date,
		Readings: len(r.Data.Readings), Notes: r.Notes, Bridges: []PublishedBridge{}, Comparison: []PublishedComparison{}, Outliers: []PublishedOutlier{},
		Agrees: r.Agrees, Agreement: r.Agreement}
	if out.Notes == nil {
		out.Notes = []string{}
	}
	for i := range r.Bridges {
		out.Bridges = append(out.Bridges, publishBridge(&r.Bridges[i]))
	}
	out.Matrix = publishMatrix(r)
	for _, o := range r.Outliers {
		out.Outliers = append(out.Outliers, PublishedOutlier{o.Line, o.Bridge, o.Matrix, o.Residual * 1e3, o.Studentised, o.Limit})
	}
	for _, c := range r.Comparison {
		out.Comparison = append(out.Comparison, PublishedComparison{Figure: c.Figure, Predicted: number(c.Predicted.Value * 1e3), PredictedStandard: number(c.Predicted.Standard * 1e3),
			Measured: number(c.Measured * 1e3), MeasuredStandard: milli(c.Standard), NormalisedError: value(c.NormalisedError, 1), Sentence: c.Sentence})
	}
	return out
}

// PublishedResult is the shape of the result.
type PublishedResult struct {
	Gridwright   int                   `json:"gridwright"`
	Title        string                `json:"title"`
	Method       string                `json:"method"`
	Zero         string                `json:"zero"`
	Constant     bool                  `json:"constant_term"`
	DesignDigest string                `json:"design_sha256,omitempty"`
	DataDigest   string                `json:"data_sha256,omitempty"`
	Date         string                `json:"date,omitempty"`
	Readings     int                   `json:"readings"`
	Temperature  *float64              `json:"temperature_celsius"`
	Bridges      []PublishedBridge     `json:"bridges"`
	Matrix       PublishedMatrix       `json:"matrix"`
	Outliers     []PublishedOutlier    `json:"outliers"`
	Comparison   []PublishedComparison `json:"comparison"`
	Agrees       bool                  `json:"agrees"`
	Agreement    string                `json:"agreement"`
	Diagnosis    any                   `json:"diagnosis"`
	Notes        []string              `json:"notes"`
}

// PublishedBridge is one bridge.
type PublishedBridge struct {
	Name         string            `json:"name"`
	Load         string            `json:"load"`
	Degree       *int              `json:"degree"`
	DegreeWhy    string            `json:"degree_why"`
	Coefficients []float64         `json:"coefficients"`
	SD           []float64         `json:"coefficient_sd"`
	StandardDev  *float64          `json:"standard_deviation_mv_per_v"`
	Freedom      int               `json:"degrees_of_freedom"`
	Inverse      []float64         `json:"inverse_coefficients"`
	InverseSD    []float64         `json:"inverse_coefficient_sd"`
	Sensitivity  *float64          `json:"sensitivity"`
	LackOfFit    *PublishedLack    `json:"lack_of_fit"`
	Figures      PublishedFigures  `json:"figures"`
	Missing      map[string]string `json:"missing"`
	Definitions  []string          `json:"definitions"`
	Class        PublishedClass    `json:"class"`
	Verified     *PublishedE74     `json:"verified_range,omitempty"`
	Steps        []PublishedStep   `json:"steps"`
	InUse        PublishedInUse    `json:"uncertainty_in_use"`
	Notes        []string          `json:"notes"`
}

// PublishedLack is the test of lack of fit.
type PublishedLack struct {
	F           float64 `json:"f"`
	Freedom     [2]int  `json:"degrees_of_freedom"`
	Limit       float64 `json:"limit_95"`
	Significant bool    `json:"significant"`
	PureError   float64 `json:"pure_error_mv_per_v"`
}

// PublishedFigures are a bridge's figures.
type PublishedFigures struct {
	Repeatability    *float64 `json:"repeatability_percent"`
	Reproducibility  *float64 `json:"reproducibility_percent"`
	Interpolation    *float64 `json:"interpolation_percent"`
	Zero             *float64 `json:"zero_percent"`
	Reversibility    *float64 `json:"reversibility_percent"`
	Creep            *float64 `json:"creep_percent"`
	Resolution       *float64 `json:"resolution"`
	LowerLimitFactor *float64 `json:"lower_limit_factor"`
}

// PublishedClass is a bridge's class.
type PublishedClass struct {
	Name      *string          `json:"name"`
	From      *float64         `json:"from"`
	To        *float64         `json:"to"`
	Why       string           `json:"why,omitempty"`
	Unjudged  []string         `json:"not_judged"`
	Source    string           `json:"source"`
	Confirmed bool             `json:"limits_confirmed"`
	Ranges    []PublishedRange `json:"ranges"`
}

// PublishedRange is from where on a class holds.
type PublishedRange struct {
	Name string  `json:"name"`
	From float64 `json:"from"`
	To   float64 `json:"to"`
}

// PublishedE74 is the verified range.
type PublishedE74 struct {
	AA     *float64 `json:"class_aa_from"`
	A      *float64 `json:"class_a_from"`
	To     float64  `json:"to"`
	Raised bool     `json:"raised_to_resolution"`
	Remark string   `json:"remark,omitempty"`
}

// PublishedStep is one load.
type PublishedStep struct {
	Load            float64         `json:"load"`
	Mean            *float64        `json:"mean_mv_per_v"`
	Fitted          *float64        `json:"fitted_mv_per_v"`
	Repeatability   *float64        `json:"repeatability_percent"`
	Reproducibility *float64        `json:"reproducibility_percent"`
	Interpolation   *float64        `json:"interpolation_percent"`
	Reversibility   *float64        `json:"reversibility_percent"`
	Standard        *float64        `json:"standard_uncertainty_percent"`
	Expanded        *float64        `json:"expanded_uncertainty_percent"`
	Budget          []PublishedTerm `json:"budget"`
}

// PublishedTerm is one term of a budget.
type PublishedTerm struct {
	Name         string   `json:"name"`
	Standard     *float64 `json:"standard_percent"`
	Distribution string   `json:"distribution"`
	Missing      string   `json:"missing,omitempty"`
}

// PublishedInUse is u(F) = √(a² + (w F)²), k = 1.
type PublishedInUse struct {
	Absolute *float64 `json:"absolute"`
	Relative *float64 `json:"relative_percent"`
	Missing  []string `json:"not_included"`
}

// PublishedMatrix is all bridges together.
type PublishedMatrix struct {
	Components  []string           `json:"components"`
	Bridges     []string           `json:"bridges"`
	Sensitivity [][]float64        `json:"sensitivity"`
	Standard    [][]float64        `json:"standard_uncertainty"`
	Measured    []string           `json:"measured"`
	Inverse     [][]float64        `json:"inverse"`
	Weights     []float64          `json:"weights"`
	Condition   *float64           `json:"condition"`
	Why         string             `json:"why,omitempty"`
	Crosstalk   [][]*float64       `json:"crosstalk_percent"`
	Residual    []PublishedChannel `json:"residual"`
	Coverage    []float64          `json:"coverage_factor_95"`
	Freedom     []int              `json:"degrees_of_freedom"`
	Second      *PublishedSecond   `json:"second_order"`
}

// PublishedChannel is how well the inverse gives a load back.
type PublishedChannel struct {
	Load    string  `json:"load"`
	RMS     float64 `json:"rms_percent"`
	Largest float64 `json:"largest_percent"`
	Line    int     `json:"line"`
}

// PublishedSecond are second-order terms: mV/V per unit of both loads.
type PublishedSecond struct {
	Terms        [][2]string `json:"terms"`
	Coefficients [][]float64 `json:"coefficients"`
}

// PublishedOutlier is a reading that the others do not lead one to expect.
type PublishedOutlier struct {
	Line        int     `json:"line"`
	Bridge      string  `json:"bridge"`
	Matrix      bool    `json:"of_matrix"`
	Residual    float64 `json:"residual_mv_per_v"`
	Studentised float64 `json:"studentised"`
	Limit       float64 `json:"limit"`
}

// PublishedComparison is one figure against its prediction.
type PublishedComparison struct {
	Figure            string   `json:"figure"`
	Predicted         *float64 `json:"predicted"`
	PredictedStandard *float64 `json:"predicted_standard_uncertainty"`
	Measured          *float64 `json:"measured"`
	MeasuredStandard  *float64 `json:"measured_standard_uncertainty"`
	NormalisedError   *float64 `json:"normalised_error"`
	Sentence          string   `json:"sentence"`
}

func publishBridge(b *Bridge) PublishedBridge {
	out := PublishedBridge{Name: b.Name, Load: b.Load.String(), DegreeWhy: b.DegreeWhy, Coefficients: []float64{}, SD: []float64{}, Inverse: []float64{}, InverseSD: []float64{},
		Sensitivity: milli(b.Sensitivity), Missing: map[string]string{}, Definitions: b.Figures.Definitions, Steps: []PublishedStep{}, Notes: b.Notes}
	if out.Definitions == nil {
		out.Definitions = []string{}
	}
	if out.Notes == nil {
		out.Notes = []string{}
	}
	if b.Missing != "" {
		out.Missing["bridge"] = b.Missing
	}
	f := &b.Figures
	for name, g := range map[string]predict.Figure{"repeatability_percent": f.Repeatability, "reproducibility_percent": f.Reproducibility, "interpolation_percent": f.Interpolation,
		"zero_percent": f.Zero, "reversibility_percent": f.Reversibility, "creep_percent": f.Creep, "resolution": f.Resolution, "lower_limit_factor": f.LowerLimitFactor, "sensitivity": b.Sensitivity} {
		if !g.OK() {
			out.Missing[name] = g.Missing
		}
	}
	out.Figures = PublishedFigures{percent(f.Repeatability), percent(f.Reproducibility), percent(f.Interpolation), percent(f.Zero), percent(f.Reversibility), percent(f.Creep), value(f.Resolution, 1), value(f.LowerLimitFactor, 1)}
	out.Class = publishClass(&b.Class)
	out.InUse = PublishedInUse{Missing: b.InUse.Missing}
	if out.InUse.Missing == nil {
		out.InUse.Missing = []string{}
	}
	if p := b.Forward; p != nil {
		degree := p.Degree
		out.Degree, out.Freedom = &degree, p.Freedom
		out.Coefficients, out.SD = times(p.Coefficients, 1e3), times(p.SD, 1e3)
		out.StandardDev = number(p.ResidualSD * 1e3)
		if l := p.LackOfFit; l.Missing == "" {
			out.LackOfFit = &PublishedLack{l.F, l.Freedom, l.Limit, l.Significant, l.PureError * 1e3}
		} else {
			out.Missing["lack_of_fit"] = l.Missing
		}
		out.InUse.Absolute, out.InUse.Relative = number(b.InUse.Absolute), number(b.InUse.Relative*100)
	}
	if p := b.Inverse; p != nil { // against mV/V
		for k := range p.Coefficients {
			out.Inverse = append(out.Inverse, p.Coefficients[k]*math.Pow(1e-3, float64(k)))
			out.InverseSD = append(out.InverseSD, p.SD[k]*math.Pow(1e-3, float64(k)))
		}
	}
	if e := b.E74; e != nil {
		out.Verified = &PublishedE74{value(e.Lower[0], 1), value(e.Lower[1], 1), e.Upper, e.Resolved, e.Remark}
	}
	for i := range b.Steps {
		s := &b.Steps[i]
		p := PublishedStep{Load: s.Load, Mean: milli(s.Mean), Fitted: milli(s.Fitted), Repeatability: percent(s.Repeatability), Reproducibility: percent(s.Reproducibility),
			Interpolation: percent(s.Interpolation), Reversibility: percent(s.Reversibility), Standard: percent(s.Uncertainty.Standard), Expanded: percent(s.Uncertainty.Expanded), Budget: []PublishedTerm{}}
		for _, t := range s.Uncertainty.Terms {
			p.Budget = append(p.Budget, PublishedTerm{t.Name, percent(t.Standard), t.Distribution, t.Standard.Missing})
		}
		out.Steps = append(out.Steps, p)
	}
	return out
}

func publishClass(c *Class) PublishedClass {
	out := PublishedClass{Why: c.Missing, Unjudged: c.Unjudged, Source: c.Source, Confirmed: c.Confirmed, Ranges: []PublishedRange{}}
	if out.Unjudged == nil {
		out.Unjudged = []string{}
	}
	if c.Name != "" {
		name := c.Name
		out.Name, out.From, out.To = &name, number(c.From), number(c.To)
	}
	for _, r := range c.Ranges {
		out.Ranges = append(out.Ranges, PublishedRange(r))
	}
	return out
}

func publishMatrix(r *Result) PublishedMatrix {
	m := r.Matrix
	out := PublishedMatrix{Components: []string{}, Bridges: []string{}, Measured: []string{}, Condition: value(m.Condition, 1), Why: m.Missing, Freedom: m.Freedom, Residual: []PublishedChannel{}, Weights: m.Weights}
	for _, b := range m.Bridges {
		out.Bridges = append(out.Bridges, r.Data.Bridges[b])
	}
	for _, c := range m.Components {
		out.Components = append(out.Components, r.Data.Components[c].String())
	}
	for _, j := range m.Measured {
		out.Measured = append(out.Measured, r.Data.Components[m.Components[j]].String())
	}
	for k := range m.Bridges {
		out.Coverage = append(out.Coverage, m.CoverageFactor(k))
		out.Sensitivity, out.Standard = append(out.Sensitivity, times(m.Sensitivity[k], 1e3)), append(out.Standard, times(m.Standard[k], 1e3))
		var row []*float64
		for _, f := range m.Crosstalk[k] {
			row = append(row, percent(f))
		}
		out.Crosstalk = append(out.Crosstalk, row)
	}
	for _, row := range m.Inverse {
		out.Inverse = append(out.Inverse, times(row, 1e-3))
	}
	for _, c := range m.Recovery {
		out.Residual = append(out.Residual, PublishedChannel{r.Data.Components[c.Component].String(), c.RMS * 100, c.Largest * 100, c.Line})
	}
	if m.Pairs != nil {
		s := &PublishedSecond{}
		for _, p := range m.Pairs {
			s.Terms = append(s.Terms, [2]string{out.Components[p[0]], out.Components[p[1]]})
		}
		for _, row := range m.Product {
			s.Coefficients = append(s.Coefficients, times(row, 1e3))
		}
		out.Second = s
	}
	return out
}

func times(list []float64, by float64) []float64 {
	out := make([]float64, len(list))
	for i, v := range list {
		out[i] = v * by
	}
	return out
}

// number is nil where there is none.
func number(v float64) *float64 {
	if !finite(v) {
		return nil
	}
	return &v
}

func value(f predict.Figure, by float64) *float64 {
	if !f.OK() {
		return nil
	}
	return number(f.Value * by)
}

func percent(f predict.Figure) *float64 { return value(f, 100) }
func milli(f predict.Figure) *float64   { return value(f, 1e3) }

func celsius(f predict.Figure) *float64 {
	if !f.OK() {
		return nil
	}
	return number(f.Value - 273.15)
}
