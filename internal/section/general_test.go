package section

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"gridwright/internal/design"
)

// general makes a section of a shape from the table.
func general(t testing.TB, shape string, counts []int, poisson float64, dims ...float64) Section {
	t.Helper()
	sh, ok := FindAny(shape)
	if !ok {
		t.Fatalf("no shape %s", shape)
	}
	s, err := sh.Make(false, counts)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Set(dims, poisson); err != nil {
		t.Fatal(err)
	}
	return s
}

type named struct {
	name string
	s    Section
}

// ofEveryShape is one section of each shape, none of it symmetric by chance.
func ofEveryShape(t testing.TB) []named {
	deg := math.Pi / 180
	return []named{
		{"rectangle", general(t, "rectangle", nil, 0.3, 0.040, 0.020, 0.002)},
		{"sharp rectangle", general(t, "rectangle", nil, 0.3, 0.040, 0.020, 0)},
		{"box", general(t, "box", nil, 0.3, 0.060, 0.040, 0.003, 0.006)},
		{"ellipse", general(t, "ellipse", nil, 0.3, 0.040, 0.025)},
		{"flatted-round", general(t, "flatted-round", []int{2}, 0.3, 0.040, 10*deg, 0.017, 190*deg, 0.016)},
		{"regular-polygon", general(t, "regular-polygon", nil, 0.3, 6, 0.036, 12*deg)},
		{"keyed-round", general(t, "keyed-round", nil, 0.3, 0.040, 0.012, 0.005, 100*deg, 0)},
		{"grooved-round", general(t, "grooved-round", nil, 0.3, 0.040, 0.004, 100*deg, 0.010)},
		{"polygon", general(t, "polygon", []int{6}, 0.3, 0, 0, 0.040, 0, 0.040, 0.010, 0.008, 0.010, 0.008, 0.050, 0, 0.050)},
	}
}

// The mean over a patch is the two-dimensional quadrature of the surface stress.
func TestMeanIsTheQuadratureOfTheGeneralSurface(t *testing.T) {
	for _, c := range ofEveryShape(t) {
		for _, alpha := range []float64{0, 0.3, math.Pi / 4, math.Pi / 2, -1.1} {
			face := c.s.Faces()[0]
			size := face.Length / 6
			p := Patch{Centre: c.s.OnFace(0, 0.1*face.Length), Station: 0.03, Length: size, Width: 0.7 * size}
			p.Sin, p.Cos = math.Sincos(alpha)
			if err := c.s.Within(&p); err != nil {
				t.Fatal(c.name, err)
			}
			var got, want, u Unit
			c.s.Mean(&p, &got)
			x, w := make([]float64, 16), make([]float64, 16)
			quad.Legendre{}.FixedLocations(x, w, -0.5, 0.5)
			for i, a := range x {
				for j, b := range x {
					a, b := a*p.Length, b*p.Width
					c.s.Surface(Coordinate{S: p.Centre.S + a*p.Sin + b*p.Cos}, p.Station+a*p.Cos-b*p.Sin, &u)
					for k := range u {
						want[k].Axial += w[i] * w[j] * u[k].Axial
						want[k].Shear += w[i] * w[j] * u[k].Shear
					}
				}
			}
			for k := range want {
				// relative to what the component does at its worst on this face
				scale := math.Abs(want[k].Axial) + math.Abs(want[k].Shear) + 1e-3*(1/c.s.Properties().Area)
				if d := math.Abs(got[k].Axial-want[k].Axial) + math.Abs(got[k].Shear-want[k].Shear); d > 2e-7*scale {
					t.Errorf("%s at %.3g rad, %v: mean %v, quadrature %v (%.2g)", c.name, alpha, design.Component(k), got[k], want[k], d/scale)
				}
			}
		}
	}
}

func TestGeneralMeanAllocatesNothing(t *testing.T) {
	for _, c := range ofEveryShape(t) {
		p := Patch{Centre: c.s.OnFace(0, 0), Station: 0.01, Sin: 0.6, Cos: 0.8, Length: 3e-3, Width: 2e-3, StandOff: 5e-5}
		var u Unit
		if n := testing.AllocsPerRun(50, func() { c.s.Mean(&p, &u) }); n != 0 {
			t.Errorf("%s: %g allocations", c.name, n)
		}
	}
}

// The mean over a patch is that of the means over its two halves, split along or
// across, to the last digits: more points would change nothing.
func TestMeanIsThatOfItsHalves(t *testing.T) {
	for _, c := range ofEveryShape(t) {
		props := c.s.Properties()
		faces := c.s.Faces()
		rapid.Check(t, func(t *rapid.T) {
			i := rapid.IntRange(0, len(faces)-1).Draw(t, "face")
			l := faces[i].Length
			p := Patch{Length: l * rapid.Float64Range(0.01, 0.4).Draw(t, "length"), Width: l * rapid.Float64Range(0.01, 0.4).Draw(t, "width"), Station: 0.03, StandOff: 5e-5}
			p.Sin, p.Cos = math.Sincos(rapid.Float64Range(-2, 2).Draw(t, "angle"))
			p.Centre = c.s.OnFace(i, l*rapid.Float64Range(-0.2, 0.2).Draw(t, "across"))
			var whole, a, b Unit
			c.s.Mean(&p, &whole)
			along := rapid.Bool().Draw(t, "along")
			for k, out := range []*Unit{&a, &b} {
				sign := float64(2*k - 1)
				h := p
				if along {
					h.Length /= 2
					h.Station += sign * h.Length / 2 * p.Cos
					h.Centre.S += sign * h.Length / 2 * p.Sin
				} else {
					h.Width /= 2
					h.Station -= sign * h.Width / 2 * p.Sin
					h.Centre.S += sign * h.Width / 2 * p.Cos
				}
				c.s.Mean(&h, out)
			}
			for k := range whole {
				scale := 1/props.Area + props.Depth/min(props.Iy, props.Iz, props.J)*0.1
				if d := math.Abs(whole[k].Axial-(a[k].Axial+b[k].Axial)/2) + math.Abs(whole[k].Shear-(a[k].Shear+b[k].Shear)/2); d > 1e-9*scale {
					t.Errorf("%s face %d, %v: %g of %g", c.name, i, design.Component(k), d, scale)
				}
			}
		})
	}
}

// The response that propagation uses against solving anew, on a box and a shaft
// with flats whose dimensions spread by about half a per cent; 200 solutions each are
// behind the build tag crosscheck.
func TestResponseFollowsTheSolution(t *testing.T) { followsTheSolution(t, 25) }

func followsTheSolution(t *testing.T, solutions int) {
	for _, c := range []struct {
		shape        string
		counts       []int
		dims, spread []float64
	}{
		{"box", nil, []float64{0.060, 0.040, 0.003, 0.006}, []float64{2e-4, 2e-4, 1e-4, 2e-4}},
		{"flatted-round", []int{2}, []float64{0.040, 0, 0.017, math.Pi, 0.017}, []float64{5e-5, 0, 1e-4, 0, 1e-4}},
	} {
		s := general(t, c.shape, c.counts, 0.29, c.dims...)
		worker, err := s.Propagate(c.spread)
		if err != nil {
			t.Fatal(err)
		}
		fast := worker()
		worst, worstJ, change := 0.0, 0.0, 0.0
		r := rand.New(rand.NewPCG(1, 2))
		var nominal Unit
		p := Patch{Centre: s.OnFace(0, 1e-3), Sin: math.Sqrt2 / 2, Cos: math.Sqrt2 / 2, Length: 6e-3, Width: 3e-3, Station: 0.02, StandOff: 5e-5}
		s.Mean(&p, &nominal)
		for range solutions {
			d := append([]float64(nil), c.dims...)
			for i := range d {
				d[i] += c.spread[i] * (2*r.Float64() - 1)
			}
			nu := 0.29 + 0.02*r.Float64()
			exact := general(t, c.shape, c.counts, nu, d...)
			if err := fast.Set(d, nu); err != nil {
				t.Fatal(err)
			}
			worstJ = max(worstJ, math.Abs(fast.Properties().J/exact.Properties().J-1))
			var a, b Unit
			fast.Mean(&p, &a)
			exact.Mean(&p, &b)
			for k := range a {
				if scale := math.Abs(b[k].Axial) + math.Abs(b[k].Shear); scale > 0 {
					worst = max(worst, (math.Abs(a[k].Axial-b[k].Axial)+math.Abs(a[k].Shear-b[k].Shear))/scale)
				}
			}
			change = max(change, math.Abs(b[design.Torque].Shear/nominal[design.Torque].Shear-1))
		}
		t.Logf("%s: torque stress moves %.2g; response off by %.2g, J by %.2g", c.shape, change, worst, worstJ)
		if worst > 2e-5 || worstJ > 2e-5 {
			t.Errorf("%s: the response is off by %g, J by %g", c.shape, worst, worstJ)
		}
	}
}

// Far from where it was made a response is not used.
func TestResponseStaysNear(t *testing.T) {
	dims := []float64{0.040, 0.020, 0}
	s := general(t, "rectangle", nil, 0.3, dims...)
	worker, err := s.Propagate([]float64{1e-4, 1e-4, 0})
	if err != nil {
		t.Fatal(err)
	}
	fast := worker()
	for _, d := range [][]float64{{0.044, 0.020, 0}, {0.040, 0.020, 0.003}, {0.0401, 0.020, 0}} {
		if err := fast.Set(d, 0.3); err != nil {
			t.Fatal(err)
		}
		exact := general(t, "rectangle", nil, 0.3, d...)
		near(t, "J", fast.Properties().J, exact.Properties().J, 1e-6)
		var a, b Unit
		fast.Surface(fast.OnFace(1, 2e-3), 0, &a)
		exact.Surface(exact.OnFace(1, 2e-3), 0, &b)
		near(t, "stress", a[design.Torque].Shear, b[design.Torque].Shear, 1e-4)
	}
	allocations := testing.AllocsPerRun(50, func() {
		if err := fast.Set(dims, 0.3); err != nil {
			t.Fatal(err)
		}
	})
	if allocations != 0 {
		t.Errorf("Set of a response makes %g allocations", allocations)
	}
}

func BenchmarkBoxMean(b *testing.B) {
	s := general(b, "box", nil, 0.3, 0.060, 0.040, 0.003, 0.006)
	p := Patch{Centre: s.OnFace(0, 0), Station: 0.01, Sin: math.Sqrt2 / 2, Cos: math.Sqrt2 / 2, Length: 3e-3, Width: 2e-3, StandOff: 5e-5}
	var u Unit
	b.ReportAllocs()
	for range b.N {
		s.Mean(&p, &u)
	}
}

// One trial of a propagation: new dimensions and the means of six grids.
func BenchmarkResponseTrial(b *testing.B) {
	dims := []float64{0.060, 0.040, 0.003, 0.006}
	s := general(b, "box", nil, 0.3, dims...)
	worker, err := s.Propagate([]float64{2e-4, 2e-4, 1e-4, 0})
	if err != nil {
		b.Fatal(err)
	}
	fast := worker()
	var u Unit
	b.ReportAllocs()
	for i := range b.N {
		d := [4]float64{0.060 + 1e-7*float64(i%1000), 0.040 + 1e-7*float64(i%777), 0.003 - 1e-7*float64(i%333), 0.006}
		if err := fast.Set(d[:], 0.3); err != nil {
			b.Fatal(err)
		}
		for k := range 6 {
			p := Patch{Centre: fast.OnFace(2*(k%2), 1e-3*float64(k)), Station: 0.01, Sin: math.Sqrt2 / 2, Cos: math.Sqrt2 / 2, Length: 3e-3, Width: 2e-3, StandOff: 5e-5}
			fast.Mean(&p, &u)
		}
	}
}
