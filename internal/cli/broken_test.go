package cli

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite golden files")

// run calls the program as a user would.
func run(args ...string) (code int, stdout, stderr string) {
	var out, err bytes.Buffer
	code = Main(args, strings.NewReader(""), &out, &err)
	return code, out.String(), err.String()
}

// Every broken design: exit status 2, the exact errors, nothing on standard
// output, no output file.
func TestBrokenDesigns(t *testing.T) {
	files, _ := filepath.Glob("../../testdata/broken/*.yaml")
	if len(files) < 150 {
		t.Fatalf("%d broken designs; there are to be at least 150", len(files))
	}
	dir := t.TempDir()
	t.Chdir("../../testdata/broken")
	for _, f := range files {
		name := filepath.Base(f)
		t.Run(strings.TrimSuffix(name, ".yaml"), func(t *testing.T) {
			out := filepath.Join(dir, name+".out")
			golden := strings.TrimSuffix(name, ".yaml") + ".txt"
			for _, args := range [][]string{{"predict", name}, {"check", name}, {"section", name}, {"pick", name, "-o", out}, {"sheet", name, "-o", out}, {"predict", "--json", name}} {
				code, stdout, stderr := run(args...)
				if code != exitInput {
					t.Fatalf("%v: exit status %d\n%s", args, code, stderr)
				}
				if stdout != "" {
					t.Errorf("%v: standard output %q", args, stdout)
				}
				if *update {
					if err := os.WriteFile(golden, []byte(stderr), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				want, err := os.ReadFile(golden)
				if err != nil {
					t.Fatal(err)
				}
				if stderr != string(want) {
					t.Errorf("%v:\n got %s\nwant %s", args, stderr, want)
				}
				for _, line := range strings.Split(strings.TrimSuffix(stderr, "\n"), "\n") {
					if !strings.HasPrefix(line, name+":") {
						t.Errorf("%v: a line without place: %q", args, line)
					}
				}
				if entries, _ := os.ReadDir(dir); len(entries) != 0 {
					t.Errorf("%v left %s behind", args, entries[0].Name())
				}
			}
		})
	}
}
