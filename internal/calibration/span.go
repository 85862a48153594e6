package calibration

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"gridwright/internal/design"
)

// choose the components: every load that moves; a measured one must.
func (m *Matrix) choose(d *design.Design, data *Data, rows []int) error {
	targets := map[design.Component]string{}
	for _, b := range m.Bridges {
		targets[d.Bridges[b].Measures] = d.Bridges[b].Name
	}
	var problems []error
	for j, l := range d.Loads {
		moves := false
		for _, i := range rows {
			moves = moves || data.Readings[i].Loads[j] != 0
		}
		bridge, isTarget := targets[l.Component]
		switch {
		case moves:
			if l.Measure {
				m.Measured = append(m.Measured, len(m.Components))
			}
			m.Components = append(m.Components, j)
		case isTarget && !data.HasLoad[j]:
			problems = append(problems, fmt.Errorf("%s: bridge %s measures %v, but no column gives that load; add %v [%s]", data.File, bridge, l.Component, l.Component, l.Component.Kind().SIUnit()))
		case isTarget:
			problems = append(problems, fmt.Errorf("%s: nothing in the data moves %v, which bridge %s measures; add readings with that load, or leave the bridge's column out", data.File, l.Component, bridge))
		case l.Measure:
			m.Orientation = append(m.Orientation, fmt.Sprintf("nothing in the data moves %v, and no bridge in them measures it: it is not in the matrix", l.Component))
		case data.HasLoad[j]:
			m.Orientation = append(m.Orientation, fmt.Sprintf("nothing in the data moves %v: what it does to the bridges was not measured", l.Component))
		}
	}
	return errors.Join(problems...)
}

// span refuses readings whose loads depend on each other.
func (m *Matrix) span(d *design.Design, data *Data, rows, groups []int) error {
	x, scale := m.columns(data, rows)
	y := make([]float64, len(rows))
	means, _ := groupMeans(x, y, groups, len(m.Components))
	a := mat.NewDense(len(rows), len(m.Components), nil)
	for i := range x {
		for j, v := range x[i] {
			if g := means[groups[i]]; g != nil {
				v -= g[j]
			}
			a.Set(i, j, v/scale[j])
		}
	}
	if len(rows) < len(m.Components) {
		return fmt.Errorf("%s: %s for %s; take at least one for each load, better three", data.File, count(len(rows), "reading"), count(len(m.Components), "load"))
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThinV) {
		return fmt.Errorf("%s: the loads of the readings could not be analysed", data.File)
	}
	values := svd.Values(nil)
	last := len(values) - 1
	if values[0] > 0 && values[last] > sharp*values[0] {
		if values[last] < 1e-2*values[0] {
			m.Orientation = append(m.Orientation, "the readings barely tell the loads apart: "+m.together(d, &svd, last)+" nearly moved together")
		}
		return nil
	}
	var v mat.Dense
	svd.VTo(&v)
	return fmt.Errorf("%s: the readings do not tell the loads apart: %s; add readings in which they differ", data.File, m.dependence(d, &v, last, scale))
}

// columns are the loads of the rows, and the greatest magnitude of each.
func (m *Matrix) columns(data *Data, rows []int) (x [][]float64, scale []float64) {
	scale = make([]float64, len(m.Components))
	for _, i := range rows {
		row := make([]float64, len(m.Components))
		for k, j := range m.Components {
			row[k] = data.Readings[i].Loads[j]
			scale[k] = math.Max(scale[k], math.Abs(row[k]))
		}
		x = append(x, row)
	}
	return x, scale
}

func (m *Matrix) together(d *design.Design, svd *mat.SVD, k int) string {
	var v mat.Dense
	svd.VTo(&v)
	names, _ := m.involved(d, &v, k)
	return list(names)
}

// involved are the loads of the null vector that count.
func (m *Matrix) involved(d *design.Design, v *mat.Dense, k int) (names []string, which []int) {
	largest := 0.0
	for j := range m.Components {
		largest = math.Max(largest, math.Abs(v.At(j, k)))
	}
	for j, c := range m.Components {
		if math.Abs(v.At(j, k)) > 0.05*largest {
			names, which = append(names, d.Loads[c].Component.String()), append(which, j)
		}
	}
	return names, which
}

// dependence says in words which combination of loads the readings leave open: the
// null vector v of the scaled loads, Σ v_j F_j/scale_j = 0.
func (m *Matrix) dependence(d *design.Design, v *mat.Dense, k int, scale []float64) string {
	names, which := m.involved(d, v, k)
	unit := func(j int) string { return d.Loads[m.Components[j]].Component.Kind().SIUnit() }
	first := which[0]
	factor := func(j int) float64 { return -(v.At(j, k) / scale[j]) / (v.At(first, k) / scale[first]) }
	switch len(which) {
	case 1:
		return fmt.Sprintf("within the runs nothing moves %s", names[0])
	case 2:
		b := which[1]
		return fmt.Sprintf("%s and %s always moved together (%.6g %s of %s for each %s of %s)", names[0], names[1], 1/factor(b), unit(b), names[1], unit(first), names[0])
	}
	s := fmt.Sprintf("%s always moved together, %s (%s) as", list(names), names[0], unit(first))
	for q, j := range which[1:] {
		sign := " +"
		if f := factor(j); f < 0 {
			sign = " −"
		} else if q == 0 {
			sign = ""
		}
		s += fmt.Sprintf("%s %.6g × %s (%s)", sign, math.Abs(factor(j)), names[q+1], unit(j))
	}
	return s
}

func list(names []string) string {
	switch len(names) {
	case 0:
		return ""
	case 1:
		return names[0]
	}
	s := names[0]
	for _, n := range names[1 : len(names)-1] {
		s += ", " + n
	}
	return s + " and " + names[len(names)-1]
}
