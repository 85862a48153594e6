package quantity

// Error says what is wrong with a quantity as it was written, and what would
// be right.
type Error struct {
	Offset int // index of the rune in the text where the trouble is, from 0

	wrong, right string
}

// Error returns "what is wrong; what would be right".
func (e *Error) Error() string { return e.wrong + "; " + e.right }
