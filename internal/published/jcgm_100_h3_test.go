package published_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"gridwright/internal/calibration"
)

// Source: JCGM 100:2008, annex H.3, calibration of a thermometer by a straight line (data
// and results read in public copies of the example; further digits recomputed).

func TestGuideH3Thermometer(t *testing.T) {
	file, err := os.Open("testdata/jcgm_100_h3.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var x, y []float64
	for _, row := range rows[1:] {
		reading, err1 := strconv.ParseFloat(row[0], 64)
		correction, err2 := strconv.ParseFloat(row[1], 64)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		x, y = append(x, reading-20), append(y, correction)
	}
	p, err := calibration.FitPolynomial(x, y, 1, true)
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "y1, °C", p.Coefficients[0], -0.1712, 5e-5)
	printed(t, "s(y1), °C", p.SD[0], 0.0029, 5e-5)
	printed(t, "y2", p.Coefficients[1], 0.00218, 5e-6)
	printed(t, "s(y2)", p.SD[1], 0.00067, 5e-6)
	printed(t, "r(y1, y2)", p.Covariance[0][1]/(p.SD[0]*p.SD[1]), -0.930, 5e-4)
	printed(t, "s, °C", p.ResidualSD, 0.0035, 5e-5)
	printed(t, "degrees of freedom", float64(p.Freedom), 9, 0)
	printed(t, "b(30 °C), °C", p.At(10), -0.1494, 5e-5)
	printed(t, "uc(b(30 °C)), °C", p.Standard(10), 0.0041, 5e-5)
	printed(t, "uc(b(30 °C)), unrounded", p.Standard(10), 0.004138595753, 5e-13)
	printed(t, "y1, unrounded", p.Coefficients[0], -0.171203790131, 5e-13)
	printed(t, "y2, unrounded", p.Coefficients[1], 0.00218269773989, 5e-15)
	printed(t, "residual sum of squares", p.SumSquares, 1.10096583e-4, 5e-13)
}
