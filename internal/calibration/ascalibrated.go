package calibration

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"

	"gridwright/internal/design"
	"gridwright/internal/predict"
)

// AsCalibrated is the file that takes a calibration on to where loads are
// recovered. Outputs are mV/V; loads N, N·m or Pa.
type AsCalibrated struct {
	Gridwright int    `json:"gridwright"`
	Kind       string `json:"kind"`
	Title      string `json:"title"`
	Design     string `json:"design_sha256"`
	Data       string `json:"data_sha256"`
	Date       string `json:"date,omitempty"`
	Method     string `json:"method"`
	Zero       string `json:"zero_reduction"`

	Bridges    []string `json:"bridges"`
	Components []string `json:"components"`
	Measured   []string `json:"measured"`
	OutputUnit string   `json:"output_unit"`
	LoadUnits  []string `json:"load_units"` // of Components

	Sensitivity [][]float64 `json:"sensitivity"`         // bridges × components
	Covariance  [][]float64 `json:"covariance"`          // of the sensitivities, bridge by bridge
	Residual    [][]float64 `json:"residual_covariance"` // of single readings of the bridges
	Inverse     [][]float64 `json:"inverse"`             // measured × bridges

	SecondOrder  *SecondOrder `json:"second_order"`
	ZeroBalance  []*float64   `json:"zero_balance"`  // of Bridges
	ZeroStandard []*float64   `json:"zero_standard"` // standard uncertainties of ZeroBalance
	Temperature  *float64     `json:"temperature_celsius"`
	Ranges       [][2]float64 `json:"ranges"` // of Components, that the data cover
	Uncertainty  []InUseTerms `json:"uncertainty"`
}

// SecondOrder are coefficients of products of loads, bridges × terms.
type SecondOrder struct {
	Terms        [][2]string `json:"terms"`
	Coefficients [][]float64 `json:"coefficients"`
}

// InUseTerms are the terms of the uncertainty of a measured load beside the
// covariances: u² = (D cov Dᵀ) + absolute² + (relative·F)², k = 1.
type InUseTerms struct {
	Load     string   `json:"load"`
	Absolute float64  `json:"absolute"`
	Relative float64  `json:"relative"`
	Missing  []string `json:"not_included"`
}

const kindAsCalibrated = "as-calibrated"

// AsCalibrated is the result as the file that loads are recovered with. A result
// whose matrix has no inverse is an error.
func (r *Result) AsCalibrated() (*AsCalibrated, error) {
	m := r.Matrix
	if m.Inverse == nil {
		return nil, fmt.Errorf("no as-calibrated matrix: %s", m.Missing)
	}
	out := &AsCalibrated{Gridwright: 1, Kind: kindAsCalibrated, Title: r.Title, Design: r.Options.DesignDigest, Data: r.Options.DataDigest, Date: r.Options.Date,
		Method: string(r.Options.Method), Zero: string(r.Options.Zero), OutputUnit: "mV/V", Temperature: celsius(r.Kelvin)}
	for _, b := range m.Bridges {
		out.Bridges = append(out.Bridges, r.Data.Bridges[b])
		out.ZeroBalance = append(out.ZeroBalance, milli(predict.Figure{Value: r.Zeros[b].Value, Missing: r.Zeros[b].Missing}))
		u := r.Zeros[b].Standard
		if r.Zeros[b].Missing != "" {
			u = predict.None(r.Zeros[b].Missing)
		}
		out.ZeroStandard = append(out.ZeroStandard, milli(u))
	}
	for _, c := range m.Components {
		comp := r.Data.Components[c]
		out.Components, out.LoadUnits = append(out.Components, comp.String()), append(out.LoadUnits, comp.Kind().SIUnit())
		low, high := 0.0, 0.0
		for i := range r.Data.Readings {
			f := r.Data.Readings[i].Loads[c]
			low, high = math.Min(low, f), math.Max(high, f)
		}
		out.Ranges = append(out.Ranges, [2]float64{low, high})
	}
	for _, row := range m.Sensitivity {
		out.Sensitivity = append(out.Sensitivity, times(row, 1e3))
	}
	for _, row := range m.Covariance {
		out.Covariance = append(out.Covariance, times(row, 1e6))
	}
	for _, row := range m.Residual {
		out.Residual = append(out.Residual, times(row, 1e6))
	}
	for _, row := range m.Inverse {
		out.Inverse = append(out.Inverse, times(row, 1e-3))
	}
	if m.Pairs != nil {
		s := &SecondOrder{}
		for _, p := range m.Pairs {
			s.Terms = append(s.Terms, [2]string{out.Components[p[0]], out.Components[p[1]]})
		}
		for _, row := range m.Product {
			s.Coefficients = append(s.Coefficients, times(row, 1e3))
		}
		out.SecondOrder = s
	}
	for _, j := range m.Measured {
		c := m.Components[j]
		out.Measured = append(out.Measured, out.Components[j])
		out.Uncertainty = append(out.Uncertainty, r.terms(c))
	}
	return out, nil
}

// terms of the load c by the bridge that measures it, without the scatter that the
// covariances hold.
func (r *Result) terms(c int) InUseTerms {
	t := InUseTerms{Load: r.Data.Components[c].String(), Missing: []string{}}
	for i := range r.Bridges {
		b := &r.Bridges[i]
		if b.Target != c {
			continue
		}
		if b.Missing == "" {
			t.Absolute, t.Relative = b.InUse.WithoutFit, b.InUse.RelativeOnly
		}
		t.Missing = append(t.Missing, b.InUse.Missing...)
		return t
	}
	t.Missing = append(t.Missing, "no bridge measures this load alone: only the scatter about the matrix is known")
	return t
}

// Write writes the file as indented JSON.
func (a *AsCalibrated) Write(w io.Writer) error {
	if err := a.check(); err != nil {
		return err
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(a)
}

// maxFile bounds the memory that a file can ask for.
const maxFile = 16 << 20

// ReadAsCalibrated reads such a file strictly: keys that it does not know, sizes
// that do not fit, numbers that are not finite, covariances that are none and an
// inverse that does not go with the sensitivities are errors. file is its name.
func ReadAsCalibrated(r io.Reader, file string) (*AsCalibrated, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	if len(text) > maxFile {
		return nil, fmt.Errorf("%s: larger than 16 MB; this is no as-calibrated matrix", file)
	}
	a := new(AsCalibrated)
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(a); err != nil {
		return nil, fmt.Errorf("%s:%s", file, jsonWords(text, err, d.InputOffset()))
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		line, col := position(text, d.InputOffset())
		return nil, fmt.Errorf("%s:%d:%d: more text after the end; leave it out", file, line, col)
	}
	if err := a.check(); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return a, nil
}

// Recovery of the measured loads from changes of the outputs, V/V.
func (a *AsCalibrated) Recovery() (*Recovery, error) {
	if err := a.check(); err != nil {
		return nil, err
	}
	columns, err := a.columns()
	if err != nil {
		return nil, err
	}
	nb, nc, nm := len(a.Bridges), len(a.Components), len(a.Measured)
	r := &Recovery{Bridges: a.Bridges, Covariance: square(nb * nm)}
	place := map[int]int{}
	for q, c := range columns {
		comp, _ := design.ParseComponent(a.Components[c])
		r.Components = append(r.Components, comp)
		r.Relative, r.Absolute = append(r.Relative, a.Uncertainty[q].Relative), append(r.Absolute, a.Uncertainty[q].Absolute)
		r.Inverse = append(r.Inverse, times(a.Inverse[q], 1e3))
		place[c] = q
	}
	for _, row := range a.Residual {
		r.Residual = append(r.Residual, times(row, 1e-6))
	}
	for x := range nb {
		for y := range nb {
			for p, j := range columns {
				for q, k := range columns {
					r.Covariance[x*nm+p][y*nm+q] = 1e-6 * a.Covariance[x*nc+j][y*nc+k]
				}
			}
		}
	}
	if s := a.SecondOrder; s != nil {
		r.Product = make([][]float64, nb)
		for t, pair := range s.Terms {
			p, okP := place[a.component(pair[0])]
			q, okQ := place[a.component(pair[1])]
			if !okP || !okQ {
				continue
			}
			r.Pairs = append(r.Pairs, [2]int{p, q})
			for b := range nb {
				r.Product[b] = append(r.Product[b], 1e-3*s.Coefficients[b][t])
			}
		}
	}
	return r, nil
}

// Slope is the measured sensitivity of a bridge to a load, V/V per N, N·m or Pa.
func (a *AsCalibrated) Slope(bridge string, load design.Component) (s float64, ok bool) {
	c := a.component(load.String())
	for b, name := range a.Bridges {
		if name == bridge && c >= 0 {
			return a.Sensitivity[b][c] * 1e-3, true
		}
	}
	return 0, false
}
