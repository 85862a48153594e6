package boundary

import (
	"math"
	"math/cmplx"
)

// panel is a stretch of one side that carries Gauss-Legendre points. Its
// parameter u, 0 to 1, is stretched at an end that is a corner: with the orders
// m and n at the two ends,
//
//	dt/du ∝ u^(m−1) (1−u)^(n−1)
//
// At a corner of angle α the tangential stress goes as r^(kπ/α−1), k = 1, 2, …,
// with logarithms; order 3 makes the powers of the common corners whole or high.
// Interpolating the density without its factor u^(3π/α−1) (u² at an outward
// corner) keeps the error of the stress even right into the corner.
// Order 2 serves where a curved side meets a straight one and only the curvature
// jumps.
type panel struct {
	loop, side int
	lo, hi     float64 // of the side's parameter
	m, n       int     // orders at the ends
	count      int     // of points
	first      int     // of its points among all
	index      int     // of the panel
	// The density is u^power[0]·(1−u)^power[1] times something smooth.
	power    [2]float64
	singular [2]bool // the end is a re-entrant corner

	// drawn marks a side of a curve that was drawn in short straight sides.
	drawn bool

	centre complex128
	radius float64
}

// Drawn tells whether side j is a piece of a curve drawn in short straight sides:
// one of a row of sides whose joints, six or more, turn by less than a corner, and
// not much longer than its neighbours.
func (l Loop) Drawn(j int) bool {
	n := len(l)
	if n < drawnJoints {
		return false
	}
	slight := func(k int) bool {
		k = (k%n + n) % n
		a, b := &l[k], &l[(k+1)%n]
		turn := math.Abs(l.Turn(k))
		return a.Straight() && b.Straight() && turn < SharpTurn && turn > 1e-6
	}
	if !slight(j-1) || !slight(j) || l[j].Length() > 3*min(l[(j+n-1)%n].Length(), l[(j+1)%n].Length()) {
		return false
	}
	joints := 2
	for k := j - 2; joints < drawnJoints && slight(k); k-- {
		joints++
	}
	for k := j + 1; joints < drawnJoints && slight(k); k++ {
		joints++
	}
	return joints >= drawnJoints
}

const drawnJoints = 6

// stretch is the order-dependent map of u to 0..1 and its derivative.
func stretch(u float64, m, n int) (g, dg float64) {
	v := 1 - u
	switch 4*m + n {
	case 4*1 + 1:
		return u, 1
	case 4*2 + 1:
		return u * u, 2 * u
	case 4*3 + 1:
		return u * u * u, 3 * u * u
	case 4*1 + 2:
		return 1 - v*v, 2 * v
	case 4*1 + 3:
		return 1 - v*v*v, 3 * v * v
	case 4*2 + 2:
		return u * u * (3 - 2*u), 6 * u * v
	case 4*2 + 3:
		return u * u * (6 - u*(8-3*u)), 12 * u * v * v
	case 4*3 + 2:
		return u * u * u * (4 - 3*u), 12 * u * u * v
	default:
		return u * u * u * (10 - u*(15-6*u)), 30 * u * u * v * v
	}
}

// unstretch is the inverse of stretch.
func unstretch(g float64, m, n int) float64 {
	switch {
	case g <= 0:
		return 0
	case g >= 1:
		return 1
	case n == 1:
		return math.Pow(g, 1/float64(m))
	case m == 1:
		return 1 - math.Pow(1-g, 1/float64(n))
	}
	lo, hi, u := 0.0, 1.0, g
	for range 60 {
		v, dv := stretch(u, m, n)
		if v > g {
			hi = u
		} else {
			lo = u
		}
		next := u - (v-g)/dv
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-u) < 1e-15 {
			break
		}
		u = next
	}
	return u
}

// at is the side's parameter at u and its derivative with u.
func (p *panel) at(u float64) (t, dt float64) {
	g, dg := stretch(u, p.m, p.n)
	return p.lo + (p.hi-p.lo)*g, (p.hi - p.lo) * dg
}

// inverse is u at the side's parameter t.
func (p *panel) inverse(t float64) float64 {
	return unstretch((t-p.lo)/(p.hi-p.lo), p.m, p.n)
}

// shape is the factor of the density that is not interpolated.
func (p *panel) shape(u float64) float64 { return power(u, p.power[0]) * power(1-u, p.power[1]) }

func power(u, e float64) float64 {
	switch e {
	case 0:
		return 1
	case 1:
		return u
	case 2:
		return u * u
	}
	return math.Pow(u, e)
}

// end of a side, as the layout sees it.
type end struct {
	order    int
	power    float64
	singular bool
	scale    float64 // the size of the detail there, m; 0 where the outline runs on smoothly
}

// obtuse is the turn, rad, below which an outward corner's own power of the distance,
// π/α − 1, decides the stress beside it before the powers that are whole.
const obtuse = math.Pi / 3

// layout cuts the sides into panels: none is longer than reach times its
// distance from the nearest corner or change of curvature, taken at least the
// size of the detail there, nor than the gap beside a curve stays alike.
// It depends on proportions only, so that outlines alike get panels alike.
func layout(loops []Loop, reach float64) []panel {
	type vertex struct {
		at    complex128
		scale float64
	}
	var vertices []vertex
	ends := make([][]end, len(loops))
	for i, l := range loops {
		ends[i] = make([]end, len(l))
		for j := range l {
			e := &ends[i][j]
			*e = end{order: 1}
			if len(l) == 1 {
				continue
			}
			a, b := &l[j], &l[(j+1)%len(l)]
			turn := l.Turn(j)
			switch {
			case math.Abs(turn) >= SharpTurn:
				e.order, e.power = 3, 2
				if e.singular || turn < obtuse {
					e.power = 3*math.Pi/(math.Pi-turn) - 1
				}
			case a.Straight() && b.Straight() && math.Abs(turn) < 1e-6, l.Drawn(j) && l.Drawn((j+1)%len(l)):
				continue
			case a.Straight() && b.Straight() && !l.Drawn(j) && !l.Drawn((j+1)%len(l)):
				// a slight corner between two flats
				e.order, e.power, e.singular = 3, 3*math.Pi/(math.Pi-turn)-1, turn < 0
			case math.Abs(turn) > 1e-6, math.Abs(a.Curvature(1)-b.Curvature(0))*(a.Length()+b.Length()) > 1e-6:
				e.order, e.power = 2, 1
			default:
				continue
			}
			e.scale = min(a.Length(), b.Length())
			for k, m := range loops {
				for n := range m {
					s := &m[n]
					if k == i && (n == j || n == (j+1)%len(l)) {
						continue
					}
					if d := s.nearest(a.To); d < e.scale && (k != i || d > 0) {
						e.scale = d
					}
				}
			}
			vertices = append(vertices, vertex{a.To, e.scale})
		}
	}
	var panels []panel
	for i, l := range loops {
		for j := range l {
			s := &l[j]
			from, to := ends[i][(j+len(l)-1)%len(l)], ends[i][j]
			length := s.Length()
			var cut func(lo, hi float64)
			cut = func(lo, hi float64) {
				long := length * (hi - lo)
				mid := s.At((lo + hi) / 2)
				limit := math.Inf(1)
				for _, v := range vertices {
					d := max(cmplx.Abs(v.at-mid)-long/2, 0)
					limit = min(limit, reach*max(d, v.scale))
				}
				if !s.Straight() {
					// enough panels for the shape itself and for a wall behind it
					ratio := max(s.SemiY/s.SemiZ, s.SemiZ/s.SemiY)
					limit = min(limit, length*reach*0.45/(math.Abs(s.Sweep)*math.Sqrt(ratio)))
				}
				limit = min(limit, 1.5*reach*curvedGap(loops, i, j, mid, long))
				if long > limit*(1+1e-9) && hi-lo > 1e-5 {
					cut(lo, (lo+hi)/2)
					cut((lo+hi)/2, hi)
					return
				}
				p := panel{loop: i, side: j, lo: lo, hi: hi, m: 1, n: 1, drawn: l.Drawn(j)}
				if lo == 0 && !p.drawn {
					p.m, p.power[0], p.singular[0] = from.order, from.power, from.singular
				}
				if hi == 1 && !p.drawn {
					p.n, p.power[1], p.singular[1] = to.order, to.power, to.singular
				}
				panels = append(panels, p)
			}
			if from.order+to.order >= 5 {
				cut(0, 0.5)
				cut(0.5, 1)
			} else {
				cut(0, 1)
			}
		}
	}
	return panels
}

// curvedGap is the length along which the gap between a panel and the nearest side
// that is no neighbour stays alike, where one of the two is curved: the gap d itself,
// or √(d·radius) where that is more. A straight side beside a straight one is seen to
// by their corners.
func curvedGap(loops []Loop, i, j int, mid complex128, long float64) float64 {
	self := &loops[i][j]
	best := math.Inf(1)
	for k, m := range loops {
		for n := range m {
			if k == i {
				if d := (n - j + len(m)) % len(m); d <= 1 || d == len(m)-1 {
					continue
				}
			}
			if s := &m[n]; !self.Straight() || !s.Straight() {
				d := s.nearest(mid)
				best = min(best, max(d, math.Sqrt(d*min(self.bend(), s.bend()))))
			}
		}
	}
	return best
}

// bend is the smallest radius of curvature of a side.
func (s *Segment) bend() float64 {
	if s.Straight() {
		return math.Inf(1)
	}
	return min(s.SemiY*s.SemiY/s.SemiZ, s.SemiZ*s.SemiZ/s.SemiY)
}

// points chooses how many points each panel carries: p, or two and one more for
// each level on the short sides of a drawn curve.
func points(loops []Loop, panels []panel, p, level int) (total int) {
	for k := range panels {
		q := &panels[k]
		q.index, q.count = k, p
		if q.drawn {
			q.count = min(p, 2+level)
		}
		q.first = total
		total += q.count
		q.bound(&loops[q.loop][q.side])
	}
	return total
}

// bound sets the circle about the panel's middle through its further end.
func (p *panel) bound(s *Segment) {
	p.centre = s.At((p.lo + p.hi) / 2)
	p.radius = max(cmplx.Abs(s.At(p.lo)-p.centre), cmplx.Abs(s.At(p.hi)-p.centre))
}
