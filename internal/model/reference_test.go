package model_test

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/integrate/quad"

	"gridwright/internal/design"
)

// An independent model: the strain field integrated over every grid point by point and
// the bridge solved as a network of complex resistors, so that the derivative by a
// load is the imaginary part of a complex step, exact to rounding. It follows the
// equations of the field, not the code.

type refGrid struct {
	station, around, direction float64 // of the placement
	angle                      float64 // of the grid in its pattern, clockwise
	along, across              float64 // its centre in the pattern
	length, width              float64
	ohm, factor, kt, drift     float64
	standOff                   float64
	layer                      bool
	layerAlpha, layerNu        float64
	poly                       []float64
	fahrenheit                 bool
	fi, lotAlpha               float64
}

type refArm struct {
	grids    []int
	ohm, tcr float64
}

type refBridge struct {
	measures     int
	arms         [4]refArm
	wires        int
	each         float64
	atInstrument bool
	follow       bool
}

type refPart struct {
	b, a               float64 // radii
	open               bool
	e, nu, g           float64
	alpha, ed, gd      float64
	t0                 float64
	meter              float64
	components         []design.Component
	rated              []float64
	grids              []refGrid
	bridges            []refBridge
	across, toward, dx float64 // gradient
}

// centre of a grid: φ, x, and its direction.
func (p *refPart) centre(g *refGrid) (x, phi, alpha float64) {
	s, c := math.Sincos(g.direction)
	x = g.station + g.along*c - g.across*s
	phi = g.around + (g.along*s+g.across*c)/p.b
	return x, phi, g.direction + g.angle
}

// strains along and across grid g for a unit of a component, with moduli e and gg.
func (p *refPart) strains(g *refGrid, comp design.Component, e, gg float64) (along, across float64) {
	x0, phi0, alpha := p.centre(g)
	sin, cos := math.Sincos(alpha)
	area := math.Pi * (p.b*p.b - p.a*p.a)
	i := math.Pi * (math.Pow(p.b, 4) - math.Pow(p.a, 4)) / 4
	k := ((3+2*p.nu)*p.a*p.a + (1+2*p.nu)*p.b*p.b) / (4 * (1 + p.nu) * i)
	lift := (p.b + g.standOff) / p.b
	point := func(u, v float64) (float64, float64) {
		x := x0 + u*cos - v*sin
		phi := phi0 + (u*sin+v*cos)/p.b
		y, z := p.b*math.Cos(phi), p.b*math.Sin(phi)
		var sx, sp, tau float64
		bend := func(my, mz float64) float64 { return (my*z - mz*y) / i * lift }
		switch comp {
		case design.Axial:
			sx = 1 / area
		case design.Torque:
			tau = p.b / (2 * i) * lift
		case design.BendingY:
			sx = bend(1, 0)
		case design.BendingZ:
			sx = bend(0, 1)
		case design.ShearY: // dMz/dx = −Vy
			sx, tau = bend(0, -x), -k*math.Sin(phi)
		case design.ShearZ: // dMy/dx = Vz
			sx, tau = bend(x, 0), k*math.Cos(phi)
		case design.Pressure:
			sp = 2 * p.a * p.a / (p.b*p.b - p.a*p.a)
			if !p.open {
				sx = sp / 2
			}
		}
		ex, ep, gamma := (sx-p.nu*sp)/e, (sp-p.nu*sx)/e, tau/gg
		return ex*cos*cos + ep*sin*sin + gamma*sin*cos, ex*sin*sin + ep*cos*cos - gamma*sin*cos
	}
	const n = 10
	mean := func(pick func(u, v float64) float64) float64 {
		return quad.Fixed(func(u float64) float64 {
			return quad.Fixed(func(v float64) float64 { return pick(u, v) }, -g.width/2, g.width/2, n, nil, 0)
		}, -g.length/2, g.length/2, n, nil, 0) / (g.length * g.width)
	}
	along = mean(func(u, v float64) float64 { a, _ := point(u, v); return a })
	across = mean(func(u, v float64) float64 { _, a := point(u, v); return a })
	return along, across
}

// field is the order of the strain under a grid for a unit of a component: over the
// girth at the largest station that it reaches.
func (p *refPart) field(g *refGrid, comp design.Component) float64 {
	x, _, _ := p.centre(g)
	i := math.Pi * (math.Pow(p.b, 4) - math.Pow(p.a, 4)) / 4
	area := math.Pi * (p.b*p.b - p.a*p.a)
	switch comp {
	case design.Axial:
		return 1 / area / p.e
	case design.Torque:
		return p.b / (2 * i) / p.g
	case design.ShearY, design.ShearZ:
		return (math.Abs(x)+g.length+g.width)*p.b/i/p.e + 1/area/p.g
	case design.Pressure:
		return 2 * p.a * p.a / (p.b*p.b - p.a*p.a) / p.e
	}
	return p.b / i / p.e
}

// change is ΔR/R of a grid from unit strains.
func (g *refGrid) change(along, across float64) float64 {
	return g.factor / (1 - 0.285*g.kt) * (along + g.kt*across)
}

// thermal is ΔR/R of a grid at kelvin t without load.
func (p *refPart) thermal(g *refGrid, t float64) float64 {
	d := t - p.t0
	out := 0.0
	if g.poly != nil {
		at := func(k float64) float64 {
			c := k - 273.15
			if g.fahrenheit {
				c = c*1.8 + 32
			}
			sum := 0.0
			for n, a := range g.poly {
				sum += a * math.Pow(c, float64(n))
			}
			return sum
		}
		out = g.fi*(at(t)-at(p.t0))*1e-6 + g.factor*(1+g.kt)/(1-0.285*g.kt)*(p.alpha-g.lotAlpha)*d
	}
	if g.layer {
		_, _, alpha := p.centre(g)
		k := g.standOff / p.b * (1 + g.layerNu) / (1 - g.layerNu) * (g.layerAlpha - p.alpha) * d
		s, c := math.Sincos(alpha)
		out += g.change(k*s*s, k*c*c)
	}
	return out
}

// output is V/E of a bridge with the part at kelvin t under loads (in the order of
// the components; complex for a derivative). gradient and zero switch the
// temperature field and the thermal output on.
func (p *refPart) output(b *refBridge, loads []complex128, t float64, gradient, zero bool) complex128 {
	d := t - p.t0
	e := p.e * (1 + p.ed*d)
	gg := p.g * (1 + p.gd*d)
	var arms [4]complex128
	for k, arm := range b.arms {
		if len(arm.grids) == 0 {
			r := arm.ohm
			if !b.atInstrument && zero {
				r *= 1 + arm.tcr*d
			}
			arms[k] = complex(r, 0)
		}
		for _, i := range arm.grids {
			g := &p.grids[i]
			x, phi, _ := p.centre(g)
			own := t
			if gradient {
				own += p.across/2*math.Cos(phi-p.toward) + p.dx*x
			}
			change := complex(0, 0)
			if zero {
				change = complex(p.thermal(g, own), 0)
			}
			for j, comp := range p.components {
				if loads[j] == 0 {
					continue
				}
				power := 2.0
				switch comp {
				case design.Torque, design.BendingY, design.BendingZ:
					power = 3
				case design.Pressure:
					power = 0
				}
				la, lc := p.strains(g, comp, e, gg)
				c := g.change(la, lc) * (1 + g.drift*(own-p.t0)) / math.Pow(1+p.alpha*d, power)
				change += loads[j] * complex(c, 0)
			}
			arms[k] += complex(g.ohm, 0) * (1 + change)
		}
	}
	r := b.each
	if b.follow {
		r *= 1 + 0.00393*d
	}
	return ring(arms, b, r, p.meter)
}

// sensitivity is d(V/E)/dF at no load at kelvin t, thermal output left out, by a complex
// step.
func (p *refPart) sensitivity(b *refBridge, j int, t float64) float64 {
	loads := make([]complex128, len(p.components))
	h := 1e-20 * p.rated[j]
	loads[j] = complex(0, h)
	return imag(p.output(b, loads, t, false, false)) / h
}

// ring wires the bridge as the drawing of the field has it and solves it: nodes 0..3 are
// the instrument's terminals E+, S−, E−, S+.
func ring(arms [4]complex128, b *refBridge, each, meter float64) complex128 {
	var n net
	n.nodes = 4
	wire := complex(each, 0)
	instrument := func(c int) int { return c }
	signal := [2]int{1, 3} // where the meter sits
	var ends [4][2]int
	for k := range ends {
		ends[k] = [2]int{instrument(k), instrument((k + 1) % 4)}
	}
	remote := func(k int) bool { return len(b.arms[k].grids) > 0 }
	senseA, senseB := 0, 2
	switch {
	case b.wires == 4 || b.wires == 6:
		var corner [4]int
		for c := range corner {
			corner[c] = n.node()
			n.join(corner[c], c, wire)
		}
		for k := range ends {
			ends[k] = [2]int{corner[k], corner[(k+1)%4]}
		}
		if b.wires == 6 {
			senseA, senseB = corner[0], corner[2]
		}
	case b.wires == 2:
		for k := range ends {
			if remote(k) {
				i, o := n.node(), n.node()
				n.join(ends[k][0], i, wire)
				n.join(o, ends[k][1], wire)
				ends[k] = [2]int{i, o}
			}
		}
	case b.wires == 3:
		first, count := -1, 0
		for k := range ends {
			if remote(k) {
				count++
				if !remote((k + 3) % 4) {
					first = k
				}
			}
		}
		if count == 2 {
			a, shared, c := n.node(), n.node(), n.node()
			n.join(first, a, wire)
			n.join((first+1)%4, shared, wire)
			n.join((first+2)%4, c, wire)
			ends[first] = [2]int{a, shared}
			ends[(first+1)%4] = [2]int{shared, c}
		} else {
			supply, hot := n.node(), n.node() // the arm's ends at the part
			k := first
			switch k {
			case 0: // E+ to S−, neighbour 1 begins at S−
				ends[0] = [2]int{supply, hot}
				n.join(0, supply, wire)
				end := n.node()
				n.join(hot, end, wire)
				ends[1][0] = end
				n.join(hot, 1, wire)
			case 1: // S− to E−, neighbour 0 ends at S−
				ends[1] = [2]int{hot, supply}
				n.join(2, supply, wire)
				end := n.node()
				n.join(hot, end, wire)
				ends[0][1] = end
				n.join(hot, 1, wire)
			case 2: // E− to S+, neighbour 3 begins at S+
				ends[2] = [2]int{supply, hot}
				n.join(2, supply, wire)
				end := n.node()
				n.join(hot, end, wire)
				ends[3][0] = end
				n.join(hot, 3, wire)
			case 3: // S+ to E+, neighbour 2 ends at S+
				ends[3] = [2]int{hot, supply}
				n.join(0, supply, wire)
				end := n.node()
				n.join(hot, end, wire)
				ends[2][1] = end
				n.join(hot, 3, wire)
			}
		}
	}
	for k, e := range ends {
		n.join(e[0], e[1], arms[k])
	}
	if meter > 0 {
		n.join(signal[0], signal[1], complex(meter, 0))
	}
	v := n.solve(0, 2)
	return (v[signal[1]] - v[signal[0]]) / (v[senseA] - v[senseB])
}

type resistor struct {
	a, b int
	ohm  complex128
}

type net struct {
	nodes int
	parts []resistor
}

func (n *net) node() int { n.nodes++; return n.nodes - 1 }

func (n *net) join(a, b int, ohm complex128) { n.parts = append(n.parts, resistor{a, b, ohm}) }

// solve gives all node voltages for one volt between plus and minus. The unknowns are
// the voltages and the current of every resistor (in amperes times 350 Ω, so that all
// are of one order): with Ohm's law as an equation of its own no small resistor makes a
// large conductance, which would cost digits beside a large one.
func (n *net) solve(plus, minus int) []complex128 {
	const unit = 350
	size := n.nodes + len(n.parts)
	m := make([][]complex128, size)
	for i := range m {
		m[i] = make([]complex128, size+1)
	}
	for k, r := range n.parts {
		i := n.nodes + k
		m[r.a][i] = 1 // Kirchhoff's current law at both ends
		m[r.b][i] = -1
		m[i][r.a], m[i][r.b], m[i][i] = 1, -1, -r.ohm/unit
	}
	for node, volts := range map[int]complex128{plus: 1, minus: 0} {
		clear(m[node])
		m[node][node] = 1
		m[node][size] = volts
	}
	for c := range size {
		p := c
		for r := c; r < size; r++ {
			if cmplx.Abs(m[r][c]) > cmplx.Abs(m[p][c]) {
				p = r
			}
		}
		m[c], m[p] = m[p], m[c]
		for r := range size {
			if r == c || m[r][c] == 0 {
				continue
			}
			f := m[r][c] / m[c][c]
			for j := c; j <= size; j++ {
				m[r][j] -= f * m[c][j]
			}
		}
	}
	out := make([]complex128, n.nodes)
	for i := range out {
		out[i] = m[i][size] / m[i][i]
	}
	return out
}
