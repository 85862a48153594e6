package designfile

import (
	"strconv"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// Form is what a value of a design file may be, as the reader's tables have it:
// one of Text, Words, Whole, Quantity, Name, List, Mapping, Names, OneOf and Any.
type Form interface{ form() }

// Text is free text, taken as written.
type Text struct{}

// Words is one word of a list. Where AnyCase is set, capitals do not matter.
type Words struct {
	List    []string
	AnyCase bool
}

// Whole is one of some whole numbers, from Low to High; only those of Only where
// there are any.
type Whole struct {
	Low, High int
	Only      []int
}

// Quantity is a number with the unit of its kind, and a tolerance if it has one.
type Quantity struct {
	Kind      quantity.Kind
	Low, High Bound // of the value in SI units
	NotZero   bool
}

// Bound of a range; the zero value is none.
type Bound struct {
	SI        float64
	Set       bool
	Exclusive bool
}

// Name is a name that the file itself gives, to a gauge or a grid.
type Name struct{ Of string }

// List is a list of values of one form: of one of the lengths of Counts, or
// where that is empty of Least and more, at most Most where Most is not 0.
type List struct {
	Of          Form
	Counts      []int
	Least, Most int
}

// Mapping is a fixed set of keys.
type Mapping struct {
	Keys  []Key
	Least int // how many of them there must be at least, besides the required ones
}

// Names is a mapping whose keys are names that the user gives.
type Names struct {
	Of   Form
	Most int
}

// OneOf is a value of any of some forms.
type OneOf []Form

// Any is a value whose form the tables do not state.
type Any struct{}

func (Text) form()     {}
func (Words) form()    {}
func (Whole) form()    {}
func (Quantity) form() {}
func (Name) form()     {}
func (List) form()     {}
func (Mapping) form()  {}
func (Names) form()    {}
func (OneOf) form()    {}
func (Any) form()      {}

// Key is one key of a mapping.
type Key struct {
	Name     string
	Path     string // dotted, with * for a name of the user's and [] for an item of a list
	Required bool
	Takes    string // what the value is, as messages say it
	About    string // one sentence
	Example  string // of the value, as the file writes it in a line
	Form     Form
}

// Keys is the form of a whole design file, made of the tables that Read uses.
func Keys() Mapping { return Mapping{Keys: keys("", designFields)} }

// Find returns the key of that name.
func (m Mapping) Find(name string) (Key, bool) {
	for _, k := range m.Keys {
		if k.Name == name {
			return k, true
		}
	}
	return Key{}, false
}

// formOf makes the form of the value at a path.
type formOf func(path string) Form

func keys[T any](path string, fields []field[T]) []Key {
	out := make([]Key, len(fields))
	for i, f := range fields {
		k := Key{Name: f.key, Path: join(path, f.key), Required: f.required, Takes: f.takes, Form: Any{}}
		if f.form != nil {
			k.Form = f.form(k.Path)
		}
		note := notes[k.Path]
		k.About, k.Example = note.about, note.example
		if k.About == "" {
			k.About = aboutDimension(k)
		}
		if k.Example == "" {
			k.Example = exampleOf(k.Form)
		}
		out[i] = k
	}
	return out
}

// exampleOf is an example that the form alone gives, "" when it gives none.
func exampleOf(f Form) string {
	switch f := f.(type) {
	case Quantity:
		return f.Kind.Example()
	case Words:
		return f.List[0]
	case Whole:
		if len(f.Only) > 0 {
			return strconv.Itoa(f.Only[0])
		}
		return strconv.Itoa(f.Low)
	case OneOf:
		return exampleOf(f[0])
	}
	return ""
}

func mappingOf[T any](fields []field[T]) formOf {
	return func(path string) Form { return Mapping{Keys: keys(path, fields)} }
}

func listOf(of formOf, counts ...int) formOf {
	return func(path string) Form { return List{Of: of(path + "[]"), Counts: counts} }
}

func listOfUpTo(least, most int, of formOf) formOf {
	return func(path string) Form { return List{Of: of(path + "[]"), Least: least, Most: most} }
}

func namesOf(of formOf) formOf {
	return func(path string) Form { return Names{Of: of(path + ".*"), Most: maxNames} }
}

func oneOf(forms ...formOf) formOf {
	return func(path string) Form {
		var out OneOf
		for _, f := range forms {
			out = append(out, f(path))
		}
		return out
	}
}

func is(f Form) formOf { return func(string) Form { return f } }

func quantityOf(kind quantity.Kind, rules ...rule) formOf {
	return func(string) Form {
		accepts := func(si float64) bool {
			for _, r := range rules {
				if r(design.Number{Value: quantity.Exact(si), Set: true}) != "" {
					return false
				}
			}
			return true
		}
		q := Quantity{Kind: kind}
		q.Low, q.High = bounds(accepts)
		q.NotZero = !accepts(0)
		return q
	}
}

// eachGrid is one value for all grids, or a list of one for each.
func eachGrid(kind quantity.Kind, rules ...rule) formOf {
	return oneOf(quantityOf(kind, rules...), func(path string) Form {
		return List{Of: quantityOf(kind, rules...)(path), Least: 1}
	})
}

// bounds finds the interval about a usual value that a rule accepts, by asking
// it: what the rule says and what is told of it cannot differ.
func bounds(accepts func(float64) bool) (low, high Bound) {
	inside := 1.0
	for _, x := range []float64{1, 0.25, 1e3, 1e8} {
		if accepts(x) {
			inside = x
			break
		}
	}
	edge := func(outside float64) Bound {
		if accepts(outside) {
			return Bound{}
		}
		in, out := inside, outside
		for {
			mid := in + (out-in)/2
			if mid == in || mid == out {
				break
			}
			if accepts(mid) {
				in = mid
			} else {
				out = mid
			}
		}
		// of the last number accepted and the first refused, the one that a person
		// would write is the limit
		if len(strconv.FormatFloat(in, 'g', -1, 64)) <= len(strconv.FormatFloat(out, 'g', -1, 64)) {
			return Bound{SI: in, Set: true}
		}
		return Bound{SI: out, Set: true, Exclusive: true}
	}
	return edge(-1e200), edge(1e200)
}

// Value is a piece of a design file as a JSON document would hold it: text, a
// number or boolean where YAML reads one, []any, map[string]any, or nil.
func Value(text string) (any, error) {
	root, problems := parse("", []byte(text))
	if len(problems) > 0 {
		return nil, problems.sorted()
	}
	return root.value(map[*node]any{}), nil
}
