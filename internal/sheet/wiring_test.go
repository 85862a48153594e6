package sheet

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/layout"
	"gridwright/internal/quantity"
)

// joined are points that wires connect.
type joined map[string]string

func (j joined) root(p string) string {
	for j[p] != "" {
		p = j[p]
	}
	return p
}

func (j joined) join(a, b string) {
	if a, b = j.root(a), j.root(b); a != b {
		j[a] = b
	}
}

// netlist joins what a wiring list solders together.
func netlist(list wiringList) joined {
	j := joined{}
	for _, c := range list.connections {
		j.join(c.from, c.to)
	}
	return j
}

// output of the network that the wiring list makes: every element between its
// two ends, one volt between the instrument's supply terminals, by node voltages
// (Kirchhoff's laws, independent of the order of arms). Wires have no resistance.
func output(t interface{ Fatalf(string, ...any) }, list wiringList, ohm map[string]float64) float64 {
	net := netlist(list)
	index := map[string]int{}
	node := func(p string) int {
		r := net.root(p)
		if _, ok := index[r]; !ok {
			index[r] = len(index)
		}
		return index[r]
	}
	plus, minus := node("instrument +E"), node("instrument −E")
	up, down := node("instrument +S"), node("instrument −S")
	type branch struct {
		a, b int
		g    float64
	}
	var all []branch
	for _, arm := range list.arms {
		for _, e := range arm {
			all = append(all, branch{node(e.end("a")), node(e.end("b")), 1 / ohm[e.name]})
		}
	}
	n := len(index)
	g, rhs := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	for _, b := range all {
		g.Set(b.a, b.a, g.At(b.a, b.a)+b.g)
		g.Set(b.b, b.b, g.At(b.b, b.b)+b.g)
		g.Set(b.a, b.b, g.At(b.a, b.b)-b.g)
		g.Set(b.b, b.a, g.At(b.b, b.a)-b.g)
	}
	for _, fixed := range []struct {
		node  int
		volts float64
	}{{plus, 1}, {minus, 0}} {
		for k := range n {
			g.Set(fixed.node, k, 0)
		}
		g.Set(fixed.node, fixed.node, 1)
		rhs.SetVec(fixed.node, fixed.volts)
	}
	var v mat.VecDense
	if err := v.SolveVec(g, rhs); err != nil {
		t.Fatalf("the wiring leaves a point open: %v", err)
	}
	return v.AtVec(up) - v.AtVec(down)
}

// ring is V/E of the four arms in the order of the design,
// R3/(R3+R4) − R2/(R1+R2).
func ring(d *dossier.Dossier, b int, ohm map[string]float64) float64 {
	var r [4]float64
	for k, a := range d.Design.Bridges[b].Arms {
		if a.Fixed() {
			r[k] = ohm[fmt.Sprintf("resistor %d", k+1)]
		}
		for _, g := range a.Grids {
			r[k] += ohm[d.Design.GridName(g)]
		}
	}
	return r[2]/(r[2]+r[3]) - r[1]/(r[0]+r[1])
}

// TestWiringMakesTheBridge: the list, soldered as it says, is the ring of the
// design; every end appears once; the leads are as many as the design says.
func TestWiringMakesTheBridge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		d := randomDossier(t, seed)
		r := rand.New(rand.NewPCG(seed, 3))
		for b := range d.Result.Bridges {
			list := wire(d, layout.Words{}, b)
			ends, leads := map[string]int{}, 0
			for _, c := range list.connections {
				ends[c.from]++
				ends[c.to]++
				if strings.HasPrefix(c.what, "lead") {
					leads++
				}
			}
			ohm := map[string]float64{}
			for k, arm := range list.arms {
				if a := d.Design.Bridges[b].Arms[k]; !a.Fixed() && len(arm) != len(a.Grids) {
					t.Errorf("seed %d: arm %d has %d grids, listed are %d", seed, k+1, len(a.Grids), len(arm))
				}
				for _, e := range arm {
					ohm[e.name] = 100 + 900*r.Float64()
					for _, end := range []string{"a", "b"} {
						if n := ends[e.end(end)]; n != 1 {
							t.Errorf("seed %d, bridge %d: end %s is soldered %d times", seed, b, e.end(end), n)
						}
					}
				}
			}
			if w := d.Design.Bridges[b].Leads.Wires; w > 0 && leads != w {
				t.Errorf("seed %d, bridge %d: %d leads, the design has %d wires", seed, b, leads, w)
			}
			got, want := output(t, list, ohm), ring(d, b, ohm)
			if math.Abs(got-want) > 1e-12 {
				t.Errorf("seed %d, bridge %d: the wiring gives %.9f V/V, the ring %.9f\n%v", seed, b, got, want, list.connections)
			}
			net := netlist(list)
			for i, c := range corners {
				for _, o := range corners[:i] {
					if net.root("instrument "+c) == net.root("instrument "+o) {
						t.Errorf("seed %d, bridge %d: %s and %s are short-circuited", seed, b, c, o)
					}
				}
			}
		}
	})
}

// TestWiringQuarter: three wires reach one grid: two leads at its signal end, so
// that the wire resistances of the arm and its neighbour cancel (common practice).
func TestWiringQuarter(t *testing.T) {
	for arm, signal := range [4]string{"−S", "−S", "+S", "+S"} {
		d := readExample(t)
		d.Design.Shunts = nil
		db := &d.Design.Bridges[1]
		grid := db.Arms[0]
		fixed := db.Arms[2]
		db.Arms = [4]design.Arm{fixed, fixed, fixed, fixed}
		db.Arms[arm] = grid
		db.Leads = design.Leads{Wires: 3, Each: db.Leads.Each, AtInstrument: true}
		m, err := predicted(d)
		if err != nil {
			t.Fatal(err)
		}
		count := 0
		for _, c := range wire(m, layout.Words{}, 1).connections {
			if c.what == "lead" && c.from == "corner "+signal {
				count++
			}
		}
		if count != 2 {
			t.Errorf("arm %d: %d leads at corner %s, want 2", arm+1, count, signal)
		}
	}
}

// TestPolarity: of the example's torque bridge a positive torque stretches the
// +45° grids A3 and B3, which stand in arms 1 and 3 (a positive
// torque stretches a line at +45° from +x toward growing φ, Mohr's circle).
func TestPolarity(t *testing.T) {
	d := readExample(t)
	b := newBook(d, layout.Words{Sys: quantity.SI}, a4)
	if got, want := b.polarity(0), "positive torque raises arm 1 and 3, lowers arm 2 and 4; the output rises"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	arms := &d.Design.Bridges[0].Arms
	arms[0], arms[1], arms[2], arms[3] = arms[1], arms[0], arms[3], arms[2]
	turned, err := predicted(d)
	if err != nil {
		t.Fatal(err)
	}
	b = newBook(turned, layout.Words{Sys: quantity.SI}, a4)
	if got, want := b.polarity(0), "positive torque raises arm 2 and 4, lowers arm 1 and 3; the output FALLS"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A column rated in compression: a positive load, tension, shortens the grids
// across it, so the arms that hold them fall and the output with them; at the
// rated load it rises.
func TestPolarityOfACompressedColumn(t *testing.T) {
	text, err := os.ReadFile("../../designs/press-column.yaml")
	if err != nil {
		t.Fatal(err)
	}
	plan, err := designfile.Read("press-column.yaml", text)
	if err != nil {
		t.Fatal(err)
	}
	d, err := dossier.Of("press-column.yaml", text, plan)
	if err != nil {
		t.Fatal(err)
	}
	b := newBook(d, layout.Words{Sys: quantity.SI}, a4)
	want := "positive axial raises arm 2 and 4, lowers arm 1 and 3; the output FALLS, and at the negative rated load it rises"
	if got := b.polarity(0); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
