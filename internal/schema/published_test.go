package schema

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"gridwright/internal/dossier"
)

var update = flag.Bool("update", false, "rewrite the published schemas and golden files")

// docs holds the schemas of this version; a change of them is to be read.
func TestPublishedSchemas(t *testing.T) {
	for file, make := range map[string]func() ([]byte, error){"../../docs/design.schema.json": Design, "../../docs/result.schema.json": Result} {
		got, err := make()
		if err != nil {
			t.Fatal(err)
		}
		if !json.Valid(got) {
			t.Fatalf("%s is no JSON", file)
		}
		if *update {
			if err := os.WriteFile(file, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is not what the tables give now; `go test ./internal/schema -update` writes it anew, and the difference is to be read", file)
		}
	}
}

// A field of a result that may hold anything is named in carried, with its type.
func TestNothingOfAResultIsLeftOpen(t *testing.T) {
	r := reflect.TypeFor[dossier.Result]()
	open := map[string]bool{}
	for i := range r.NumField() {
		key, _, _ := strings.Cut(r.Field(i).Tag.Get("json"), ",")
		if r.Field(i).Type.Kind() == reflect.Interface {
			open[key] = true
			if carried[key] == nil {
				t.Errorf("what %q holds is not said in carried", key)
			}
		}
	}
	for key := range carried {
		if !open[key] {
			t.Errorf("carried names %q, which no result has", key)
		}
	}
}
