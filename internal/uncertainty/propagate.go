package uncertainty

import (
	"errors"
	"fmt"
	"math"
)

// Propagation is a measurement model y = f(x) with the distributions of its inputs.
type Propagation struct {
	Inputs []Quantity

	// Correlation of the inputs' estimates; nil when they are independent.
	Correlation [][]float64

	Outputs int

	// Magnitude says of which outputs |y| is wanted: Monte Carlo summarises |y|, the
	// first order remains that of y. nil: of none.
	Magnitude []bool

	// New returns the model for one worker: it fills y with f(x) and keeps neither.
	// Models of different workers run at the same time. An error says that x makes no
	// sense, such as a bore drawn larger than the outside.
	New func() (func(x, y []float64) error, error)
}

func (p *Propagation) validate() error {
	if p.Outputs < 1 || p.New == nil {
		return errors.New("a propagation needs a model with at least one output")
	}
	for i, q := range p.Inputs {
		if err := q.validate(); err != nil {
			return fmt.Errorf("input %d: %w", i, err)
		}
	}
	if p.Correlation == nil {
		return nil
	}
	n := len(p.Inputs)
	if len(p.Correlation) != n {
		return fmt.Errorf("the correlation matrix has %d rows for %d inputs", len(p.Correlation), n)
	}
	for i, row := range p.Correlation {
		if len(row) != n {
			return fmt.Errorf("row %d of the correlation matrix has %d columns for %d inputs", i, len(row), n)
		}
		for j, r := range row {
			if i == j && r != 1 || !(r >= -1 && r <= 1) || r != p.Correlation[j][i] {
				return fmt.Errorf("correlation %d, %d is %g; the matrix must be symmetric, from -1 to 1, with 1 on its diagonal", i, j, r)
			}
		}
	}
	return nil
}

func (p *Propagation) estimates() []float64 {
	x := make([]float64, len(p.Inputs))
	for i, q := range p.Inputs {
		x[i] = q.Estimate
	}
	return x
}

// magnitude says whether |y| is wanted of output k.
func (p *Propagation) magnitude(k int) bool { return p.Magnitude != nil && p.Magnitude[k] }

// FirstOrder is the law of propagation of uncertainty.
type FirstOrder struct {
	Value       []float64   // f at the estimates
	Coefficient [][]float64 // ∂y/∂x: outputs × inputs
	Standard    []float64   // of each output
	Covariance  [][]float64 // outputs × outputs
	Freedom     []float64   // effective degrees of freedom; +Inf when no input has finite ones
}

// FirstOrder propagates by the first derivatives at the estimates,
//
//	u²(y) = ΣΣ c_i c_j u_i u_j r_ij,   c_i = ∂f/∂x_i,   cov(y_k, y_l) likewise
//	ν_eff = u⁴(y) / Σ (c_i u_i)⁴/ν_i
//
// (JCGM 100:2008, equations 10, 13 and G.2b; the last for independent inputs, and NaN-free:
// +Inf otherwise). The derivatives are central differences of fourth order with steps
// of u/16 and u/8, so that they are exact to about 1e-9 for any model that is smooth
// within its uncertainties. An input without width has coefficient 0.
func (p *Propagation) FirstOrder() (*FirstOrder, error) {
	if err := p.validate(); err != nil {
		return nil, err
	}
	f, err := p.New()
	if err != nil {
		return nil, err
	}
	x := p.estimates()
	n, outs := len(x), p.Outputs
	out := &FirstOrder{Value: make([]float64, outs), Standard: make([]float64, outs), Freedom: make([]float64, outs)}
	if err := evaluate(f, x, out.Value); err != nil {
		return nil, err
	}
	for range outs {
		out.Coefficient = append(out.Coefficient, make([]float64, n))
		out.Covariance = append(out.Covariance, make([]float64, outs))
	}
	y := make([]float64, outs)
	u := make([]float64, n)
	for i, q := range p.Inputs {
		u[i] = q.Standard()
		if u[i] == 0 {
			continue
		}
		h := u[i] / 16
		for _, term := range [4]struct{ at, weight float64 }{{-2, 1}, {-1, -8}, {1, 8}, {2, -1}} {
			x[i] = q.Estimate + term.at*h
			if err := evaluate(f, x, y); err != nil {
				return nil, fmt.Errorf("%s near its estimate: %w", q.Name, err)
			}
			for k := range y {
				// the difference from the estimate's value first: it is small
				out.Coefficient[k][i] += term.weight * (y[k] - out.Value[k]) / (12 * h)
			}
		}
		x[i] = q.Estimate
	}
	for k := range outs {
		for l := range outs {
			sum := 0.0
			for i := range u {
				if p.Correlation == nil {
					sum += out.Coefficient[k][i] * out.Coefficient[l][i] * u[i] * u[i]
					continue
				}
				for j := range u {
					sum += out.Coefficient[k][i] * out.Coefficient[l][j] * u[i] * u[j] * p.Correlation[i][j]
				}
			}
			out.Covariance[k][l] = sum
		}
		out.Standard[k] = math.Sqrt(math.Max(0, out.Covariance[k][k]))
		out.Freedom[k] = p.freedom(out.Coefficient[k], u, out.Standard[k])
	}
	return out, nil
}

// freedom is the Welch–Satterthwaite formula.
func (p *Propagation) freedom(c, u []float64, standard float64) float64 {
	sum := 0.0
	for i, q := range p.Inputs {
		if q.Freedom > 0 {
			sum += math.Pow(c[i]*u[i], 4) / q.Freedom
		}
	}
	if sum == 0 || p.Correlation != nil {
		return math.Inf(1)
	}
	return math.Pow(standard, 4) / sum
}

// SecondOrder is the standard uncertainty of each output with the terms of next order,
//
//	u²(y) = Σ c_i² u_i² + ΣΣ [½ f_ij² + f_i f_ijj] u_i² u_j²
//
// for independent inputs that are normally distributed (JCGM 100:2008, 5.1.2, note).
// The derivatives are central differences with steps of u/8.
func (p *Propagation) SecondOrder() ([]float64, error) {
	if p.Correlation != nil {
		return nil, errors.New("the terms of second order hold for independent inputs; these are correlated")
	}
	first, err := p.FirstOrder()
	if err != nil {
		return nil, err
	}
	f, err := p.New()
	if err != nil {
		return nil, err
	}
	x := p.estimates()
	variance := make([]float64, p.Outputs)
	for k, u := range first.Standard {
		variance[k] = u * u
	}
	y := make([]float64, p.Outputs)
	for i := range p.Inputs {
		for j := range p.Inputs {
			ui, uj := p.Inputs[i].Standard(), p.Inputs[j].Standard()
			if ui == 0 || uj == 0 {
				continue
			}
			second := make([]float64, p.Outputs) // f_ij u_i u_j/64
			third := make([]float64, p.Outputs)  // f_ijj u_i u_j²/512
			add := func(a, b, s, t float64) error {
				x[i] += a * ui / 8
				x[j] += b * uj / 8
				err := evaluate(f, x, y)
				for k := range y {
					second[k] += s * (y[k] - first.Value[k])
					third[k] += t * (y[k] - first.Value[k])
				}
				x[i], x[j] = p.Inputs[i].Estimate, p.Inputs[j].Estimate
				return err
			}
			var terms [][4]float64
			if i == j {
				terms = [][4]float64{{2, 0, 0, 0.5}, {1, 0, 1, -1}, {-1, 0, 1, 1}, {-2, 0, 0, -0.5}}
			} else {
				terms = [][4]float64{{1, 1, 0.25, 0.5}, {-1, 1, -0.25, -0.5}, {1, -1, -0.25, 0.5}, {-1, -1, 0.25, -0.5}, {1, 0, 0, -1}, {-1, 0, 0, 1}}
			}
			for _, t := range terms {
				if err := add(t[0], t[1], t[2], t[3]); err != nil {
					return nil, fmt.Errorf("%s and %s within their uncertainty: %w", p.Inputs[i].Name, p.Inputs[j].Name, err)
				}
			}
			for k := range variance {
				f2, f3 := 64*second[k], 512*third[k]
				variance[k] += 0.5*f2*f2 + first.Coefficient[k][i]*ui*f3
			}
		}
	}
	for k, v := range variance {
		variance[k] = math.Sqrt(math.Max(0, v))
	}
	return variance, nil
}

// evaluate calls the model and refuses what is not finite.
func evaluate(f func(x, y []float64) error, x, y []float64) error {
	if err := f(x, y); err != nil {
		return err
	}
	for k, v := range y {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("output %d has no finite value", k)
		}
	}
	return nil
}
