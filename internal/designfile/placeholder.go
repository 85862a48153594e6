package designfile

import (
	"fmt"
	"strings"
)

// Placeholder is a value that is still to be written: `<outside diameter, e.g.
// 60 mm>`. A text in angle brackets without the ", e.g. " is text.
type Placeholder struct {
	What    string // "outside diameter"
	Example string // "60 mm", as the file would write it
}

const forExample = ", e.g. "

// ParsePlaceholder reads the text of a value as a placeholder.
func ParsePlaceholder(text string) (Placeholder, bool) {
	inner, ok := strings.CutPrefix(text, "<")
	if !ok {
		return Placeholder{}, false
	}
	inner, ok = strings.CutSuffix(inner, ">")
	if !ok {
		return Placeholder{}, false
	}
	what, example, ok := strings.Cut(inner, forExample)
	return Placeholder{what, example}, ok && what != "" && example != ""
}

// String is the placeholder as the file has it.
func (p Placeholder) String() string { return "<" + p.What + forExample + p.Example + ">" }

func placeholderOf(n *node) (Placeholder, bool) {
	if n == nil || n.kind != scalarNode {
		return Placeholder{}, false
	}
	return ParsePlaceholder(n.text)
}

func (p Placeholder) problem(file string, a at) Problem {
	return Problem{file, a.line, a.column, a.path, fmt.Sprintf("still a placeholder; write your %s, such as %s", clipTo(p.What, 120), clipTo(p.Example, 120))}
}

// Asked is a placeholder with its place in the file.
type Asked struct {
	Placeholder
	Path         string
	Line, Column int
}

// Placeholders lists the values of a design file that are still to be written, in
// the order of the text.
func Placeholders(file string, text []byte) ([]Asked, error) {
	root, problems := parse(file, text)
	if len(problems) > 0 {
		return nil, problems.sorted()
	}
	var out []Asked
	asked(at{root, ""}, func(p Placeholder, a at) { out = append(out, Asked{p, a.path, a.line, a.column}) })
	return out, nil
}

// placeholders reports every value that is still a placeholder, whatever else is
// wrong with the file.
func (r *reader) placeholders(root at) {
	asked(root, func(p Placeholder, a at) { r.problems = append(r.problems, p.problem(r.file, a)) })
}

// asked finds the placeholders of a tree. A node that aliases share is found once.
func asked(root at, found func(Placeholder, at)) {
	seen := map[*node]bool{}
	var walk func(v at)
	walk = func(v at) {
		if v.node == nil || seen[v.node] {
			return
		}
		seen[v.node] = true
		if p, ok := placeholderOf(v.node); ok {
			found(p, v)
		}
		for i := range v.values {
			if v.kind == mappingNode {
				walk(at{v.values[i], join(v.path, v.keys[i].text)})
			} else {
				walk(v.item(i))
			}
		}
	}
	walk(root)
}
