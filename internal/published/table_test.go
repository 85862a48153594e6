package published_test

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the table of published checks in DEVELOPERS.md")

const (
	tableBegin = "<!-- published checks: made by go test ./internal/published -update -->\n"
	tableEnd   = "<!-- end of published checks -->\n"
)

// The table of published checks in DEVELOPERS.md is made from the tests: every
// file names its source, and every test stands in the table.
func TestTableOfSources(t *testing.T) {
	files, _ := filepath.Glob("*_test.go")
	var b strings.Builder
	b.WriteString(tableBegin + "| source | tests |\n|---|---|\n")
	for _, name := range files {
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		var tests []string
		for _, d := range f.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok && strings.HasPrefix(fn.Name.Name, "Test") && name != "table_test.go" {
				tests = append(tests, "`"+fn.Name.Name+"`")
			}
		}
		if len(tests) == 0 {
			continue
		}
		source := ""
		for _, c := range f.Comments {
			if text := c.Text(); source == "" && strings.HasPrefix(text, "Source: ") {
				source = sourceWords(text)
			}
		}
		if source == "" {
			t.Errorf("%s names no source; start a comment with \"Source: \"", name)
		}
		fmt.Fprintf(&b, "| %s | %s |\n", source, strings.Join(tests, ", "))
	}
	b.WriteString(tableEnd)
	const page = "../../DEVELOPERS.md"
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, ok := strings.Cut(string(text), tableBegin)
	_, tail, ok2 := strings.Cut(rest, tableEnd)
	if !ok || !ok2 {
		t.Fatalf("%s has no place for the table", page)
	}
	want := head + b.String() + tail
	if *update {
		if err := os.WriteFile(page, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if want != string(text) {
		t.Errorf("the table in %s is not that of the tests; run go test ./internal/published -update", page)
	}
}

// sourceWords is the source without what is said of it.
func sourceWords(comment string) string {
	s := strings.Join(strings.Fields(strings.TrimPrefix(comment, "Source: ")), " ")
	if i := strings.IndexAny(s, ";(|"); i > 0 {
		s = s[:i]
	}
	if words := strings.Fields(s); len(s) > 130 {
		s = ""
		for _, w := range words {
			if len(s)+len(w) > 125 {
				s += " …"
				break
			}
			s += " " + w
		}
	}
	return strings.TrimRight(strings.TrimSpace(s), ".,:")
}
