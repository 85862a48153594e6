package diagnosis

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/model"
)

// parse reads the text of a design.
func parse(t testing.TB, text string) *design.Design {
	t.Helper()
	d, err := designfile.Read("design.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return d
}

// arrangements are placements and bridges of common practice, with %s for a tilt of the
// angles around the part.
var arrangements = []struct{ loads, placements, bridges string }{
	{"torque: {rated: %T, use: measure}",
		"A: {gauge: P, around: 0°}, B: {gauge: P, around: 180°}",
		"T: {measures: torque, arms: [A2, A1, B2, B1]}"},
	{"torque: {rated: %T, use: measure}, bending-y: {rated: %M, use: measure}, bending-z: {rated: %M}, axial: {rated: %N}",
		"A: {gauge: R, around: 90°}, B: {gauge: R, around: 270°}",
		"T: {measures: torque, arms: [A3, A1, B3, B1]}, By: {measures: bending-y, arms: [A2, B2, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %]}"},
	{"axial: {rated: %N, use: measure}, bending-y: {rated: %M}, bending-z: {rated: %M}",
		"A: {gauge: Q, around: 0°}, B: {gauge: Q, around: 180°}",
		"N: {measures: axial, arms: [A1, A2, B1, B2]}"},
	{"torque: {rated: %T, use: measure}, bending-y: {rated: %M, use: measure}, bending-z: {rated: %M, use: measure}, axial: {rated: %N}",
		"A: {gauge: P, around: 45°}, B: {gauge: P, around: 225°}, C: {gauge: S, around: 90°, station: 12 mm}, D: {gauge: S, around: 270°, station: 12 mm}, E: {gauge: S, around: 90°, station: -12 mm}, F: {gauge: S, around: 270°, station: -12 mm}, G: {gauge: R, around: 0°}, H: {gauge: R, around: 180°}",
		"T: {measures: torque, arms: [A2, A1, B2, B1]}, By: {measures: bending-y, arms: [C1, D1, E1, F1]}, Bz: {measures: bending-z, arms: [H2, G2, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %]}"},
	{"bending-y: {rated: %M, use: measure}, axial: {rated: %N, use: measure}, torque: {rated: %T}, shear-z: {rated: %V}",
		"A: {gauge: Q, around: 90°, station: 20 mm}, B: {gauge: Q, around: 270°, station: 20 mm}, C: {gauge: Q, around: 0°}, D: {gauge: Q, around: 180°}",
		"By: {measures: bending-y, arms: [A1, B1, A2, B2]}, N: {measures: axial, arms: [C1, C2, D1, D2]}"},
	{"torque: {rated: %T, use: measure}, bending-y: {rated: %M, use: measure}, axial: {rated: %N, use: measure}, bending-z: {rated: %M}",
		"A: {gauge: R, around: 90°}, B: {gauge: R, around: 270°}",
		"Q1: {measures: torque, arms: [A3, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %]}, Q2: {measures: axial, arms: [A2, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %]}, Q3: {measures: bending-y, arms: [350 Ω ± 0.02 %, B2, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %]}"},
	{"torque: {rated: %T, use: measure}, axial: {rated: %N, use: measure}, bending-y: {rated: %M}, bending-z: {rated: %M}",
		"A: {gauge: P, around: 90°}, B: {gauge: P, around: 210°, station: 5 mm}, C: {gauge: Q, around: 330°}",
		"H1: {measures: torque, arms: [A2, A1, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %]}, H2: {measures: torque, arms: [B2, B1, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %]}, N: {measures: axial, arms: [C1, C2, 350 Ω ± 0.02 %, 350 Ω ± 0.02 %]}"},
}

// randomDesign is an invented shaft or tube with tolerances of every kind, loaded to a
// few hundred microstrain.
func randomDesign(g *rand.Rand) string {
	real := func(lo, hi float64) float64 { return lo + (hi-lo)*g.Float64() }
	d := real(18, 80)
	section := fmt.Sprintf("{shape: round, outside-diameter: %.3f mm ± %.3f mm}", d, d*real(2e-4, 2e-3))
	b, a := d/2e3, 0.0
	if g.IntN(2) == 0 {
		inside := d * real(0.4, 0.85)
		a = inside / 2e3
		section = fmt.Sprintf("{shape: round-tube, outside-diameter: %.3f mm ± %.3f mm, inside-diameter: %.3f mm ± %.3f mm (k=2)}", d, d*real(2e-4, 2e-3), inside, d*real(2e-4, 2e-3))
	}
	i := math.Pi * (math.Pow(b, 4) - math.Pow(a, 4)) / 4
	moment := real(200, 600) * 1e-6 * 205e9 * i / b
	torque := real(200, 600) * 1e-6 * 79e9 * 2 * 2 * i / b
	axial := real(100, 500) * 1e-6 * 205e9 * math.Pi * (b*b - a*a)
	use := arrangements[g.IntN(len(arrangements))]
	loads := strings.NewReplacer("%T", fmt.Sprintf("%.1f N·m", torque), "%M", fmt.Sprintf("%.1f N·m", moment), "%N", fmt.Sprintf("%.0f N", axial), "%V", fmt.Sprintf("%.0f N", moment/0.3)).Replace(use.loads)
	shunt := [...]string{"", "shunt: [{resistor: 100 kΩ, arm: 1, at: part}]\n", "shunt: [{resistor: 60 kΩ, arm: 2, at: instrument}]\n"}[g.IntN(3)]
	leads := [...]string{"", "leads: {wires: 4, each: 0.8 Ω ± 0.1 Ω}\n", "leads: {wires: 6, each: 0.8 Ω}\n"}[g.IntN(3)]
	common := fmt.Sprintf("resistance: 350 Ω ± %.2f %%, gauge-factor-scatter: %.2f %%, transverse-sensitivity: 0.8 %% ± 0.3 %%, stand-off: 0.05 mm ± 0.02 mm", real(0.1, 0.3), real(0.05, 0.3))
	return fmt.Sprintf(`gridwright: 1
title: random
part: {material: {youngs-modulus: 205 GPa ± %.2f %% (k=2), poisson-ratio: 0.29 ± %.4f}, section: %s}
loads: {%s}
gauges:
  R: {pattern: rectangular-rosette, grid: {length: 2 mm, width: 1.5 mm}, gauge-factor: 2.08 ± %.2f %%, centres: [[0 mm, -2 mm], [0 mm, 0 mm], [0 mm, 2 mm]], %s}
  P: {pattern: shear-pair, grid: {length: 2 mm, width: 1.5 mm}, gauge-factor: 2.05 ± %.2f %%, %s}
  Q: {pattern: tee, grid: {length: 2 mm, width: 1.5 mm}, gauge-factor: 2.11 ± %.2f %%, %s}
  S: {pattern: single, grid: {length: 3 mm, width: 1.5 mm}, gauge-factor: 2.12 ± %.2f %%, %s}
placements: {%s}
placement-tolerance: {station: 0.5 mm, around: %.2f°, direction: %.2f°}
bridges: {%s}
%s%s`, real(0.5, 3), real(0.002, 0.01), section, loads, real(0.3, 1), common, real(0.3, 1), common, real(0.3, 1), common, real(0.3, 1), common,
		use.placements, real(0.3, 1.5), real(0.3, 1.5), use.bridges, leads, shunt)
}

// truth is a part as it was really made and calibrated: a fault put into the design
// itself or into what was written down, by other code than the package's causes.
type truth struct {
	id    string // of the cause that the package should find
	other string // of a cause that is the same thing in other words
	angle bool   // θ is an angle
	theta float64

	d      *design.Design
	inputs func(m *model.Model, x []float64)   // of the true part
	read   func(m *model.Model, s *simulated)  // what is done to the readings
	input  func(m *model.Model) (int, float64) // whose whole deviation is θ, and nominal
}

// simulated is what an ideal instrument would read of the true part.
type simulated struct {
	matrix [][]float64 // all components of the design
	zero   []float64
	shunts [][]float64
	across [][][4]float64 // the same with each shunt across any arm
}

// simulate reads the part at inputs x: slopes over the loads of a calibration from the
// exact network.
func simulate(t testing.TB, m *model.Model, x []float64) *simulated {
	t.Helper()
	s := m.NewState()
	if err := m.Set(x, s); err != nil {
		t.Fatal(err)
	}
	out := &simulated{}
	rest := model.At(m.Design.Temperature.Reference.SI)
	for b := range m.Bridges {
		at := func(j int, load float64) float64 {
			c := rest
			if j >= 0 {
				c.Load[j] = load
			}
			v, err := m.Output(s, b, &c)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		var row, shunts []float64
		var across [][4]float64
		for j := range m.Components {
			row = append(row, (at(j, m.Rated[j])-at(j, 0))/m.Rated[j])
		}
		for _, sh := range m.Design.Shunts {
			v, err := m.Shunted(s, b, sh)
			if err != nil {
				t.Fatal(err)
			}
			shunts = append(shunts, v)
			var any [4]float64
			for k := range any {
				sh.Arm = k + 1
				if any[k], err = m.Shunted(s, b, sh); err != nil {
					t.Fatal(err)
				}
			}
			across = append(across, any)
		}
		out.across = append(out.across, across)
		out.matrix, out.zero, out.shunts = append(out.matrix, row), append(out.zero, at(-1, 0)), append(out.shunts, shunts)
	}
	return out
}

// drawInputs are true values of the inputs under their tolerances.
func drawInputs(g *rand.Rand, m *model.Model) []float64 {
	x := append([]float64(nil), m.Nominal...)
	for k, in := range m.Inputs {
		if in.Coverage > 0 {
			x[k] += in.Tolerance / in.Coverage * g.NormFloat64()
		} else {
			x[k] += in.Tolerance * (2*g.Float64() - 1)
		}
	}
	return x
}

// taken says which figures a calibration takes, and how well.
type taken struct {
	components         []int
	zero, shunt        bool
	relative, absolute float64 // standard uncertainty: of the rated output, and V/V
	limit              float64 // instrument's range, V/V
}

func drawTaken(g *rand.Rand, m *model.Model) taken {
	k := taken{zero: g.IntN(4) > 0, shunt: g.IntN(3) > 0, relative: 2e-4 * math.Pow(10, g.Float64()), absolute: 2e-7, limit: [...]float64{0.01, 1}[g.IntN(2)]}
	for j := range m.Components {
		if m.Design.Loads[j].Measure || g.IntN(3) > 0 {
			k.components = append(k.components, j)
		}
	}
	return k
}

// measured is what the calibration reports; g nil: without noise.
func (k taken) measured(g *rand.Rand, m *model.Model, s *simulated) Measured {
	noise := func(u float64) float64 {
		if g == nil {
			return 0
		}
		return u * g.NormFloat64()
	}
	var out Measured
	for _, j := range k.components {
		out.Components = append(out.Components, m.Components[j])
		out.Loads = append(out.Loads, [2]float64{min(0, m.Rated[j]), max(0, m.Rated[j])})
	}
	for b := range m.Bridges {
		off := math.Abs(s.zero[b]) > k.limit
		scale := 0.0
		for j := range m.Components {
			scale = math.Max(scale, math.Abs(s.matrix[b][j]*m.Rated[j]))
		}
		u := k.relative*scale + k.absolute
		var row, sd []float64
		for _, j := range k.components {
			v := s.matrix[b][j] + noise(u/math.Abs(m.Rated[j]))
			if off {
				v = math.NaN()
			}
			row, sd = append(row, v), append(sd, u/math.Abs(m.Rated[j]))
		}
		out.Sensitivity, out.Standard = append(out.Sensitivity, row), append(out.Standard, sd)
		out.Zero = append(out.Zero, Reading{Taken: k.zero, Value: s.zero[b] + noise(5e-7), Standard: 5e-7, OffScale: off})
		var shunts []Reading
		for _, v := range s.shunts[b] {
			shunts = append(shunts, Reading{Taken: k.shunt && !off, Value: v + noise(5e-7), Standard: 5e-7})
		}
		out.Shunts = append(out.Shunts, shunts)
	}
	return out
}

func BenchmarkOf(b *testing.B) {
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		b.Fatal(err)
	}
	d := parse(b, string(text))
	made := d.Clone()
	made.Placements[0].Direction.SI = 5 * deg
	in := calibrated(b, made, nil)
	for b.Loop() {
		if _, err := Of(d, in, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
