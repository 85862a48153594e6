package designfile

import (
	"fmt"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// reader collects problems while it walks the tree.
type reader struct {
	file     string
	problems Problems
}

// at is a node with its path.
type at struct {
	*node
	path string
}

func (a at) item(i int) at { return at{a.values[i], fmt.Sprintf("%s[%d]", a.path, i)} }

func (a at) place() design.Place {
	return design.Place{Path: a.path, Line: a.line, Column: a.column}
}

func (r *reader) fail(a at, format string, args ...any) {
	if p, ok := placeholderOf(a.node); ok {
		r.problems = append(r.problems, p.problem(r.file, a)) // the one thing to say of it, whatever the reader trips over
		return
	}
	r.problems = append(r.problems, Problem{r.file, a.line, a.column, a.path, fmt.Sprintf(format, args...)})
}

func (r *reader) failAt(p design.Place, format string, args ...any) {
	r.problems = append(r.problems, Problem{r.file, max(p.Line, 1), max(p.Column, 1), p.Path, fmt.Sprintf(format, args...)})
}

// field is one key of a mapping: what it is called, what it takes, and how it
// is read into a T.
type field[T any] struct {
	key      string
	required bool
	takes    string // what the value is, for messages and the help
	form     formOf // the same for programs; nil: not stated
	read     func(r *reader, v at, dst *T)
}

func (f field[T]) must() field[T] { f.required = true; return f }

// as names the value by another example than its kind has.
func (f field[T]) as(takes string) field[T] { f.takes = takes; return f }

// mapping reads the keys of a mapping by a table of fields. Every key that is
// unknown, missing or of the wrong form is a problem of its own.
func mapping[T any](r *reader, v at, fields []field[T], dst *T) {
	if !r.isMapping(v, func() []string { return keysOf(fields) }) {
		return
	}
	seen := map[string]bool{}
	for i, k := range v.keys {
		value := at{v.values[i], join(v.path, k.text)}
		f, ok := find(fields, k.text)
		if !ok {
			r.unknownKey(v, k, value, keysOf(fields))
			continue
		}
		seen[f.key] = true
		if value.null {
			r.problems = append(r.problems, Problem{r.file, k.line, k.column, value.path, "the key has no value; write " + f.takes + optional(f.required)})
			continue
		}
		f.read(r, value, dst)
	}
	for _, f := range fields {
		if f.required && !seen[f.key] {
			r.problems = append(r.problems, Problem{r.file, v.line, v.column, join(v.path, f.key), "the key is missing; write `" + f.key + ":` with " + f.takes})
		}
	}
}

func optional(required bool) string {
	if required {
		return ""
	}
	return ", or leave the key out"
}

func find[T any](fields []field[T], key string) (field[T], bool) {
	for _, f := range fields {
		if f.key == key {
			return f, true
		}
	}
	return field[T]{}, false
}

func keysOf[T any](fields []field[T]) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.key
	}
	return out
}

func (r *reader) isMapping(v at, keys func() []string) bool {
	if v.kind == mappingNode {
		return true
	}
	r.fail(v, "this is %s; write keys with values, from: %s", v.kind, strings.Join(keys(), ", "))
	return false
}

// unknownKey reports a key that no field has. A null-valued key that starts with
// a digit is what a decimal comma leaves behind in flow style.
func (r *reader) unknownKey(parent at, k *node, value at, known []string) {
	here := at{k, value.path}
	if value.null && startsWithDigit(k.text) {
		r.fail(at{k, parent.path}, "`%s` after a comma is no key: this looks like a decimal comma, or a comma between thousands; write the number with a decimal point and no other sign between its digits", clip(k.text))
		return
	}
	if near := quantity.Nearest(k.text, known); near != "" {
		r.fail(here, "unknown key; did you mean `%s`?", near)
		return
	}
	r.fail(here, "unknown key; known here: %s", strings.Join(known, ", "))
}

func startsWithDigit(s string) bool { return s != "" && s[0] >= '0' && s[0] <= '9' }

// clip shortens a text of the user for a message.
func clip(s string) string { return clipTo(s, 50) }

func clipTo(s string, most int) string {
	runes := []rune(strings.Map(func(c rune) rune {
		if c < ' ' {
			return ' '
		}
		return c
	}, s))
	if len(runes) > most {
		return string(runes[:most-1]) + "…"
	}
	return string(runes)
}

// scalar returns the text of a single value.
func (r *reader) scalar(v at, takes string) (string, bool) {
	if v.kind != scalarNode {
		r.fail(v, "this is %s; write %s", v.kind, takes)
		return "", false
	}
	if v.null {
		r.fail(v, "there is no value; write %s", takes)
		return "", false
	}
	return v.text, true
}

// rule is a range that a number is checked against; it returns "" or what would
// be right.
type rule func(n design.Number) string

// quantity reads one quantity.
func (r *reader) quantity(v at, kind quantity.Kind, rules ...rule) (design.Number, bool) {
	n := design.Number{Place: v.place()}
	text, ok := r.scalar(v, takes(kind))
	if !ok {
		return n, false
	}
	value, err := quantity.Parse(text, kind)
	if err != nil {
		r.fail(v, "`%s`: %v", clip(text), err)
		return n, false
	}
	n.Value, n.Set = value, true
	for _, check := range rules {
		if msg := check(n); msg != "" {
			r.fail(v, "`%s`: %s", clip(text), msg)
			return n, false
		}
	}
	return n, true
}

// number is a field of one quantity.
func number[T any](key string, kind quantity.Kind, to func(*T) *design.Number, rules ...rule) field[T] {
	return field[T]{key: key, takes: takes(kind), form: quantityOf(kind, rules...), read: func(r *reader, v at, dst *T) {
		if n, ok := r.quantity(v, kind, rules...); ok {
			*to(dst) = n
		}
	}}
}

// text is a field of free text, taken as written.
func text[T any](key string, to func(*T) *string) field[T] {
	return field[T]{key: key, takes: "a text", form: is(Text{}), read: func(r *reader, v at, dst *T) {
		if s, ok := r.scalar(v, "a text"); ok {
			*to(dst) = s
		}
	}}
}

// choice is a field of one word of a list.
func choice[T any](key string, words []string, set func(dst *T, word string)) field[T] {
	takes := "one of: " + strings.Join(words, ", ")
	return field[T]{key: key, takes: takes, form: is(Words{List: words}), read: func(r *reader, v at, dst *T) {
		s, ok := r.scalar(v, takes)
		if !ok {
			return
		}
		for _, w := range words {
			if w == s {
				set(dst, w)
				return
			}
		}
		if near := quantity.Nearest(s, words); near != "" {
			r.fail(v, "`%s` is not known here; did you mean `%s`?", clip(s), near)
			return
		}
		r.fail(v, "`%s` is not known here; write %s", clip(s), takes)
	}}
}

// list returns the items of a list, of a wanted length when want is not empty.
func (r *reader) list(v at, takes string, want ...int) ([]at, bool) {
	if v.kind != listNode {
		r.fail(v, "this is %s; write %s", v.kind, takes)
		return nil, false
	}
	items := make([]at, len(v.values))
	for i := range items {
		items[i] = v.item(i)
	}
	fits := len(want) == 0
	for _, w := range want {
		fits = fits || w == len(items)
	}
	if fits {
		return items, true
	}
	if r.decimalComma(v, items) {
		return nil, false
	}
	r.fail(v, "the list has %d %s; write %s", len(items), map[bool]string{true: "item", false: "items"}[len(items) == 1], takes)
	return nil, false
}

// decimalComma reports a bare integer before an item that starts with a digit,
// which is what a decimal comma leaves behind in a flow list.
func (r *reader) decimalComma(v at, items []at) bool {
	for i := 0; i+1 < len(items); i++ {
		a, b := items[i], items[i+1]
		if v.flow && a.kind == scalarNode && b.kind == scalarNode && isInteger(a.text) && startsWithDigit(b.text) {
			r.fail(a, "`%s, %s` looks like a decimal comma; write the number with a decimal point, as in %s.%s, or, where two values are meant, give each its unit", clip(a.text), clip(b.text), clip(a.text), clip(b.text))
			return true
		}
	}
	return false
}

func isInteger(s string) bool {
	s = strings.TrimLeft(s, "+-−")
	if s == "" {
		return false
	}
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

// numbers reads a list of quantities, or one quantity where single is allowed.
func (r *reader) numbers(v at, kind quantity.Kind, single bool, counts []int, takes string, rules ...rule) ([]design.Number, bool) {
	if single && v.kind == scalarNode {
		n, ok := r.quantity(v, kind, rules...)
		return []design.Number{n}, ok
	}
	items, ok := r.list(v, takes, counts...)
	if !ok || kind != quantity.Number && r.decimalComma(v, items) {
		return nil, false
	}
	out := make([]design.Number, 0, len(items))
	for _, item := range items {
		n, good := r.quantity(item, kind, rules...)
		ok = ok && good
		out = append(out, n)
	}
	return out, ok
}

// takes names a kind of quantity with an example.
func takes(kind quantity.Kind) string {
	article := "a "
	if strings.ContainsRune("aeiou", rune(kind.String()[0])) {
		article = "an "
	}
	return article + kind.String() + " such as " + kind.Example()
}
