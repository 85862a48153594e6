package report

import (
	"bytes"
	"encoding/json"
	"testing"
)

// TestTraced: the object keeps what it says and gains what it does not.
func TestTraced(t *testing.T) {
	for name, v := range map[string]any{
		"empty":  map[string]any{},
		"nested": map[string]any{"a": map[string]any{"b": map[string]int{"c": 1}}},
		"list":   map[string]any{"a": []int{1, 2}},
		"says":   map[string]any{"program": "another", "z": "}"},
	} {
		var b bytes.Buffer
		if err := Traced(&b, v, "0123"); err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		if err := json.Unmarshal(b.Bytes(), &got); err != nil {
			t.Fatalf("%s: %v\n%s", name, err, &b)
		}
		for k := range v.(map[string]any) {
			if _, ok := got[k]; !ok {
				t.Errorf("%s: %s is lost", name, k)
			}
		}
		if got["input_sha256"] != "0123" || got["data_tables"] == nil || got["program"] == nil {
			t.Errorf("%s: %v", name, got)
		}
		if name == "says" && got["program"] != "another" {
			t.Errorf("%v", got["program"])
		}
	}
}
