package readout

import (
	"fmt"
	"math"
)

// solver is a Recovery made ready for rows; it does not change and serves all workers.
type solver struct {
	r      *Recovery
	nb, nl int
	d      []float64 // loads × bridges
	zero   []float64
	noise  []float64 // bridges × bridges: of readings and zero
	still  []float64 // (D·N·Dᵀ)_ii + c_i² with spans of 1
	form   []float64 // [i][j] bridges × bridges: cov(D_i, D_j)
	inert  bool      // form is all 0
	simple bool      // no drift and nothing of second order
}

// scratch is what one worker needs for a row.
type scratch struct {
	v      []float64 // outputs as read, V/V
	kelvin float64
	load   []float64
	u      []float64

	r, span, grow, shift []float64
	base, jacobian       []float64
	next, zero, slope    []float64
}

func (s *solver) scratch() *scratch {
	f := func(n int) []float64 { return make([]float64, n) }
	return &scratch{
		v: f(s.nb), load: f(s.nl), u: f(s.nl), r: f(s.nb), span: f(s.nb), grow: f(s.nb), shift: f(s.nl),
		base: f(s.nl * s.nl), jacobian: f(2 * s.nl * s.nl), next: f(s.nl), zero: f(s.nb), slope: f(s.nb),
	}
}

// newSolver takes the zero in use and its covariance beside the recovery's.
func newSolver(r *Recovery, zero []float64, covZero [][]float64) *solver {
	nb, nl := len(r.Bridges), len(r.Components)
	s := &solver{
		r: r, nb: nb, nl: nl, d: make([]float64, nl*nb), zero: make([]float64, nb), noise: make([]float64, nb*nb),
		still: make([]float64, nl), form: make([]float64, nl*nl*nb*nb), inert: r.CovD == nil && r.CovS == nil,
		simple: r.Drift == nil && r.Second == nil,
	}
	for i, row := range r.D {
		copy(s.d[i*nb:], row)
	}
	copy(s.zero, zero)
	for b := range nb {
		for c := range nb {
			if r.Noise != nil {
				s.noise[b*nb+c] += r.Noise[b][c]
			}
			if covZero != nil {
				s.noise[b*nb+c] += covZero[b][c]
			}
		}
	}
	for i := range nl {
		s.still[i] = r.Components[i].Constant * r.Components[i].Constant
		for b := range nb {
			for c := range nb {
				s.still[i] += s.d[i*nb+b] * s.noise[b*nb+c] * s.d[i*nb+c]
			}
		}
		for j := range nl {
			s.formOf(i, j, s.form[(i*nl+j)*nb*nb:][:nb*nb])
		}
	}
	return s
}

// formOf fills q with cov(D_i, D_j): that of the recovery, or with M_kl = Σ D_ib D_jc
// cov(S_bk, S_cl) that of δF = −D·δS·F at F = D·r, DᵀMD.
func (s *solver) formOf(i, j int, q []float64) {
	nb, nl := s.nb, s.nl
	if s.r.CovD != nil {
		for b := range nb {
			for c := range nb {
				q[b*nb+c] = s.r.CovD[i*nb+b][j*nb+c]
			}
		}
		return
	}
	if s.r.CovS == nil {
		return
	}
	m := make([]float64, nl*nl)
	for k := range nl {
		for l := range nl {
			for b := range nb {
				for c := range nb {
					m[k*nl+l] += s.d[i*nb+b] * s.d[j*nb+c] * s.r.CovS[b*nl+k][c*nl+l]
				}
			}
		}
	}
	for b := range nb {
		for c := range nb {
			for k := range nl {
				for l := range nl {
					q[b*nb+c] += s.d[k*nb+b] * m[k*nl+l] * s.d[l*nb+c]
				}
			}
		}
	}
}

// solve turns w.v and w.kelvin into w.load and w.u, SI. The answer tells why there is
// none, "" when there is.
func (s *solver) solve(w *scratch) string {
	nb, nl := s.nb, s.nl
	if !s.simple {
		return s.solveGeneral(w)
	}
	for b := range nb {
		w.r[b] = w.v[b] - s.zero[b]
	}
	r := w.r
	for i := range nl {
		f := 0.0
		for b, x := range r {
			f += s.d[i*nb+b] * x
		}
		u2 := s.still[i]
		if !s.inert {
			u2 += quadratic(s.form[(i*nl+i)*nb*nb:][:nb*nb], r)
		}
		rel := s.r.Components[i].Relative * f
		w.load[i], w.u[i] = f, math.Sqrt(u2+rel*rel)
	}
	return w.finite()
}

func quadratic(q, r []float64) float64 {
	n, sum := len(r), 0.0
	for b := range n {
		t := 0.0
		for c := range n {
			t += q[b*n+c] * r[c]
		}
		sum += r[b] * t
	}
	return math.Max(sum, 0) // a variance of 0 may come out at −1e-20
}

func (w *scratch) finite() string {
	for i, f := range w.load {
		if math.IsNaN(f-f) || math.IsNaN(w.u[i]-w.u[i]) {
			return "the load that follows is beyond the range of numbers"
		}
	}
	return ""
}

const (
	iterations  = 100
	convergence = 1e-13
)

func (s *solver) solveGeneral(w *scratch) string {
	nb, nl := s.nb, s.nl
	for b := range nb {
		w.zero[b], w.slope[b], w.span[b], w.grow[b] = 0, 0, 1, 0
		if s.r.Drift != nil {
			w.zero[b], w.slope[b], w.span[b], w.grow[b] = s.r.Drift[b].at(w.kelvin)
		}
		w.r[b] = (w.v[b] - s.zero[b] - w.zero[b]) / w.span[b]
		// what a kelvin does to r, before the terms of second order take their part
		w.slope[b] = -(w.slope[b] + w.r[b]*w.grow[b]) / w.span[b]
	}
	s.times(w.r, w.load)
	if s.r.Second != nil {
		if !s.iterate(w) {
			return "the terms of second order do not converge: the outputs lie far beyond the calibrated loads"
		}
	}
	s.times(w.slope, w.shift)
	for i := range nl {
		for j := range nl {
			sum := w.shift[i] * w.shift[j] * s.r.KelvinStandard * s.r.KelvinStandard
			for b := range nb {
				for c := range nb {
					sum += s.d[i*nb+b] * s.d[j*nb+c] * s.noise[b*nb+c] / (w.span[b] * w.span[c])
				}
			}
			if !s.inert {
				q := s.form[(i*nl+j)*nb*nb:][:nb*nb]
				for b := range nb {
					for c := range nb {
						sum += q[b*nb+c] * w.r[b] * w.r[c]
					}
				}
			}
			w.base[i*nl+j] = sum
		}
	}
	if s.r.Second != nil && !s.jacobian(w) {
		return "the terms of second order leave the loads undetermined here"
	}
	for i := range nl {
		c := &s.r.Components[i]
		rel := c.Relative * w.load[i]
		w.u[i] = math.Sqrt(math.Max(w.base[i*nl+i], 0) + c.Constant*c.Constant + rel*rel)
	}
	return w.finite()
}

// times is out = D·r.
func (s *solver) times(r, out []float64) {
	for i := range out {
		sum := 0.0
		for b, x := range r {
			sum += s.d[i*s.nb+b] * x
		}
		out[i] = sum
	}
}

// iterate solves F = D·[r − C·H(F)] from F = D·r and leaves r − C·H(F) in w.r. It has
// converged when a step is rounding of the greatest of the loads so far, each in terms of
// its own output.
func (s *solver) iterate(w *scratch) bool {
	nb := s.nb
	var r [16]float64
	outputs := r[:0]
	outputs = append(outputs, w.r...)
	for range iterations {
		copy(w.r, outputs)
		for k := range s.r.Second {
			t := &s.r.Second[k]
			h := w.load[t.First] * w.load[t.Second]
			for b := range nb {
				w.r[b] -= t.Coefficient[b] * h
			}
		}
		s.times(w.r, w.next)
		still := true
		for i, f := range w.next {
			size := 0.0
			for b := range nb {
				size += math.Abs(s.d[i*nb+b] * w.r[b])
			}
			if !(math.Abs(f-w.load[i]) <= convergence*size) {
				still = false
			}
		}
		copy(w.load, w.next)
		if still {
			return true
		}
	}
	return false
}

// jacobian puts J·base·Jᵀ into w.base, J = [1 + D·C·H′(F)]⁻¹.
func (s *solver) jacobian(w *scratch) bool {
	nb, n := s.nb, s.nl
	a, x := w.jacobian[:n*n], w.jacobian[n*n:]
	for side := range 2 { // J·base, then its transpose: base is symmetric
		clear(a)
		for i := range n {
			a[i*n+i] = 1
		}
		for k := range s.r.Second {
			t := &s.r.Second[k]
			for i := range n {
				dc := 0.0
				for b := range nb {
					dc += s.d[i*nb+b] * t.Coefficient[b]
				}
				a[i*n+t.First] += dc * w.load[t.Second]
				a[i*n+t.Second] += dc * w.load[t.First]
			}
		}
		copy(x, w.base)
		if side == 1 {
			for i := range n {
				for j := range n {
					x[i*n+j] = w.base[j*n+i]
				}
			}
		}
		if !eliminate(a, x, n) {
			return false
		}
		copy(w.base, x)
	}
	return true
}

// eliminate replaces x by a⁻¹·x, with partial pivoting; all are n×n. The second time a
// is J⁻¹ again and x the transpose of J·base, so that J·base·Jᵀ comes out.
func eliminate(a, x []float64, n int) bool {
	for k := range n {
		p := k
		for i := k + 1; i < n; i++ {
			if math.Abs(a[i*n+k]) > math.Abs(a[p*n+k]) {
				p = i
			}
		}
		if !(math.Abs(a[p*n+k]) > 1e-12) {
			return false
		}
		for j := range n {
			a[k*n+j], a[p*n+j] = a[p*n+j], a[k*n+j]
			x[k*n+j], x[p*n+j] = x[p*n+j], x[k*n+j]
		}
		for i := range n {
			if i == k {
				continue
			}
			f := a[i*n+k] / a[k*n+k]
			for j := range n {
				a[i*n+j] -= f * a[k*n+j]
				x[i*n+j] -= f * x[k*n+j]
			}
		}
	}
	for k := range n {
		for j := range n {
			x[k*n+j] /= a[k*n+k]
		}
	}
	return true
}

// Load turns one reading into loads and their standard uncertainties, SI. kelvin is
// used only where the recovery has a drift. A reading that gives no load is an error.
func (r *Recovery) Load(outputs []float64, kelvin float64) (load, standard []float64, err error) {
	if err := r.Validate(); err != nil {
		return nil, nil, err
	}
	if err := vector("the outputs", outputs, len(r.Bridges)); err != nil {
		return nil, nil, err
	}
	if r.Drift != nil {
		if low, high := r.kelvinRange(); !(kelvin >= low && kelvin <= high) {
			return nil, nil, fmt.Errorf("the drift is not known at %g K, only from %g to %g K", kelvin, low, high)
		}
	}
	s := newSolver(r, r.Zero, r.CovZero)
	w := s.scratch()
	copy(w.v, outputs)
	w.kelvin = kelvin
	if why := s.solve(w); why != "" {
		return nil, nil, fmt.Errorf("%s", why)
	}
	return w.load, w.u, nil
}
