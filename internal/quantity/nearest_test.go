package quantity

import "testing"

func TestNearest(t *testing.T) {
	for _, c := range []struct {
		word  string
		known []string
		want  string
	}{
		{"torqe", []string{"torque", "axial"}, "torque"},
		{"bending-x", []string{"bending-y", "bending-z"}, "bending-y"}, // a tie: the first
		{"Outside-Diameter", []string{"inside-diameter", "outside-diameter"}, "outside-diameter"},
		{"inside-diamter", []string{"outside-diameter", "inside-diameter"}, "inside-diameter"},
		{"outsied-diameter", []string{"inside-diameter", "outside-diameter"}, "outside-diameter"},
		{"MPA", []string{"mPb", "MPa"}, "MPa"}, // case alone before any exchange
		{"xyz", []string{"torque", "axial"}, ""},
		{"x", []string{"y", "z"}, ""},
		{"x", []string{"y", "X"}, "X"},
		{"mN", []string{"N", "kN"}, "N"},
		{"ab", []string{"ba"}, "ba"},
		{"abc", []string{"bca"}, ""},
		{"", []string{"a"}, ""},
		{"a", nil, ""},
	} {
		if got := Nearest(c.word, c.known); got != c.want {
			t.Errorf("Nearest(%q, %q) = %q, want %q", c.word, c.known, got, c.want)
		}
	}
}

// Distances of known pairs: "kitten", "sitting" 3 (the usual example of the
// edit distance); "ca", "abc" 3 in the alignment without editing a swap again,
// where the unrestricted distance is 2.
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ca", "abc", 3}, {"ab", "ba", 1}, {"", "abc", 3}, {"abc", "", 3}, {"same", "same", 0}} {
		if got := editDistance([]rune(c.a), []rune(c.b)); got != c.want {
			t.Errorf("%q, %q: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
