package readout

import (
	"fmt"
	"strings"
)

// Problem is one thing wrong with a log.
type Problem struct {
	Row    int    // line of the file, from 1
	Column int    // from 1; 0: the row as a whole
	Name   string // of the column, as the header has it
	Wrong  string
	Right  string
}

// Error is "row R, column C (NAME): what is wrong; what would be right".
func (p *Problem) Error() string {
	s := fmt.Sprintf("row %d", p.Row)
	if p.Column > 0 {
		s += fmt.Sprintf(", column %d", p.Column)
	}
	if p.Name != "" {
		s += " (" + p.Name + ")"
	}
	return s + ": " + p.Wrong + "; " + p.Right
}

// Problems are all that is wrong with a header.
type Problems []*Problem

// Error has one line for each of them.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i := range p {
		lines[i] = p[i].Error()
	}
	return strings.Join(lines, "\n")
}

// Stopped says at what a run stopped.
type Stopped struct {
	Problem *Problem
	Rows    int // of data that were written before it
}

func (s *Stopped) Error() string {
	return fmt.Sprintf("%v; %s", s.Problem, written(s.Rows))
}

func written(rows int) string {
	if rows == 1 {
		return "1 row was written before it"
	}
	return fmt.Sprintf("%d rows were written before it", rows)
}

// Unwrap is the problem.
func (s *Stopped) Unwrap() error { return s.Problem }

// excerpt quotes what stands in a file, cut where it is long.
func excerpt(text []byte) string {
	const most = 24
	s := strings.ToValidUTF8(string(text[:min(len(text), 4*most)]), "�")
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
