package published_test

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"gridwright/internal/calibration"
)

// Source: NIST/ITL Statistical Reference Datasets, linear regression (files as NIST ships
// them, certified values read from the files; NoInt2, Wampler1 and Wampler5 from memory,
// the data of the Wampler sets by their definition).

// strd is one data set: columns of the file, y first.
type strd struct {
	y         []float64
	x         [][]float64
	estimate  []float64
	sd        []float64
	residual  float64
	intercept bool
}

// numbers of a line, ok when all its words are.
func numbers(line string) (out []float64, ok bool) {
	for _, w := range strings.Fields(line) {
		v, err := strconv.ParseFloat(w, 64)
		if err != nil {
			return nil, false
		}
		out = append(out, v)
	}
	return out, len(out) > 0
}

// readSTRD takes certified values and data from a file of the collection.
func readSTRD(t *testing.T, name string) strd {
	t.Helper()
	file, err := os.Open("testdata/strd/" + name + ".dat")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var s strd
	data, deviation := false, false
	for sc := bufio.NewScanner(file); sc.Scan(); {
		line := strings.TrimSpace(sc.Text())
		words := strings.Fields(line)
		switch {
		case strings.HasPrefix(line, "Data:") && !strings.Contains(line, "lines"):
			data = len(s.estimate) > 0
		case data:
			if v, ok := numbers(line); ok {
				s.y, s.x = append(s.y, v[0]), append(s.x, v[1:])
			}
		case len(words) == 3 && words[0][0] == 'B':
			if v, ok := numbers(words[1] + " " + words[2]); ok {
				s.estimate, s.sd = append(s.estimate, v[0]), append(s.sd, v[1])
				s.intercept = s.intercept || words[0] == "B0"
			}
		case line == "Residual":
			deviation = true
		case deviation && strings.HasPrefix(line, "Standard Deviation"):
			s.residual, err = strconv.ParseFloat(words[2], 64)
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	if len(s.y) == 0 || len(s.estimate) == 0 || s.residual == 0 {
		t.Fatalf("%s: %d data, %d estimates, residual standard deviation %g", name, len(s.y), len(s.estimate), s.residual)
	}
	return s
}

// digits is the number of significant digits that agree: −log10 of the relative error,
// at most the 15 that are certified; of the error itself where the value is zero.
func digits(got, want float64) float64 {
	e := math.Abs(got - want)
	if want != 0 {
		e /= math.Abs(want)
	}
	if e < 1e-15 {
		return 15
	}
	return -math.Log10(e)
}

// atLeast fails where a list has fewer digits than floor, and logs the fewest.
func atLeast(t *testing.T, what string, got, want []float64, floor float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d values, want %d", what, len(got), len(want))
	}
	least := 15.0
	for i := range want {
		d := digits(got[i], want[i])
		least = math.Min(least, d)
		if !(d >= floor) {
			t.Errorf("%s[%d] = %.15g, certified %.15g: %.1f digits, want %g", what, i, got[i], want[i], d, floor)
		}
	}
	t.Logf("%s: %.1f digits", what, least)
}

func (s strd) column(i int) []float64 {
	var out []float64
	for _, row := range s.x {
		out = append(out, row[i])
	}
	return out
}

// polynomial fits and compares a set that is one.
func (s strd) polynomial(t *testing.T, degree int, floor float64) *calibration.Polynomial {
	t.Helper()
	p, err := calibration.FitPolynomial(s.column(0), s.y, degree, s.intercept)
	if err != nil {
		t.Fatal(err)
	}
	coefficients, sd := p.Coefficients, p.SD
	if !s.intercept {
		coefficients, sd = coefficients[1:], sd[1:]
	}
	atLeast(t, "coefficients", coefficients, s.estimate, floor)
	atLeast(t, "their standard deviations", sd, s.sd, floor)
	atLeast(t, "residual standard deviation", []float64{p.ResidualSD}, []float64{s.residual}, floor)
	return p
}

func TestStrdPontius(t *testing.T) {
	p := readSTRD(t, "Pontius").polynomial(t, 2, 12)
	printed(t, "readings", float64(p.Readings), 40, 0)
	atLeast(t, "residual sum of squares", []float64{p.SumSquares}, []float64{0.155761768796992e-05}, 12)
	// Lack of fit recomputed in rational arithmetic: F(17, 20) = 0.81072.
	printed(t, "lack of fit", p.LackOfFit.F, 0.81072, 5e-6)
	if p.LackOfFit.Freedom != [2]int{17, 20} || p.LackOfFit.Significant {
		t.Errorf("lack of fit %+v", p.LackOfFit)
	}
}

// The straight line through the same data, from the handbook's page on it: F(18, 20) =
// 214.7464 against 2.15, so that the line is rejected.
func TestStrdPontiusStraightLine(t *testing.T) {
	s := readSTRD(t, "Pontius")
	p, err := calibration.FitPolynomial(s.column(0), s.y, 1, true)
	if err != nil {
		t.Fatal(err)
	}
	// The page's own arithmetic carries six to seven digits; the second values are
	// recomputed in rational arithmetic.
	printed(t, "B0", p.Coefficients[0], 0.614969e-02, 1e-8)
	printed(t, "B0, exact", p.Coefficients[0], 0.006149684210526316, 1e-15)
	printed(t, "B1", p.Coefficients[1], 0.722103e-06, 5e-13)
	printed(t, "s", p.ResidualSD, 0.0021712694, 4e-9)
	printed(t, "s, exact", p.ResidualSD, 0.0021712725960567505, 1e-15)
	printed(t, "F", p.LackOfFit.F, 214.7464, 6e-4)
	printed(t, "F, exact", p.LackOfFit.F, 214.74692365390877, 1e-9)
	printed(t, "F(0.05)", p.LackOfFit.Limit, 2.15, 0.005)
	if !p.LackOfFit.Significant {
		t.Error("the line is not rejected")
	}
}

func TestStrdNorris(t *testing.T) { readSTRD(t, "Norris").polynomial(t, 1, 12) }

func TestStrdNoInt1(t *testing.T) { readSTRD(t, "NoInt1").polynomial(t, 1, 13) }

// Degree 10 of x from −9 to −3: the hardest of the collection for double precision.
func TestStrdFilip(t *testing.T) {
	s := readSTRD(t, "Filip")
	if len(s.y) != 82 || len(s.estimate) != 11 {
		t.Fatalf("%d data, %d estimates", len(s.y), len(s.estimate))
	}
	s.polynomial(t, 10, 12)
}

func TestStrdLongley(t *testing.T) {
	s := readSTRD(t, "Longley")
	r, err := calibration.Regress(s.x, s.y, true)
	if err != nil {
		t.Fatal(err)
	}
	atLeast(t, "coefficients", append([]float64{r.Constant}, r.Slopes...), s.estimate, 11)
	atLeast(t, "their standard deviations", append([]float64{r.ConstantSD}, r.SD...), s.sd, 11)
	atLeast(t, "residual standard deviation", []float64{r.ResidualSD}, []float64{s.residual}, 11)
}

func TestStrdNoInt2(t *testing.T) {
	strd{y: []float64{3, 4, 4}, x: [][]float64{{4}, {5}, {6}}, estimate: []float64{0.727272727272727}, sd: []float64{0.420827318078432e-01}, residual: 0.369274472937998}.polynomial(t, 1, 13)
}

// wampler is y = 1 + x + … + x⁵ at x = 0 … 20, plus size times a pattern that is
// orthogonal to all polynomials of degree 5 there.
func wampler(size float64) (x, y []float64) {
	pattern := []float64{759, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 1838, -2048, 2048, -2048, 1838, -2048, 2048, -2048, 2523, -2048, 2048, -2048, 759}
	for i, d := range pattern {
		v, p := float64(i), 1.0
		sum := 0.0
		for range 6 {
			sum += p
			p *= v
		}
		x, y = append(x, v), append(y, sum+size*d)
	}
	return x, y
}

// Certified: every coefficient 1 and no deviation.
func TestStrdWampler1(t *testing.T) {
	x, y := wampler(0)
	printed(t, "last y", y[20], 3368421, 0)
	p, err := calibration.FitPolynomial(x, y, 5, true)
	if err != nil {
		t.Fatal(err)
	}
	atLeast(t, "coefficients", p.Coefficients, []float64{1, 1, 1, 1, 1, 1}, 9)
	printed(t, "residual standard deviation over the largest y", p.ResidualSD/3368421, 0, 1e-14)
}

func TestStrdWampler5(t *testing.T) {
	x, y := wampler(10_000)
	printed(t, "first y", y[0], 7590001, 0)
	printed(t, "last y", y[20], 10958421, 0)
	p, err := calibration.FitPolynomial(x, y, 5, true)
	if err != nil {
		t.Fatal(err)
	}
	// coefficients 1 beside standard deviations of 1e3 to 2e7: 9 digits of 1 below
	// scatter of 2e7 are 1e-16 of it
	atLeast(t, "coefficients", p.Coefficients, []float64{1, 1, 1, 1, 1, 1}, 6)
	atLeast(t, "their standard deviations", p.SD, []float64{21523262.4678170, 23635517.3469681, 7793435.24331583, 1014755.07550350, 56456.6512170752, 1123.24854679312}, 13)
	atLeast(t, "residual standard deviation", []float64{p.ResidualSD}, []float64{23601450.2379268}, 13)
}
