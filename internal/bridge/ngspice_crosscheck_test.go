//go:build crosscheck

package bridge

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// deck collects circuits for one run of ngspice, and what is expected of each.
type deck struct {
	netlist, control strings.Builder
	elements, asked  int
	want             []expected
}

type expected struct {
	what         string
	value, scale float64
}

func (d *deck) element(kind, a, b string, value float64) string {
	d.elements++
	name := fmt.Sprintf("%s%d", kind, d.elements)
	fmt.Fprintf(&d.netlist, "%s %s %s %.17g\n", name, a, b, value)
	return name
}

// ask has ngspice evaluate an expression; the answer must be value within 1e-9 of scale.
func (d *deck) ask(what, expression string, value, scale float64) {
	fmt.Fprintf(&d.control, "let q%d = %s\nprint q%d\n", d.asked, expression, d.asked)
	d.asked++
	d.want = append(d.want, expected{what, value, math.Abs(scale)})
}

// circuit names the nodes of one bridge as an electrician would label them.
type circuit struct {
	arm   [4][2]string // nodes of each arm, in the sense of the ring
	sense [2]string    // where the excitation is held
	node  func(string) string
}

// wire lays out arms and wires as the wiring is described in words, one case at a
// time, independently of network.build.
func (d *deck) wire(id int, w Wiring, arms [4]float64) circuit {
	n := func(s string) string { return fmt.Sprintf("x%d%s", id, s) }
	wire := func(a, b string) { d.element("r", n(a), n(b), w.Each) }
	c := circuit{node: n, sense: [2]string{"ep", "em"}}
	c.arm = [4][2]string{{"ep", "sm"}, {"sm", "em"}, {"em", "sp"}, {"sp", "ep"}}
	switch w.Wires {
	case 4, 6:
		c.arm = [4][2]string{{"pep", "psm"}, {"psm", "pem"}, {"pem", "psp"}, {"psp", "pep"}}
		for _, corner := range []string{"ep", "sm", "em", "sp"} {
			wire(corner, "p"+corner)
		}
		if w.Wires == 6 {
			c.sense = [2]string{"pep", "pem"}
		}
	case 2:
		for k, far := range w.Remote {
			if far {
				wire(c.arm[k][0], "begin")
				wire("end", c.arm[k][1])
				c.arm[k] = [2]string{"begin", "end"}
			}
		}
	case 3:
		switch w.Remote {
		case [4]bool{true, true, false, false}: // shared corner −S
			wire("ep", "a")
			wire("sm", "b")
			wire("em", "c")
			c.arm[0], c.arm[1] = [2]string{"a", "b"}, [2]string{"b", "c"}
		case [4]bool{false, true, true, false}: // −E
			wire("sm", "a")
			wire("em", "b")
			wire("sp", "c")
			c.arm[1], c.arm[2] = [2]string{"a", "b"}, [2]string{"b", "c"}
		case [4]bool{false, false, true, true}: // +S
			wire("em", "a")
			wire("sp", "b")
			wire("ep", "c")
			c.arm[2], c.arm[3] = [2]string{"a", "b"}, [2]string{"b", "c"}
		case [4]bool{true, false, false, true}: // +E
			wire("sp", "a")
			wire("ep", "b")
			wire("sm", "c")
			c.arm[3], c.arm[0] = [2]string{"a", "b"}, [2]string{"b", "c"}
		case [4]bool{true}: // arm 1, completed by arm 2 at −S
			wire("ep", "a")
			wire("b", "sm")
			wire("b", "c")
			c.arm[0], c.arm[1] = [2]string{"a", "b"}, [2]string{"c", "em"}
		case [4]bool{false, true}: // arm 2, completed by arm 1
			wire("em", "a")
			wire("b", "sm")
			wire("b", "c")
			c.arm[1], c.arm[0] = [2]string{"b", "a"}, [2]string{"ep", "c"}
		case [4]bool{false, false, true}: // arm 3, completed by arm 4 at +S
			wire("em", "a")
			wire("b", "sp")
			wire("b", "c")
			c.arm[2], c.arm[3] = [2]string{"a", "b"}, [2]string{"c", "ep"}
		case [4]bool{false, false, false, true}: // arm 4, completed by arm 3
			wire("ep", "a")
			wire("b", "sp")
			wire("b", "c")
			c.arm[3], c.arm[2] = [2]string{"b", "a"}, [2]string{"em", "c"}
		}
	}
	for k, r := range arms {
		d.element("r", n(c.arm[k][0]), n(c.arm[k][1]), r)
	}
	return c
}

func (d *deck) driven(id int, w Wiring, arms [4]float64) (c circuit, source, output, excitation string) {
	c = d.wire(id, w, arms)
	if w.Meter != 0 {
		d.element("r", c.node("sp"), c.node("sm"), w.Meter)
	}
	// The supply floats in ngspice's sense too: its negative end is ground.
	source = d.element("v", c.node("ep"), c.node("em"), 1)
	d.element("v", c.node("em"), "0", 0)
	v := func(a, b string) string { return fmt.Sprintf("(v(%s)-v(%s))", c.node(a), c.node(b)) }
	return c, source, v("sp", "sm"), v(c.sense[0], c.sense[1])
}

func TestNgspiceAgrees(t *testing.T) {
	ngspice, err := exec.LookPath("ngspice")
	if err != nil {
		t.Fatal("ngspice is needed for this check: ", err)
	}
	const seed = 20240611
	random := rand.New(rand.NewPCG(seed, 1))
	between := func(a, b float64) float64 { return a + (b-a)*random.Float64() }

	var d deck
	id := 0
	for range 6 { // of each of the 15 wirings
		for _, w := range wirings() {
			var arms [4]float64
			for k := range arms {
				arms[k] = between(200, 600)
			}
			if w.Wires != 0 {
				w.Each = between(0.1, 20)
			}
			if random.IntN(2) == 0 {
				w.Meter = math.Pow(10, between(2, 9))
			}
			s := solve(t, w, arms)
			name := fmt.Sprintf("%+v %v", w, arms)

			id++
			c, source, output, excitation := d.driven(id, w, arms)
			d.ask(name+" output", output+"/"+excitation, s.Output, s.Output)
			d.ask(name+" input resistance", fmt.Sprintf("-%s/i(%s)", excitation, source), s.InputResistance, s.InputResistance)
			for k, e := range c.arm {
				current := fmt.Sprintf("(v(%s)-v(%s))/%.17g/%s", c.node(e[0]), c.node(e[1]), arms[k], excitation)
				d.ask(fmt.Sprintf("%s current %d", name, k+1), current, s.Current[k], s.Current[k])
			}

			// One ampere in at +S, the supply at zero where it is held, no meter.
			id++
			c = d.wire(id, w, arms)
			d.element("v", c.node(c.sense[0]), c.node(c.sense[1]), 0)
			d.element("v", c.node(c.sense[1]), "0", 0)
			d.element("i", c.node("sm"), c.node("sp"), 1)
			d.ask(name+" output resistance", fmt.Sprintf("v(%s)-v(%s)", c.node("sp"), c.node("sm")), s.OutputResistance, s.OutputResistance)

			// A shunt across every arm, at either end.
			rs := between(5e3, 2e5)
			for k := range 4 {
				for _, end := range []End{AtPart, AtInstrument} {
					got, err := w.Shunted(arms, k+1, rs, end)
					completion := (w.Wires == 2 || w.Wires == 3) && !w.Remote[k]
					if end == AtPart && completion {
						if err == nil {
							t.Fatalf("%s: shunt at the part of arm %d, which is not there", name, k+1)
						}
						continue
					}
					if err != nil {
						t.Fatal(err)
					}
					id++
					c, _, output, excitation := d.driven(id, w, arms)
					across := c.arm[k]
					if end == AtInstrument && !completion {
						across = [4][2]string{{"ep", "sm"}, {"sm", "em"}, {"em", "sp"}, {"sp", "ep"}}[k]
					}
					d.element("r", c.node(across[0]), c.node(across[1]), rs)
					d.ask(fmt.Sprintf("%s shunt %g across arm %d at end %d", name, rs, k+1, end),
						output+"/"+excitation, s.Output+got, s.Output+got)
				}
			}
		}
	}

	file := filepath.Join(t.TempDir(), "bridges.cir")
	text := "bridges\n" + d.netlist.String() + ".control\nset numdgt=15\nop\n" + d.control.String() + "quit\n.endc\n.end\n"
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(ngspice, "-b", file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	answers := regexp.MustCompile(`(?m)^q(\d+) = (\S+)$`).FindAllStringSubmatch(string(out), -1)
	if len(answers) != len(d.want) {
		t.Fatalf("ngspice answered %d of %d questions\n%.2000s", len(answers), len(d.want), out)
	}
	worst := 0.0
	for i, a := range answers {
		got, err := strconv.ParseFloat(a[2], 64)
		if err != nil || a[1] != strconv.Itoa(i) {
			t.Fatalf("answer %d: %q, %v", i, a[0], err)
		}
		e := d.want[i]
		difference := math.Abs(got-e.value) / e.scale
		worst = max(worst, difference)
		if !(difference <= 1e-9) {
			t.Errorf("%s: ngspice %.15g, here %.15g", e.what, got, e.value)
		}
	}
	t.Logf("%d figures of %d networks, largest relative difference %.2g", len(answers), id, worst)
}
