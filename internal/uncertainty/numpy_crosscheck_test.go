//go:build crosscheck && unix

package uncertainty_test

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os/exec"
	"runtime"
	"syscall"
	"testing"
	"time"

	"gridwright/internal/uncertainty"
)

// debianPython is the interpreter that Debian's python3-numpy belongs to; another may
// stand before it on the path.
const debianPython = "/usr/bin/python3"

type numpyFigure struct {
	Mean, Standard, Quantile float64
	Shortest                 []float64
}

// A million trials of the main example, with the tolerances of common practice where the
// file has none, by an independent model in vectorised numpy (Debian python3-numpy): the
// figures agree within their sampling errors. The ratio of the times is printed, not
// judged: it depends on the machine and on what else it does.
func TestMonteCarloAgainstNumpy(t *testing.T) {
	const trials = 1_000_000
	r := example(t, "agitator-tube", true)
	inputs := map[string][3]any{}
	for _, in := range r.Model.Inputs {
		width, form := in.Tolerance, "rectangular"
		if in.Coverage > 0 {
			width, form = in.Tolerance/in.Coverage, "normal"
		}
		inputs[in.Label()] = [3]any{in.Nominal, width, form}
	}
	job, err := json.Marshal(map[string]any{"trials": trials, "seed": 20260101, "inputs": inputs})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(debianPython, "../../testdata/numpy/monte_carlo.py")
	cmd.Stdin = bytes.NewReader(job)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	text, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s with numpy (Debian python3-numpy) is needed: %v\n%s", debianPython, err, stderr.String())
	}
	var numpy struct {
		Seconds float64
		CPU     float64
		Figures map[string]numpyFigure
	}
	if err := json.Unmarshal(text, &numpy); err != nil {
		t.Fatal(err)
	}
	start, used := time.Now(), processor()
	out, err := uncertainty.Of(context.Background(), r, uncertainty.Options{Trials: trials, All: true, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	took := time.Since(start).Seconds()
	used = processor() - used
	t.Logf("%d trials by the clock: numpy %.2f s, here %.2f s, ratio %.1f; processor time: %.2f s and %.2f s, %.1f on %d idle cores",
		trials, numpy.Seconds, took, numpy.Seconds/took, numpy.CPU, used, numpy.CPU/used*float64(runtime.GOMAXPROCS(0)), runtime.GOMAXPROCS(0))

	compared := 0
	compare := func(key string, f uncertainty.Figure) {
		n, ok := numpy.Figures[key]
		if !ok {
			t.Errorf("the script gives no %s", key)
			return
		}
		compared++
		u := n.Standard
		if u < 1e-12*math.Abs(n.Mean) { // exact but for rounding
			near(t, key, f.Mean, n.Mean, 1e-8*math.Abs(n.Mean))
			return
		}
		// five standard deviations of the difference of two runs; the zero drift of the
		// script leaves out what is beyond first order, 1e-4 of it
		near(t, key+", mean", f.Mean, n.Mean, 5*math.Sqrt2*u/1e3+2e-4*math.Abs(n.Mean)*zeroOnly(key))
		near(t, key+", standard uncertainty", f.Standard, u, 0.006*u)
		near(t, key+", 95 % quantile", f.Quantile, n.Quantile, 0.02*u+2e-4*math.Abs(n.Mean)*zeroOnly(key))
		if n.Shortest != nil {
			near(t, key+", width of the shortest interval", f.Interval[1]-f.Interval[0], n.Shortest[1]-n.Shortest[0], 0.02*u)
		}
	}
	for _, b := range out.Bridges {
		compare(b.Name+" sensitivity", b.Sensitivity)
		compare(b.Name+" balance", b.Balance)
		compare(b.Name+" zero_drift", b.ZeroDrift)
		compare(b.Name+" span_drift", b.SpanDrift)
		compare(b.Name+" zero_spread", b.ZeroSpread)
		for j, c := range b.Crosstalk {
			if j != b.Target {
				compare(b.Name+" crosstalk "+r.Model.Components[j].String(), c)
			}
		}
	}
	if compared != len(numpy.Figures) {
		t.Errorf("%d figures of %d were compared", compared, len(numpy.Figures))
	}
}

// processor is the time that this process has used of all processors, s.
func processor() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return math.NaN()
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / 1e9
}

func zeroOnly(key string) float64 {
	if len(key) > 10 && key[len(key)-10:] == "zero_drift" {
		return 1
	}
	return 0
}
