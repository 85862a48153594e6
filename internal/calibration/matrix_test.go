package calibration

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/design"
)

type noise struct{ *rand.Rand }

func newNoise(seed uint64) noise { return noise{rand.New(rand.NewPCG(seed, 1))} }

func (n noise) normal() float64 { return n.NormFloat64() }

// loadCases exercise torque and bending, alone and together, with axial on some.
var loadCases = [][3]float64{ // axial, torque, bending-y
	{0, 500, 0}, {0, 1000, 0}, {0, -500, 0}, {0, 0, 200}, {0, 0, 400}, {0, 0, -200}, {0, 500, 200}, {0, 500, -200}, {5000, 0, 0}, {10000, 0, 0}, {5000, 500, 0}, {5000, 0, 200},
}

var truth = [][]float64{{1e-9, 2e-6, 3e-8}, {4e-9, -1e-8, 2.5e-6}} // V/V per N, N·m

// simulated are readings of the shaft by a function of the loads, with noise.
func simulated(d *design.Design, out func(b int, loads []float64) float64, sd float64, n noise) *Data {
	data := New(d)
	line := 2
	add := func(run int, loads []float64, s Stepping) {
		r := Reading{Line: line, Run: run, Stepping: s, Loads: loads, Kelvin: math.NaN(), Time: math.NaN(), Shunt: -1}
		for b := range d.Bridges {
			v := out(b, loads)
			if sd > 0 {
				v += sd * n.normal()
			}
			r.Outputs = append(r.Outputs, v)
		}
		data.Readings = append(data.Readings, r)
		line++
	}
	for run := 1; run <= 2; run++ {
		add(run, make([]float64, len(d.Loads)), AtZero)
		for _, c := range loadCases {
			loads := make([]float64, len(d.Loads))
			for j, l := range d.Loads {
				switch l.Component {
				case design.Axial:
					loads[j] = c[0]
				case design.Torque:
					loads[j] = c[1]
				case design.BendingY:
					loads[j] = c[2]
				}
			}
			add(run, loads, Up)
		}
	}
	return data
}

func linear(b int, loads []float64) float64 {
	v := 1e-5 * float64(b+1)
	for j, f := range loads {
		v += truth[b][j] * f
	}
	return v
}

// TestMatrixExact: readings without noise give the matrix, the inverse and the loads
// back, by every reduction of zeros.
func TestMatrixExact(t *testing.T) {
	d := shaft()
	for _, z := range []Zero{ZeroNone, ZeroInitial, ZeroMean} {
		r := evaluated(t, d, simulated(d, linear, 0, noise{}), Options{Zero: z, Degree: 1})
		for b, row := range truth {
			for j, want := range row {
				near(t, fmt.Sprintf("%s S[%d][%d]", z, b, j), r.Matrix.Sensitivity[b][j], want, 1e-9)
			}
		}
		for _, c := range r.Matrix.Recovery {
			if c.Readings == 0 {
				t.Fatal("no reading recovered")
			}
		}
		// axial is not measured, so 1e-5 and 4e-5 V/V of 10 kN are read as torque, by Cramer's rule
		want := (1e-5*2.5e-6 - 4e-5*3e-8) / (2e-6*2.5e-6 + 1e-8*3e-8) / 1000
		near(t, "largest error of torque, of rated", math.Abs(r.Matrix.Recovery[0].Largest), want, 1e-9)
	}
}

// TestMatrixCovariance: over 2000 simulated calibrations the entries of the matrix and the
// recovered loads scatter as their covariance says, within 5 standard deviations of
// such an estimate, and Student's interval of ν degrees holds the truth in 95 %.
func TestMatrixCovariance(t *testing.T) {
	for _, z := range []Zero{ZeroNone, ZeroInitial, ZeroMean} {
		t.Run(string(z), func(t *testing.T) { matrixCovariance(t, z) })
	}
}

func matrixCovariance(t *testing.T, z Zero) {
	d := shaft()
	const runs, sd = 2000, 2e-7
	random := newNoise(3)
	var sum, sumSq [2][3]float64
	var claimed [2][3]float64
	inside := 0
	var loadSq, loadClaim [2]float64
	where := []float64{1000, 300}
	for range runs {
		data := simulated(d, linear, sd, random)
		reduced, err := data.reduced(z)
		if err != nil {
			t.Fatal(err)
		}
		m, err := matrixOf(d, data, reduced, Options{Zero: z}, block{})
		if err != nil {
			t.Fatal(err)
		}
		for b := range 2 {
			for j := range 3 {
				e := m.Sensitivity[b][j] - truth[b][j]
				sum[b][j] += e
				sumSq[b][j] += e * e
				claimed[b][j] += m.Scatter[b][j] * m.Scatter[b][j]
			}
		}
		if m.Freedom[0] != 26-3-2 {
			t.Fatalf("%d degrees of freedom", m.Freedom[0])
		}
		if math.Abs(m.Sensitivity[0][1]-truth[0][1]) <= 2.0796*m.Scatter[0][1] { // t of 21 degrees, 95 %
			inside++
		}
		rec := m.recovery(d)
		out := []float64{linear(0, []float64{0, 1000, 300}) - 1e-5 + sd*random.normal(), linear(1, []float64{0, 1000, 300}) - 2e-5 + sd*random.normal()}
		loads, u := make([]float64, 2), make([]float64, 2)
		if err := rec.Loads(out, loads); err != nil {
			t.Fatal(err)
		}
		rec.Uncertain(loads, u)
		for q := range 2 {
			loadSq[q] += math.Pow(loads[q]-where[q], 2)
			loadClaim[q] += u[q] * u[q]
		}
	}
	five := 5 * math.Sqrt(2.0/runs)
	for b := range 2 {
		for j := range 3 {
			if q := sumSq[b][j] / claimed[b][j]; math.Abs(q-1) > five {
				t.Errorf("S[%d][%d] scatters by %.3f of its variance", b, j, q)
			}
			if mean := sum[b][j] / runs; math.Abs(mean) > 5*math.Sqrt(claimed[b][j])/runs {
				t.Errorf("S[%d][%d] is off by %g on average", b, j, mean)
			}
		}
	}
	for q := range 2 {
		if v := loadSq[q] / loadClaim[q]; math.Abs(v-1) > five {
			t.Errorf("load %d scatters by %.3f of its variance", q, v)
		}
	}
	if share := float64(inside) / runs; math.Abs(share-0.95) > 5*math.Sqrt(.95*.05/runs) {
		t.Errorf("%.3f of the intervals hold the truth", share)
	}
}

// TestCorrelatedBridges: noise that both bridges share correlates their entries.
func TestCorrelatedBridges(t *testing.T) {
	d := shaft()
	random := newNoise(11)
	var claimed, cross, first float64
	const runs = 1500
	for range runs {
		data := simulated(d, linear, 0, noise{})
		for i := range data.Readings {
			e := 1e-7 * random.normal()
			data.Readings[i].Outputs[0] += e + 0.5e-7*random.normal()
			data.Readings[i].Outputs[1] += e
		}
		reduced, _ := data.reduced(ZeroNone)
		m, err := matrixOf(d, data, reduced, Options{Zero: ZeroNone}, block{})
		if err != nil {
			t.Fatal(err)
		}
		claimed += m.Covariance[1][3+1]
		cross += (m.Sensitivity[0][1] - truth[0][1]) * (m.Sensitivity[1][1] - truth[1][1])
		first += m.Covariance[1][1]
	}
	if math.Abs(cross-claimed) > 0.15*first {
		t.Errorf("covariance %g, claimed %g", cross/runs, claimed/runs)
	}
	if claimed < 0.5*first {
		t.Errorf("claimed correlation %g", claimed/first)
	}
}

// TestSecondOrder: readings with products and squares give their coefficients, and the
// iteration gives the loads back exactly where the first order is off by percents.
func TestSecondOrder(t *testing.T) {
	d := shaft()
	d.Loads = d.Loads[1:] // torque and bending-y
	curved := func(b int, l []float64) float64 {
		v := truth[b][1]*l[0] + truth[b][2]*l[1]
		return v + []float64{3e-11, 2e-11}[b]*l[0]*l[0] + []float64{-4e-11, 5e-11}[b]*l[0]*l[1] + []float64{1e-10, -2e-10}[b]*l[1]*l[1]
	}
	keep := loadCases
	defer func() { loadCases = keep }()
	loadCases = slices.Concat(loadCases[:8], [][3]float64{{0, 250, 100}, {0, -1000, 400}, {0, 0, -400}, {0, 1000, 400}})
	r := evaluated(t, d, simulated(d, curved, 0, noise{}), Options{SecondOrder: true})
	for b := range 2 {
		for q, want := range [][]float64{{3e-11, -4e-11, 1e-10}, {2e-11, 5e-11, -2e-10}}[b] {
			near(t, fmt.Sprintf("C[%d][%d]", b, q), r.Matrix.Product[b][q], want, 1e-6)
		}
	}
	a, err := r.AsCalibrated()
	if err != nil {
		t.Fatal(err)
	}
	rec, err := a.Recovery()
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		want := []float64{rapid.Float64Range(-1000, 1000).Draw(t, "torque"), rapid.Float64Range(-400, 400).Draw(t, "bending")}
		got := make([]float64, 2)
		if err := rec.Loads([]float64{curved(0, want), curved(1, want)}, got); err != nil {
			t.Fatal(err)
		}
		for j := range want {
			if math.Abs(got[j]-want[j]) > 1e-5 {
				t.Fatalf("load %d is %g, want %g", j, got[j], want[j])
			}
		}
	})
	if err := rec.Loads([]float64{0.9, 0.9}, make([]float64, 2)); err == nil {
		t.Error("outputs a thousand times beyond the calibration give loads")
	}
}

// TestWeights: with more bridges than loads a noisy bridge counts less: the weighted
// inverse gives loads with the smaller scatter.
func TestWeights(t *testing.T) {
	d := only("T")
	d.Bridges = []design.Bridge{{Name: "T", Measures: design.Torque}, {Name: "T2", Measures: design.Torque}}
	random := newNoise(5)
	data := New(d)
	for i := range 40 {
		f := float64(i%10) * 100
		data.Readings = append(data.Readings, Reading{Line: i + 2, Run: 1, Stepping: Up, Loads: []float64{f}, Outputs: []float64{2e-6*f + 1e-7*random.normal(), 2e-6*f + 1e-5*random.normal()}, Kelvin: math.NaN(), Time: math.NaN(), Shunt: -1})
	}
	w := evaluated(t, d, data, Options{Zero: ZeroNone}).Matrix
	e := evaluated(t, d, data, Options{Zero: ZeroNone, EqualWeight: true}).Matrix
	if !(w.Inverse[0][0] > 100*w.Inverse[0][1]) || math.Abs(e.Inverse[0][0]/e.Inverse[0][1]-1) > 0.1 {
		t.Errorf("weighted %v, equal %v", w.Inverse[0], e.Inverse[0])
	}
	for _, m := range []*Matrix{w, e} {
		sum := 0.0
		for b := range 2 {
			sum += m.Inverse[0][b] * m.Sensitivity[b][0]
		}
		near(t, "D·S", sum, 1, 1e-12)
	}
}

// TestOutlierOfTheMatrix: a slipped reading of the bending bridge under torque, which
// only the matrix sees, is named.
func TestOutlierOfTheMatrix(t *testing.T) {
	d := shaft()
	data := simulated(d, linear, 1e-7, newNoise(6))
	data.Readings[2].Outputs[1] += 1e-5
	r := evaluated(t, d, data, Options{Zero: ZeroNone, Degree: 1})
	if len(r.Outliers) != 1 || r.Outliers[0].Line != data.Readings[2].Line || r.Outliers[0].Bridge != "By" || !r.Outliers[0].Matrix {
		t.Errorf("outliers %v", r.Outliers)
	}
	near(t, "t of 21 degrees", r.Matrix.CoverageFactor(0), 2.080, 3e-4) // any table of Student's t
}

// TestNothingMoves: a load to be rejected that nothing moves is left out with a note; one
// that a bridge measures is an error (testdata/broken).
func TestNothingMoves(t *testing.T) {
	d := shaft()
	data := simulated(d, linear, 0, noise{})
	for i := range data.Readings {
		r := &data.Readings[i]
		if r.Loads[0] != 0 {
			r.Outputs[0] -= truth[0][0] * r.Loads[0]
			r.Outputs[1] -= truth[1][0] * r.Loads[0]
			r.Loads[0] = 0
		}
	}
	r := evaluated(t, d, data, Options{})
	if len(r.Matrix.Components) != 2 || !strings.Contains(strings.Join(r.Notes, "\n"), "nothing in the data moves axial") {
		t.Errorf("components %v, notes %q", r.Matrix.Components, r.Notes)
	}
	near(t, "S", r.Matrix.Sensitivity[1][1], 2.5e-6, 1e-9)
}

// TestMatrixPermutation: the order of readings within a run does not matter to the matrix.
func TestMatrixPermutation(t *testing.T) {
	d := shaft()
	a := evaluated(t, d, simulated(d, linear, 1e-7, newNoise(2)), Options{Zero: ZeroNone})
	rapid.Check(t, func(t *rapid.T) {
		data := simulated(d, linear, 1e-7, newNoise(2))
		data.Readings = rapid.Permutation(data.Readings).Draw(t, "readings")
		b := evaluated(t, d, data, Options{Zero: ZeroNone})
		for k := range a.Matrix.Sensitivity {
			for j, want := range a.Matrix.Sensitivity[k] {
				if math.Abs(b.Matrix.Sensitivity[k][j]-want) > 1e-12*math.Abs(want)+1e-20 {
					t.Fatalf("S[%d][%d] = %g, want %g", k, j, b.Matrix.Sensitivity[k][j], want)
				}
			}
		}
	})
}

// TestBlankReadings: a bridge that was not read in some rows is fitted over its own, and
// rows of one bridge do not cost the other anything.
func TestBlankReadings(t *testing.T) {
	d := shaft()
	data := simulated(d, linear, 1e-7, newNoise(4))
	full := evaluated(t, d, data, Options{Zero: ZeroNone})
	for i := range data.Readings {
		if i%5 == 3 {
			data.Readings[i].Outputs[1] = math.NaN()
		}
	}
	r := evaluated(t, d, data, Options{Zero: ZeroNone})
	for j := range 3 {
		near(t, "bridge T", r.Matrix.Sensitivity[0][j], full.Matrix.Sensitivity[0][j], 1e-12)
	}
	if r.Matrix.Freedom[1] >= r.Matrix.Freedom[0] || math.Abs(r.Matrix.Sensitivity[1][2]-truth[1][2]) > 5*r.Matrix.Scatter[1][2] {
		t.Errorf("bridge By: ν %d, %g ± %g", r.Matrix.Freedom[1], r.Matrix.Sensitivity[1][2], r.Matrix.Scatter[1][2])
	}
	if err := covariance("covariance", r.Matrix.Covariance); err != nil {
		t.Error(err)
	}
}
