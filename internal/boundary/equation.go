package boundary

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"
)

// Fields are the tangential stresses of the five problems that make up every
// load, along growing arc length of the outer loop, or the integrals of them:
//
//	Torsion  curl 2, no divergence         Gθ' = 1
//	PullY    divergence −y                 A of the package comment
//	PullZ    divergence −z                 B
//	TurnY    curl −z                       κA
//	TurnZ    curl y                        κB
type Fields [5]float64

// The members of Fields.
const (
	Torsion = iota
	PullY
	PullZ
	TurnY
	TurnZ
)

// equation is the discretised problem: one row for each point of each panel.
type equation struct {
	loops  []Loop
	panels []panel
	area   float64 // of the section

	at, tangent []complex128 // of the points
	speed       []float64    // |d point/du|
	weight      []float64    // of the rule
	shape       []float64    // of the density, panel.shape
	basis       [mostPoints]float64
}

// perTurn is the accuracy asked of a panel's own points.
const perTurn = 1e10

func newEquation(loops []Loop, panels []panel, n int, area float64) *equation {
	q := &equation{loops: loops, panels: panels, area: area,
		at: make([]complex128, n), tangent: make([]complex128, n),
		speed: make([]float64, n), weight: make([]float64, n), shape: make([]float64, n)}
	for k := range panels {
		p := &panels[k]
		s, g := &loops[p.loop][p.side], gauss(p.count)
		for j, u := range g.x {
			t, dt := p.at(u)
			v := s.Velocity(t)
			a := cmplx.Abs(v)
			i := p.first + j
			q.at[i], q.tangent[i], q.speed[i], q.weight[i] = s.At(t), v/complex(a, 0), a*dt, g.w[j]
			q.shape[i] = p.shape(u)
		}
	}
	return q
}

// solve returns the densities μ = (tangential stress)·|d point/du| of the five
// fields at every point, ok false when an equation is singular to the last digit.
//
// With d = η − ζ, the row of the point ζ with unit tangent t and outward normal n is
//
//	½τ(ζ) + (1/2π) ∮ n·(ζ−η)/|d|² τ ds = −Re (t/π) ∫∫ P/d dA
//
// P = ½ div τ − ½ i curl τ. For linear P the area integral is one along the outline
// of functions that stay bounded: with M₁ = ∮ d̄/d dη, M₂ = ∮ d̄ dη = 2i·area and
// M₃ = ∮ d̄²/d dη it is, of 1, y and z,
//
//	M₁/2i,  (y_ζ M₁ + M₂/2 + M₃/4)/2i,  (z_ζ M₁ + (M₂ − M₃/2)/2i)/2i.
//
// A hole leaves a flow round it free; its circulation is that of the curl
// continued into the hole, which makes the warping return to itself. Mirror axes
// along y and z through the centroid split the matrix into smaller ones.
func (q *equation) solve() ([][5]float64, bool) {
	n := len(q.at)
	m := q.mirrors()
	rows := make([]float64, len(m.first)*n)
	right := make([]Fields, len(m.first))
	flow := q.circulations()
	k := 0
	for r, i := range m.first {
		for k+1 < len(q.panels) && q.panels[k+1].first <= i {
			k++
		}
		p := &q.panels[k]
		row := rows[r*n : (r+1)*n]
		m1, m3 := q.fill(i, p, row)
		for j := range row {
			row[j] *= q.speed[i]
		}
		row[i] += 0.5
		q.rightSide(i, m1, m3, &right[r])
		if p.loop > 0 {
			c := &flow[p.loop]
			for j := c.first; j < c.last; j++ {
				row[j] += q.speed[i] * q.weight[j] / c.length
			}
			for f, v := range c.flow {
				right[r][f] += q.speed[i] * v / c.length
			}
		}
	}
	density := make([][5]float64, n)
	for _, fields := range m.blocks() {
		if !q.solveBlock(m, fields, rows, right, density) {
			return nil, false
		}
	}
	return density, true
}

// solveBlock solves for fields that are alike under the mirrors.
func (q *equation) solveBlock(m *mirrors, fields []int, rows []float64, right []Fields, density [][5]float64) bool {
	n := len(q.at)
	sign := m.signs(fields[0])
	column := make([]int, n) // of a point's unknown, −1 where symmetry makes it 0
	var free []int           // of the first points, those whose unknown is not 0
	for r, i := range m.first {
		vanishes := false
		for g, image := range m.image {
			vanishes = vanishes || (image[i] == i && sign[g] < 0)
		}
		c := -1
		if !vanishes {
			c = len(free)
			free = append(free, r)
		}
		for _, image := range m.image {
			column[image[i]] = c
		}
	}
	factor := make([]float64, n)
	for _, i := range m.first {
		for g, image := range m.image {
			factor[image[i]] = sign[g]
		}
	}
	size := len(free)
	a, b := mat.NewDense(size, size, nil), mat.NewDense(size, len(fields), nil)
	for k, r := range free {
		to := a.RawRowView(k)
		for j, v := range rows[r*n : (r+1)*n] {
			if c := column[j]; c >= 0 {
				to[c] += factor[j] * v
			}
		}
		for l, f := range fields {
			b.Set(k, l, right[r][f])
		}
	}
	var lu mat.LU
	lu.Factorize(a)
	x := mat.NewDense(size, len(fields), nil)
	if err := lu.SolveTo(x, false, b); err != nil {
		if _, ill := err.(mat.Condition); !ill {
			return false
		}
	}
	for _, v := range x.RawMatrix().Data {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	for j, c := range column {
		if c >= 0 {
			for l, f := range fields {
				density[j][f] = factor[j] * x.At(c, l)
			}
		}
	}
	return true
}

func (q *equation) rightSide(i int, m1, m3 complex128, b *Fields) {
	z, m2 := q.at[i], complex(0, 2*q.area)
	t := q.tangent[i] * complex(q.speed[i], 0)
	y1 := complex(real(z), 0)*m1 + m2/2 + m3/4
	z1 := complex(imag(z), 0)*m1 + (m2-m3/2)/2i
	b[Torsion] = real(t*m1) / (2 * math.Pi)
	b[PullY] = imag(t*y1) / (4 * math.Pi)
	b[PullZ] = imag(t*z1) / (4 * math.Pi)
	b[TurnY] = -real(t*z1) / (4 * math.Pi)
	b[TurnZ] = real(t*y1) / (4 * math.Pi)
}

// circulation of a hole: its points, its length and ∮τ·ds of each field along it.
type circulation struct {
	first, last int
	length      float64
	flow        Fields
}

// circulations are ∮τ·ds = −∫ curl τ dA over each hole; the outer loop has none.
func (q *equation) circulations() []circulation {
	out := make([]circulation, len(q.loops))
	for h := 1; h < len(q.loops); h++ {
		c := &out[h]
		c.first = len(q.at)
		for k := range q.panels {
			if p := &q.panels[k]; p.loop == h {
				c.first, c.last = min(c.first, p.first), max(c.last, p.first+p.count)
			}
		}
		var m moments
		m.add(q.loops[h], 0) // a hole runs clockwise: its moments are negative
		c.length = q.loops[h].Length()
		c.flow[Torsion], c.flow[TurnY], c.flow[TurnZ] = 2*m.a, -m.z, m.y
	}
	return out
}

// fill sets the row of point i to weight·(1/2π) n·(ζ−η)/|d|² for the density of
// each point, and returns M₁ and M₃ of the outline about the point.
func (q *equation) fill(i int, own *panel, row []float64) (m1, m3 complex128) {
	z, t := q.at[i], q.tangent[i]
	normal := complex(imag(t), -real(t))
	bend := 0.0
	for l := range q.loops {
		for j := range q.loops[l] {
			if s := &q.loops[l][j]; s.Straight() {
				a, b := straightMoments(s, z)
				m1 += a
				m3 += b
			}
		}
	}
	for k := range q.panels {
		p := &q.panels[k]
		s := &q.loops[p.loop][p.side]
		same := p.loop == own.loop && p.side == own.side
		switch {
		case same && s.Straight():
			continue // the kernel vanishes along a line
		case same:
			q.alongSame(i, p, s, normal, row, &m1, &m3)
		case own.drawn && p.drawn && p.loop == own.loop:
			q.plain(z, normal, p, s, row, &m1, &m3)
			bend += q.missing(z, p, s)
		case cmplx.Abs(z-p.centre) < p.radius*reachOf(p):
			q.near(z, normal, p, s, row, &m1, &m3)
		default:
			q.plain(z, normal, p, s, row, &m1, &m3)
		}
	}
	row[i] += bend / q.speed[i]
	return m1, m3
}

// missing is what the points of a panel leave out of the flux through it of a
// source at z, the angle in which z sees it over 2π. Added to the diagonal it is
// the curvature that a curve drawn in straight sides has between them: all flux
// is then accounted for, and the sides serve as samples of the smooth curve.
func (q *equation) missing(z complex128, p *panel, s *Segment) float64 {
	flux := cmplx.Phase((s.At(p.hi)-z)/(s.At(p.lo)-z)) / (2 * math.Pi)
	for j := p.first; j < p.first+p.count; j++ {
		d, t := q.at[j]-z, q.tangent[j]
		flux -= q.weight[j] * q.speed[j] * (imag(t)*real(d) - real(t)*imag(d)) / (2 * math.Pi * (real(d)*real(d) + imag(d)*imag(d)))
	}
	return flux
}

// reachOf is how many half lengths from its middle a panel's own points do not
// integrate a kernel well enough: the ellipse on which ρ^(2·points) is the accuracy.
func reachOf(p *panel) float64 {
	rho := min(math.Pow(perTurn, 1/(2*float64(p.count))), 6)
	f := (rho + 1/rho) / 2
	if p.m > 1 || p.n > 1 {
		f *= 1.7
	}
	return f + 0.05
}

// straightMoments are ∫ d̄/d dη and ∫ d̄²/d dη along a straight side; with
// d = τ(s − w),
//
//	∫ d̄/d dη  = τ̄ [L + (w − w̄) ln((L−w)/(−w))]
//	∫ d̄²/d dη = τ̄² [(s−w)²/2 + 2(w−w̄)s + (w−w̄)² ln(s−w)] from 0 to L
func straightMoments(s *Segment, z complex128) (m1, m3 complex128) {
	v := s.To - s.From
	length := cmplx.Abs(v)
	tc := cmplx.Conj(v) / complex(length, 0)
	w := (z - s.From) * tc
	l := complex(length, 0)
	m1 = l
	m3 = l * (l/2 - w)
	if im := imag(w); im != 0 {
		a, b := l-w, -w
		ln := complex(math.Log((real(a)*real(a)+imag(a)*imag(a))/(real(b)*real(b)+imag(b)*imag(b)))/2, math.Atan2(imag(a)*real(b)-real(a)*imag(b), real(a)*real(b)+imag(a)*imag(b)))
		d := complex(0, 2*im)
		m1 += d * ln
		m3 += d * (2*l + d*ln)
	}
	return m1 * tc, m3 * tc * tc
}

// plain applies the panel's own points.
func (q *equation) plain(z, normal complex128, p *panel, s *Segment, row []float64, m1, m3 *complex128) {
	ny, nz, zy, zz := real(normal), imag(normal), real(z), imag(z)
	if s.Straight() {
		for j := p.first; j < p.first+p.count; j++ {
			dy, dz := zy-real(q.at[j]), zz-imag(q.at[j])
			row[j] = q.weight[j] * (ny*dy + nz*dz) / (2 * math.Pi * (dy*dy + dz*dz))
		}
		return
	}
	for j := p.first; j < p.first+p.count; j++ {
		dy, dz := zy-real(q.at[j]), zz-imag(q.at[j])
		r := 1 / (dy*dy + dz*dz)
		row[j] = q.weight[j] * (ny*dy + nz*dz) * r / (2 * math.Pi)
		q.moments(complex(-dy, dz), r, q.tangent[j]*complex(q.weight[j]*q.speed[j], 0), m1, m3)
	}
}

// moments adds one point's share of M₁ and M₃; dc is the conjugate of d and r
// 1/|d|².
func (q *equation) moments(dc complex128, r float64, step complex128, m1, m3 *complex128) {
	f := dc * dc * complex(r, 0) * step
	*m1 += f
	*m3 += f * dc
}

// alongSame is plain for points on one curved side, whose kernel is smooth:
// constant on a circle, curvature/4π where two points meet.
func (q *equation) alongSame(i int, p *panel, s *Segment, normal complex128, row []float64, m1, m3 *complex128) {
	circle := s.Circular()
	for j := p.first; j < p.first+p.count; j++ {
		d := q.at[i] - q.at[j]
		r2 := real(d)*real(d) + imag(d)*imag(d)
		var k float64
		switch {
		case circle:
			k = s.Curvature(0) / (4 * math.Pi)
		case j == i:
			t, _ := p.at(gauss(p.count).x[j-p.first])
			k = s.Curvature(t) / (4 * math.Pi)
		default:
			k = (real(normal)*real(d) + imag(normal)*imag(d)) / (2 * math.Pi * r2)
		}
		row[j] = q.weight[j] * k
		step := q.tangent[j] * complex(q.weight[j]*q.speed[j], 0)
		if j == i {
			tc := cmplx.Conj(q.tangent[j])
			*m1 += tc * tc * step
			continue
		}
		q.moments(-cmplx.Conj(d), 1/r2, step, m1, m3)
	}
}
