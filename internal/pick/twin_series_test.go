package pick

import (
	"math"
	"math/rand/v2"
	"testing"

	"gridwright/internal/bridge"
	"gridwright/internal/design"
	"gridwright/internal/model"
)

// chain is one bridge of the second brute force, whose arms have any numbers of
// grids in series.
type chain struct {
	naive
	point
}

// chains puts every grid into one of four arms or aside in all ways, solves each
// ring with its leads and meter as a network, and keeps what rests at balance, has
// arms of one resistance, gives all lots no output by what they do alike, and keeps
// the limits. Nothing here knows of dividers or shapes.
func chains(t *testing.T, d *design.Design, p *problem, load, series int, tol *tolerances, m *model.Model, s *model.State) []chain {
	t.Helper()
	n := len(m.Grids)
	lot := func(i int) int { return m.Grids[i].Gauge }
	ohms := func(i int) float64 { return d.Gauges[lot(i)].Resistance[m.Grids[i].Ref.Grid].SI }
	total := 1
	for range n {
		total *= 5
	}
	var out []chain
	weights := make([]float64, n)
	for code := range total {
		var arms [4][]int
		ok := true
		for i, x := 0, code; i < n; i, x = i+1, x/5 {
			if a := x % 5; a < 4 {
				arms[a] = append(arms[a], i)
				ok = ok && len(arms[a]) <= series
			}
		}
		half := len(arms[2]) == 0 && len(arms[3]) == 0
		if !ok || len(arms[0]) == 0 || len(arms[1]) == 0 || !half && (len(arms[2]) == 0 || len(arms[3]) == 0) || half && d.Pick.ForbidFixedArms {
			continue
		}
		// One of the two namings of a full bridge is enough.
		if !half && arms[0][0] > arms[2][0] {
			continue
		}
		var r [4]float64
		for k, arm := range arms {
			for _, i := range arm {
				ok = ok && ohms(i) == ohms(arm[0])
				r[k] += ohms(i)
			}
		}
		if half {
			r[2], r[3] = r[1], r[0]
			ok = ok && ohms(arms[0][0]) == ohms(arms[1][0])
		}
		// Arms that share a divider are of one resistance a grid.
		like := func(a, b int) bool { return ohms(arms[a][0]) == ohms(arms[b][0]) }
		if !ok || !half && !(like(0, 1) && like(2, 3) || r[0] == r[1] && r[0] == r[2] && r[0] == r[3]) && !(len(arms[0]) == len(arms[3]) && like(0, 3) && like(1, 2) && len(arms[0]) == len(arms[1])) {
			continue
		}
		if math.Abs(r[0]*r[2]-r[1]*r[3]) > 1e-9*r[0]*r[2] {
			continue
		}
		w := bridge.Wiring{Wires: d.Leads.Wires, Each: d.Leads.Each.SI, Remote: [4]bool{true, true, true, true}, Meter: d.Instrument.InputResistance.SI}
		var solved bridge.Solution
		if err := w.Solve(r, &solved); err != nil {
			t.Fatal(err)
		}
		clear(weights)
		c := chain{naive: naive{full: !half}}
		y, z, grids := 0.0, 0.0, 0.0
		alike := map[[2]float64]float64{} // by lot and resistance
		for k, arm := range arms {
			for _, i := range arm {
				weights[i] = solved.Weight[k] * ohms(i)
				alike[[2]float64{float64(lot(i)), ohms(i)}] += weights[i]
				c.used |= 1 << i
				around := d.Placements[m.Grids[i].Ref.Placement].Around.SI
				y, z, grids = y+math.Cos(around), z+math.Sin(around), grids+1
			}
		}
		for _, x := range alike {
			ok = ok && math.Abs(x) < 1e-9
		}
		var response [maxLoads]float64
		capacity := 0.0
		for i, x := range weights {
			for j := range m.Components {
				response[j] += x * s.Row(i, j) * math.Abs(m.Rated[j])
			}
			capacity += math.Abs(x * s.Row(i, load) * m.Rated[load])
		}
		own := response[load]
		if !ok || own <= 1e-12 || own < 0.02*capacity {
			continue
		}
		for j := range m.Components {
			ok = ok && (j == load || math.Abs(response[j]) <= p.crosstalk*(1+1e-9)*own+1e-9*own)
		}
		if !ok {
			continue
		}
		c.output = own
		c.opposite = math.Hypot(y, z) < 1e-6*grids || !oneSided(p.component(load))
		c.crosstalk95, _ = tol.crosstalk95(weights, load)
		c.gradient, c.relative = tol.gradientZero(weights, load), p.relative(own)
		out = append(out, c)
	}
	return out
}

// With arms of different numbers in series the search finds, of every combination
// of full and half bridges, what the brute force finds, and its Pareto front lacks
// nothing that any choice of the brute force has.
func TestBruteForceTwinInSeries(t *testing.T) {
	r := rand.New(rand.NewPCG(26, 12))
	problems, solved, fronts, series3 := 0, 0, 0, 0
	for problems < 130 {
		source := randomProblem(r)
		d := read(t, source)
		if r.IntN(3) == 0 {
			d.Leads = design.Leads{Wires: 4, Each: si(2, "leads.each")}
		}
		grids := 0
		for _, pl := range d.Placements {
			grids += len(d.Gauges[pl.Gauge].Directions)
		}
		if grids > 7 || grids < 3 {
			continue
		}
		problems++
		series := 2 + r.IntN(3)
		p, err := newProblem(d)
		if err != nil {
			t.Fatal(err)
		}
		one := *d
		one.Bridges = nil
		m, err := model.Compile(&one)
		if err != nil {
			t.Fatal(err)
		}
		s := m.NewState()
		if err := m.Set(m.Nominal, s); err != nil {
			t.Fatal(err)
		}
		tol, err := newTolerances(m, s)
		if err != nil {
			t.Fatal(err)
		}
		var lists [][]chain
		var plain [][]naive
		for _, load := range p.measured {
			l := chains(t, d, p, load, series, tol, m, s)
			lists = append(lists, l)
			var n []naive
			for _, c := range l {
				n = append(n, c.naive)
			}
			plain = append(plain, n)
		}
		out := find(t, d, Options{All: true, Series: series})
		expect(t, "proof", out.Proof, Exhaustive)
		for kinds := range 1 << len(plain) {
			full := make([]bool, len(plain))
			for c := range full {
				full[c] = kinds>>c&1 == 1
			}
			opposite, want, exists := twin(plain, full, p.bends)
			got, found := bestOf(out, p, full)
			if exists != (found != nil) {
				t.Errorf("full %v: the twin has one: %v, the search: %v", full, exists, found != nil)
			} else if exists && (math.Abs(got/want-1) > 2e-6 || found.Metrics.Opposite != opposite) {
				t.Errorf("full %v: output %g, opposite %v; the twin's %g, %v", full, got, found.Metrics.Opposite, want, opposite)
			}
			if exists {
				solved++
				for _, b := range found.Design.Bridges {
					for _, a := range b.Arms {
						series3 += b2i(len(a.Grids) > 1)
					}
				}
			}
		}
		fronts += compareFronts(t, out, lists)
		if t.Failed() {
			t.Fatalf("problem %d, up to %d in series:\n%s", problems, series, source)
		}
	}
	t.Logf("%d combinations solved in %d problems, %d points held against fronts, %d arms in series", solved, problems, fronts, series3)
	if solved < 60 || fronts < 1000 || series3 < 10 {
		t.Errorf("too little is tested")
	}
}

// compareFronts holds every disjoint choice against the members of the front: one
// of them is as good in all, but for what counts as equal, twice over, since the
// front is drawn level by level and then thinned.
func compareFronts(t *testing.T, out *Outcome, lists [][]chain) (held int) {
	t.Helper()
	var front []point
	for _, c := range out.Candidates {
		if c.Pareto {
			relative := math.Inf(1)
			for i := range c.Result.Bridges {
				b := &c.Result.Bridges[i]
				relative = math.Min(relative, b.Sensitivity[b.Target]*math.Abs(c.Result.Model.Rated[b.Target]))
			}
			front = append(front, point{0, c.Metrics.Crosstalk95.Value, c.Metrics.GradientZero.Value, relative})
		}
	}
	for i := range front {
		for k := range front {
			a, b := front[i], front[k]
			if i != k && a.crosstalk95 <= b.crosstalk95*(1-2*near)-2*nothing && a.gradient <= b.gradient*(1-2*near)-2*nothing && a.relative > b.relative*(1+2*near) {
				t.Errorf("%+v of the front is beaten by %+v in everything", b, a)
			}
		}
	}
	var walk func(c int, used uint64, so point)
	walk = func(c int, used uint64, so point) {
		if held > 20000 {
			return
		}
		if c < len(lists) {
			for i := range lists[c] {
				b := &lists[c][i]
				if b.used&used == 0 {
					walk(c+1, used|b.used, point{0, math.Max(so.crosstalk95, b.crosstalk95), math.Max(so.gradient, b.gradient), math.Min(so.relative, b.relative)})
				}
			}
			return
		}
		held++
		for _, a := range front {
			if a.crosstalk95 <= so.crosstalk95*(1+3*near)+3*nothing && a.gradient <= so.gradient*(1+3*near)+3*nothing && a.relative*(1+3*near) >= so.relative {
				return
			}
		}
		t.Errorf("no member of the front is as good as %+v: %+v", so, front)
	}
	walk(0, 0, point{relative: math.Inf(1)})
	return held
}
