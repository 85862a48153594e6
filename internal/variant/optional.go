package variant

import (
	"strings"

	"gridwright/internal/designfile"
)

// optional is how a key of one quantity is written that the format has at a path, "" when
// it has none there.
func optional(path string) string {
	return example(designfile.Keys(), strings.FieldsFunc(strings.ReplaceAll(path, "[", ".["), func(r rune) bool { return r == '.' }), designfile.Key{})
}

// example looks for the rest of a path in a form that a key has.
func example(f designfile.Form, rest []string, key designfile.Key) string {
	switch f := f.(type) {
	case designfile.Quantity:
		if len(rest) == 0 {
			return key.Name + ": " + key.Example
		}
	case designfile.Mapping:
		if len(rest) > 0 {
			if k, ok := f.Find(rest[0]); ok {
				return example(k.Form, rest[1:], k)
			}
		}
	case designfile.Names:
		if len(rest) > 0 {
			return example(f.Of, rest[1:], key)
		}
	case designfile.List:
		if len(rest) > 0 && strings.HasPrefix(rest[0], "[") {
			return example(f.Of, rest[1:], key)
		}
	case designfile.OneOf:
		for _, g := range f {
			if s := example(g, rest, key); s != "" {
				return s
			}
		}
	}
	return ""
}
