package readout

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s = %.15g, want %.15g ± %g", what, got, want, tol)
	}
}

// inverse of a sensitivity matrix, by least squares when there are more bridges.
func inverse(t testing.TB, s [][]float64) [][]float64 {
	t.Helper()
	nb, nl := len(s), len(s[0])
	a, one := mat.NewDense(nb, nl, nil), mat.NewDense(nb, nb, nil)
	for b := range s {
		a.SetRow(b, s[b])
		one.Set(b, b, 1)
	}
	var p mat.Dense
	if err := p.Solve(a, one); err != nil {
		t.Fatal(err)
	}
	out := make([][]float64, nl)
	for i := range out {
		out[i] = append([]float64(nil), p.RawRowView(i)...)
	}
	return out
}

func recovery(t testing.TB, s [][]float64) *Recovery {
	r := &Recovery{D: inverse(t, s)}
	for b := range s {
		r.Bridges = append(r.Bridges, string(rune('P'+b)))
	}
	for i := range s[0] {
		r.Components = append(r.Components, Component{Name: string(rune('a' + i)), Unit: "N·m", Factor: 1})
	}
	return r
}

// A matrix of three bridges and its inverse, made up and inverted in exact rational
// arithmetic elsewhere: R = (0.760, 0.935, −0.4475) gives L = (0.499860563, 0.518049357,
// −0.499070312); with a fourth bridge the least-squares inverse has these entries.
func TestThreeComponents(t *testing.T) {
	s := [][]float64{{1.50, .012, -.008}, {.020, 1.80, .015}, {-.006, .009, .90}}
	load, _, err := recovery(t, s).Load([]float64{.760, .935, -.4475}, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{.499860563, .518049357, -.499070312} {
		near(t, "load", load[i], want, 0.5e-9)
	}
	four := recovery(t, append(s, []float64{.75, -.90, .010}))
	near(t, "D[0][3]", four.D[0][3], .225231872, 0.5e-9)
	for _, c := range []struct{ r, l []float64 }{
		{[]float64{.752, .9175, .4515, -.07}, []float64{.5, .5, .5}}, {[]float64{-.74, .8825, -.4425, -.83}, []float64{-.5, .5, -.5}},
	} {
		load, _, err = four.Load(c.r, 0)
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range c.l {
			near(t, "load", load[i], want, 1e-14)
		}
	}
}

// full is a recovery with everything in it; all invented. The loads are of some hundreds.
func full(t testing.TB) (*Recovery, [][]float64) {
	s := [][]float64{{1.0e-6, 2e-8}, {-1e-8, 2.1e-6}, {6e-7, -8e-7}}
	r := recovery(t, s)
	r.Zero = []float64{1e-5, -3e-5, 2e-6}
	r.Noise = [][]float64{{1e-16, 2e-17, 0}, {2e-17, 3e-16, 0}, {0, 0, 2e-16}}
	r.CovZero = [][]float64{{4e-16, 0, 0}, {0, 1e-16, 5e-17}, {0, 5e-17, 4e-16}}
	r.Second = []Term{{0, 0, []float64{2e-11, 0, -1e-11}}, {0, 1, []float64{-3e-11, 4e-11, 1e-11}}, {1, 1, []float64{0, 5e-11, 2e-11}}}
	r.Drift = []Drift{
		{Kelvin: []float64{263.15, 293.15, 333.15}, Zero: []float64{-4e-6, 0, 7e-6}, Span: []float64{.99, 1, 1.02}},
		{Kelvin: []float64{260, 293.15, 340}, Polynomial: []float64{0, 2e-7, 1e-9}, Reference: 293.15},
		{Kelvin: []float64{250, 350}, Span: []float64{1.01, .98}},
	}
	n := 6
	for i := range n {
		r.CovS = append(r.CovS, make([]float64, n))
		for j := range n {
			r.CovS[i][j] = 1e-19 / (1 + math.Abs(float64(i-j)))
		}
	}
	return r, s
}

// outputs are what the bridges give, by the forward model.
func outputs(r *Recovery, s [][]float64, load []float64, kelvin float64) []float64 {
	v := make([]float64, len(r.Bridges))
	for b := range v {
		for j, f := range load {
			v[b] += s[b][j] * f
		}
		for _, t := range r.Second {
			v[b] += t.Coefficient[b] * load[t.First] * load[t.Second]
		}
		if r.Drift != nil {
			z, _, span, _ := r.Drift[b].at(kelvin)
			v[b] = v[b]*span + z
		}
		if r.Zero != nil {
			v[b] += r.Zero[b]
		}
	}
	return v
}

func TestForwardAndBack(t *testing.T) {
	r, s := full(t)
	rapid.Check(t, func(t *rapid.T) {
		load := []float64{rapid.Float64Range(-1000, 1000).Draw(t, "a"), rapid.Float64Range(-500, 500).Draw(t, "b")}
		kelvin := rapid.Float64Range(263.15, 333.15).Draw(t, "T")
		got, _, err := r.Load(outputs(r, s, load, kelvin), kelvin)
		if err != nil {
			t.Fatal(err)
		}
		for i := range load {
			if math.Abs(got[i]-load[i]) > 1e-9 {
				t.Fatalf("load %d: %g for %g", i, got[i], load[i])
			}
		}
	})
}

// The uncertainty is that of Monte Carlo with everything drawn: readings, zero, the
// sensitivities and the temperature.
func TestUncertaintyIsThatOfMonteCarlo(t *testing.T) {
	r, s := full(t)
	r.KelvinStandard = 1.5
	r.Components[0].Constant, r.Components[1].Relative = 0.05, 1e-3
	kelvin := 311.0
	truth := []float64{900, -420}
	v := outputs(r, s, truth, kelvin)
	_, u, err := r.Load(v, kelvin)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(7, 8))
	draw := func(cov [][]float64) []float64 {
		n := len(cov)
		sym := mat.NewSymDense(n, nil)
		for i := range n {
			for j := range n {
				sym.SetSym(i, j, cov[i][j])
			}
		}
		var c mat.Cholesky
		if !c.Factorize(sym) {
			t.Fatal("no factor")
		}
		var l mat.TriDense
		c.LTo(&l)
		x := make([]float64, n)
		for k := range n {
			z := rng.NormFloat64()
			for i := range n {
				x[i] += l.At(i, k) * z
			}
		}
		return x
	}
	const trials = 20_000
	var sum, square [2]float64
	for range trials {
		q := *r
		q.CovS, q.CovZero, q.Noise = nil, nil, nil
		dS := draw(r.CovS)
		drawn := make([][]float64, len(s))
		for b := range s {
			drawn[b] = []float64{s[b][0] + dS[2*b], s[b][1] + dS[2*b+1]}
		}
		q.D = inverse(t, drawn)
		dv, dz := draw(r.Noise), draw(r.CovZero)
		x := append([]float64(nil), v...)
		for b := range x {
			x[b] += dv[b] + dz[b]
		}
		load, _, err := q.Load(x, kelvin+1.5*rng.NormFloat64())
		if err != nil {
			t.Fatal(err)
		}
		load[0] += 0.05 * rng.NormFloat64()
		load[1] *= 1 + 1e-3*rng.NormFloat64()
		for i := range load {
			sum[i] += load[i]
			square[i] += (load[i] - truth[i]) * (load[i] - truth[i])
		}
	}
	for i, f := range truth {
		m := sum[i]/trials - f
		sd := math.Sqrt(square[i]/trials - m*m)
		near(t, "u over that of Monte Carlo", u[i]/sd, 1, 0.025) // five standard errors of 20 000 trials
	}
}

// The uncertainty from one bridge's reading alone is |∂F/∂V|·u by central differences of the
// whole recovery, drift and second order included.
func TestUncertaintyOfOneReading(t *testing.T) {
	for b := range 3 {
		r, s := full(t)
		r.CovS, r.CovZero = nil, nil
		r.Second[1].Coefficient = []float64{-6e-10, 8e-10, 2e-10} // the product of both loads, large
		r.Noise = [][]float64{{0, 0, 0}, {0, 0, 0}, {0, 0, 0}}
		r.Noise[b][b] = 1e-14
		v := outputs(r, s, []float64{900, -420}, 311)
		_, u, err := r.Load(v, 311)
		if err != nil {
			t.Fatal(err)
		}
		const h = 1e-8
		v[b] += h
		up, _, err1 := r.Load(v, 311)
		v[b] -= 2 * h
		down, _, err2 := r.Load(v, 311)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		for i := range u {
			near(t, "u over the difference", u[i]/(math.Abs(up[i]-down[i])/(2*h)*1e-7), 1, 1e-6)
		}
	}
}

// δD = −D·δS·D for as many bridges as loads: the two ways to state the matrix's
// uncertainty are one.
func TestCovarianceOfMatrixOrInverse(t *testing.T) {
	s := [][]float64{{1e-6, 3e-8}, {-2e-8, 2e-6}}
	r := recovery(t, s)
	n := 4
	for i := range n {
		r.CovS = append(r.CovS, make([]float64, n))
		for j := range n {
			r.CovS[i][j] = 1e-19 / (1 + math.Abs(float64(i-j)))
		}
	}
	k := mat.NewDense(n, n, nil)
	for i := range 2 {
		for b := range 2 {
			for c := range 2 {
				for j := range 2 {
					k.Set(i*2+b, c*2+j, -r.D[i][c]*r.D[j][b])
				}
			}
		}
	}
	covS := mat.NewDense(n, n, nil)
	for i := range n {
		covS.SetRow(i, r.CovS[i])
	}
	var covD mat.Dense
	covD.Mul(k, covS)
	covD.Mul(&covD, k.T())
	q := *r
	q.CovS = nil
	for i := range n {
		q.CovD = append(q.CovD, append([]float64(nil), covD.RawRowView(i)...))
	}
	for i := range n { // rounding
		for j := range i {
			q.CovD[i][j] = q.CovD[j][i]
		}
	}
	v := []float64{7e-4, -3e-4}
	_, u1, err := r.Load(v, 0)
	if err != nil {
		t.Fatal(err)
	}
	_, u2, err := q.Load(v, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i := range u1 {
		near(t, "ratio", u2[i]/u1[i], 1, 1e-12)
	}
	if u1[0] == 0 {
		t.Error("nothing was compared")
	}
}

// Without drift and second order the short way and the general one are the same.
func TestShortWayIsTheGeneralOne(t *testing.T) {
	r := twoBridges()
	q := *r
	q.Second = []Term{{0, 0, []float64{0, 0}}}
	v := []float64{6e-4, -2e-4}
	f1, u1, err := r.Load(v, 0)
	if err != nil {
		t.Fatal(err)
	}
	f2, u2, err := q.Load(v, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i := range f1 {
		near(t, "load", f2[i]/f1[i], 1, 1e-14)
		near(t, "u", u2[i]/u1[i], 1, 1e-13)
	}
}

// A drift counted from another temperature: a matrix and a zero of that temperature with it
// give the same loads.
func TestDriftAboutAnotherTemperature(t *testing.T) {
	r, s := full(t)
	r.CovS = nil
	const at = 305.0
	q := *r
	q.Drift = make([]Drift, 3)
	q.Second = nil
	r.Second = nil
	warm := [][]float64{}
	q.Zero = append([]float64(nil), r.Zero...)
	for b := range 3 {
		z, _, span, _ := r.Drift[b].at(at)
		warm = append(warm, []float64{s[b][0] * span, s[b][1] * span})
		q.Zero[b] += z
		var err error
		if q.Drift[b], err = r.Drift[b].About(at); err != nil {
			t.Fatal(err)
		}
	}
	q.D = inverse(t, warm)
	v := outputs(r, s, []float64{500, 200}, 270)
	got, _, err := q.Load(v, 270)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "a", got[0], 500, 1e-9)
	near(t, "b", got[1], 200, 1e-9)
	if _, err := r.Drift[0].About(400); err == nil {
		t.Error("a drift that is not known")
	}
}

func TestNoLoadIsAnError(t *testing.T) {
	r, _ := full(t)
	if _, _, err := r.Load([]float64{0.9, 0.9, -0.9}, 293); err == nil {
		t.Error("second order converged at a thousand times the load")
	}
	if _, _, err := r.Load([]float64{1e-4, 0, 0}, 400); err == nil {
		t.Error("drift at 400 K")
	}
	if _, _, err := r.Load([]float64{1e-4, math.NaN(), 0}, 293); err == nil {
		t.Error("NaN")
	}
	big := recovery(t, [][]float64{{1}})
	big.D[0][0] = math.MaxFloat64
	if _, _, err := big.Load([]float64{1e3}, 0); err == nil {
		t.Error("Inf")
	}
}

func TestRecoveryIsChecked(t *testing.T) {
	for name, spoil := range map[string]func(r *Recovery){
		"no bridge":          func(r *Recovery) { r.Bridges = nil },
		"two of a name":      func(r *Recovery) { r.Bridges[1] = r.Bridges[0] },
		"too few bridges":    func(r *Recovery) { r.Bridges = r.Bridges[:1] },
		"D of a wrong size":  func(r *Recovery) { r.D = r.D[:1] },
		"D not finite":       func(r *Recovery) { r.D[0][0] = math.Inf(1) },
		"both covariances":   func(r *Recovery) { r.CovD = r.CovS },
		"no covariance":      func(r *Recovery) { r.Noise[0][1] = 1 },
		"negative variance":  func(r *Recovery) { r.Noise[0][0] = -1 },
		"indefinite":         func(r *Recovery) { r.Noise = [][]float64{{1, .9, .9}, {.9, 1, -.9}, {.9, -.9, 1}} },
		"short zero":         func(r *Recovery) { r.Zero = r.Zero[:1] },
		"term of no load":    func(r *Recovery) { r.Second[0].First = 5 },
		"term of wrong size": func(r *Recovery) { r.Second[0].Coefficient = nil },
		"drift missing":      func(r *Recovery) { r.Drift = r.Drift[:1] },
		"descending":         func(r *Recovery) { r.Drift[0].Kelvin[0] = 400 },
		"span of 0":          func(r *Recovery) { r.Drift[0].Span[1] = 0 },
		"table and formula":  func(r *Recovery) { r.Drift[0].Polynomial = []float64{1} },
		"factor of 0":        func(r *Recovery) { r.Components[0].Factor = 0 },
		"range":              func(r *Recovery) { r.Components[0].Low = 1 },
		"negative u":         func(r *Recovery) { r.KelvinStandard = -1 },
		"relative":           func(r *Recovery) { r.Components[0].Relative = math.NaN() },
	} {
		r, _ := full(t)
		if err := r.Validate(); err != nil {
			t.Fatal(err)
		}
		spoil(r)
		if err := r.Validate(); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}
