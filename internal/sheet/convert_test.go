package sheet

import (
	"math"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/predict"
	"gridwright/internal/quantity"
	"gridwright/internal/variant"
)

// TestRoundTrip: random designs written in either system of units and
// read again give the same figures to the last bit.
func TestRoundTrip(t *testing.T) { roundTrip(t, 60) }

func roundTrip(t *testing.T, designs int) {
	for seed := range uint64(designs) {
		text := randomDesign(seed)
		first := figuresOf(t, text)
		for _, sys := range []quantity.System{quantity.SI, quantity.US} {
			again, kept, err := variant.Convert("random.yaml", text, sys)
			if err != nil || len(kept) > 0 {
				t.Fatalf("seed %d: %v, kept %v\n%s", seed, err, kept, text)
			}
			sameFigures(t, seed, first, figuresOf(t, again))
		}
	}
}

// figuresOf reads and predicts a design's text.
func figuresOf(t *testing.T, text []byte) *predict.Result {
	t.Helper()
	d, err := designfile.Read("random.yaml", text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	r, err := predict.Of(d)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return r
}

func sameFigures(t *testing.T, seed uint64, a, b *predict.Result) {
	t.Helper()
	same := func(what string, x, y float64) {
		t.Helper()
		if math.Float64bits(x) != math.Float64bits(y) {
			t.Errorf("seed %d: %s is %v, was %v", seed, what, y, x)
		}
	}
	for i := range a.Grids {
		for j := range a.Grids[i].Along {
			same(a.Grids[i].Name, a.Grids[i].Along[j], b.Grids[i].Along[j])
		}
	}
	for i := range a.Bridges {
		x, y := &a.Bridges[i], &b.Bridges[i]
		for j := range x.Sensitivity {
			same(x.Name, x.Sensitivity[j], y.Sensitivity[j])
		}
		same(x.Name+" rated", x.Rated, y.Rated)
		same(x.Name+" zero", x.Balance.Worst, y.Balance.Worst)
		same(x.Name+" drift", x.Temperature.ZeroDrift.Value, y.Temperature.ZeroDrift.Value)
	}
	same("stress", a.Strength.VonMises, b.Strength.VonMises)
}
