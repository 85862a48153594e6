package help

import (
	"fmt"
	"strings"

	"gridwright/internal/designfile"
)

// File lists every key of the design file, as the reader's own tables have them.
func File() string {
	var b strings.Builder
	b.WriteString(`THE DESIGN FILE

YAML. Every dimensioned value carries its unit; unknown keys are errors. A * after a key
means that it must be there; NAME is a name of your own: a letter, then letters, digits, _, -.
` + "`gridwright new`" + ` writes a file to start from, ` + "`gridwright schema`" + ` what an editor needs.

`)
	list(&b, designfile.Keys(), 0)
	return b.String()
}

// list writes the keys of a mapping, further in for each level.
func list(b *strings.Builder, m designfile.Mapping, level int) {
	const width = 96
	for _, k := range m.Keys {
		name := strings.Repeat("  ", level) + k.Name
		if k.Required {
			name += "*"
		}
		lead := 30
		lines := fold(k.About+example(k), width-lead)
		for i, line := range lines {
			if i > 0 {
				name = ""
			}
			if i == 0 && len([]rune(name)) > lead-2 {
				fmt.Fprintf(b, "%s\n", name)
				name = ""
			}
			fmt.Fprintf(b, "%-*s%s\n", lead, name, line)
		}
		inside(b, k.Form, level+1)
	}
}

func example(k designfile.Key) string {
	if k.Example == "" || strings.ContainsAny(k.Example, "{") {
		return ""
	}
	return " E.g. " + k.Example
}

// inside writes the keys that a value has in its turn.
func inside(b *strings.Builder, f designfile.Form, level int) {
	switch f := f.(type) {
	case designfile.Mapping:
		list(b, f, level)
	case designfile.Names:
		fmt.Fprintf(b, "%sNAME:\n", strings.Repeat("  ", level))
		inside(b, f.Of, level+1)
	case designfile.List:
		inside(b, f.Of, level)
	case designfile.OneOf:
		for _, one := range f {
			inside(b, one, level)
		}
	}
}
