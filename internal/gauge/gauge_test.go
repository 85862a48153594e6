package gauge

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/section"
)

func near(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tol {
		t.Errorf("%s = %.15g, want %.15g ± %g", what, got, want, tol)
	}
}

func TestPositiveTorqueStretchesPlus45(t *testing.T) {
	s, c := math.Sincos(math.Pi / 4)
	_, shear := Elastic(section.Stress{Shear: 1}, 0.3, s, c)
	near(t, "along +45°", shear.Along, 0.5, 1e-15)
	near(t, "across +45°", shear.Across, -0.5, 1e-15)
}

// Strain along and across add to the invariant εx + εφ whatever the direction;
// across is along of the direction turned by 90°.
func TestInvariants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.Float64Range(-1, 1)
		st := section.Stress{Axial: u.Draw(t, "x"), Hoop: u.Draw(t, "φ"), Shear: u.Draw(t, "τ")}
		nu := rapid.Float64Range(0.01, 0.49).Draw(t, "ν")
		a := rapid.Float64Range(-4, 4).Draw(t, "α")
		s, c := math.Sincos(a)
		n, sh := Elastic(st, nu, s, c)
		if d := n.Along + n.Across - (1-nu)*(st.Axial+st.Hoop); math.Abs(d) > 1e-14 {
			t.Fatalf("trace off by %g", d)
		}
		s9, c9 := math.Sincos(a + math.Pi/2)
		n9, sh9 := Elastic(st, nu, s9, c9)
		if math.Abs(n9.Along-n.Across) > 1e-14 || math.Abs(sh9.Along-sh.Across) > 1e-14 {
			t.Fatal("across is not along turned by 90°")
		}
	})
}

// The definition itself: on the calibration beam (uniaxial stress, ν0) a grid
// along the stress reads F·ε whatever its transverse sensitivity.
func TestGaugeFactorOnTheCalibrationBeam(t *testing.T) {
	for _, kt := range []float64{-0.02, 0, 0.009, 0.05} {
		near(t, "ΔR/R", Response(2.08, kt, Strain{1e-3, -CalibrationPoisson * 1e-3}), 2.08e-3, 1e-16)
	}
}

func TestFoldDirection(t *testing.T) {
	for _, c := range []struct{ in, want float64 }{{0, 0}, {90, 90}, {-90, 90}, {135, -45}, {-135, 45}, {180, 0}, {-45, -45}, {450, 90}, {91, -89}} {
		near(t, "fold", FoldDirection(c.in*deg)/deg, c.want, 1e-9)
	}
}

func TestOffset(t *testing.T) {
	// At direction 0 the pattern's axis is +x and across is +φ; turned 90°
	// clockwise the axis is +φ and across is −x.
	dx, ds := Offset(1, 2, 0, 1)
	near(t, "dx", dx, 1, 0)
	near(t, "ds", ds, 2, 0)
	dx, ds = Offset(1, 2, 1, 0)
	near(t, "dx", dx, -2, 0)
	near(t, "ds", ds, 1, 0)
}

func TestFahrenheitPolynomialIsTheSameCurve(t *testing.T) {
	c := Output{Coefficients: [5]float64{-30.1, 2.45, -6.3e-2, 3.2e-4, -4.4e-7}, ForFactor: 2, ForExpansion: 11e-6}
	// the same polynomial re-expanded in °F: T = (F − 32)/1.8
	f := Output{Fahrenheit: true, ForFactor: 2, ForExpansion: 11e-6}
	pow := [5]float64{1}
	for k := 0; k < 5; k++ {
		for i := 0; i <= k; i++ {
			f.Coefficients[i] += c.Coefficients[k] * pow[i]
		}
		for i := 4; i >= 0; i-- { // multiply by (F − 32)/1.8
			v := pow[i] * (-32 / 1.8)
			if i > 0 {
				v += pow[i-1] / 1.8
			}
			pow[i] = v
		}
	}
	for k := 240.0; k < 400; k += 13 {
		near(t, "P(T)", f.Microstrain(k), c.Microstrain(k), 1e-9)
		near(t, "change", f.Change(k, 293.15, 2.08, 0.009, 12e-6), c.Change(k, 293.15, 2.08, 0.009, 12e-6), 1e-14)
	}
	near(t, "no change at the reference", c.Change(293.15, 293.15, 2.08, 0.01, 23e-6), 0, 0)
}

// Expansion mismatch on a grid without transverse sensitivity is F·Δα·ΔT; a
// polynomial stated for the part itself adds nothing.
func TestExpansionMismatch(t *testing.T) {
	o := Output{ForFactor: 2, ForExpansion: 11e-6}
	near(t, "mismatch", o.Change(303.15, 293.15, 2.1, 0, 23e-6), 2.1*12e-6*10, 1e-15)
	near(t, "biaxial", o.Change(303.15, 293.15, 2.1, 0.02, 23e-6), Response(2.1, 0.02, Strain{12e-5, 12e-5}), 1e-15)
}

// Table of an exact elastic cylinder layer (ν 0.35, αL 60, αS 11 ppm/K, h 50 µm),
// hoop grid, µε/K: the derived form stays within 3 % and has these values.
func TestCurvatureAgainstTheElasticLayer(t *testing.T) {
	for _, c := range []struct{ radius, exact, derived float64 }{{0.002, 2.48, 2.54}, {0.005, 1.007, 1.018}, {0.0125, 0.405, 0.407}, {0.025, 0.203, 0.204}} {
		e := Curvature(50e-6, 1/c.radius, 0.35, 60e-6, 11e-6, 1, 0)
		near(t, "hoop", e.Along*1e6, c.derived, 0.006)
		near(t, "against exact", e.Along*1e6/c.exact, 1, 0.03)
		if e.Across != 0 {
			t.Error("nothing along the part")
		}
	}
}

func TestRosettesStandInTheirDirections(t *testing.T) {
	p, ok := FindPattern("rectangular-rosette")
	if !ok || len(p.Directions) != 3 {
		t.Fatal("no rectangular rosette")
	}
	for i := 1; i < 3; i++ { // common practice
		near(t, "step", (p.Directions[i]-p.Directions[i-1])/deg, 45, 1e-12)
	}
	d, _ := FindPattern("delta-rosette")
	for i := 1; i < 3; i++ {
		near(t, "step", (d.Directions[i]-d.Directions[i-1])/deg, 60, 1e-12)
	}
	if _, ok := FindPattern("no-such"); ok {
		t.Error("found a pattern that does not exist")
	}
}
