package pick

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/predict"
)

func find1(t testing.TB, text string) *predict.Result {
	t.Helper()
	r, err := predict.Of(read(t, text))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Turning loads and sectors kept out by 90° about the part turns the answer:
// My becomes Mz, Vy becomes Vz.
func TestTurnedProblemTurnsTheAnswer(t *testing.T) {
	for _, gauges := range []string{"rosette", "tee", "pair"} {
		measure := "bending-y: 400 N·m measure"
		turned := "bending-z: 400 N·m measure"
		if gauges == "pair" {
			measure, turned = "bending-y: 400 N·m reject", "bending-z: 400 N·m reject"
		}
		upright := find(t, read(t, text(tube, []string{"torque: 900 N·m measure", measure, "shear-y: 1 kN reject"}[b2i(gauges == "tee"):], []string{gauges}, "pick: {at-most: 3, keep-out: [[80°, 110°]]}\nrequire: {crosstalk: {at-most: 3 %}}\n")), Options{})
		aside := find(t, read(t, text(tube, []string{"torque: 900 N·m measure", turned, "shear-z: 1 kN reject"}[b2i(gauges == "tee"):], []string{gauges}, "pick: {at-most: 3, keep-out: [[170°, 200°]]}\nrequire: {crosstalk: {at-most: 3 %}}\n")), Options{})
		expect(t, gauges+": searched", aside.Searched, upright.Searched)
		expect(t, gauges+": met", aside.Met, upright.Met)
		// Outputs at rated load differ by what is not linear in them; those that
		// differ only in what the start angle decides stand once.
		expect(t, gauges+": figures", strings.Join(figures(aside), "\n"), strings.Join(figures(upright), "\n"))
		at := map[float64]bool{}
		for _, a := range angles(upright.Candidates[0].Design) {
			at[math.Mod(a+90, 360)] = true
		}
		// Where several start angles are as good the smallest is taken, so that
		// only angles that the load decides turn with it.
		if gauges == "rosette" {
			for _, a := range angles(aside.Candidates[0].Design) {
				if !at[a] {
					t.Errorf("%s: turned to %v, from %v", gauges, angles(aside.Candidates[0].Design), angles(upright.Candidates[0].Design))
				}
			}
		}
	}
}

// figures are those of the rule, those of equals once.
func figures(out *Outcome) (all []string) {
	for _, c := range out.Candidates {
		m := c.Metrics
		words := fmt.Sprintf("%d gauges, %d + %d bridges, %.3g, %d jumpers, %v", m.Gauges, m.Full, m.Half, m.Output, m.Jumpers, m.Opposite)
		if len(all) == 0 || all[len(all)-1] != words {
			all = append(all, words)
		}
	}
	return all
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// snapshot is everything of an outcome that a reader sees.
func snapshot(out *Outcome) string {
	var b strings.Builder
	fmt.Fprintln(&b, out.Searched, out.Proof, out.Space, out.Rule, out.Met, out.Nearest)
	for _, c := range out.Candidates {
		m := c.Metrics
		fmt.Fprintf(&b, "%d %+v\n%+v\n%s\n", c.Rank, m, designfile.Describe(c.Design), c.Why)
	}
	return b.String()
}

func agitator(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var kept []string
	drop := false
	for _, line := range strings.Split(string(text), "\n") {
		if !strings.HasPrefix(line, " ") {
			drop = strings.HasPrefix(line, "placements:") || strings.HasPrefix(line, "bridges:")
		}
		if !drop {
			kept = append(kept, line)
		}
	}
	return strings.Join(kept, "\n")
}

// The answer is the same in every run and on any number of processors.
func TestDeterministic(t *testing.T) {
	d := read(t, agitator(t))
	first := snapshot(find(t, d, Options{}))
	placed := read(t, rosettes(6, true))
	also := snapshot(find(t, placed, Options{Series: 2}))
	before := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(before)
	for _, n := range []int{1, 2, 8} {
		runtime.GOMAXPROCS(n)
		if again := snapshot(find(t, d, Options{})); again != first {
			t.Fatalf("first\n%s\non %d processors\n%s", first, n, again)
		}
		if again := snapshot(find(t, placed, Options{Series: 2})); again != also {
			t.Fatalf("six rosettes\n%s\non %d processors\n%s", also, n, again)
		}
	}
}

// The order of loads, gauges and placements in the file does not matter.
func TestOrderOfKeys(t *testing.T) {
	loads := []string{"torque: 900 N·m measure", "bending-y: 400 N·m measure", "axial: 5 kN reject"}
	back := []string{loads[2], loads[1], loads[0]}
	a := snapshot(find(t, read(t, text(tube, loads, []string{"rosette", "tee", "pair"}, "pick: {stations: [0 mm, 30 mm]}\n")), Options{}))
	b := snapshot(find(t, read(t, text(tube, back, []string{"pair", "rosette", "tee"}, "pick: {stations: [30 mm, 0 mm]}\n")), Options{}))
	if a != b {
		t.Errorf("one order\n%s\nthe other\n%s", a, b)
	}
	placed := []string{"  A: {gauge: rosette, around: 90°}\n", "  B: {gauge: rosette, around: 270°}\n", "  K: {gauge: rosette, around: 0°}\n", "  M: {gauge: tee, around: 180°}\n"}
	one := find(t, read(t, text(tube, loads, []string{"rosette", "tee"}, "placements:\n"+strings.Join(placed, ""))), Options{})
	two := find(t, read(t, text(tube, loads, []string{"rosette", "tee"}, "placements:\n"+placed[2]+placed[0]+placed[3]+placed[1])), Options{})
	for i := range one.Candidates {
		x, y := designfile.Describe(one.Candidates[i].Design).Bridges, designfile.Describe(two.Candidates[i].Design).Bridges
		if !reflect.DeepEqual(x, y) || one.Candidates[i].Why != two.Candidates[i].Why {
			t.Errorf("candidate %d: %v, in the other order %v", i+1, x, y)
		}
	}
}

// A search that is interrupted says so.
func TestInterrupted(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if out, err := Search(ctx, read(t, agitator(t)), Options{}); !errors.Is(err, context.Canceled) || out == nil || out.Proof != Interrupted {
		t.Errorf("outcome %+v, error %v", out, err)
	}
	ctx, cancel = context.WithCancel(context.Background())
	defer cancel()
	runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(2)
	out, err := Search(ctx, read(t, agitator(t)), Options{Progress: func(done, total int) {
		if done == total*3/4 {
			cancel()
		}
	}})
	if err != nil || out.Proof != Interrupted || len(out.Candidates) == 0 || !strings.Contains(out.Proved, "incomplete") {
		t.Errorf("proof %v, %d candidates, error %v: %s", out.Proof, len(out.Candidates), err, out.Proved)
	}
	// Inside one placement set: the shorter arms are there, the longer are not.
	ctx, cancel = context.WithCancel(context.Background())
	defer cancel()
	whole := find(t, read(t, rosettes(6, false)), Options{Series: 2})
	out, err = Search(ctx, read(t, rosettes(6, false)), Options{Series: 2, Progress: func(done, total int) {
		if 2*done > total {
			cancel()
		}
	}})
	if err != nil || out.Proof != Interrupted || len(out.Candidates) == 0 || out.Searched >= whole.Searched {
		t.Errorf("proof %v, %d candidates, %d of %d wirings, error %v", out.Proof, len(out.Candidates), out.Searched, whole.Searched, err)
	}
}

func TestProgress(t *testing.T) {
	last, total := 0, 0
	find(t, read(t, agitator(t)), Options{Progress: func(d, n int) {
		if d != last+1 {
			t.Errorf("progress %d after %d", d, last)
		}
		last, total = d, n
	}})
	if last != total || total == 0 {
		t.Errorf("progress ends at %d of %d", last, total)
	}
}
