package pick

import (
	"fmt"
	"testing"
)

func TestJumpers(t *testing.T) {
	g := &ground{place: []int{0, 0, 1, 1, 2, 2, 3, 3}} // A1 A2 B1 B2 C1 C2 D1 D2
	for _, c := range []struct {
		arms [4][]int
		want int
	}{
		{[4][]int{{1}, {0}, nil, nil}, 0},             // both on A
		{[4][]int{{1}, {2}, nil, nil}, 1},             // A to B
		{[4][]int{{1}, {0}, {3}, {2}}, 2},             // A to B and back
		{[4][]int{{1}, {2}, {0}, {3}}, 4},             // A, B, A, B
		{[4][]int{{1, 3}, {0, 2}, nil, nil}, 2},       // A to B in both arms, joined on one of them
		{[4][]int{{1, 3}, {0, 2}, {5, 7}, {4, 6}}, 6}, // the corner between A, B and C, D twice besides
	} {
		expect(t, fmt.Sprint("jumpers of ", c.arms), g.jumpers(c.arms), c.want)
	}
}

func TestHalves(t *testing.T) {
	for n, want := range map[int]int{2: 2, 4: 6, 6: 20} { // n!/(n/2)!²
		grids := make([]int, n)
		for i := range grids {
			grids[i] = i
		}
		expect(t, fmt.Sprintf("halves of %d", n), len(halves(grids)), want)
	}
	expect(t, "first half of four", fmt.Sprint(halves([]int{3, 5, 7, 9})[0]), "[[3 5] [7 9]]")
}

func TestNames(t *testing.T) {
	got := ""
	for i := range 28 {
		got += letters(i) + " "
	}
	expect(t, "names", got, "A B C D E F G H I J K L M N O P Q R S T U V W X Y Z AA AB ")
	expect(t, "A2 before A10", natural("A2", "A10"), -1)
	expect(t, "A10 before B1", natural("A10", "B1"), -1)
}

// Which share of the grids is taken, each rule in turn made the one that decides.
func TestShare(t *testing.T) {
	none := func(n int) []uint8 { return make([]uint8, n) }
	flat := func(n int) []float64 { return make([]float64, 2*n) }
	one, two2 := divider{1, 1}, divider{2, 2}
	pair := wiring{plus: [2]uint64{0b0101}, minus: [2]uint64{0b1010}, shape: shape{one, one}, matched: true}
	eight := wiring{plus: [2]uint64{0b01010101}, minus: [2]uint64{0b10101010}, shape: shape{two2, two2}, matched: true}
	bending := flat(8) // gauges at 0°, 90°, 180°, 270° under a bending moment
	for i, x := range []float64{1, 1, 0, 0, -1, -1, 0, 0} {
		bending[2*i+1] = x
	}
	two := flat(8) // the first and third, second and fourth of the plus grids balance
	for i, x := range []float64{1, 2, 1, 2, -1, -2, -1, -2} {
		two[2*i+1] = x
	}
	for _, c := range []struct {
		rule string
		g    ground
		w    wiring
		want string
	}{
		{"names", ground{place: []int{0, 1, 2, 3}, lot: none(4), ohm: none(4), change: flat(4)}, pair, "[[0] [1] [2] [3]]"},
		{"lots", ground{place: []int{0, 0, 1, 1}, lot: []uint8{0, 1, 1, 0}, ohm: none(4), change: flat(4)}, pair, "[[0] [3] [2] [1]]"},
		{"resistance", ground{place: []int{0, 0, 1, 1}, lot: none(4), ohm: []uint8{0, 1, 1, 0}, change: flat(4)}, pair, "[[0] [3] [2] [1]]"},
		{"one resistance in an arm", ground{place: make([]int, 8), lot: none(8), ohm: []uint8{0, 0, 1, 1, 1, 1, 0, 0}, change: flat(8)}, eight, "[[0 6] [1 7] [2 4] [3 5]]"},
		{"jumpers", ground{place: []int{0, 0, 0, 0, 1, 1, 1, 1}, lot: none(8), ohm: none(8), change: two}, eight, "[[0 2] [1 5] [4 6] [3 7]]"},         // two, though [0 4] [1 5] [2 6] [3 7] leaves no arm a response
		{"other loads", ground{place: []int{0, 0, 1, 1, 2, 2, 3, 3}, lot: none(8), ohm: none(8), change: bending}, eight, "[[0 2] [1 5] [4 6] [3 7]]"}, // four jumpers at least; of those with four, [0 2] [1 3] [4 6] [5 7] responds twice as much
		{"arm 2 on the gauge of arm 1", ground{place: []int{0, 1, 1, 0}, lot: none(4), ohm: none(4), change: flat(4)}, pair, "[[0] [3] [2] [1]]"},
	} {
		c.g.grids, c.g.loads = len(c.g.place), 2
		for i := range c.g.lot {
			c.g.kind = append(c.g.kind, 4*c.g.lot[i]+c.g.ohm[i])
		}
		arms, _, _ := c.g.share(&c.w, 0)
		expect(t, c.rule, fmt.Sprint(arms), c.want)
	}
}

// Compositions by hand: which can be an arm, or two arms, of one resistance each.
func TestCompositions(t *testing.T) {
	of := func(counts ...int) (c uint64) {
		for class, n := range counts {
			c += uint64(n) * composition(uint8(class))
		}
		return c
	}
	for _, c := range []struct {
		composed  uint64
		size      int
		one, pair bool
	}{
		{of(4), 4, true, true}, {of(2, 2), 4, false, true}, {of(3, 1), 4, false, false}, {of(1, 1), 2, false, true},
		{of(2, 0, 2), 4, false, true}, {of(2, 1, 1), 4, false, false}, {of(0, 0, 6), 6, true, true}, {of(3, 3), 6, false, true}, {of(4, 2), 6, false, false},
	} {
		expect(t, fmt.Sprint("one arm of ", c.composed), oneResistance(c.composed, c.size), c.one)
		expect(t, fmt.Sprint("two arms of ", c.composed), twoArms(c.composed, c.size), c.pair)
	}
}
