package designfile

import (
	"fmt"
	"sort"
	"strings"
)

// Problem is one thing wrong with a design file, where it stands and what would
// be right.
type Problem struct {
	File         string
	Line, Column int    // from 1, counted in characters
	Path         string // dotted keys; "" for the file as a whole
	Message      string // "what is wrong; what would be right"
}

func (p Problem) String() string {
	if p.Path == "" {
		return fmt.Sprintf("%s:%d:%d: %s", p.File, p.Line, p.Column, p.Message)
	}
	return fmt.Sprintf("%s:%d:%d: %s: %s", p.File, p.Line, p.Column, p.Path, p.Message)
}

// Problems is every problem of a file, in the order of the text. It is an error.
type Problems []Problem

func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, q := range p {
		lines[i] = q.String()
	}
	return strings.Join(lines, "\n")
}

// sorted orders by place and drops what is said twice.
func (p Problems) sorted() Problems {
	sort.SliceStable(p, func(i, j int) bool {
		if p[i].Line != p[j].Line {
			return p[i].Line < p[j].Line
		}
		return p[i].Column < p[j].Column
	})
	out := p[:0]
	for i, q := range p {
		if i == 0 || q != out[len(out)-1] {
			out = append(out, q)
		}
	}
	return out
}
