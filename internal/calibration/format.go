package calibration

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

var unknownField = regexp.MustCompile(`unknown field "(.*)"`)

// jsonWords says what is wrong with the text, with line and column.
func jsonWords(text []byte, err error, offset int64) string {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	what := err.Error()
	switch {
	case errors.As(err, &syntax):
		offset, what = syntax.Offset, "this is no JSON: "+syntax.Error()
	case errors.As(err, &kind):
		offset, what = kind.Offset, fmt.Sprintf("%s: a %s does not belong here; take the file as calibrate wrote it", kind.Field, kind.Value)
	case errors.Is(err, io.EOF):
		what = "the file is empty; take the file that calibrate wrote"
	case errors.Is(err, io.ErrUnexpectedEOF):
		offset, what = int64(len(text)), "the file is cut off; get it again"
	default:
		if f := unknownField.FindStringSubmatch(what); f != nil {
			offset = int64(bytes.Index(text, []byte(`"`+f[1]+`"`)))
			what = fmt.Sprintf("unknown key %q; take the file as calibrate wrote it", f[1])
		}
	}
	line, col := position(text, offset)
	return fmt.Sprintf("%d:%d: %s", line, col, what)
}

func position(text []byte, offset int64) (line, col int) {
	line, col = 1, 1
	for _, b := range string(text[:max(0, min(int(offset), len(text)))]) {
		col++
		if b == '\n' {
			line, col = line+1, 1
		}
	}
	return line, col
}

// check what the format does not.
func (a *AsCalibrated) check() error {
	if a.Gridwright != 1 {
		return fmt.Errorf("gridwright: format %d is not known; this program reads 1", a.Gridwright)
	}
	if a.Kind != kindAsCalibrated {
		return fmt.Errorf("kind: %q is not %q; take the matrix that calibrate wrote", clip(a.Kind), kindAsCalibrated)
	}
	if a.OutputUnit != "mV/V" {
		return fmt.Errorf("output_unit: %q; it must be mV/V", clip(a.OutputUnit))
	}
	if _, err := ParseMethod(a.Method); err != nil {
		return fmt.Errorf("method: %w", err)
	}
	if _, err := ParseZero(a.Zero); err != nil {
		return fmt.Errorf("zero_reduction: %w", err)
	}
	nb, nc, nm := len(a.Bridges), len(a.Components), len(a.Measured)
	if nb == 0 || nc == 0 || nm == 0 {
		return errors.New("bridges, components and measured must each name at least one")
	}
	for _, l := range []struct {
		name string
		list []string
	}{{"bridges", a.Bridges}, {"components", a.Components}, {"measured", a.Measured}} {
		seen := map[string]bool{}
		for _, s := range l.list {
			if s == "" || seen[s] {
				return fmt.Errorf("%s: %q stands twice or is empty", l.name, clip(s))
			}
			seen[s] = true
		}
	}
	if len(a.LoadUnits) != nc {
		return fmt.Errorf("load_units: %d for %d components", len(a.LoadUnits), nc)
	}
	for i, name := range a.Components {
		c, ok := design.ParseComponent(name)
		if !ok {
			if near := quantity.Nearest(name, design.ComponentNames()); near != "" {
				return fmt.Errorf("components: %q is no load; did you mean %s", clip(name), near)
			}
			return fmt.Errorf("components: %q is no load", clip(name))
		}
		if a.LoadUnits[i] != c.Kind().SIUnit() {
			return fmt.Errorf("load_units: %q for %s; it must be %s", clip(a.LoadUnits[i]), name, c.Kind().SIUnit())
		}
	}
	if _, err := a.columns(); err != nil {
		return err
	}
	for _, t := range []struct {
		name       string
		m          [][]float64
		rows, cols int
		covariance bool
	}{{"sensitivity", a.Sensitivity, nb, nc, false}, {"inverse", a.Inverse, nm, nb, false}, {"covariance", a.Covariance, nb * nc, nb * nc, true}, {"residual_covariance", a.Residual, nb, nb, true}} {
		if err := sized(t.name, t.m, t.rows, t.cols); err != nil {
			return err
		}
		if t.covariance {
			if err := covariance(t.name, t.m); err != nil {
				return err
			}
		}
	}
	return a.checkRest(nb, nc, nm)
}

func (a *AsCalibrated) checkRest(nb, nc, nm int) error {
	switch {
	case len(a.ZeroBalance) != nb:
		return fmt.Errorf("zero_balance: %d for %d bridges", len(a.ZeroBalance), nb)
	case len(a.ZeroStandard) != nb:
		return fmt.Errorf("zero_standard: %d for %d bridges", len(a.ZeroStandard), nb)
	case len(a.Ranges) != nc:
		return fmt.Errorf("ranges: %d for %d components", len(a.Ranges), nc)
	case len(a.Uncertainty) != nm:
		return fmt.Errorf("uncertainty: %d for %d measured loads", len(a.Uncertainty), nm)
	}
	for i, r := range a.Ranges {
		if !finite(r[0]) || !finite(r[1]) || r[0] > r[1] {
			return fmt.Errorf("ranges: that of %s does not ascend", a.Components[i])
		}
	}
	for i, u := range a.Uncertainty {
		if u.Load != a.Measured[i] {
			return fmt.Errorf("uncertainty: entry %d is for %q, not for %s", i+1, clip(u.Load), a.Measured[i])
		}
		if !finite(u.Absolute) || !finite(u.Relative) || u.Absolute < 0 || u.Relative < 0 {
			return fmt.Errorf("uncertainty: that of %s is negative or not finite", u.Load)
		}
	}
	if a.Temperature != nil && !(*a.Temperature > -273.15 && *a.Temperature < 5000) {
		return fmt.Errorf("temperature_celsius: %g is no temperature", *a.Temperature)
	}
	columns, err := a.columns()
	if err != nil {
		return err
	}
	if s := a.SecondOrder; s != nil {
		if err := sized("second_order.coefficients", s.Coefficients, nb, len(s.Terms)); err != nil {
			return err
		}
		for _, t := range s.Terms {
			if a.component(t[0]) < 0 || a.component(t[1]) < 0 {
				return fmt.Errorf("second_order.terms: %q and %q are not both among components", clip(t[0]), clip(t[1]))
			}
		}
	}
	for p := range nm { // D·S = 1
		for q := range nm {
			sum, row, column := 0.0, 0.0, 0.0
			for b := range nb {
				sum += a.Inverse[p][b] * a.Sensitivity[b][columns[q]]
				row, column = math.Hypot(row, a.Inverse[p][b]), math.Hypot(column, a.Sensitivity[b][columns[q]])
			}
			want := 0.0
			if p == q {
				want = 1
			}
			if math.Abs(sum-want) > 1e-9*math.Max(row*column, want) {
				return fmt.Errorf("inverse: it does not go with the sensitivities (row %d, %s); one of them was changed", p+1, a.Measured[q])
			}
		}
	}
	return nil
}

func (a *AsCalibrated) component(name string) int {
	for i, c := range a.Components {
		if c == name {
			return i
		}
	}
	return -1
}

// columns of the measured loads among Components.
func (a *AsCalibrated) columns() ([]int, error) {
	var out []int
	for _, m := range a.Measured {
		c := a.component(m)
		if c < 0 {
			return nil, fmt.Errorf("measured: %q is not among components", clip(m))
		}
		out = append(out, c)
	}
	return out, nil
}

func sized(name string, m [][]float64, rows, cols int) error {
	if len(m) != rows {
		return fmt.Errorf("%s: %d rows, it must have %d", name, len(m), rows)
	}
	for i, row := range m {
		if len(row) != cols {
			return fmt.Errorf("%s: %d numbers in row %d, it must have %d", name, len(row), i+1, cols)
		}
		for _, v := range row {
			if !finite(v) {
				return fmt.Errorf("%s: a number of row %d is not finite", name, i+1)
			}
		}
	}
	return nil
}

// covariance checks symmetry, and that no correlation is beyond ±1.
func covariance(name string, m [][]float64) error {
	for i := range m {
		if m[i][i] < 0 {
			return fmt.Errorf("%s: variance %d is negative", name, i+1)
		}
		for j := range i {
			limit := math.Sqrt(m[i][i] * m[j][j])
			if math.Abs(m[i][j]-m[j][i]) > 1e-9*limit || math.Abs(m[i][j]) > limit*(1+1e-6) {
				return fmt.Errorf("%s: entries %d, %d and %d, %d are not those of a covariance", name, i+1, j+1, j+1, i+1)
			}
		}
	}
	return nil
}
