package schema

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"
	"pgregory.net/rapid"

	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
)

// spot is a value of an example with the form that the tables give it there.
type spot struct {
	node *yaml.Node
	path string
	form designfile.Form
}

// spots finds every value of a document. Where a value may have several forms,
// those that its own form rules out are set aside.
func spots(n *yaml.Node, path string, form designfile.Form, out *[]spot) {
	if one, ok := form.(designfile.OneOf); ok {
		for _, f := range one {
			if fits(n, f) {
				spots(n, path, f, out)
				return
			}
		}
		return
	}
	*out = append(*out, spot{n, path, form})
	switch f := form.(type) {
	case designfile.Mapping:
		for i := 0; i < len(n.Content); i += 2 {
			if k, ok := f.Find(n.Content[i].Value); ok {
				spots(n.Content[i+1], strings.TrimPrefix(path+"."+k.Name, "."), k.Form, out)
			}
		}
	case designfile.Names:
		for i := 0; i < len(n.Content); i += 2 {
			spots(n.Content[i+1], path+"."+n.Content[i].Value, f.Of, out)
		}
	case designfile.List:
		for _, item := range n.Content {
			spots(item, path+"[]", f.Of, out)
		}
	}
}

func fits(n *yaml.Node, form designfile.Form) bool {
	switch f := form.(type) {
	case designfile.Mapping:
		if n.Kind != yaml.MappingNode {
			return false
		}
		for i := 0; i < len(n.Content); i += 2 {
			k, ok := f.Find(n.Content[i].Value)
			if w, isWords := k.Form.(designfile.Words); !ok || isWords && len(w.List) == 1 && n.Content[i+1].Value != w.List[0] {
				return false
			}
		}
		return true
	case designfile.List:
		return n.Kind == yaml.SequenceNode
	case designfile.Quantity:
		_, err := quantity.Parse(n.Value, f.Kind)
		return n.Kind == yaml.ScalarNode && err == nil
	case designfile.Words:
		for _, w := range f.List {
			if w == n.Value {
				return true
			}
		}
		return false
	}
	return n.Kind == yaml.ScalarNode
}

// Schema and reader say the same of examples that were damaged at random: a
// required key taken out, a key added that no table has, a quantity with a unit
// of anything, a word that is not of the list, a list too short or too long.
func TestSchemaAndReaderDoNotDrift(t *testing.T) {
	s := compiled(t, Design)
	var texts [][]byte
	for _, f := range files(t, "../../designs/*.yaml", 5) {
		text, err := os.ReadFile(filepath.Clean(f))
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, text)
	}
	var units []string
	for _, k := range quantity.Kinds() {
		units = append(units, quantity.Units(k)...)
	}
	refused := map[string]int{}
	rapid.Check(t, func(rt *rapid.T) {
		var doc yaml.Node
		if err := yaml.Unmarshal(rapid.SampledFrom(texts).Draw(rt, "example"), &doc); err != nil {
			rt.Fatal(err)
		}
		var all []spot
		spots(doc.Content[0], "", designfile.Keys(), &all)
		byForm := map[string][]spot{}
		var forms []string
		for _, a := range all {
			name := fmt.Sprintf("%T", a.form)
			if byForm[name] == nil {
				forms = append(forms, name)
			}
			byForm[name] = append(byForm[name], a)
		}
		at := rapid.SampledFrom(byForm[rapid.SampledFrom(forms).Draw(rt, "form")]).Draw(rt, "spot")
		kind, broken := "", true // broken: the damage is one for sure
		switch f := at.form.(type) {
		case designfile.Mapping:
			var required []int
			for i := 0; i < len(at.node.Content); i += 2 {
				if k, _ := f.Find(at.node.Content[i].Value); k.Required {
					required = append(required, i)
				}
			}
			if len(required) > 0 && rapid.Bool().Draw(rt, "delete") {
				i := rapid.SampledFrom(required).Draw(rt, "key")
				at.node.Content = append(at.node.Content[:i:i], at.node.Content[i+2:]...)
				kind = "required key"
				break
			}
			word := rapid.StringMatching(`[a-z]{3,8}(-[a-z]{2,5})?`).Draw(rt, "word")
			if _, known := f.Find(word); known {
				return
			}
			at.node.Content = append(at.node.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: word}, &yaml.Node{Kind: yaml.ScalarNode, Value: "1 mm"})
			kind = "unknown key"
		case designfile.Quantity:
			u := rapid.SampledFrom(units).Draw(rt, "unit")
			at.node.Value, at.node.Tag, at.node.Style = "1 "+u, "", 0
			_, err := quantity.Parse(at.node.Value, f.Kind)
			kind, broken = "unit", err != nil
		case designfile.Words:
			at.node.Value, at.node.Tag, at.node.Style = rapid.StringMatching(`[a-z]{2,9}`).Draw(rt, "word"), "!!str", 0
			for _, w := range f.List {
				broken = broken && !strings.EqualFold(w, at.node.Value)
			}
			kind = "word"
		case designfile.Whole:
			at.node.Value, at.node.Tag = rapid.SampledFrom([]string{"0", "-1", "5", "99", "two", "1.5"}).Draw(rt, "number"), ""
			kind, broken = "whole number", false
		case designfile.List:
			if len(f.Counts) == 0 {
				return
			}
			if n := len(at.node.Content); rapid.Bool().Draw(rt, "shorter") {
				at.node.Content = at.node.Content[:n-1]
			} else {
				at.node.Content = append(at.node.Content, at.node.Content[n-1])
			}
			kind, broken = "list", len(f.Counts) == 1
		default:
			return
		}
		text, err := yaml.Marshal(&doc)
		if err != nil {
			rt.Fatal(err)
		}
		v, err := jsonOf(text)
		if err != nil {
			rt.Fatal(err)
		}
		bySchema := s.Validate(roundTrip(t, v))
		_, byReader := designfile.Read("d.yaml", text)
		switch {
		case bySchema != nil && byReader == nil:
			rt.Fatalf("%s at %s: the reader takes what the schema refuses: %v\n%s", kind, at.path, bySchema, text)
		case broken && (bySchema == nil || byReader == nil):
			rt.Fatalf("%s at %s: the schema says %v, the reader %v\n%s", kind, at.path, bySchema, byReader, text)
		case bySchema == nil && byReader != nil && !farSighted(byReader):
			rt.Fatalf("%s at %s: the schema takes what the reader refuses: %v\n%s", kind, at.path, byReader, text)
		}
		if bySchema != nil {
			refused[kind]++
		}
	})
	for _, kind := range []string{"required key", "unknown key", "unit", "word", "list"} {
		if refused[kind] == 0 {
			t.Errorf("no damage of the kind %q was tried", kind)
		}
	}
}

// farSighted reports whether every problem is of a class that a schema cannot see.
func farSighted(err error) bool {
	var problems designfile.Problems
	if !errors.As(err, &problems) {
		return false
	}
	for _, p := range problems {
		seen := true
		for _, u := range unseen {
			seen = seen && !strings.Contains(p.Message, u.phrase)
		}
		if seen {
			return false
		}
	}
	return true
}
