package schema

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gopkg.in/yaml.v3"

	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
	"gridwright/internal/uncertainty"
	"gridwright/internal/work"
)

// compiled is one of our schemas in the hands of a validator not written here,
// which also holds it against the meta-schema of its draft.
func compiled(t testing.TB, make func() ([]byte, error)) *jsonschema.Schema {
	t.Helper()
	text, err := make()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("mem.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("mem.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// jsonOf is a document as an editor sees it: YAML read by the library, without
// this program's reader. An error is a text that is no one YAML document.
func jsonOf(text []byte) (any, error) {
	var n yaml.Node
	dec := yaml.NewDecoder(bytes.NewReader(text))
	if err := dec.Decode(&n); err != nil {
		return nil, err
	}
	var second yaml.Node
	if dec.Decode(&second) == nil {
		return nil, fmt.Errorf("two documents")
	}
	return plain(&n, 0)
}

func plain(n *yaml.Node, depth int) (any, error) {
	if depth > 200 {
		return nil, fmt.Errorf("nested too deep, or an alias inside its anchor")
	}
	switch n.Kind {
	case yaml.DocumentNode:
		return plain(n.Content[0], depth+1)
	case yaml.AliasNode:
		return plain(n.Alias, depth+1)
	case yaml.SequenceNode:
		list := []any{}
		for _, c := range n.Content {
			v, err := plain(c, depth+1)
			if err != nil {
				return nil, err
			}
			list = append(list, v)
		}
		return list, nil
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i < len(n.Content); i += 2 {
			v, err := plain(n.Content[i+1], depth+1)
			if err != nil {
				return nil, err
			}
			if _, twice := m[n.Content[i].Value]; twice {
				return nil, fmt.Errorf("a key twice")
			}
			m[n.Content[i].Value] = v
		}
		return m, nil
	}
	switch n.Tag {
	case "!!null":
		return nil, nil
	case "!!bool":
		return n.Value == "true", nil
	case "!!int", "!!float":
		var v float64
		if err := n.Decode(&v); err != nil {
			return nil, err
		}
		if math.IsInf(v, 0) || math.IsNaN(v) {
			return n.Value, nil // no number of JSON
		}
		return v, nil
	}
	return n.Value, nil
}

// roundTrip makes the values what the validator expects.
func roundTrip(t testing.TB, v any) any {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	out, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func files(t testing.TB, glob string, least int) []string {
	t.Helper()
	list, _ := filepath.Glob(glob)
	if len(list) < least {
		t.Fatalf("%d files are %s, want at least %d", len(list), glob, least)
	}
	return list
}

func TestEveryExampleValidates(t *testing.T) {
	s := compiled(t, Design)
	for _, f := range files(t, "../../designs/*.yaml", 5) {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		v, err := jsonOf(text)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(roundTrip(t, v)); err != nil {
			t.Errorf("%s: %v", f, err)
		}
	}
}

// The example beside every key is right for it.
func TestEveryKeysExampleValidates(t *testing.T) {
	n := 0
	var walk func(form designfile.Form)
	check := func(k designfile.Key) {
		v, err := designfile.Value(k.Example)
		if err != nil {
			t.Errorf("%s: the example %q: %v", k.Path, k.Example, err)
			return
		}
		s := compiled(t, func() ([]byte, error) {
			w := &writer{defined: map[string]bool{}}
			o := w.form(k.Form)
			return json.Marshal(append(append(object{{"$schema", draft}}, o...), member{"$defs", w.defs}))
		})
		n++
		if err := s.Validate(roundTrip(t, v)); err != nil {
			t.Errorf("%s: the example %q: %v", k.Path, k.Example, err)
		}
	}
	walk = func(form designfile.Form) {
		switch form := form.(type) {
		case designfile.Mapping:
			for _, k := range form.Keys {
				check(k)
				walk(k.Form)
			}
		case designfile.OneOf:
			for _, one := range form {
				walk(one)
			}
		case designfile.List:
			walk(form.Of)
		case designfile.Names:
			walk(form.Of)
		}
	}
	walk(designfile.Keys())
	if n < 100 {
		t.Errorf("%d examples", n)
	}
}

// why the schema does not see a fault, by the words of the reader's error: the
// first phrase that is in it.
var unseen = []struct{ phrase, class string }{
	{"has no meaning here", "YAML itself"},
	{"merge keys", "YAML itself"},
	{"looks like a decimal comma", "YAML has split the value"},
	{"is given twice", "keys of one mapping depend on each other"},
	{"keep the one that holds", "keys of one mapping depend on each other"},
	{"has its own directions", "keys of one mapping depend on each other"},
	{"pattern custom needs", "keys of one mapping depend on each other"},
	{"do not go with that completion", "keys of one mapping depend on each other"},
	{"the list has", "a list depends on the number of grids"},
	{"does not ascend", "values are compared"},
	{"make no section", "values are compared"},
	{"tolerance is as large as", "values are compared"},
	{"the value is out of range", "the size of a value with its unit"},
	{"no part or gauge has this", "the size of a value with its unit"},
	{"no part bears this", "the size of a value with its unit"},
	{"below absolute zero", "the size of a value with its unit"},
	{"too large or too small", "the size of a value with its unit"},
	{"rated zero", "the file as a whole"},
	{"no load is to be measured", "the file as a whole"},
	{"is used twice", "names of other parts of the file"},
	{"no grid `", "names of other parts of the file"},
	{"no gauge `", "names of other parts of the file"},
	{"the file has no load", "names of other parts of the file"},
	{"has the same name as", "names of other parts of the file"},
	{"a round part has no faces", "the part's shape"},
	{"the key is missing; write `around:`", "the part's shape"},
	{"more than half its girth", "the part's shape"},
	{"write dimensions that do, such as", "the part's shape"},
	{"over the end of", "the part's shape"},
	{"there is no surface", "the part's shape"},
	{"no flat face", "the part's shape"},
	{"look toward", "the part's shape"},
	{"computed for round tubes only", "the part's shape"},
	{"counts from the middle of a face", "keys of one mapping depend on each other"},
	{"lies on a face", "keys of one mapping depend on each other"},
	{"either `face` and `across`, or `around`", "keys of one mapping depend on each other"},
	{"completed at the instrument", "bridge, leads and shunt fit each other"},
	{"wires", "bridge, leads and shunt fit each other"},
	{"no arm has a grid", "bridge, leads and shunt fit each other"},
	{"a number that is not decimal", "YAML has read the value in its own way"},
	{"digits in groups", "YAML has read the value in its own way"},
}

// Each broken design is caught by the schema, or is of a class that a schema
// cannot see. The list is golden, so that a change of either shows.
func TestBrokenDesignsAreCaught(t *testing.T) {
	s := compiled(t, Design)
	var lines []string
	for _, f := range files(t, "../../testdata/broken/*.yaml", 60) {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		name := strings.TrimSuffix(filepath.Base(f), ".yaml")
		_, problem := designfile.Read(name, text)
		if problem == nil {
			t.Errorf("%s is not broken", f)
			continue
		}
		v, err := jsonOf(text)
		verdict := ""
		switch {
		case err != nil:
			verdict = "no YAML"
		case s.Validate(roundTrip(t, v)) != nil:
			verdict = "caught"
		default:
			verdict = "not caught: no class"
			for _, u := range unseen {
				if strings.Contains(problem.Error(), u.phrase) {
					verdict = "not caught: " + u.class
					break
				}
			}
			if verdict == "not caught: no class" {
				t.Errorf("%s: the schema takes it, and no class says why it cannot see %v", name, problem)
			}
		}
		lines = append(lines, name+": "+verdict)
	}
	sort.Strings(lines)
	golden(t, "testdata/broken.txt", strings.Join(lines, "\n")+"\n")
}

func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s is not as it was; -update writes it anew, and the difference is to be read; now:\n%s", file, got)
	}
}

// What predict --json prints, with and without Monte Carlo, validates.
func TestResultsValidate(t *testing.T) {
	s := compiled(t, Result)
	for _, f := range files(t, "../../designs/*.yaml", 5) {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, trials := range []int{-1, 0, 1000} {
			d, err := designfile.Read(f, text)
			if err != nil {
				t.Fatal(err)
			}
			out, err := dossier.Of(f, text, d)
			if trials >= 0 {
				out, err = dossier.WithUncertainty(context.Background(), f, text, d, uncertainty.Options{Trials: trials, Seed: 1})
			}
			if err != nil {
				t.Fatal(err)
			}
			result := out.Published()
			if trials == 1000 {
				chapters, err := work.Of(out)
				if err != nil {
					t.Fatal(err)
				}
				result.Work = work.Published(chapters)
			}
			if err := s.Validate(roundTrip(t, result)); err != nil {
				t.Errorf("%s, %d trials: %v", f, trials, err)
			}
		}
	}
	bad := map[string]any{"gridwright": 1}
	if s.Validate(roundTrip(t, bad)) == nil {
		t.Error("a result without its keys validates")
	}
}
