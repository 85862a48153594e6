package help

import (
	"strings"
	"testing"
	"unicode/utf8"

	"gridwright/internal/designfile"
	"gridwright/internal/quantity"
)

// TestTopics: every topic has text that fits a terminal of 100 columns.
func TestTopics(t *testing.T) {
	for _, topic := range Topics() {
		if len(topic.Text) < 500 || topic.Short == "" {
			t.Errorf("%s: only %d bytes", topic.Name, len(topic.Text))
		}
		for i, line := range strings.Split(topic.Text, "\n") {
			if utf8.RuneCountInString(line) > 100 {
				t.Errorf("%s, line %d is %d wide: %s", topic.Name, i+1, utf8.RuneCountInString(line), line)
			}
		}
	}
}

// TestComplete: every kind of quantity and every key of the file is told of.
func TestComplete(t *testing.T) {
	units := Units()
	for _, k := range quantity.Kinds() {
		if k != quantity.Number && !strings.Contains(units, k.String()) {
			t.Errorf("no line for %v", k)
		}
	}
	text := File()
	for _, k := range designfile.Keys().Keys {
		if !strings.Contains(text, k.Name) || k.About == "" {
			t.Errorf("no line for %s", k.Name)
		}
	}
	if !strings.Contains(Validation(), "E251") {
		t.Error("no published source is named")
	}
}

func TestWords(t *testing.T) {
	for name, want := range map[string]string{"TestCopperLeads": "Copper Leads", "TestE251Definitions": "E251 Definitions", "TestGuideH1EndGauge": "Guide H1 End Gauge"} {
		if got := words(name); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
}
