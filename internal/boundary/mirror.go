package boundary

import (
	"math"
	"sort"
)

// mirrors is what the mirror axes y and z through the centroid make of the points:
// image[g][i] is the image of point i under member g of the group, the identity
// first; first lists one point of each set of images.
type mirrors struct {
	flips [][2]bool // member g turns the sign of y, of z
	image [][]int
	first []int
}

// mirrors finds which of the two axes map the points onto themselves.
func (q *equation) mirrors() *mirrors {
	n := len(q.at)
	same := make([]int, n)
	for i := range same {
		same[i] = i
	}
	m := &mirrors{flips: [][2]bool{{false, false}}, image: [][]int{same}}
	flipY := q.imageOf(-1, 1)
	if flipY != nil {
		m.flips, m.image = append(m.flips, [2]bool{true, false}), append(m.image, flipY)
	}
	if flipZ := q.imageOf(1, -1); flipZ != nil {
		m.flips, m.image = append(m.flips, [2]bool{false, true}), append(m.image, flipZ)
		if flipY != nil {
			both := make([]int, n)
			for i := range both {
				both[i] = flipZ[flipY[i]]
			}
			m.flips, m.image = append(m.flips, [2]bool{true, true}), append(m.image, both)
		}
	}
	for i := range n {
		lowest := true
		for _, image := range m.image {
			lowest = lowest && i <= image[i]
		}
		if lowest {
			m.first = append(m.first, i)
		}
	}
	return m
}

// imageOf matches every point with one at (sy·y, sz·z) that has the mirrored
// tangent and speed; nil when one has none.
func (q *equation) imageOf(sy, sz float64) []int {
	n := len(q.at)
	size := 0.0
	for _, p := range q.at {
		size = max(size, math.Abs(real(p)), math.Abs(imag(p)))
	}
	tol := 1e-12 * size
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(a, b int) bool { return real(q.at[order[a]]) < real(q.at[order[b]]) })
	image := make([]int, n)
	for i, p := range q.at {
		y, z := sy*real(p), sz*imag(p)
		k := sort.Search(n, func(k int) bool { return real(q.at[order[k]]) >= y-tol })
		// points crowd at corners: the nearest of those within the tolerance
		image[i] = -1
		best := tol
		for ; k < n && real(q.at[order[k]]) <= y+tol; k++ {
			j := order[k]
			t, u := q.tangent[i], q.tangent[j]
			if math.Abs(real(u)+sy*real(t))+math.Abs(imag(u)+sz*imag(t)) > 1e-9 || math.Abs(q.speed[i]*q.weight[i]-q.speed[j]*q.weight[j]) > tol {
				continue
			}
			if d := math.Abs(imag(q.at[j])-z) + math.Abs(real(q.at[j])-y); d <= best {
				image[i], best = j, d
			}
		}
		if image[i] < 0 {
			return nil
		}
	}
	for i, j := range image {
		if image[j] != i {
			return nil
		}
	}
	return image
}

// signs of a field's tangential stress under each member of the group: that of
// torsion looks the same in every mirror; those driven by y change sign in the
// mirror that turns z, those driven by z in the one that turns y.
func (m *mirrors) signs(field int) []float64 {
	out := make([]float64, len(m.flips))
	for g, flip := range m.flips {
		out[g] = 1
		if flip[1] && (field == PullY || field == TurnY) {
			out[g] = -out[g]
		}
		if flip[0] && (field == PullZ || field == TurnZ) {
			out[g] = -out[g]
		}
	}
	return out
}

// blocks groups the fields that have the same signs.
func (m *mirrors) blocks() [][]int {
	var out [][]int
next:
	for f := range len(Fields{}) {
		s := m.signs(f)
		for b, block := range out {
			alike := true
			for g, v := range m.signs(block[0]) {
				alike = alike && v == s[g]
			}
			if alike {
				out[b] = append(block, f)
				continue next
			}
		}
		out = append(out, []int{f})
	}
	return out
}
