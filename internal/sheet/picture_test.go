package sheet

import (
	"bytes"
	"flag"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the pictures in docs")

// TestPictures: the pictures that the README shows are those of the example.
func TestPictures(t *testing.T) {
	figures, err := Figures(readExample(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for name, file := range map[string]string{"developed-surface": "../../docs/developed-surface.svg", "bridge-T": "../../docs/bridge.svg", "section": "../../docs/section.svg"} {
		found := false
		for _, f := range figures {
			if f.Name != name {
				continue
			}
			found = true
			var b bytes.Buffer
			if err := f.Scene.WriteSVG(&b); err != nil {
				t.Fatal(err)
			}
			if *update {
				if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if kept, err := os.ReadFile(file); err != nil || !bytes.Equal(kept, b.Bytes()) {
				t.Errorf("%s is not the figure of the example; run go test ./internal/sheet -run Pictures -update", file)
			}
		}
		if !found {
			t.Errorf("no figure %s", name)
		}
	}
}
