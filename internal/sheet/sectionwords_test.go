package sheet

import (
	"strings"
	"testing"

	"gridwright/internal/designfile"
	"gridwright/internal/layout"
	"gridwright/internal/section"
)

// TestSectionWords: every shape's example, as the design file writes it, in words.
func TestSectionWords(t *testing.T) {
	want := map[string]string{
		"round":           "round, D 40 mm ± 0.02 mm",
		"round-tube":      "round tube, D 60 mm ± 0.05 mm, d 44 mm ± 0.1 mm",
		"rectangle":       "rectangle, w 40 mm ± 0.05 mm, h 20 mm ± 0.05 mm, r 1 mm",
		"box":             "box, w 60 mm ± 0.2 mm, h 40 mm ± 0.2 mm, t 3 mm ± 0.1 mm, r 6 mm",
		"flatted-round":   "flatted round, D 40 mm ± 0.05 mm, 2 flats: φ 0°, a 17 mm; φ 180°, a 17 mm",
		"regular-polygon": "regular polygon, n 6, s 36 mm ± 0.1 mm",
		"ellipse":         "ellipse, w 40 mm ± 0.05 mm, h 25 mm ± 0.05 mm",
		"keyed-round":     "keyed round, D 40 mm ± 0.02 mm, b 12 mm, t 5 mm, φ 90°",
		"grooved-round":   "grooved round, D 40 mm ± 0.02 mm, r 2 mm, φ 90°",
		"polygon":         "polygon, outline (0 mm, 0 mm) (40 mm, 0 mm) (40 mm, 8 mm) (8 mm, 8 mm) (8 mm, 40 mm) (0 mm, 40 mm)",
	}
	for _, s := range section.Shapes {
		head, _, _ := strings.Cut(boxed, "gauges:")
		text := strings.Replace(head, "{shape: box, width: 60 mm, height: 40 mm, wall: 3 mm, corner-radius: 6 mm}", s.Example, 1)
		plan, err := designfile.Read("shape.yaml", []byte(text))
		if err != nil {
			t.Fatalf("%s: %v", s.Name, err)
		}
		if got := strings.ReplaceAll(sectionWords(layout.Words{}, plan, false), "\u00A0", " "); got != want[s.Name] {
			t.Errorf("%s: %q, want %q", s.Name, got, want[s.Name])
		}
	}
}
