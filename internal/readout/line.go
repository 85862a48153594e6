package readout

import (
	"bytes"
	"fmt"
	"math"
)

// reader turns lines into rows of the output; it is shared by all workers.
type reader struct {
	*layout
	*solver
	digits    int
	blank     bool
	low, high float64 // K
}

// worker is the scratch space of one of them.
type worker struct {
	*scratch
	passed []span
	many   bool // enough problems were described
}

// span is a field of a line.
type span struct{ from, to int }

func (r *reader) worker() *worker { return &worker{scratch: r.scratch()} }

// read takes one line, without its line end, apart: outputs and temperature into w. whole says
// that the fields are as many as the header's, so that w.passed holds.
func (r *reader) read(line []byte, row int, w *worker) (whole bool, p *Problem) {
	w.passed = w.passed[:0]
	c, i := 0, 0
	for {
		if c == len(r.roles) {
			return false, r.count(line, row)
		}
		end := -1
		switch ro := r.roles[c]; {
		case ro >= kelvins:
			v, n := scanNumber(line[i:], r.point)
			if n > 0 && (i+n == len(line) || line[i+n] == r.separator) {
				end = i + n
			} else {
				end = fieldEnd(line, i, r.separator)
				text := unquote(line[i:end])
				v, n = scanNumber(text, r.point)
				if p == nil && (n == 0 || n != len(text)) {
					p = r.notNumber(text, row, c, w)
				}
			}
			if p == nil {
				p = r.take(v, line[i:end], row, c, w)
			}
		case ro == passed:
			end = fieldEnd(line, i, r.separator)
			w.passed = append(w.passed, span{i, end})
		default:
			end = fieldEnd(line, i, r.separator)
		}
		c++
		if end >= len(line) {
			break
		}
		i = end + 1
	}
	if c != len(r.roles) {
		return false, r.count(line, row)
	}
	return true, p
}

// take puts a number into its place.
func (r *reader) take(v float64, text []byte, row, c int, w *worker) *Problem {
	if r.roles[c] == kelvins {
		w.kelvin = v*r.scale + r.offset
		if w.kelvin >= r.low-1e-9 && w.kelvin <= r.high+1e-9 {
			return nil
		}
		return r.problem(w, row, c, func() (string, string) {
			return fmt.Sprintf("the drift of zero and span is not known at %s", excerpt(text)),
				fmt.Sprintf("it is known from %.6g to %.6g in this unit; take the column out to do without the correction", (r.low-r.offset)/r.scale, (r.high-r.offset)/r.scale)
		})
	}
	v *= r.ratio[c]
	if math.Abs(v) <= 1 {
		w.v[r.roles[c]-reading] = v
		return nil
	}
	return r.problem(w, row, c, func() (string, string) {
		return fmt.Sprintf("%s is more than a bridge can give", excerpt(text)), "look at the unit in the header; an output lies between −1 and 1 V/V"
	})
}

// vague stands for a problem that is counted and not described.
var vague = &Problem{}

// problem is described unless the block has had enough of them.
func (r *reader) problem(w *worker, row, c int, say func() (wrong, right string)) *Problem {
	if w.many {
		return vague
	}
	p := &Problem{Row: row}
	if c >= 0 {
		p.Column, p.Name = c+1, r.names[c]
	}
	p.Wrong, p.Right = say()
	return p
}

func (r *reader) notNumber(text []byte, row, c int, w *worker) *Problem {
	return r.problem(w, row, c, func() (string, string) {
		other := byte(',')
		if r.point == ',' {
			other = '.'
		}
		switch lower := string(bytes.ToLower(text)); {
		case len(text) == 0:
			return "no number", "write the reading; rows without one can be left blank by choice"
		case lower == "nan" || bytes.Contains([]byte(lower), []byte("inf")):
			return excerpt(text) + " is no reading", "write a finite number; such rows can be left blank by choice"
		case bytes.IndexByte(text, other) >= 0:
			return fmt.Sprintf("%s has another decimal sign than the first row", excerpt(text)), fmt.Sprintf("write a decimal %q in all rows, or say that the log has decimal commas where its first row does not show it", string(r.point))
		}
		return excerpt(text) + " is not a number", "write a decimal number such as 0" + string(r.point) + "1234"
	})
}

// count is the problem of a line with too few or too many fields.
func (r *reader) count(line []byte, row int) *Problem {
	n := 0
	for i := 0; i <= len(line); n++ {
		i = fieldEnd(line, i, r.separator) + 1
	}
	p := &Problem{Row: row, Wrong: fmt.Sprintf("%d fields, the header has %d", n, len(r.roles)), Right: "give every row as many fields as the header"}
	if n > len(r.roles) && r.separator == ',' {
		p.Right += "; decimal commas need semicolons between the columns"
	}
	return p
}

// row reads one line and appends its row of output; where it has a problem and blanks are
// not wanted, nothing is appended.
func (r *reader) row(dst, line []byte, row int, w *worker) ([]byte, *Problem) {
	whole, p := r.read(line, row, w)
	if p == nil {
		if why := r.solve(w.scratch); why != "" {
			p = r.problem(w, row, -1, func() (string, string) { return why, "look at the readings of this row" })
		}
	}
	if p != nil && !r.blank {
		return dst, p
	}
	some := false
	if whole {
		for _, f := range w.passed {
			if some {
				dst = append(dst, r.separator)
			}
			some = true
			dst = append(dst, line[f.from:f.to]...)
		}
	} else {
		for _, ro := range r.roles {
			if ro == passed {
				if some {
					dst = append(dst, r.separator)
				}
				some = true
			}
		}
	}
	for i := range w.load {
		if some {
			dst = append(dst, r.separator)
		}
		some = true
		if p != nil {
			dst = append(dst, r.separator)
			continue
		}
		f := r.r.Components[i].Factor
		dst = appendNumber(dst, w.load[i]*f+0, r.digits, r.point) // + 0: no negative zero
		dst = append(dst, r.separator)
		dst = appendNumber(dst, w.u[i]*f, min(r.digits, uncertaintyDigits), r.point)
	}
	return r.end(dst), p
}

// uncertaintyDigits are more than an uncertainty ever deserves, and enough that rounding
// is not seen in it.
const uncertaintyDigits = 4
