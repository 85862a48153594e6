package published_test

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the table of published checks in DEVELOPERS.md")

const (
	tableBegin = "<!-- published checks: made by go test ./internal/published -update -->\n"
	tableEnd   = "<!-- end of published checks -->\n"
)

// source is one file of tests.
type source struct {
	file, words string
	tests       []string
}

// sources are the files of this folder in their order.
func sources() ([]source, error) {
	files, err := filepath.Glob("*_test.go")
	if err != nil {
		return nil, err
	}
	var all []source
	for _, name := range files {
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		if err != nil {
			return nil, err
		}
		s := source{file: name}
		for _, d := range f.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok && strings.HasPrefix(fn.Name.Name, "Test") && name != "table_test.go" {
				s.tests = append(s.tests, fn.Name.Name)
			}
		}
		for _, c := range f.Comments {
			if text := c.Text(); s.words == "" && strings.HasPrefix(text, "Source: ") {
				s.words = sourceWords(text)
			}
		}
		if len(s.tests) > 0 {
			all = append(all, s)
		}
	}
	return all, nil
}

// achieved is what the comparisons of one test came to.
type achieved struct {
	values   int
	relative float64 // largest |got − printed|/|printed|, or |got| where 0 is printed
	part     float64 // largest part of the tolerance that was used
}

var (
	recording sync.Mutex
	recorded  = map[string]*achieved{}
)

// record notes a comparison for the table of `gridwright help validation`.
func record(t *testing.T, got, want, half float64) {
	recording.Lock()
	defer recording.Unlock()
	name, _, _ := strings.Cut(t.Name(), "/")
	a := recorded[name]
	if a == nil {
		a = new(achieved)
		recorded[name] = a
	}
	a.values++
	d := math.Abs(got - want)
	if half > 0 {
		a.part = math.Max(a.part, d/half)
	}
	if want != 0 {
		d /= math.Abs(want)
	}
	a.relative = math.Max(a.relative, d)
}

const validation = "../help/validation.tsv"

// TestMain writes, or compares, the table of achieved differences after all tests
// of the package ran.
func TestMain(m *testing.M) {
	flag.Parse()
	code := m.Run()
	if code == 0 && flag.Lookup("test.run").Value.String() == "" && !testing.Short() {
		if err := tabulate(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = 1
		}
	}
	os.Exit(code)
}

func tabulate() error {
	all, err := sources()
	if err != nil {
		return err
	}
	old := map[string][]string{}
	if text, err := os.ReadFile(validation); err == nil {
		for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
			if cells := strings.Split(line, "\t"); len(cells) == 5 {
				old[cells[1]] = cells
			}
		}
	}
	var b strings.Builder
	rows := 0
	for _, s := range all {
		for _, name := range s.tests {
			a := recorded[name]
			if a == nil {
				a = new(achieved)
			}
			rows++
			fmt.Fprintf(&b, "%s\t%s\t%d\t%.0e\t%.2f\n", s.words, name, a.values, a.relative, a.part)
			if *update {
				continue
			}
			was := old[name]
			if was == nil || was[0] != s.words || was[2] != fmt.Sprint(a.values) {
				return fmt.Errorf("%s has no row, or another, for %s; run go test ./internal/published -update", validation, name)
			}
			// Other processors round otherwise; a worse agreement is a finding.
			if before, err := strconv.ParseFloat(was[3], 64); err != nil || a.relative > 3*before+1e-9 {
				return fmt.Errorf("%s: the largest relative difference of %s was %s, now it is %.1e; if that is right, run go test ./internal/published -update", validation, name, was[3], a.relative)
			}
		}
	}
	if *update {
		return os.WriteFile(validation, []byte(b.String()), 0o644)
	}
	if rows != len(old) {
		return fmt.Errorf("%s has %d rows, the tests give %d; run go test ./internal/published -update", validation, len(old), rows)
	}
	return nil
}

// The table of published checks in DEVELOPERS.md is made from the tests: every
// file names its source, and every test stands in the table.
func TestTableOfSources(t *testing.T) {
	all, err := sources()
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString(tableBegin + "| source | tests |\n|---|---|\n")
	for _, s := range all {
		if s.words == "" {
			t.Errorf("%s names no source; start a comment with \"Source: \"", s.file)
		}
		fmt.Fprintf(&b, "| %s | `%s` |\n", s.words, strings.Join(s.tests, "`, `"))
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
