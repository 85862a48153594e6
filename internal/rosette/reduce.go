package rosette

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"gridwright/internal/gauge"
)

// Grid is one grid of a rosette.
type Grid struct {
	Direction  float64 // from the part axis toward growing φ, rad
	Factor     float64 // gauge factor
	Transverse float64 // transverse sensitivity Kt, ratio
	Instrument float64 // gauge factor that the instrument was set to; 0: Factor
}

// row is what the grid indicates for a unit of εx, εφ and γ:
//
//	indicated = F/Fi·(εa + Kt εt)/(1 − ν0 Kt)
//	εa = εx cos²α + εφ sin²α + γ sin α cos α,  εt = εx sin²α + εφ cos²α − γ sin α cos α
//
// F gauge factor, Fi that of the instrument, ν0 = 0.285 (ASTM E251, OIML R 62).
func (g Grid) row() [3]float64 {
	set := g.Instrument
	if set == 0 {
		set = g.Factor
	}
	sin, cos := math.Sincos(g.Direction)
	k := gauge.Gain(g.Factor, g.Transverse) / set
	kt := g.Transverse
	return [3]float64{k * (cos*cos + kt*sin*sin), k * (sin*sin + kt*cos*cos), k * (1 - kt) * sin * cos}
}

// Indicated is what the grid indicates under a strain of the surface, m/m.
func (g Grid) Indicated(s Strain) float64 {
	r := g.row()
	return r[0]*s.X + r[1]*s.Phi + r[2]*s.Gamma
}

// along is the strain along the grid.
func (g Grid) along(s Strain) float64 {
	sin, cos := math.Sincos(g.Direction)
	return s.X*cos*cos + s.Phi*sin*sin + s.Gamma*sin*cos
}

// Strain of the surface in the part's axes, m/m; γxφ is the engineering shear strain.
type Strain struct{ X, Phi, Gamma float64 }

// Angle is an angle in (−π/2, π/2], or the reason why there is none.
type Angle struct {
	Value   float64 // rad
	Missing string  // "" when Value holds
}

// Reduction is what the readings of one rosette say of the surface.
type Reduction struct {
	Strain
	Corrected []float64 // along each grid, transverse sensitivity and gauge factor taken out, of the readings; m/m
	Residual  []float64 // reading less what Strain makes the grid indicate; all 0 with three grids

	Max, Min float64 // principal strains in the plane, m/m
	Shear    float64 // greatest shear strain in the plane, Max − Min
	FromGrid Angle   // of Max, from grid 1 toward grid 2
	FromAxis Angle   // of Max, from the part axis toward growing φ

	Stress Stress

	// Assumed says what the reduction had to take for granted: two grids at right angles
	// tell the principal strains only where they lie along them. "" when nothing.
	Assumed string
}

// Stress of the surface, Pa, for an isotropic material: the shear modulus is E/(2(1 + ν)),
// whatever else a design states.
type Stress struct {
	X, Phi, Tau     float64
	Max, Min        float64 // principal stresses in the plane
	Shear           float64 // greatest shear stress in the plane, (Max − Min)/2
	VonMises        float64
	GreatestShear   float64 // over all planes, the free surface's stress of 0 being the third
	Young, Poisson  float64 // that it was computed with
	ThicknessStrain float64 // −ν/(1−ν)·(εx + εφ), m/m
}

const rightAngles = "the principal strains are taken to lie along the two grids"

// Reduce finds strain and stress from the readings, m/m as indicated, one for each grid:
//
//	minimise Σ (indicated_k − reading_k)²  over  εx, εφ, γ
//	ε1,2 = (εx + εφ)/2 ± ½√((εx − εφ)² + γ²)       θ = ½ atan2(γ, εx − εφ)
//	σ1 = E/(1 − ν²)·(ε1 + ν ε2)                    τ = E/(2(1 + ν))·γ
//
// Transverse sensitivity is corrected exactly, by the linear system itself, with each grid's
// own F and Kt. With three grids the strain meets all readings; for rectangular and delta
// rosettes that is ASTM E1561. young E in Pa, poisson ν. Two grids at right angles are reduced
// with γ = 0 in their own axes, and Assumed says so. Fewer than three distinct directions
// otherwise, |Kt| of 0.5 or more, a gauge factor of 0, or ν outside 0 to 0.5 are errors.
func Reduce(grids []Grid, readings []float64, young, poisson float64) (*Reduction, error) {
	if err := validate(grids, readings, young, poisson); err != nil {
		return nil, err
	}
	out := &Reduction{}
	var err error
	if len(grids) == 2 {
		out.Assumed = rightAngles
		out.Strain, err = two(grids, readings)
	} else {
		out.Strain, err = least(grids, readings)
	}
	if err != nil {
		return nil, err
	}
	scale := 0.0
	for k, g := range grids {
		rest := readings[k] - g.Indicated(out.Strain)
		out.Residual = append(out.Residual, rest)
		// what is left over stays with the grid that has it
		out.Corrected = append(out.Corrected, g.along(out.Strain)+rest*instrument(g)/gauge.Gain(g.Factor, g.Transverse))
		scale = math.Max(scale, math.Abs(readings[k]))
	}
	out.principal(grids, scale)
	out.stress(young, poisson)
	return out, nil
}

func instrument(g Grid) float64 {
	if g.Instrument == 0 {
		return g.Factor
	}
	return g.Instrument
}

func validate(grids []Grid, readings []float64, young, poisson float64) error {
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	if len(grids) != len(readings) {
		return fmt.Errorf("%d readings for %d grids; give one of each grid", len(readings), len(grids))
	}
	for k, g := range grids {
		switch {
		case !finite(readings[k]):
			return fmt.Errorf("the reading of grid %d is not a finite number", k+1)
		case !finite(g.Direction):
			return fmt.Errorf("the direction of grid %d is not a finite number", k+1)
		case !finite(g.Factor) || g.Factor == 0 || !finite(g.Instrument):
			return fmt.Errorf("the gauge factor of grid %d is %g; give a number other than 0", k+1, g.Factor)
		case !(math.Abs(g.Transverse) < 0.5):
			return fmt.Errorf("the transverse sensitivity of grid %d is %g; give one within ±50 %%", k+1, g.Transverse)
		}
	}
	if !(young > 0) || !finite(young) || !(poisson > 0 && poisson < 0.5) {
		return fmt.Errorf("Young's modulus %g Pa, Poisson's ratio %g; give a modulus above 0 and a ratio between 0 and 0.5", young, poisson)
	}
	return nil
}

// two is a pair of grids at right angles: the strain along each, γ = 0 in their axes.
func two(grids []Grid, readings []float64) (Strain, error) {
	turn := math.Remainder(grids[1].Direction-grids[0].Direction, math.Pi)
	if math.Abs(math.Abs(turn)-math.Pi/2) > 1e-6 {
		return Strain{}, fmt.Errorf("two grids %.4g° apart do not tell the strain of a surface; it takes three directions, or two at right angles", math.Abs(turn)*180/math.Pi)
	}
	// in the axes of grid 1
	a := [2][3]float64{}
	for k := range a {
		g := grids[k]
		g.Direction = float64(k) * math.Pi / 2
		a[k] = g.row()
	}
	det := a[0][0]*a[1][1] - a[0][1]*a[1][0]
	if math.Abs(det) < 1e-12 {
		return Strain{}, fmt.Errorf("the transverse sensitivities leave the two strains undetermined")
	}
	e1 := (readings[0]*a[1][1] - readings[1]*a[0][1]) / det
	e2 := (readings[1]*a[0][0] - readings[0]*a[1][0]) / det
	sin, cos := math.Sincos(grids[0].Direction)
	return Strain{X: e1*cos*cos + e2*sin*sin, Phi: e1*sin*sin + e2*cos*cos, Gamma: 2 * (e1 - e2) * sin * cos}, nil
}

// least is the strain of least squares over all grids.
func least(grids []Grid, readings []float64) (Strain, error) {
	n := len(grids)
	if n < 3 {
		return Strain{}, fmt.Errorf("%d grid does not tell the strain of a surface; it takes three directions, or two at right angles", n)
	}
	a := mat.NewDense(n, 3, nil)
	for k, g := range grids {
		r := g.row()
		a.SetRow(k, r[:])
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return Strain{}, fmt.Errorf("the strain did not converge")
	}
	// directions one degree apart still give 1e-4
	if v := svd.Values(nil); v[2] < 1e-6*v[0] {
		return Strain{}, fmt.Errorf("the grids stand in fewer than three directions; it takes three")
	}
	var x mat.Dense
	svd.SolveTo(&x, mat.NewDense(n, 1, append([]float64(nil), readings...)), 3)
	return Strain{x.At(0, 0), x.At(1, 0), x.At(2, 0)}, nil
}

// principal fills the principal strains; scale is the greatest reading.
func (r *Reduction) principal(grids []Grid, scale float64) {
	mean, half := (r.X+r.Phi)/2, math.Hypot(r.X-r.Phi, r.Gamma)/2
	r.Max, r.Min, r.Shear = mean+half, mean-half, 2*half
	if half <= 1e-10*scale {
		const equal = "the principal strains are equal: every direction is one of them"
		r.FromGrid, r.FromAxis = Angle{Missing: equal}, Angle{Missing: equal}
		return
	}
	axis := math.Atan2(r.Gamma, r.X-r.Phi) / 2
	r.FromAxis.Value = gauge.FoldDirection(axis)
	r.FromGrid.Value = gauge.FoldDirection(sense(grids) * (axis - grids[0].Direction))
}

// sense is +1 where grid 2 lies clockwise of grid 1, by at most a right angle, else −1.
// Two at a right angle keep the sense in which their directions were written.
func sense(grids []Grid) float64 {
	d := grids[1].Direction - grids[0].Direction
	turn := math.Remainder(d, math.Pi)
	if math.Abs(turn) > math.Pi/2-1e-9 {
		turn = math.Remainder(d, 2*math.Pi)
	}
	if turn < 0 {
		return -1
	}
	return 1
}

func (r *Reduction) stress(young, poisson float64) {
	s := &r.Stress
	s.Young, s.Poisson = young, poisson
	k := young / (1 - poisson*poisson)
	s.X, s.Phi = k*(r.X+poisson*r.Phi), k*(r.Phi+poisson*r.X)
	s.Tau = young / (2 * (1 + poisson)) * r.Gamma
	s.Max, s.Min = k*(r.Max+poisson*r.Min), k*(r.Min+poisson*r.Max)
	s.Shear = (s.Max - s.Min) / 2
	s.VonMises = math.Sqrt(s.Max*s.Max - s.Max*s.Min + s.Min*s.Min)
	s.GreatestShear = math.Max(s.Shear, math.Max(math.Abs(s.Max), math.Abs(s.Min))/2)
	s.ThicknessStrain = -poisson / (1 - poisson) * (r.X + r.Phi)
}
