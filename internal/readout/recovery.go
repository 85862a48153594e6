package readout

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Recovery is what turns the outputs of bridges into loads:
//
//	r_b = (V_b − zero_b − z_b(T)) / s_b(T)
//	F = D·[r − C·H(F)]
//
// V outputs, V/V; zero their rest; z and s drift of zero and ratio of span at the
// temperature T (K); D loads per V/V; C·H terms of second order in the loads. F is found
// by iteration from D·r (AIAA R-091-2003, the balance iteration; from memory).
//
// The standard uncertainty of a load is of first order (JCGM 100:2008, equation 13):
//
//	u²(F_i) = [J (D N Dᵀ + A + g gᵀ u²(T)) Jᵀ]_ii + (w_i F_i)² + c_i²
//	A_ij = rᵀ cov(D_i, D_j) r        J = [1 + D·C·H′(F)]⁻¹
//
// N covariance of readings and zero, over the spans; r without its terms of second order;
// g what a kelvin does to D·r; w, c a relative and a constant standard uncertainty.
type Recovery struct {
	Bridges    []string
	Components []Component
	D          [][]float64 // components × bridges, SI load per V/V

	// CovD is the covariance of the entries of D, row by row: entry (i, b) has index
	// i·bridges + b. CovS is, instead of it, that of the entries of the sensitivity matrix
	// that D is the inverse of, bridge by bridge: entry (b, j) has index b·components + j,
	// (V/V per SI load)²; δF = −D·δS·F. At most one of them is given.
	CovD, CovS [][]float64

	Noise   [][]float64 // covariance of the readings of one row, (V/V)²; nil: exact
	Zero    []float64   // output at rest, V/V; nil: 0
	CovZero [][]float64 // of Zero, (V/V)²; nil: exact

	Second []Term  // nil: linear
	Drift  []Drift // goes with Bridges; nil: temperature is not regarded

	KelvinStandard float64 // of the temperature, K
}

// Component is one load that is recovered.
type Component struct {
	Name      string
	Unit      string  // of the output
	Factor    float64 // of that unit in one SI unit
	Low, High float64 // calibrated range, SI; both 0: not known
	Relative  float64 // standard uncertainty in proportion to the load, such as of the standard used
	Constant  float64 // standard uncertainty beside it, SI
}

// Term is what a product of two loads adds to the outputs:
//
//	V_b += Coefficient_b · F_first · F_second
type Term struct {
	First, Second int       // indexes of Components
	Coefficient   []float64 // of each bridge, V/V per SI load squared
}

// Validate reports the first thing that makes no recovery.
func (r *Recovery) Validate() error {
	nb, nl := len(r.Bridges), len(r.Components)
	if nb == 0 || nl == 0 {
		return fmt.Errorf("a recovery needs at least one bridge and one load")
	}
	if nb < nl {
		return fmt.Errorf("%d bridges cannot tell %d loads apart; give as many bridges as loads", nb, nl)
	}
	seen := map[string]bool{}
	for _, b := range r.Bridges {
		if b == "" || seen[b] {
			return fmt.Errorf("bridge %q stands twice or has no name; give each its own", b)
		}
		seen[b] = true
	}
	for i := range r.Components {
		if err := r.Components[i].validate(); err != nil {
			return err
		}
	}
	if r.CovD != nil && r.CovS != nil {
		return fmt.Errorf("covariances of D and of S are both given; give one of them")
	}
	if err := matrix("D", r.D, nl, nb); err != nil {
		return err
	}
	for _, c := range []struct {
		name string
		m    [][]float64
		n    int
	}{{"CovD", r.CovD, nl * nb}, {"CovS", r.CovS, nl * nb}, {"Noise", r.Noise, nb}, {"CovZero", r.CovZero, nb}} {
		if c.m == nil {
			continue
		}
		if err := covariance(c.name, c.m, c.n); err != nil {
			return err
		}
	}
	if r.Zero != nil {
		if err := vector("Zero", r.Zero, nb); err != nil {
			return err
		}
	}
	for k, t := range r.Second {
		if t.First < 0 || t.First >= nl || t.Second < 0 || t.Second >= nl {
			return fmt.Errorf("term %d of second order names a load that is not there", k+1)
		}
		if err := vector(fmt.Sprintf("term %d of second order", k+1), t.Coefficient, nb); err != nil {
			return err
		}
	}
	if !(r.KelvinStandard >= 0) || math.IsInf(r.KelvinStandard, 0) {
		return fmt.Errorf("the standard uncertainty of the temperature is %g K; give one from 0", r.KelvinStandard)
	}
	if r.Drift != nil && len(r.Drift) != nb {
		return fmt.Errorf("%d drifts for %d bridges; give one for each", len(r.Drift), nb)
	}
	for b := range r.Drift {
		if err := r.Drift[b].validate(); err != nil {
			return fmt.Errorf("drift of bridge %s: %w", r.Bridges[b], err)
		}
	}
	return nil
}

func (c *Component) validate() error {
	switch {
	case c.Name == "":
		return fmt.Errorf("a load has no name")
	case !(c.Factor > 0) || math.IsInf(c.Factor, 0):
		return fmt.Errorf("%s: %g units in one SI unit; give a number above 0", c.Name, c.Factor)
	case !(c.Low <= c.High) || math.IsInf(c.Low, 0) || math.IsInf(c.High, 0):
		return fmt.Errorf("%s: the range from %g to %g does not ascend", c.Name, c.Low, c.High)
	case !(c.Relative >= 0) || !(c.Constant >= 0) || math.IsInf(c.Relative+c.Constant, 0):
		return fmt.Errorf("%s: a standard uncertainty is not a number from 0", c.Name)
	}
	return nil
}

func vector(name string, v []float64, n int) error {
	if len(v) != n {
		return fmt.Errorf("%s: %d numbers where %d belong", name, len(v), n)
	}
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("%s: a number is not finite", name)
		}
	}
	return nil
}

func matrix(name string, m [][]float64, rows, columns int) error {
	if len(m) != rows {
		return fmt.Errorf("%s: %d rows where %d belong", name, len(m), rows)
	}
	for i := range m {
		if err := vector(fmt.Sprintf("%s, row %d", name, i+1), m[i], columns); err != nil {
			return err
		}
	}
	return nil
}

// covariance checks that m is symmetric and, scaled to a matrix of correlations, has no
// eigenvalue below what rounding makes of 0.
func covariance(name string, m [][]float64, n int) error {
	if err := matrix(name, m, n, n); err != nil {
		return err
	}
	c := mat.NewSymDense(n, nil)
	for i := range n {
		if m[i][i] < 0 {
			return fmt.Errorf("%s: variance %d is negative", name, i+1)
		}
		for j := range i + 1 {
			u := math.Sqrt(m[i][i] * m[j][j])
			if math.Abs(m[i][j]-m[j][i]) > 1e-9*u || math.Abs(m[i][j]) > u*(1+1e-9) {
				return fmt.Errorf("%s: entries %d, %d are no covariance; the matrix must be symmetric, none greater than its variances allow", name, i+1, j+1)
			}
			if u > 0 {
				c.SetSym(i, j, m[i][j]/u)
			}
		}
	}
	var e mat.EigenSym
	if !e.Factorize(c, false) {
		return fmt.Errorf("%s: its eigenvalues did not converge", name)
	}
	if e.Values(nil)[0] < -1e-8*float64(n) {
		return fmt.Errorf("%s: it is no covariance matrix: some combination would have a negative variance", name)
	}
	return nil
}
