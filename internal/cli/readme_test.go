package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The README's sessions are run: each `$ gridwright …` of a console block must
// print what stands below it, standard error after standard output. A line […]
// stands for any lines left out.
func TestReadmeSession(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	designs, _ := filepath.Abs("../../designs")
	if err := os.Symlink(designs, filepath.Join(dir, "designs")); err != nil {
		t.Fatal(err)
	}
	commands := 0
	t.Chdir(dir)
	blocks := strings.Split(string(text), "```console\n")
	for _, b := range blocks[1:] {
		block, _, ok := strings.Cut(b, "```")
		if !ok {
			t.Fatal("a console block does not end")
		}
		for _, session := range strings.Split("\n"+block, "\n$ ")[1:] {
			command, want, _ := strings.Cut(session, "\n")
			fields := strings.Fields(command)
			if fields[0] != "gridwright" {
				t.Errorf("the README runs %q; its sessions run gridwright alone", command)
				continue
			}
			commands++
			var out, errs bytes.Buffer
			Main(fields[1:], strings.NewReader(""), &out, &errs)
			got := strings.TrimSpace(out.String() + errs.String())
			if !matches(got, strings.TrimSpace(want)) {
				t.Errorf("$ %s\nprints\n%s\nthe README says\n%s", command, got, want)
			}
		}
	}
	if commands < 4 {
		t.Errorf("the README runs %d commands", commands)
	}
}

// matches compares line by line; […] in want takes any lines, none too.
func matches(got, want string) bool {
	parts := strings.Split(want, "[…]")
	rest := got
	for i, p := range parts {
		p = strings.Trim(p, "\n")
		switch {
		case len(parts) == 1:
			return rest == p
		case i == 0:
			if !strings.HasPrefix(rest, p) {
				return false
			}
			rest = rest[len(p):]
		case i == len(parts)-1:
			return strings.HasSuffix(rest, p)
		default:
			at := strings.Index(rest, p)
			if at < 0 {
				return false
			}
			rest = rest[at+len(p):]
		}
	}
	return true
}
