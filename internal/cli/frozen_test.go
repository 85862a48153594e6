package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestFrozen: designs of every version of the format, never changed once they are
// there, are read forever and predicted as on the day they were frozen. Words and
// versions may change, figures by rounding only.
func TestFrozen(t *testing.T) {
	files, err := filepath.Glob("../../testdata/frozen/*/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no frozen design", err)
	}
	for _, file := range files {
		var out, errOut bytes.Buffer
		if code := Main([]string{"predict", file, "--trials", "0", "--json"}, strings.NewReader(""), &out, &errOut); code != 0 {
			t.Errorf("%s: exit %d: %s", file, code, &errOut)
			continue
		}
		golden := strings.TrimSuffix(file, ".yaml") + ".json"
		if _, err := os.Stat(golden); err != nil && *update {
			if err := os.WriteFile(golden, out.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(golden)
		if err != nil {
			t.Errorf("%v; a new frozen design gets its figures by go test ./internal/cli -run Frozen -update", err)
			continue
		}
		var want, got any
		if err := json.Unmarshal(kept, &want); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(out.Bytes(), &got); err != nil {
			t.Fatal(err)
		}
		for _, d := range differences("", want, got) {
			t.Errorf("%s: %s", file, d)
		}
	}
}

// differences of two results, of all that was there when the first was kept.
func differences(path string, want, got any) []string {
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		if !ok {
			return []string{path + " is no object"}
		}
		var all []string
		for k, v := range w {
			switch k {
			case "program", "data_tables", "findings", "assumed", "why":
				continue
			}
			all = append(all, differences(path+"."+k, v, g[k])...)
		}
		return all
	case []any:
		g, ok := got.([]any)
		if !ok || len(g) != len(w) {
			return []string{path + " has another length"}
		}
		var all []string
		for i := range w {
			all = append(all, differences(fmt.Sprintf("%s[%d]", path, i), w[i], g[i])...)
		}
		return all
	case float64:
		g, ok := got.(float64)
		if !ok || math.Abs(g-w) > 1e-8*math.Abs(w)+1e-11 {
			return []string{fmt.Sprintf("%s is %v, was %v", path, got, w)}
		}
		return nil
	}
	if want != got {
		return []string{fmt.Sprintf("%s is %v, was %v", path, got, want)}
	}
	return nil
}
