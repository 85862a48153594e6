package sheet

import (
	"math"
	"testing"

	"gridwright/internal/dossier"
	"gridwright/internal/quantity"
	"gridwright/internal/variant"
)

// TestRoundTrip: random designs written in either system of units and
// read again give the same figures to the last bit.
func TestRoundTrip(t *testing.T) { roundTrip(t, 60) }

func roundTrip(t *testing.T, designs int) {
	for seed := range uint64(designs) {
		text := randomDesign(seed)
		first := randomDossier(t, seed)
		for _, sys := range []quantity.System{quantity.SI, quantity.US} {
			again, kept, err := variant.Convert("random.yaml", text, sys)
			if err != nil || len(kept) > 0 {
				t.Fatalf("seed %d: %v, kept %v\n%s", seed, err, kept, text)
			}
			second := read(t, "random.yaml", again)
			sameFigures(t, seed, first, second)
		}
	}
}

func sameFigures(t *testing.T, seed uint64, a, b *dossier.Dossier) {
	t.Helper()
	same := func(what string, x, y float64) {
		t.Helper()
		if math.Float64bits(x) != math.Float64bits(y) {
			t.Errorf("seed %d: %s is %v, was %v", seed, what, y, x)
		}
	}
	for i := range a.Result.Grids {
		for j := range a.Result.Grids[i].Along {
			same(a.Result.Grids[i].Name, a.Result.Grids[i].Along[j], b.Result.Grids[i].Along[j])
		}
	}
	for i := range a.Result.Bridges {
		x, y := &a.Result.Bridges[i], &b.Result.Bridges[i]
		for j := range x.Sensitivity {
			same(x.Name, x.Sensitivity[j], y.Sensitivity[j])
		}
		same(x.Name+" rated", x.Rated, y.Rated)
		same(x.Name+" zero", x.Balance.Worst, y.Balance.Worst)
		same(x.Name+" drift", x.Temperature.ZeroDrift.Value, y.Temperature.ZeroDrift.Value)
	}
	same("stress", a.Result.Strength.VonMises, b.Result.Strength.VonMises)
}
