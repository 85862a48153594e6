package calibration

import (
	"fmt"
	"strings"
)

// Problem is one thing that is wrong with the data.
type Problem struct {
	Line   int    // of the file, from 1; 0: of the whole file
	Column int    // character of that line, from 1
	Field  int    // column of the table, from 1; 0: the whole row
	Name   string // head of that column
	Text   string // what is wrong; what would be right
}

// Problems are all that was found wrong with a file, at most maxProblems.
type Problems struct {
	File string
	List []Problem
	More bool // reading stopped at the limit
}

const maxProblems = 20

// Error has a line for each problem.
func (p *Problems) Error() string {
	var b strings.Builder
	for i, q := range p.List {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(p.File)
		if q.Line > 0 {
			fmt.Fprintf(&b, ":%d:%d", q.Line, max(q.Column, 1))
		}
		b.WriteString(": ")
		if q.Field > 0 {
			fmt.Fprintf(&b, "column %d", q.Field)
			if q.Name != "" {
				fmt.Fprintf(&b, ", %s", q.Name)
			}
			b.WriteString(": ")
		}
		b.WriteString(q.Text)
	}
	if p.More {
		fmt.Fprintf(&b, "\n%s: more than %d problems; the rest of the file was not looked at", p.File, maxProblems)
	}
	return b.String()
}

// add reports whether there is room for more.
func (p *Problems) add(q Problem) bool {
	if len(p.List) >= maxProblems {
		p.More = true
		return false
	}
	p.List = append(p.List, q)
	return true
}

func (p *Problems) full() bool { return p.More }

// err is nil when nothing is wrong.
func (p *Problems) err() error {
	if len(p.List) == 0 {
		return nil
	}
	return p
}
