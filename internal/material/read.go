package material

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// property is one figure of a material: its name in the files, where it goes, the
// SI unit it ends in, and limits no spring metal passes (SI).
type property struct {
	name     string
	of       func(*Material) *Figure
	si       string
	min, max float64
}

var properties = []property{
	{"youngs-modulus", func(m *Material) *Figure { return &m.E }, "Pa", 10e9, 500e9},
	{"poisson-ratio", func(m *Material) *Figure { return &m.Poisson }, "1", 0.05, 0.49},
	{"shear-modulus", func(m *Material) *Figure { return &m.G }, "Pa", 4e9, 200e9},
	{"density", func(m *Material) *Figure { return &m.Density }, "kg/m³", 1000, 25000},
	{"expansion", func(m *Material) *Figure { return &m.Expansion }, "1/K", 0, 40e-6},
	{"yield", func(m *Material) *Figure { return &m.Yield }, "Pa", 10e6, 4000e6},
	{"ultimate", func(m *Material) *Figure { return &m.Ultimate }, "Pa", 10e6, 4000e6},
	{"endurance", func(m *Material) *Figure { return &m.Endurance }, "Pa", 10e6, 2000e6},
	{"youngs-drift", func(m *Material) *Figure { return &m.YoungsDrift }, "1/K", -2e-3, 5e-4},
	{"shear-drift", func(m *Material) *Figure { return &m.ShearDrift }, "1/K", -2e-3, 5e-4},
}

// unit is what a header may state; the power of ten is applied to the decimal text, so that
// the figure is the nearest double to the one printed.
type unit struct {
	si    string
	power string
}

var units = map[string]unit{
	"GPa":    {"Pa", "e9"},
	"MPa":    {"Pa", "e6"},
	"1":      {"1", ""},
	"kg/m³":  {"kg/m³", ""},
	"ppm/K":  {"1/K", "e-6"},
	"%/100K": {"1/K", "e-4"},
}

// column is a column of figures: the property and its unit, and whether it holds the
// tolerance, in the property's SI unit or in per cent of the value.
type column struct {
	property  *property
	power     string
	tolerance bool
	percent   bool
}

// texts are the columns that are not figures; all must be there.
var texts = map[string]func(*Material) *string{
	"id":         func(m *Material) *string { return &m.ID },
	"name":       func(m *Material) *string { return &m.Name },
	"confidence": func(m *Material) *string { return &m.Confidence },
	"note":       func(m *Material) *string { return &m.Note },
}

// read joins a table of materials, whose header states the unit of every figure as
// `name [unit]` and of every tolerance as `name ± [unit]`, with a table of sources
// (material, figure, source). A figure without unit or source, a source without figure,
// and figures that contradict each other are errors.
func read(materials, sources io.Reader) ([]Material, error) {
	source, err := readSources(sources)
	if err != nil {
		return nil, err
	}
	r := csv.NewReader(materials)
	header, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("materials: header: %w", err)
	}
	columns := make([]*column, len(header))
	seen := map[string]bool{}
	for i, h := range header {
		if seen[h] {
			return nil, fmt.Errorf("materials: column %q stands twice", h)
		}
		seen[h] = true
		if texts[h] != nil {
			continue
		}
		if columns[i], err = readHeader(h); err != nil {
			return nil, err
		}
	}
	for h := range texts {
		if !seen[h] {
			return nil, fmt.Errorf("materials: no column %q", h)
		}
	}

	var all []Material
	ids := map[string]bool{}
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("materials: %w", err)
		}
		m, err := readRow(header, columns, row)
		if err != nil {
			return nil, fmt.Errorf("materials: %q: %w", row[0], err)
		}
		if ids[strings.ToLower(m.ID)] {
			return nil, fmt.Errorf("materials: id %q stands twice, capitals aside", m.ID)
		}
		ids[strings.ToLower(m.ID)] = true
		for _, p := range properties {
			f, key := p.of(&m), [2]string{m.ID, p.name}
			f.Source = source[key]
			delete(source, key)
			if f.Set && f.Source == "" {
				return nil, fmt.Errorf("sources: %s of %q has none", p.name, m.ID)
			}
			if !f.Set && f.Source != "" {
				return nil, fmt.Errorf("sources: %s of %q has a source but no figure", p.name, m.ID)
			}
		}
		shearTolerance(&m)
		if err := check(&m); err != nil {
			return nil, fmt.Errorf("materials: %q: %w", m.ID, err)
		}
		all = append(all, m)
	}
	for key := range source {
		return nil, fmt.Errorf("sources: there is no figure %q of %q", key[1], key[0])
	}
	return all, nil
}

func readSources(sources io.Reader) (map[[2]string]string, error) {
	rows, err := csv.NewReader(sources).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("sources: %w", err)
	}
	if len(rows) == 0 || strings.Join(rows[0], ",") != "material,figure,source" {
		return nil, fmt.Errorf("sources: the header must be material,figure,source")
	}
	source := map[[2]string]string{}
	for _, row := range rows[1:] {
		key := [2]string{row[0], row[1]}
		if source[key] != "" {
			return nil, fmt.Errorf("sources: %s of %q stands twice", row[1], row[0])
		}
		if strings.TrimSpace(row[2]) == "" {
			return nil, fmt.Errorf("sources: %s of %q is empty", row[1], row[0])
		}
		source[key] = row[2]
	}
	return source, nil
}

// readHeader reads `name [unit]` or `name ± [unit]`.
func readHeader(h string) (*column, error) {
	name, rest, ok := strings.Cut(h, " [")
	symbol, closed := strings.CutSuffix(rest, "]")
	if !ok || !closed || symbol == "" {
		return nil, fmt.Errorf("materials: column %q states no unit; write it as `name [unit]`", h)
	}
	var c column
	name, c.tolerance = strings.CutSuffix(name, " ±")
	for i := range properties {
		if properties[i].name == name {
			c.property = &properties[i]
		}
	}
	if c.property == nil {
		return nil, fmt.Errorf("materials: column %q is no property of a material", h)
	}
	if c.tolerance && symbol == "%" {
		c.percent = true
		return &c, nil
	}
	u, ok := units[symbol]
	if !ok || u.si != c.property.si {
		return nil, fmt.Errorf("materials: column %q: %q is no unit of %s", h, symbol, name)
	}
	c.power = u.power
	return &c, nil
}

func readRow(header []string, columns []*column, row []string) (Material, error) {
	var m Material
	for i, cell := range row {
		c := columns[i]
		if c == nil {
			*texts[header[i]](&m) = cell
			continue
		}
		if cell == "" {
			continue
		}
		if strings.Trim(cell, "+-.0123456789") != "" {
			return m, fmt.Errorf("%s: %q is not a plain decimal number", header[i], cell)
		}
		v, err := strconv.ParseFloat(cell+c.power, 64)
		if err != nil {
			return m, fmt.Errorf("%s: %q is not a plain decimal number", header[i], cell)
		}
		f := c.property.of(&m)
		switch {
		case !c.tolerance:
			f.Value, f.Set = v, true
		case !f.Set:
			return m, fmt.Errorf("%s: a tolerance without a value before it", header[i])
		case v <= 0:
			return m, fmt.Errorf("%s: a tolerance must be greater than zero; leave it empty when it is not known", header[i])
		case c.percent:
			f.Tolerance = math.Abs(f.Value) * v / 100
		default:
			f.Tolerance = v
		}
	}
	return m, nil
}

// shearTolerance gives a shear modulus that states no tolerance the one that
// follows from E and ν, taken as independent:
//
//	(U(G)/G)² = (U(E)/E)² + (U(ν)/(1+ν))²
//
// (JCGM 100:2008, 5.1.2, for G = E/(2(1+ν))).
func shearTolerance(m *Material) {
	if m.G.Set && m.G.Tolerance == 0 && m.E.Tolerance > 0 && m.Poisson.Tolerance > 0 {
		m.G.Tolerance = m.G.Value * math.Hypot(m.E.Tolerance/m.E.Value, m.Poisson.Tolerance/(1+m.Poisson.Value))
	}
}

// check refuses what cannot be a metal's set of figures.
func check(m *Material) error {
	if m.ID == "" || m.ID != strings.TrimSpace(m.ID) || m.Name == "" {
		return fmt.Errorf("id and name must not be empty, nor the id begin or end with a space")
	}
	if m.Confidence != "A" && m.Confidence != "B" && m.Confidence != "C" {
		return fmt.Errorf("confidence %q; it is A, B or C", m.Confidence)
	}
	if !m.E.Set || !m.Poisson.Set {
		return fmt.Errorf("youngs-modulus and poisson-ratio are required")
	}
	for _, p := range properties {
		f := p.of(m)
		if f.Set && !(f.Value >= p.min && f.Value <= p.max) {
			return fmt.Errorf("%s is %g %s, outside %g to %g", p.name, f.Value, p.si, p.min, p.max)
		}
		if f.Tolerance > math.Abs(f.Value) {
			return fmt.Errorf("%s: the tolerance is larger than the value", p.name)
		}
	}
	if isotropic := m.E.Value / (2 * (1 + m.Poisson.Value)); m.G.Set && math.Abs(m.G.Value/isotropic-1) > 0.005 {
		return fmt.Errorf("shear-modulus is %.4g GPa, more than 0.5 %% from E/2(1+ν), %.4g GPa", m.G.Value/1e9, isotropic/1e9)
	}
	if m.Yield.Set && m.Ultimate.Set && m.Yield.Value > m.Ultimate.Value {
		return fmt.Errorf("yield is above ultimate")
	}
	if m.Endurance.Set && m.Ultimate.Set && m.Endurance.Value > m.Ultimate.Value {
		return fmt.Errorf("endurance is above ultimate")
	}
	return nil
}
