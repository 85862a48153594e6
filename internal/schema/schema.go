// Package schema writes JSON Schemas (draft 2020-12): of the design file, made of
// the tables that its reader uses, and of results, made of the Go types that they
// are written from.
//
// A schema sees one value at a time. It does not know names that one part of the
// file gives and another uses, rules between values, or YAML itself: the reader
// does, and has the last word.
package schema

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
)

const draft = "https://json-schema.org/draft/2020-12/schema"

// object is a JSON object that keeps the order of its keys.
type object []member

type member struct {
	key   string
	value any
}

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		key, err := encoded(m.key)
		if err != nil {
			return nil, err
		}
		value, err := encoded(m.value)
		if err != nil {
			return nil, err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// encoded is JSON that leaves < > & as they are.
func encoded(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

const nameText = `\p{L}[\p{L}\p{Nd}_-]*`

// Design is the schema of the design file.
func Design() ([]byte, error) {
	w := &writer{defined: map[string]bool{}}
	root := w.form(designfile.Keys())
	schema := object{
		{"$schema", draft},
		{"$id", fmt.Sprintf("urn:gridwright:design:%d", designfile.Version)},
		{"title", "gridwright design file"},
		{"description", "A part that becomes a transducer with bonded strain gauges: its shape, metal, loads, gauges, and where they are and how they are wired."},
	}
	schema = append(schema, root...)
	return indented(append(schema, member{"$defs", w.defs}))
}

func indented(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	err := enc.Encode(v)
	return b.Bytes(), err
}

// writer turns forms into schemas and collects what they share.
type writer struct {
	defs    object
	defined map[string]bool
}

func (w *writer) form(f designfile.Form) object {
	switch f := f.(type) {
	case designfile.Text:
		return object{{"type", []string{"string", "number", "boolean"}}}
	case designfile.Words:
		if f.AnyCase {
			return object{{"anyOf", []object{{{"enum", f.List}}, {{"type", "string"}, {"pattern", anyCase(f.List)}}}}}
		}
		return object{{"enum", f.List}}
	case designfile.Whole:
		return whole(f)
	case designfile.Quantity:
		return w.quantity(f)
	case designfile.Name:
		return object{{"type", "string"}, {"pattern", "^" + nameText + "$"}}
	case designfile.List:
		return w.list(f)
	case designfile.Mapping:
		return w.mapping(f)
	case designfile.Names:
		return object{{"type", "object"}, {"propertyNames", object{{"maxLength", 80}}}, {"patternProperties", object{{"^" + nameText + "$", w.form(f.Of)}}},
			{"additionalProperties", false}, {"maxProperties", f.Most}}
	case designfile.OneOf:
		var any []object
		for _, one := range f {
			any = append(any, w.form(one))
		}
		if len(any) == 1 {
			return any[0]
		}
		return object{{"anyOf", any}}
	}
	return object{}
}

func (w *writer) mapping(m designfile.Mapping) object {
	var required []string
	properties := object{}
	for _, k := range m.Keys {
		p := object{{"description", k.About}}
		p = append(p, w.form(k.Form)...)
		if v, err := designfile.Value(k.Example); err == nil {
			p = append(p, member{"examples", []any{v}})
		}
		properties = append(properties, member{k.Name, p})
		if k.Required {
			required = append(required, k.Name)
		}
	}
	o := object{{"type", "object"}, {"properties", properties}, {"additionalProperties", false}}
	if required != nil {
		o = append(o, member{"required", required})
	}
	if m.Least > 0 {
		o = append(o, member{"minProperties", m.Least})
	}
	return o
}

func (w *writer) list(l designfile.List) object {
	least, most := l.Least, l.Most
	for i, c := range l.Counts {
		if i == 0 || c < least {
			least = c
		}
		most = max(most, c)
	}
	o := object{{"type", "array"}, {"items", w.form(l.Of)}}
	if least > 0 {
		o = append(o, member{"minItems", least})
	}
	if most > 0 {
		o = append(o, member{"maxItems", most})
	}
	return o
}

// whole takes the number and, as the reader does, its digits in quotes.
func whole(f designfile.Whole) object {
	if len(f.Only) == 0 && f.High-f.Low > 9 {
		return object{{"anyOf", []object{{{"type", "integer"}, {"minimum", f.Low}, {"maximum", f.High}}, {{"type", "string"}, {"pattern", "^[0-9]+$"}}}}}
	}
	var list []any
	values := f.Only
	if values == nil {
		for n := f.Low; n <= f.High; n++ {
			values = append(values, n)
		}
	}
	for _, n := range values {
		list = append(list, n)
	}
	for _, n := range values {
		list = append(list, fmt.Sprint(n))
	}
	return object{{"enum", list}}
}

// quantity refers to the definition of its kind and sign.
func (w *writer) quantity(q designfile.Quantity) object {
	s, suffix := signOf(q)
	name := strings.ReplaceAll(q.Kind.String(), " ", "-") + suffix
	if !w.defined[name] {
		w.defined[name] = true
		text := object{{"type", "string"}, {"pattern", pattern(q.Kind, s)}}
		if q.Kind != quantity.Number {
			about := fmt.Sprintf("NUMBER UNIT, or NUMBER UNIT ± TOLERANCE: %s%s; units such as %s.", q.Kind, strings.ReplaceAll(suffix, "-", " "), strings.Join(firstUnits(q.Kind), ", "))
			text = append(object{{"description", about}}, text...)
			text = append(text, member{"examples", []string{q.Kind.Example()}})
		}
		w.defs = append(w.defs, member{name, text})
	}
	ref := object{{"$ref", "#/$defs/" + name}}
	if q.Kind != quantity.Number {
		return ref
	}
	number := object{{"type", "number"}}
	bound := func(b designfile.Bound, inclusive, exclusive string) {
		if b.Set && b.Exclusive {
			number = append(number, member{exclusive, b.SI})
		} else if b.Set {
			number = append(number, member{inclusive, b.SI})
		}
	}
	bound(q.Low, "minimum", "exclusiveMinimum")
	bound(q.High, "maximum", "exclusiveMaximum")
	if q.NotZero && !(q.Low.Set && q.Low.SI >= 0) {
		number = append(number, member{"not", object{{"const", 0}}})
	}
	return object{{"anyOf", []object{number, ref}}}
}

func signOf(q designfile.Quantity) (s sign, suffix string) {
	switch {
	case q.Low.Set && q.Low.SI >= 0 && q.NotZero && q.Kind != quantity.Temperature:
		return positive, "-above-zero"
	case q.Low.Set && q.Low.SI >= 0 && q.Kind != quantity.Temperature:
		return notNegative, "-not-negative"
	case q.NotZero:
		return notZero, "-not-zero"
	}
	return anyNumber, ""
}

// firstUnits are the usual ones.
func firstUnits(k quantity.Kind) []string {
	u := quantity.Units(k)
	return u[:min(len(u), 6)]
}

// anyCase is a pattern for words in any capitals.
func anyCase(list []string) string {
	var words []string
	for _, w := range list {
		var b strings.Builder
		for _, c := range w {
			if unicode.IsLetter(c) {
				fmt.Fprintf(&b, "[%c%c]", unicode.ToUpper(c), unicode.ToLower(c))
			} else {
				b.WriteString(regexp.QuoteMeta(string(c)))
			}
		}
		words = append(words, b.String())
	}
	return "^(?:" + strings.Join(words, "|") + ")$"
}
