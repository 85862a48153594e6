package diagnosis

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gridwright/internal/model"
)

func TestCheapestThatTellsAll(t *testing.T) {
	d := parse(t, oneBridge)
	in := calibrated(t, d, func(m *model.Model, s *simulated) { s.scale(0, -1) })
	in.Zero, in.Shunts = nil, nil
	r := of(t, d, in)
	got := strings.Join(group1(r), "; ")
	for _, want := range []string{"signal wires of bridge T exchanged", "supply leads of bridge T exchanged", "torque applied, or written down, in the other sense", "gauges S numbered counterclockwise"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in group 1: %s", want, got)
		}
	}
	if !strings.HasPrefix(r.SeparateBy, "follow each wire") {
		t.Errorf("separate by %q", r.SeparateBy)
	}
}

func TestMeasuredPlaceIsProposed(t *testing.T) {
	d := parse(t, tube)
	made := d.Clone()
	made.Placements[0].Around.SI += 10 * deg
	in := calibrated(t, made, nil)
	for c := range in.Sensitivity[0] {
		in.Sensitivity[0][c] = math.NaN()
	}
	r := of(t, d, in)
	got := strings.Join(group1(r), "; ")
	if r.Agrees || !strings.Contains(got, "placement A is off around the part by +") || !strings.Contains(got, "placement B is off around the part by +") {
		t.Fatalf("%s: %s", r.Sentence, got)
	}
	if !strings.Contains(r.SeparateBy, "sits around the part") || !strings.Contains(r.SeparateBy, "enter it as measured") {
		t.Errorf("separate by %q", r.SeparateBy)
	}
}

func TestChoose(t *testing.T) {
	of := func(k class, share float64) *mode { return &mode{cause: &cause{class: k}, share: share} }
	group := []*mode{of(turned, 0.5), of(unitSlip, 0.3), of(unbonded, 0.19), of(mirrored, 0.01)}
	shows := func(text string, cost float64, k ...class) look {
		return look{text: text, cost: cost, reveals: func(c *cause) bool { return slices.Contains(k, c.class) }}
	}
	for _, f := range []struct {
		looks []look
		want  string
	}{
		{[]look{shows("dear", 9, turned), shows("cheap", 2, turned)}, "cheap"},
		{[]look{shows("all", 9, turned), shows("papers", 1, unitSlip)}, "all"},
		{[]look{shows("nearly all", 2, unitSlip, unbonded), shows("all", 9, turned)}, "nearly all (it tells the first cause from 98 % of what else is likely)"},
		{[]look{shows("some", 2, unbonded), shows("more", 3, unitSlip)}, "more (it tells the first cause from 60 % of what else is likely)"},
		{[]look{shows("little", 2, unbonded), shows("hardly more", 3, unbonded, mirrored)}, "little"},
		{[]look{shows("nothing", 1, gridOpen)}, "no measurement of the list"},
	} {
		if got := choose(nil, f.looks, group); !strings.HasPrefix(got, f.want) || f.want == "all" && got != "all" {
			t.Errorf("%q, want %q", got, f.want)
		}
	}
}

func TestShuntOfEachGrid(t *testing.T) {
	d := parse(t, oneBridge)
	b := newTestBench(t, d, calibrated(t, d, nil))
	v, u := b.findGridShunts(b.newWorker(), &mode{cause: &cause{}})
	size := 350.0 / (4*100e3 + 2*350)
	for i, sign := range []float64{1, -1, 1, -1} { // A1 is arm 2, A2 arm 1, B1 arm 4, B2 arm 3
		if len(v) != 4 || math.Abs(v[i]-sign*size) > 1e-12 || !(u[i] > 0) {
			t.Fatalf("%v ± %v, want ±%g", v, u, size)
		}
	}
	for _, c := range b.causes() {
		if c.id == "exchanged A1 B2" && !(&look{finds: b.findGridShunts}).tells(b.newWorker(), &mode{cause: &cause{}}, &mode{cause: c}) {
			t.Error("shunting each grid does not show that two are exchanged")
		}
	}
}

func TestWarmingSeparates(t *testing.T) {
	d := parse(t, strings.Replace(tube, "-6e-2]", "-12e-2]", 1))
	b := newTestBench(t, d, calibrated(t, d, nil))
	var plain, exchanged *cause
	for _, c := range b.causes() {
		switch c.id {
		case "as designed":
			plain = c
		case "exchanged A2 B2":
			exchanged = c
		}
	}
	l := look{finds: b.findWarmth}
	if !l.tells(b.newWorker(), &mode{cause: plain}, &mode{cause: exchanged}) {
		t.Error("warming does not tell A2 from B2")
	}
	if l.tells(b.newWorker(), &mode{cause: plain}, &mode{cause: plain}) {
		t.Error("warming tells a design from itself")
	}
	v, _ := b.findWarmth(b.newWorker(), &mode{cause: plain})
	// A, then B, on bridges T and By. From 20 to 25 °C this lot shows 2.4·5 −
	// 0.12·(25² − 20²) = −15 µε: it falls, and A2 stands in arm 1 of By.
	if want := []float64{0, -1, 0, 1}; !reflect.DeepEqual(v, want) {
		t.Errorf("signs %v, want %v", v, want)
	}
}
