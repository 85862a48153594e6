// Package variant changes values of a design one at a time and predicts what comes
// of it. A value is any quantity that stands in the design file, under the path that
// errors and budgets name it by. What a variant is allowed to be the reader of the
// design file decides: a variant is the file's text with the value replaced, read
// again, or a copy of the design where that provably comes to the same.
//
// The tolerance stays with the value as it is written: an absolute one keeps its
// size, one in % follows the value.
//
// It does not vary words, whole numbers (wires, the arm of a shunt) or the directions
// of a custom pattern, and it knows no more of a figure than package predict: what a
// variant is good for is the reader's to judge, and package sizing's.
package variant

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
)

// Base is a design file whose values are to be changed.
type Base struct {
	File   string
	Text   []byte
	Design *design.Design // as read; it is not changed

	values map[string]*Value
	paths  []string // of values, in the order of the file
}

// Value is one quantity of the file.
type Value struct {
	Path string
	Line int
	Now  design.Number

	start, end int    // of its text in the file
	unwritable string // why the text cannot be replaced, "" when it can
	parts      written
	kinds      []quantity.Kind // that it may be of, judged by how it is written
}

// Read reads a design file. The error, if any, is that of the reader.
func Read(file string, text []byte) (*Base, error) {
	d, err := designfile.Read(file, text)
	if err != nil {
		return nil, err
	}
	b := &Base{File: file, Text: text, Design: d, values: map[string]*Value{}}
	at := newIndex(text)
	type place struct{ line, column int }
	first := map[place]string{}
	numbers(d, func(n *design.Number) {
		p := n.Place
		if p.Line == 0 || n.Text == "" || b.values[p.Path] != nil {
			return
		}
		v := &Value{Path: p.Path, Line: p.Line, Now: *n}
		b.values[p.Path] = v
		b.paths = append(b.paths, p.Path)
		v.start, v.end, v.unwritable = at.scalar(p.Line, p.Column, n.Text)
		if other, twice := first[place{p.Line, p.Column}]; twice {
			v.unwritable = "it shares its text with " + other + " by an alias; write both values out"
			b.values[other].unwritable = "it shares its text with " + p.Path + " by an alias; write both values out"
		}
		first[place{p.Line, p.Column}] = p.Path
		v.parts = split(n.Text)
		for _, k := range quantity.Kinds() {
			if got, err := quantity.Parse(n.Text, k); err == nil && got.SI == n.SI && got.Tolerance == n.Tolerance {
				v.kinds = append(v.kinds, k)
			}
		}
	})
	slices.SortStableFunc(b.paths, func(p, q string) int { return b.values[p].start - b.values[q].start })
	return b, nil
}

// numbers visits every number of a design, always in the same order.
func numbers(d *design.Design, visit func(*design.Number)) {
	walk(reflect.ValueOf(d).Elem(), visit)
}

var numberType = reflect.TypeFor[design.Number]()

func walk(v reflect.Value, visit func(*design.Number)) {
	if v.Type() == numberType {
		visit(v.Addr().Interface().(*design.Number))
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			walk(v.Field(i), visit)
		}
	case reflect.Slice, reflect.Array:
		switch v.Type().Elem().Kind() {
		case reflect.Struct, reflect.Slice, reflect.Array:
			for i := range v.Len() {
				walk(v.Index(i), visit)
			}
		}
	}
}

// Paths are those of all values, in the order of the file.
func (b *Base) Paths() []string { return slices.Clone(b.paths) }

// Value returns the value at a path. Where there is none the error names the nearest,
// or says that the key has a default and must be written before it can be varied.
func (b *Base) Value(path string) (*Value, error) {
	path = strings.TrimSpace(path)
	if b.values[path] == nil && b.values[path+".value"] != nil { // a resistor with its coefficient
		path += ".value"
	}
	if v := b.values[path]; v != nil {
		if v.unwritable != "" {
			return nil, fmt.Errorf("%s (line %d) cannot be varied: %s", path, v.Line, v.unwritable)
		}
		if len(v.kinds) == 0 {
			return nil, fmt.Errorf("%s (line %d) cannot be varied: it is no quantity", path, v.Line)
		}
		return v, nil
	}
	if rest, ok := strings.CutPrefix(path, "part.material."); ok && b.Design.Part.Material.BuiltIn {
		return nil, fmt.Errorf("%s is a value of the built-in material %s and stands in no line of the file; write `material:` as a mapping with its values, %s among them", path, b.Design.Part.Material.Name, rest)
	}
	if items := b.below(path, false); len(items) > 0 {
		return nil, fmt.Errorf("%s is not one quantity; vary one of: %s", path, strings.Join(items, ", "))
	}
	if name, ok := strings.CutPrefix(path, "gauges."); ok && strings.Contains(name, ".directions") {
		return nil, fmt.Errorf("%s: the directions of a pattern are not varied; vary the direction of a placement", path)
	}
	if example := optional(path); example != "" && b.hasParent(path) {
		return nil, fmt.Errorf("%s is not written in the file; write it first, such as `%s`, so that the file says what is varied", path, example)
	}
	if near := nearest(path, b.paths); near != "" {
		return nil, fmt.Errorf("the file has no value %s; did you mean %s?", path, near)
	}
	has := b.below(path, true)
	if len(has) == 0 {
		has = few(b.paths)
	}
	return nil, fmt.Errorf("the file has no value %s; it has: %s", path, strings.Join(has, ", "))
}

// hasParent reports whether the named thing that a path leads through is in the file,
// and no arm: what stands in an arm is its wiring.
func (b *Base) hasParent(path string) bool {
	words := strings.SplitN(path, ".", 3)
	switch words[0] {
	case "gauges", "placements", "bridges":
		return len(words) == 3 && len(b.below(words[0]+"."+words[1], false)) > 0 && !strings.HasPrefix(words[2], "arms")
	}
	return true
}

// below lists paths that a path leads to, or else, where up is set, those of its nearest
// parent.
func (b *Base) below(path string, up bool) []string {
	for parent := path; parent != ""; {
		var out []string
		for _, p := range b.paths {
			if strings.HasPrefix(p, parent+".") || strings.HasPrefix(p, parent+"[") {
				out = append(out, p)
			}
		}
		if len(out) > 0 {
			return few(out)
		}
		i := strings.LastIndexAny(parent, ".[")
		if i < 0 || !up {
			break
		}
		parent = parent[:i]
	}
	return nil
}

// few shortens a list for a message.
func few(list []string) []string {
	const most = 12
	if len(list) <= most {
		return list
	}
	return append(slices.Clone(list[:most]), fmt.Sprintf("and %d more", len(list)-most))
}

// nearest is the path that was probably meant, of those that differ in one key alone: a
// slip is in one key, seldom in all.
func nearest(path string, known []string) string {
	words := strings.Split(path, ".")
	for i, w := range words {
		var keys, paths []string
		for _, k := range known {
			own := strings.Split(k, ".")
			if len(own) != len(words) {
				continue
			}
			key := own[i]
			own[i] = w
			if slices.Equal(own, words) {
				keys, paths = append(keys, key), append(paths, k)
			}
		}
		if near := quantity.Nearest(w, keys); near != "" {
			return paths[slices.Index(keys, near)]
		}
	}
	return ""
}
