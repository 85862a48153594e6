package check

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"gridwright/internal/design"
	"gridwright/internal/predict"
)

func predicted(t testing.TB, d *design.Design) *predict.Result {
	t.Helper()
	r, err := predict.Of(d)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Whatever the order of the arms of a good torque bridge, it either measures, or
// what is wrong is found, and the remedy repairs all of it. The sign of the
// output decides it without the package: grids of +45° in arms 1 and 3, or not.
func TestPermutedTorqueBridge(t *testing.T) {
	base := read(t, tube)
	rapid.Check(t, func(rt *rapid.T) {
		d := base.Clone()
		p := rapid.SampledFrom(permutations).Draw(rt, "order")
		good := base.Bridges[0].Arms
		sum := 0
		for k := range p {
			d.Bridges[0].Arms[k] = good[p[k]]
			if k%2 == p[k]%2 {
				sum++
			} else {
				sum--
			}
		}
		list := judged(t, d)
		bl, po := find(list, "blind", "T"), find(list, "polarity", "T")
		switch {
		case sum == 4 && !Pass(list), sum == 0 && bl == nil, sum == -4 && po == nil:
			rt.Fatalf("order %v gives %d of 4:\n%s", p, sum, words(list))
		}
		for i := range list {
			f := &list[i]
			if f.Level != Fail {
				continue
			}
			if f.Apply == nil {
				rt.Fatalf("order %v: no remedy for %s", p, f.Message)
			}
			c := d.Clone()
			if err := f.Apply(c); err != nil {
				rt.Fatal(err)
			}
			if after := judged(t, c); !Pass(after) {
				rt.Fatalf("order %v: remedy %q leaves\n%s", p, f.Remedy, words(after))
			}
		}
	})
}

// Six grids in series arms of a torque bridge, dealt at random: the remedy
// repairs what is wrong.
func TestDealtSeriesBridge(t *testing.T) {
	text := with(t, tube, "B: {gauge: R, around: 270°}", "B: {gauge: R, around: 270°}\n  C: {gauge: R, around: 0°}\n  D: {gauge: R, around: 180°}",
		"[A3, A1, B3, B1]", "[[A3, B3], [A1, B1], [C3, D3], [C1, D1]]")
	base := read(t, text)
	if list := judged(t, base); !Pass(list) {
		t.Fatalf("the base fails:\n%s", words(list))
	}
	var grids []design.GridRef
	for _, a := range base.Bridges[0].Arms {
		grids = append(grids, a.Grids...)
	}
	rapid.Check(t, func(rt *rapid.T) {
		d := base.Clone()
		dealt := rapid.Permutation(grids).Draw(rt, "deal")
		for k := range 4 {
			d.Bridges[0].Arms[k].Grids = append([]design.GridRef(nil), dealt[2*k:2*k+2]...)
		}
		list := judged(t, d)
		for i := range list {
			f := &list[i]
			sound(t, f)
			if f.Level != Fail || f.Bridge != "T" {
				continue
			}
			if f.Apply == nil {
				rt.Fatalf("%s: no remedy for %s", armsWords(d, d.Bridges[0].Arms), f.Message)
			}
			c := d.Clone()
			if err := f.Apply(c); err != nil {
				rt.Fatal(err)
			}
			if after := judged(t, c); !Pass(after) {
				rt.Fatalf("remedy %q leaves\n%s", f.Remedy, words(after))
			}
		}
	})
}

// Two rectangles lie over each other exactly when a point of a fine mesh of one
// lies in the other, or a corner does; the depth does not depend on which is
// asked, nor on whole turns around the part.
func TestOutlinesOverlap(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		one := func(name string) outline {
			o := outline{x: rapid.Float64Range(-20, 20).Draw(rt, name+" x"), s: rapid.Float64Range(0, 100).Draw(rt, name+" s"),
				l: rapid.Float64Range(1, 20).Draw(rt, name+" l"), w: rapid.Float64Range(1, 20).Draw(rt, name+" w")}
			o.sin, o.cos = sincos(rapid.Float64Range(-3, 3).Draw(rt, name+" direction"))
			return o
		}
		a, b := one("a"), one("b")
		const girth = 100
		depth := a.over(b, girth)
		if back := b.over(a, girth); !near(depth, back, 1e-9) {
			rt.Fatalf("%g one way, %g the other", depth, back)
		}
		turned := b
		turned.s += girth
		if again := a.over(turned, girth); !near(depth, again, 1e-6) {
			rt.Fatalf("%g, a turn further %g", depth, again)
		}
		inside := false
		const mesh = 60
		for i := 0; i <= mesh; i++ {
			for k := 0; k <= mesh; k++ {
				u, v := b.l*(float64(i)/mesh-0.5), b.w*(float64(k)/mesh-0.5)
				x, s := b.x+u*b.cos-v*b.sin-a.x, b.s+u*b.sin+v*b.cos-a.s
				for _, turn := range []float64{-girth, 0, girth} {
					p, q := x*a.cos+(s+turn)*a.sin, -x*a.sin+(s+turn)*a.cos
					inside = inside || p > -a.l/2 && p < a.l/2 && q > -a.w/2 && q < a.w/2
				}
			}
		}
		// a mesh of 1/60 of at most 20 mm may miss a corner of that size
		if inside && depth <= 0 || !inside && depth > 0.5 {
			rt.Fatalf("depth %g, mesh says %v: %+v %+v", depth, inside, a, b)
		}
	})
}

func sincos(a float64) (sin, cos float64) { return math.Sin(a), math.Cos(a) }
