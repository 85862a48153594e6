package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// Texts of size and diff keep to 100 columns and print no NaN or Inf, in both systems of
// units.
func TestVariantTextIsReadable(t *testing.T) {
	thinner := filepath.Join(t.TempDir(), "thinner.yaml")
	text, err := os.ReadFile(tube)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(thinner, []byte(strings.Replace(string(text), "44 mm ±", "50 mm ±", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	winch := "../../designs/winch-shaft.yaml"
	for _, args := range [][]string{
		{"size", tube, "--vary", "part.section.inside-diameter=30 mm:62 mm", "--output", "0.15 mV/V", "--yield-factor", "3"},
		{"size", tube, "--vary", "part.section.inside-diameter=30 mm:62 mm", "--output", "0.5 mV/V", "--yield-factor", "6"},
		{"size", winch, "--vary", "part.section.outside-diameter=25 mm:60 mm", "--vary", "loads.torque.rated=300 N·m:900 N·m"},
		{"size", "../../designs/press-column.yaml", "--vary", "part.section.outside-diameter=20 mm:90 mm"},
		{"diff", tube, thinner},
		{"diff", tube, winch},
		{"help", "sweep"}, {"help", "size"}, {"help", "diff"},
	} {
		for _, units := range []string{"si", "us"} {
			if units == "si" && args[0] == "size" && args[1] != tube {
				continue // longer in US units, and each is a search
			}
			code, out, errs := run(append(args, "--units", units)...)
			if code != exitDone && code != exitFail || out == "" {
				t.Errorf("%v: exit status %d, %s", args, code, errs)
			}
			for i, line := range strings.Split(out, "\n") {
				if n := utf8.RuneCountInString(line); n > 100 {
					t.Errorf("%v %s line %d has %d columns: %s", args, units, i+1, n, line)
				}
				for _, bad := range []string{"NaN", "Inf", "%!", "<nil>", "0x"} {
					if strings.Contains(line, bad) {
						t.Errorf("%v %s line %d: %s", args, units, i+1, line)
					}
				}
			}
		}
	}
}

// A full disk or a closed pipe is said, with its exit status.
func TestVariantOutputThatFails(t *testing.T) {
	vary := "part.section.inside-diameter=30 mm:40 mm:3"
	for _, args := range [][]string{{"sweep", tube, "--vary", vary}, {"sweep", tube, "--vary", vary, "--json"},
		{"size", tube, "--vary", "part.section.inside-diameter=30 mm:40 mm"}, {"diff", tube, tube}, {"diff", tube, tube, "--json"}} {
		var errs bytes.Buffer
		if code := Main(args, nil, brokenWriter{}, &errs); code != exitFile || !strings.Contains(errs.String(), "no space left") {
			t.Errorf("%v: exit status %d, %q", args, code, errs.String())
		}
	}
	for _, args := range [][]string{{"sweep", tube, "--vary", vary, "-o", filepath.Join("none", "x.csv")},
		{"sweep", tube, "--vary", vary, "--figure", "strain", "-o", filepath.Join(t.TempDir(), "x.csv"), "--plot", filepath.Join("none", "x.svg")},
		{"size", tube, "--vary", "part.section.inside-diameter=30 mm:40 mm", "-o", filepath.Join("none", "x.yaml")}} {
		if code, _, errs := run(args...); code != exitFile || !strings.Contains(errs, "cannot write none") {
			t.Errorf("%v: exit status %d, %q", args, code, errs)
		}
		for i, a := range args {
			if i > 0 && args[i-1] == "-o" {
				if left, _ := filepath.Glob(filepath.Join(filepath.Dir(a), "*")); len(left) > 0 {
					t.Errorf("%v: left behind %v", args, left)
				}
			}
		}
	}
}
