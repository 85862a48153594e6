package designfile

import (
	"slices"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// Stated is one quantity of a design file: where it stands, as YAML understands
// it, and of what kind it is.
type Stated struct {
	design.Place
	Text string
	Kind quantity.Kind
}

// Quantities lists the quantities of a design file in the order of the text. The
// file is one that Read accepts; what the tables do not know is left out.
func Quantities(file string, text []byte) ([]Stated, error) {
	root, problems := parse(file, text)
	if len(problems) > 0 {
		return nil, problems
	}
	var out []Stated
	seen := map[*node]bool{} // an anchor's value stands once, however often it is used
	stated(at{root, ""}, Keys(), seen, &out)
	slices.SortStableFunc(out, func(a, b Stated) int {
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		return a.Column - b.Column
	})
	return out, nil
}

func stated(v at, f Form, seen map[*node]bool, out *[]Stated) {
	switch f := f.(type) {
	case Quantity:
		if v.kind != scalarNode || v.null || seen[v.node] {
			return
		}
		if _, err := quantity.Parse(v.text, f.Kind); err == nil {
			seen[v.node] = true
			*out = append(*out, Stated{v.place(), v.text, f.Kind})
		}
	case Mapping:
		if v.kind != mappingNode {
			return
		}
		for i, k := range v.keys {
			if key, ok := f.Find(k.text); ok {
				stated(at{v.values[i], join(v.path, k.text)}, key.Form, seen, out)
			}
		}
	case Names:
		if v.kind != mappingNode {
			return
		}
		for i, k := range v.keys {
			stated(at{v.values[i], join(v.path, k.text)}, f.Of, seen, out)
		}
	case List:
		if v.kind != listNode {
			return
		}
		for i := range v.values {
			stated(v.item(i), f.Of, seen, out)
		}
	case OneOf:
		stated(v, fitting(v, f), seen, out)
	}
}

// fitting is the form among several that a value has: of mappings the one that
// knows all its keys, and its shape where that is stated.
func fitting(v at, forms OneOf) Form {
	for _, f := range forms {
		switch f := f.(type) {
		case OneOf:
			if inner := fitting(v, f); inner != nil {
				return inner
			}
		case Quantity:
			if v.kind == scalarNode && !v.null {
				if _, err := quantity.Parse(v.text, f.Kind); err == nil {
					return f
				}
			}
		case List:
			if v.kind == listNode {
				return f
			}
		case Mapping:
			if v.kind == mappingNode && knows(v, f) {
				return f
			}
		}
	}
	return nil
}

func knows(v at, m Mapping) bool {
	for i, k := range v.keys {
		key, ok := m.Find(k.text)
		if !ok {
			return false
		}
		if w, ok := key.Form.(Words); ok && k.text == "shape" && !slices.Contains(w.List, v.values[i].text) {
			return false
		}
	}
	return true
}
