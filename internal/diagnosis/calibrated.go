package diagnosis

import (
	"math"

	"gridwright/internal/calibration"
	"gridwright/internal/design"
)

// Calibrated is what a calibration found, as the diagnosis takes it: the matrix
// with the covariance of its scatter, zeros, shunts of the design that were read,
// and, common to a column, the relative uncertainty of standard and indicator.
func Calibrated(r *calibration.Result) Measured {
	d, m := r.Design, r.Matrix
	out := Measured{}
	if r.Kelvin.OK() {
		out.Kelvin = r.Kelvin.Value
	}
	common := math.Hypot(d.Calibration.StandardUncertainty.SI, d.Calibration.IndicatorUncertainty.SI)
	n := len(m.Components)
	for _, j := range m.Components {
		out.Components = append(out.Components, d.Loads[j].Component)
		out.LoadStandard = append(out.LoadStandard, common)
		out.Loads = append(out.Loads, extent(r.Data, j))
	}
	row := map[int]int{}
	for k, b := range m.Bridges {
		row[b] = k
	}
	for b := range d.Bridges {
		s, u, cov := make([]float64, n), make([]float64, n), [][]float64(nil)
		k, measured := row[b]
		for p := range s {
			s[p], u[p] = math.NaN(), math.NaN()
			if measured {
				s[p], u[p] = m.Sensitivity[k][p], m.Scatter[k][p]
			}
		}
		if measured {
			for p := range n {
				cov = append(cov, append([]float64(nil), m.Covariance[k*n+p][k*n:(k+1)*n]...))
			}
		}
		out.Sensitivity, out.Standard, out.Covariance = append(out.Sensitivity, s), append(out.Standard, u), append(out.Covariance, cov)
		out.Zero = append(out.Zero, readingOf(r.Zeros, b))
		var shunts []Reading
		for _, sh := range d.Shunts {
			one := Reading{}
			for q, taken := range r.Data.Shunts {
				if same(sh, taken) && b < len(r.Shunts) && q < len(r.Shunts[b]) {
					one = reading(r.Shunts[b][q])
				}
			}
			shunts = append(shunts, one)
		}
		out.Shunts = append(out.Shunts, shunts)
	}
	return out
}

// extent is the least and the greatest load applied.
func extent(d *calibration.Data, load int) [2]float64 {
	low, high := 0.0, 0.0
	for i := range d.Readings {
		f := d.Readings[i].Loads[load]
		low, high = math.Min(low, f), math.Max(high, f)
	}
	return [2]float64{low, high}
}

func same(a, b design.Shunt) bool {
	return a.Arm == b.Arm && a.AtInstrument == b.AtInstrument && math.Abs(a.Resistor.SI-b.Resistor.SI) <= 1e-9*a.Resistor.SI
}

func readingOf(all []calibration.Measured, b int) Reading {
	if b >= len(all) {
		return Reading{}
	}
	return reading(all[b])
}

func reading(m calibration.Measured) Reading {
	if m.Missing != "" || m.Readings == 0 {
		return Reading{}
	}
	out := Reading{Taken: true, Value: m.Value}
	if m.Standard.OK() {
		out.Standard = m.Standard.Value
	}
	return out
}
