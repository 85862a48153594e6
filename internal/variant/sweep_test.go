package variant

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"sync/atomic"
	"testing"

	"gridwright/internal/check"
	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/quantity"
	"gridwright/internal/uncertainty"
)

func axis(t testing.TB, b *Base, spec string) *Axis {
	t.Helper()
	a, err := b.Axis(spec, true)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func rows(t testing.TB, s *Sweep) []Row {
	t.Helper()
	var out []Row
	if err := s.Each(context.Background(), func(i int, r Row) error {
		if i != len(out) {
			t.Errorf("row %d came as number %d", i, len(out))
		}
		out = append(out, r)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return out
}

// A sweep of one point is what predict and check say of the design.
func TestOnePointIsThePrediction(t *testing.T) {
	b := open(t, "agitator-tube.yaml")
	s := &Sweep{Base: b, Axes: []*Axis{axis(t, b, "part.section.inside-diameter=44 mm:44 mm:1")}, Figures: Figures(b.Design), Trials: 2000, Seed: 7, Check: true}
	row := rows(t, s)[0]
	d, err := designfile.Read(b.File, b.Text)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := dossier.WithUncertainty(context.Background(), b.File, b.Text, d, uncertainty.Options{Trials: 2000, Seed: 7})
	if err != nil {
		t.Fatal(err)
	}
	r := whole.Published()
	want := map[string]*float64{
		"T.rated-output": r.Bridges[0].Rated, "By.rated-output": r.Bridges[1].Rated,
		"T.sensitivity.axial": r.Bridges[0].Sensitivity["axial"], "T.sensitivity.torque": r.Bridges[0].Sensitivity["torque"],
		"By.crosstalk.axial": r.Bridges[1].Crosstalk["axial"], "T.nonlinearity": r.Bridges[0].Nonlinearity,
		"T.zero-balance": r.Bridges[0].ZeroBalance.Nominal, "T.zero-drift": r.Bridges[0].ZeroDrift, "T.zero-gradient": r.Bridges[0].ZeroGradient,
		"By.span-drift": r.Bridges[1].SpanDrift, "T.uncertainty": r.Bridges[0].Uncertainty.Expanded, "By.smallest-step": r.Signal[1].Smallest,
		"T.power": r.Signal[0].Power, "von-mises-stress": r.Strength.VonMises, "yield-factor": r.Strength.YieldFactor,
		"overload-yield-factor": r.Strength.OverloadYield, "endurance-factor": r.Strength.Reversed, "torsional-stiffness": r.Stiffness.Torsional,
		"axial-stiffness": r.Stiffness.Axial, "bending-stiffness": r.Stiffness.Bending, "natural-frequency": r.Stiffness.Frequency,
		"twist": r.Stiffness.Twist,
	}
	most := 0.0
	for _, v := range r.Bridges[0].Crosstalk95 {
		most = math.Max(most, *v)
	}
	want["T.crosstalk-95"] = &most
	for i, f := range s.Figures {
		w, known := want[f.Key]
		delete(want, f.Key)
		if !known {
			continue
		}
		v := row.Figures[i]
		if w == nil || !v.OK() {
			if (w == nil) == v.OK() {
				t.Errorf("%s: %v, predict has %v", f.Key, v, w)
			}
			continue
		}
		if got := v.Value * f.Scale(quantity.SI); math.Abs(got-*w) > 1e-15*math.Abs(*w) {
			t.Errorf("%s: %v, predict has %v", f.Key, got, *w)
		}
	}
	for key := range want {
		t.Errorf("no figure %s", key)
	}
	if pass := check.Pass(whole.Findings); row.Pass != pass {
		t.Errorf("verdict %v, check says %v", row.Pass, pass)
	}
}

// The same rows in the same order for any number of workers.
func TestWorkersDoNotMatter(t *testing.T) {
	b := open(t, "winch-shaft.yaml")
	sweep := func(workers int) []Row {
		return rows(t, &Sweep{Base: b, Workers: workers, Figures: Usual(Figures(b.Design)), Axes: []*Axis{
			axis(t, b, "part.section.outside-diameter=0.001 mm:60 mm:7"), axis(t, b, "loads.torque.rated=100 N·m:900 N·m:3")}})
	}
	one := sweep(1)
	failed := 0
	for _, workers := range []int{2, 8} {
		for i, r := range sweep(workers) {
			if (r.Err == nil) != (one[i].Err == nil) {
				t.Fatalf("row %d with %d workers: %v", i, workers, r.Err)
			}
			if r.Err != nil {
				failed++
			}
			for k, v := range r.Figures {
				if v != one[i].Figures[k] {
					t.Errorf("row %d, %d workers: %v, with one %v", i, workers, v, one[i].Figures[k])
				}
			}
		}
	}
	if failed == 0 {
		t.Error("no row failed, though a shaft of a thousandth of a millimetre is there")
	}
	if x := one[1].At; x[0] != 0.001 || x[1] != 500 {
		t.Errorf("the second row is at %v; the second value runs fastest", x)
	}
}

// The torque bridge of a round shaft gives output as the inverse cube of the diameter
// and in proportion to torque (closed form, T b/J), but for stand-off and grid size.
func TestSweepFollowsTheInverseCube(t *testing.T) {
	b := read(t, withDiameter("40 mm"))
	figure, err := Choose(Figures(b.Design), []string{"T.rated-output"})
	if err != nil {
		t.Fatal(err)
	}
	s := &Sweep{Base: b, Figures: figure, Axes: []*Axis{axis(t, b, "part.section.outside-diameter=100 mm:400 mm:4"), axis(t, b, "loads.torque.rated=50 N·m:100 N·m:2")}}
	out := rows(t, s)
	for _, r := range out {
		scaled := out[0].Figures[0].Value * math.Pow(100/r.At[0], 3) * r.At[1] / 50
		if v := r.Figures[0].Value; math.Abs(v/scaled-1) > 1e-4 {
			t.Errorf("at %v: %g, the closed form gives %g", r.At, v, scaled)
		}
	}
}

func TestRunKeepsOrderAndStops(t *testing.T) {
	var out []int
	if err := Run(context.Background(), 1000, 8, func(i int) int { return i * i }, func(i, v int) error {
		if v != i*i {
			t.Errorf("item %d is %d", i, v)
		}
		out = append(out, i)
		return nil
	}); err != nil || len(out) != 1000 {
		t.Fatalf("%v after %d items", err, len(out))
	}
	stop := errors.New("disk full")
	if err := Run(context.Background(), 1<<40, 2, func(i int) int { return i }, func(i, _ int) error {
		if i == 10 {
			return stop
		}
		return nil
	}); !errors.Is(err, stop) {
		t.Errorf("%v, want the error of emit", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	var done atomic.Int64
	err := Run(ctx, 1<<40, 2, func(i int) int { done.Add(1); return i }, func(i, _ int) error {
		if i == 10 {
			cancel()
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("%v, want it cancelled", err)
	}
	if n := done.Load(); n > 200 {
		t.Errorf("%d items were worked out ahead; memory is to be bounded", n)
	}
	defer func() {
		if recover() == nil {
			t.Error("a panic of work was lost")
		}
	}()
	Run(context.Background(), 10, 2, func(i int) int { panic("no") }, func(int, int) error { return nil })
}

func TestChooseNamesTheNearest(t *testing.T) {
	all := Figures(open(t, "agitator-tube.yaml").Design)
	for key, want := range map[string]string{"T.rated-ouput": "did you mean T.rated-output?", "nonsense": "known are: T.rated-output", "X.rated-output": "known are"} {
		if _, err := Choose(all, []string{key}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", key, err, want)
		}
	}
	if _, err := Choose(all, []string{"strain", "strain"}); err == nil {
		t.Error("a figure named twice was taken")
	}
	seen := map[string]bool{}
	for _, f := range all {
		if seen[f.Key] {
			t.Errorf("two figures are called %s", f.Key)
		}
		seen[f.Key] = true
		for _, sys := range []quantity.System{quantity.SI, quantity.US} {
			if !(f.Scale(sys) > 0) {
				t.Errorf("%s has the scale %v", f.Key, f.Scale(sys))
			}
		}
	}
}

// The verdict of a row is that of check where it hangs on the tolerances too: the
// uncertainty that is judged is the expanded one.
func TestVerdictUnderTolerances(t *testing.T) {
	text, err := os.ReadFile("../../designs/winch-shaft.yaml")
	if err != nil {
		t.Fatal(err)
	}
	plain := open(t, "winch-shaft.yaml")
	figure, err := Choose(Figures(plain.Design), []string{"T.uncertainty"})
	if err != nil {
		t.Fatal(err)
	}
	at := "part.section.outside-diameter=40 mm:40 mm:1"
	s := &Sweep{Base: plain, Figures: figure, Axes: []*Axis{axis(t, plain, at)}, Trials: 5000, Seed: 3}
	expanded := 100 * rows(t, s)[0].Figures[0].Value
	for _, factor := range []float64{0.7, 1.4} { // half the expanded one would pass both
		b := read(t, strings.Replace(string(text), "require:\n", fmt.Sprintf("require:\n  uncertainty: {at-most: %.6f %%}\n", factor*expanded), 1))
		s := &Sweep{Base: b, Axes: []*Axis{axis(t, b, at)}, Trials: 5000, Seed: 3, Check: true}
		if row := rows(t, s)[0]; row.Pass != (factor > 1) || !row.Pass && !strings.Contains(row.Worst, "fail uncertainty") {
			t.Errorf("limit %g times the uncertainty: pass %v, %q", factor, row.Pass, row.Worst)
		}
	}
}

// A sensitivity per lbf·in is 0.1129848 of that per N·m (1 lbf·in = 4.4482216152605 N ×
// 0.0254 m, exact by definition).
func TestSensitivityInUSUnits(t *testing.T) {
	figure, err := Choose(Figures(open(t, "winch-shaft.yaml").Design), []string{"T.sensitivity.torque"})
	if err != nil {
		t.Fatal(err)
	}
	f := figure[0]
	if got, want := f.Scale(quantity.US)/f.Scale(quantity.SI), 4.4482216152605*0.0254; math.Abs(got/want-1) > 1e-12 {
		t.Errorf("ratio of the scales %.12g, want %.12g", got, want)
	}
	if f.Unit(quantity.US) != "mV/V per lbf·in" || f.Unit(quantity.SI) != "mV/V per N·m" {
		t.Errorf("units %q, %q", f.Unit(quantity.US), f.Unit(quantity.SI))
	}
}
