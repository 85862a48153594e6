package pick

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gridwright/internal/design"
)

// A sector kept out moves the gauges to the next start angle that is free; where
// it excludes all multiples of 15°, to one of 5°. A backing of 2.5 mm on a radius
// of 15 mm reaches 4.8° to either side.
func TestKeepOut(t *testing.T) {
	for _, c := range []struct{ sectors, load, want string }{
		{"[]", "bending-z", "[0 180]"},
		{"[[350°, 10°]]", "bending-z", "[15 195]"},
		{"[[350°, 10.5°]]", "bending-z", "[165 345]"},
		{"[[109°, 271°], [289°, 91°]]", "bending-y", "[100 280]"},
	} {
		w := winner(t, text(shaft, []string{c.load + ": 100 N·m measure", "axial: 5 kN reject"}, []string{"single"}, "pick: {at-most: 2, keep-out: "+c.sectors+"}\n"))
		expect(t, c.sectors, fmt.Sprint(angles(w.Design)), c.want)
	}
	out := find(t, read(t, text(shaft, []string{"bending-z: 100 N·m measure"}, []string{"single"}, "pick: {keep-out: [[0°, 180°], [175°, 5°]]}\n")), Options{})
	if out.Met || len(out.Candidates) != 0 || !strings.Contains(out.Nearest, "no gauge fits") {
		t.Errorf("everything kept out: %s", out.Nearest)
	}
}

// No candidate has a backing in a sector kept out or off the straight length.
func TestCandidatesFit(t *testing.T) {
	more := "pick: {at-most: 6, keep-out: [[20°, 70°], [200°, 215°]], stations: [-8 mm, 0 mm, 8 mm, 30 mm]}\n"
	source := strings.Replace(text(tube, []string{"torque: 900 N·m measure", "bending-y: 400 N·m reject"}, []string{"rosette"}, more), "loads:", "  straight-length: {from: -10 mm, to: 40 mm}\nloads:", 1)
	d := read(t, source)
	out := find(t, d, Options{All: true})
	if !out.Met {
		t.Fatal(out.Nearest)
	}
	stations := map[float64]bool{}
	for _, c := range out.Candidates {
		for _, p := range c.Design.Placements {
			stations[p.Station.SI] = true
			turned := p.Direction.SI != 0
			sin, cos := math.Sincos(p.Direction.SI)
			sin, cos = math.Abs(sin), math.Abs(cos)
			x, s := 4.5e-3*cos+5.5e-3*sin, 5.5e-3*cos+4.5e-3*sin
			if p.Station.SI-x < -0.010-1e-8 || p.Station.SI+x > 0.040+1e-8 {
				t.Fatalf("candidate %d: station %g, turned %v, leaves the straight length", c.Rank, p.Station.SI, turned)
			}
			for _, k := range [][2]float64{{20, 70}, {200, 215}} {
				half := s / 0.030 / deg
				a := p.Around.SI / deg
				if a+half > k[0]+1e-6 && a-half < k[1]-1e-6 {
					t.Fatalf("candidate %d: backing at %g° ± %g° in the sector %v", c.Rank, a, half, k)
				}
			}
		}
	}
	if stations[-0.008] || !stations[0] || !stations[0.030] {
		t.Errorf("stations %v", stations)
	}
}

// Equal rectangles turned alike overlap exactly when a corner of one lies in the
// other, on the part unrolled any number of times.
func TestOverlap(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	both := [2]int{}
	p, err := newProblem(read(t, text("{shape: round, outside-diameter: 20 mm}", []string{"torque: 9 N·m measure"}, []string{"pair"}, "")))
	if err != nil {
		t.Fatal(err)
	}
	for range 4000 {
		const radius = 0.010
		g := design.Gauge{}
		l, w := 0.004+0.012*r.Float64(), 0.004+0.012*r.Float64()
		g.Backing.Length.SI, g.Backing.Width.SI = l, w
		alpha := math.Pi * r.Float64()
		a := design.Placement{Station: si(0, ""), Around: si(0, ""), Direction: si(alpha, "")}
		p.design = &design.Design{Gauges: []design.Gauge{g}}
		b := a
		b.Station.SI, b.Around.SI = 0.03*(r.Float64()-0.5), 2*math.Pi*r.Float64()
		sin, cos := math.Sincos(alpha)
		want := false
		for turns := -2.0; turns <= 2; turns++ {
			dx, ds := b.Station.SI, (b.Around.SI+2*math.Pi*turns)*radius
			for _, c := range [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
				// Corner of b in the axes of a.
				u := dx*cos + ds*sin + c[0]*l/2
				v := ds*cos - dx*sin + c[1]*w/2
				want = want || math.Abs(u) < l/2-1e-8 && math.Abs(v) < w/2-1e-8
			}
		}
		got := p.overlap([]design.Placement{a, b})
		if got != want {
			t.Fatalf("overlap %v, want %v: %g × %g mm turned %g°, at %g mm, %g°", got, want, l*1e3, w*1e3, alpha/deg, b.Station.SI*1e3, b.Around.SI/deg)
		}
		both[b2i(got)]++
	}
	if both[0] < 500 || both[1] < 500 {
		t.Errorf("%v cases", both)
	}
}

// A backing as long as the girth overlaps itself; four of 11 mm do not fit on a
// girth of 37.7 mm, three do.
func TestRoomOnTheGirth(t *testing.T) {
	d := read(t, text("{shape: round, outside-diameter: 12 mm}", []string{"torque: 9 N·m measure", "bending-y: 1 N·m reject"}, []string{"rosette"}, "pick: {stations: [0 mm, 5 mm]}\n"))
	p, err := newProblem(d)
	if err != nil {
		t.Fatal(err)
	}
	layouts, err := p.layouts()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, l := range layouts {
		if l.rings[0].turn%45 == 0 {
			seen[fmt.Sprint(len(l.rings[0].angles), len(l.rings), l.rings[0].turn != 0)] = true
		}
	}
	for key, want := range map[string]bool{"1 1 false": true, "3 1 false": true, "4 1 false": false, "1 2 false": false} {
		expect(t, "positions, rings, turned "+key, seen[key], want)
	}
	long := *d
	long.Gauges = []design.Gauge{{Backing: design.Backing{Length: si(0.01, ""), Width: si(0.04, "")}}}
	p.design = &long
	if !p.overlap([]design.Placement{{}}) {
		t.Error("a backing of 40 mm round a girth of 37.7 mm does not overlap itself")
	}
}

// Any two rectangles overlap exactly when clipping the one by the other leaves an
// area.
func TestOverlapOfUnlikeBackings(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	d := read(t, text("{shape: round, outside-diameter: 200 mm}", []string{"torque: 9 N·m measure"}, []string{"pair"}, ""))
	p, err := newProblem(d)
	if err != nil {
		t.Fatal(err)
	}
	both := [2]int{}
	for range 4000 {
		var corners [2][][2]float64
		gauges := make([]design.Gauge, 2)
		pls := make([]design.Placement, 2)
		for k := range 2 {
			l, w, a := 0.004+0.02*r.Float64(), 0.004+0.02*r.Float64(), math.Pi*r.Float64()
			x, s := 0.03*(r.Float64()-0.5), 0.03*r.Float64()
			gauges[k].Backing.Length.SI, gauges[k].Backing.Width.SI = l, w
			pls[k] = design.Placement{Gauge: k, Station: si(x, ""), Around: si(s/0.1, ""), Direction: si(a, "")}
			sin, cos := math.Sincos(a)
			for _, c := range [][2]float64{{1, 1}, {1, -1}, {-1, -1}, {-1, 1}} {
				u, v := c[0]*l/2, c[1]*w/2
				corners[k] = append(corners[k], [2]float64{x + u*cos - v*sin, s + u*sin + v*cos})
			}
		}
		area := clippedArea(corners[0], corners[1])
		if area > 0 && area < 1e-10 {
			continue // within the slack
		}
		p.design = &design.Design{Gauges: gauges}
		if got := p.overlap(pls); got != (area > 0) {
			t.Fatalf("overlap %v, common area %g m²: %v", got, area, corners)
		}
		both[b2i(area > 0)]++
	}
	if both[0] < 500 || both[1] < 500 {
		t.Errorf("%v cases", both)
	}
}

// clippedArea is the area that two convex polygons share, by clipping the one at
// every side of the other (Sutherland and Hodgman).
func clippedArea(a, b [][2]float64) float64 {
	cross := func(o, p, q [2]float64) float64 { return (p[0]-o[0])*(q[1]-o[1]) - (p[1]-o[1])*(q[0]-o[0]) }
	turn := 0.0
	for i := range b {
		turn += cross(b[0], b[i], b[(i+1)%len(b)])
	}
	for i := range b {
		from, to := b[i], b[(i+1)%len(b)]
		var kept [][2]float64
		for k := range a {
			p, q := a[k], a[(k+1)%len(a)]
			x, y := cross(from, to, p)*turn, cross(from, to, q)*turn
			if x >= 0 {
				kept = append(kept, p)
			}
			if x*y < 0 {
				f := x / (x - y)
				kept = append(kept, [2]float64{p[0] + f*(q[0]-p[0]), p[1] + f*(q[1]-p[1])})
			}
		}
		a = kept
	}
	area := 0.0
	for i := range a {
		area += cross(a[0], a[i], a[(i+1)%len(a)]) / 2
	}
	return math.Abs(area)
}
