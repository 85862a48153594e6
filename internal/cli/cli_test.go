package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"gridwright": func() { os.Exit(Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// Scripts are sessions at a shell, one behaviour a file.
func TestScripts(t *testing.T) {
	designs, err := filepath.Abs("../../designs")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: *update,
		Setup: func(e *testscript.Env) error {
			e.Setenv("DESIGNS", designs)
			return nil
		},
	})
}

const tube = "../../designs/agitator-tube.yaml"

func TestExitStatus(t *testing.T) {
	dir := t.TempDir()
	impossible := filepath.Join(dir, "impossible.yaml")
	text, err := os.ReadFile("../../designs/feed-screw-open.yaml")
	if err != nil {
		t.Fatal(err)
	}
	hard := strings.Replace(string(text), "{at-least: 0.1 mV/V}", "{at-least: 100 mV/V}", 1)
	if err := os.WriteFile(impossible, []byte(hard), 0o644); err != nil {
		t.Fatal(err)
	}
	soft := filepath.Join(t.TempDir(), "soft.yaml")
	whole, err := os.ReadFile(tube)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(soft, []byte(strings.Replace(string(whole), "material: 42CrMo4+QT", "material: {youngs-modulus: 2 MPa, poisson-ratio: 0.3}", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		args   []string
		code   int
		stderr string
	}{
		{"done", []string{"predict", "--trials", "1000", tube}, exitDone, ""},
		{"help", []string{"help"}, exitDone, ""},
		{"version", []string{"version"}, exitDone, ""},
		{"check passes", []string{"check", tube}, exitDone, ""},
		{"check fails", []string{"check", "../../designs/test-arm-miswired.yaml"}, exitFail, ""},
		{"check fails as JSON", []string{"check", "--json", "../../designs/test-arm-miswired.yaml"}, exitFail, ""},
		{"predict whatever the findings", []string{"predict", "--trials", "1000", "../../designs/test-arm-miswired.yaml"}, exitDone, ""},
		{"pick finds nothing", []string{"pick", impossible}, exitFail, ""},
		{"pick finds nothing, with -o", []string{"pick", impossible, "-o", filepath.Join(dir, "x.yaml")}, exitFail, "is not written"},
		{"nothing placed", []string{"predict", "../../designs/feed-screw-open.yaml"}, exitInput, "gridwright pick"},
		{"nothing placed, check", []string{"check", "../../designs/feed-screw-open.yaml"}, exitInput, "gridwright pick"},
		{"no command of that name", []string{"predikt", tube}, exitInput, "unknown command"},
		{"no flag of that name", []string{"predict", "--jason", tube}, exitInput, "unknown flag"},
		{"no file given", []string{"predict"}, exitInput, "no design file"},
		{"two files", []string{"predict", tube, tube}, exitInput, "takes one design"},
		{"units", []string{"predict", "--units", "cgs", tube}, exitInput, "--units si"},
		{"trials", []string{"predict", "--trials", "10", tube}, exitInput, "from 1000"},
		{"no such file", []string{"predict", "no-such.yaml"}, exitFile, "cannot read"},
		{"a folder", []string{"predict", dir}, exitFile, "cannot read"},
		{"sheet without -o", []string{"sheet", tube}, exitInput, "-o FILE.pdf"},
		{"sheet on other paper", []string{"sheet", tube, "--paper", "a3", "-o", filepath.Join(dir, "x.pdf")}, exitInput, "--paper a4"},
		{"sheet into no folder", []string{"sheet", tube, "-o", filepath.Join(dir, "none", "x.pdf")}, exitFile, "cannot write"},
		{"sheet onto a folder", []string{"sheet", tube, "-o", dir}, exitFile, "it is a folder"},
		{"sheet over its input", []string{"sheet", impossible, "-o", impossible}, exitInput, "is the input"},
		{"pick over its input", []string{"pick", impossible, "--rank", "1", "-o", impossible}, exitInput, "is the input"},
		{"a modulus in the wrong unit", []string{"predict", soft}, exitInput, "soft.yaml:22:22: loads.axial.rated: at the rated axial grid A3"},
		{"sheet over a device", []string{"sheet", tube, "-o", os.DevNull}, exitFile, "no regular file"},
		{"sheet as PDF and JSON at once", []string{"sheet", tube, "-o", "-", "--json"}, exitInput, "both want standard output"},
		{"sheet whose figures have no folder", []string{"sheet", tube, "-o", filepath.Join(dir, "z.pdf"), "--svg", impossible}, exitFile, "cannot make the folder"},
		{"rank 0", []string{"pick", impossible, "--rank", "0"}, exitInput, "ranked from 1"},
		{"pick into a file that places already", []string{"pick", tube, "-o", filepath.Join(dir, "y.yaml")}, exitInput, "already has"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, _, stderr := run(c.args...)
			if code != c.code {
				t.Errorf("exit status %d, want %d\n%s", code, c.code, stderr)
			}
			if !strings.Contains(stderr, c.stderr) || c.stderr == "" && stderr != "" {
				t.Errorf("standard error %q, want %q", stderr, c.stderr)
			}
		})
	}
	entries, _ := os.ReadDir(dir)
	if len(entries) != 1 {
		t.Errorf("%d files left in the folder, want the input alone", len(entries))
	}
	if now, _ := os.ReadFile(impossible); string(now) != hard {
		t.Error("the input was changed")
	}
}

// Links are followed, permissions kept, and an input on standard input is an
// input.
func TestOutputIsCareful(t *testing.T) {
	dir := t.TempDir()
	open := filepath.Join(dir, "open.yaml")
	text, err := os.ReadFile("../../designs/feed-screw-open.yaml")
	if err != nil {
		t.Fatal(err)
	}
	write := func(name string, mode os.FileMode) {
		t.Helper()
		if err := os.WriteFile(name, text, mode); err != nil {
			t.Fatal(err)
		}
	}
	write(open, 0o600)
	stdin, err := os.Open(open)
	if err != nil {
		t.Fatal(err)
	}
	defer stdin.Close()
	var out, errs bytes.Buffer
	if code := Main([]string{"pick", "-", "-o", open}, stdin, &out, &errs); code != exitInput || !strings.Contains(errs.String(), "is the input") {
		t.Errorf("input from standard input: exit status %d, %s", code, errs.String())
	}
	if now, _ := os.ReadFile(open); !bytes.Equal(now, text) {
		t.Error("the input was overwritten")
	}
	real, link := filepath.Join(dir, "real.yaml"), filepath.Join(dir, "link.yaml")
	write(real, 0o640)
	if err := os.Symlink(real, link); err != nil {
		t.Fatal(err)
	}
	if code, _, stderr := run("pick", open, "-o", link); code != exitDone {
		t.Fatal(stderr)
	}
	if st, err := os.Lstat(link); err != nil || st.Mode()&os.ModeSymlink == 0 {
		t.Error("the link was replaced")
	}
	if now, _ := os.ReadFile(real); bytes.Equal(now, text) || !bytes.HasPrefix(now, text) {
		t.Error("the file behind the link was not written")
	}
	if st, _ := os.Stat(real); st.Mode().Perm() != 0o640 {
		t.Errorf("permissions became %v", st.Mode().Perm())
	}
	if code, _, stderr := run("sheet", tube, "-o", filepath.Join(dir, "none", "x.pdf")); code != exitFile || strings.Contains(stderr, "x.pdf.") {
		t.Errorf("exit status %d, %s", code, stderr)
	}
}

func TestSheetAsJSON(t *testing.T) {
	_, predicted, _ := run("predict", "--json", "--trials", "2000", tube)
	if code, out, errs := run("sheet", "--json", "--trials", "2000", tube, "-o", filepath.Join(t.TempDir(), "x.pdf")); code != exitDone || out != predicted {
		t.Errorf("exit status %d, %s; the figures are not those of predict", code, errs)
	}
}

func TestStandardInput(t *testing.T) {
	text, _ := os.ReadFile(tube)
	var fromFile, fromStdin, errs bytes.Buffer
	if code := Main([]string{"predict", "--trials", "5000", "--json", tube}, nil, &fromFile, &errs); code != 0 {
		t.Fatal(errs.String())
	}
	if code := Main([]string{"predict", "--trials", "5000", "--json", "-"}, bytes.NewReader(text), &fromStdin, &errs); code != 0 {
		t.Fatal(errs.String())
	}
	if fromFile.String() != fromStdin.String() {
		t.Error("standard input gives another result")
	}
	code := Main([]string{"predict", "-"}, strings.NewReader("gridwright: 1\n"), &fromStdin, &errs)
	if code != exitInput || !strings.HasPrefix(errs.String(), "-:1:1: ") {
		t.Errorf("exit status %d, %q", code, errs.String())
	}
}

// brokenWriter is a full disk or a closed pipe.
type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

func TestStandardOutputThatFails(t *testing.T) {
	for _, args := range [][]string{{"predict", "--trials", "0", tube}, {"predict", "--trials", "0", "--json", tube}, {"check", tube}, {"section", tube}, {"materials"}, {"version"},
		{"sheet", tube, "-o", "-"}, {"pick", "../../designs/feed-screw-open.yaml"}} {
		var errs bytes.Buffer
		if code := Main(args, nil, brokenWriter{}, &errs); code != exitFile || !strings.Contains(errs.String(), "no space left") {
			t.Errorf("%v: exit status %d, %q", args, code, errs.String())
		}
	}
}

// Text keeps to 100 columns and prints no NaN, Inf or Go's own marks of a wrong
// format, in both systems of units.
func TestTextIsReadable(t *testing.T) {
	files, _ := filepath.Glob("../../designs/*.yaml")
	for _, f := range files {
		for _, command := range []string{"predict", "check", "section", "pick"} {
			for _, units := range []string{"si", "us"} {
				args := []string{command, "--units", units, f}
				if command == "predict" {
					args = append(args, "--trials", "2000")
				}
				_, out, _ := run(args...)
				for i, line := range strings.Split(out, "\n") {
					if n := utf8.RuneCountInString(line); n > 100 {
						t.Errorf("%s %s %s line %d has %d columns: %s", command, units, f, i+1, n, line)
					}
					for _, bad := range []string{"NaN", "Inf", "%!", "<nil>", "0x"} {
						if strings.Contains(line, bad) {
							t.Errorf("%s %s %s line %d: %s", command, units, f, i+1, line)
						}
					}
				}
			}
		}
	}
	for _, args := range [][]string{{"materials"}, {"materials", "--sources"}, {"materials", "--units", "us"}, {"help"}, {"help", "pick"}} {
		_, out, _ := run(args...)
		for _, line := range strings.Split(out, "\n") {
			if n := utf8.RuneCountInString(line); n > 100 {
				t.Errorf("%v: %d columns: %s", args, n, line)
			}
		}
	}
}

// JSON is one document with the keys of the contract, and no number that JSON
// does not have.
func TestJSONKeys(t *testing.T) {
	code, out, errs := run("predict", "--json", "--trials", "20000", tube)
	if code != 0 || errs != "" {
		t.Fatal(code, errs)
	}
	var doc map[string]any
	if err := json.Unmarshal([]byte(out), &doc); err != nil {
		t.Fatal(err)
	}
	has := func(what string, v any, keys ...string) {
		t.Helper()
		m, ok := v.(map[string]any)
		if !ok {
			t.Fatalf("%s is %T", what, v)
		}
		for _, k := range keys {
			if _, ok := m[k]; !ok {
				t.Errorf("%s has no %s", what, k)
			}
		}
	}
	first := func(v any) any { return v.([]any)[0] }
	has("result", doc, "gridwright", "title", "section", "grids", "bridges", "matrix", "strength", "stiffness", "signal", "findings")
	has("section", doc["section"], "area_mm2", "iy_mm4", "iz_mm4", "iyz_mm4", "j_mm4")
	has("grid", first(doc["grids"]), "id", "station_mm", "around_deg", "direction_deg", "strain_ue", "transverse_strain_ue", "resistance_change_ppm")
	b := first(doc["bridges"])
	has("bridge", b, "name", "measures", "sensitivity", "rated_output_mv_per_v", "crosstalk_percent", "crosstalk_95_percent", "nonlinearity_percent",
		"zero_balance_mv_per_v", "zero_drift_percent_per_10k", "zero_gradient_percent", "zero_spread_percent_per_10k", "span_drift_percent_per_10k",
		"temperature", "uncertainty", "shunt")
	has("balance", b.(map[string]any)["zero_balance_mv_per_v"], "nominal", "rss", "worst")
	has("temperature", first(b.(map[string]any)["temperature"]), "celsius", "zero_mv_per_v", "span_ratio")
	has("shunt", first(b.(map[string]any)["shunt"]), "ohm", "arm", "mv_per_v", "equivalent")
	has("matrix", doc["matrix"], "components", "bridges", "sensitivity", "measured", "condition", "inverse")
	has("strength", doc["strength"], "von_mises_mpa", "yield_factor", "overload_yield_factor")
	has("stiffness", doc["stiffness"], "torsional_nm_per_rad", "axial_n_per_mm", "natural_frequency_hz")
	has("signal", first(doc["signal"]), "bridge", "johnson_uv", "smallest_step", "power_mw_per_grid")
	has("uncertainty", b.(map[string]any)["uncertainty"], "standard_percent", "expanded_percent", "interval_95", "budget")
	has("share", first(b.(map[string]any)["uncertainty"].(map[string]any)["budget"]), "input", "percent")

	// --trials 0: what only Monte Carlo tells is null, the budget stands
	_, out, _ = run("predict", "--json", "--trials", "0", tube)
	doc = nil
	if err := json.Unmarshal([]byte(out), &doc); err != nil {
		t.Fatal(err)
	}
	b = first(doc["bridges"])
	for _, key := range []string{"crosstalk_95_percent", "zero_spread_percent_per_10k"} {
		if v := b.(map[string]any)[key]; v != nil {
			t.Errorf("%s is %v without Monte Carlo", key, v)
		}
	}
	u := b.(map[string]any)["uncertainty"].(map[string]any)
	if u["standard_percent"] != nil || u["expanded_percent"] != nil || len(u["budget"].([]any)) == 0 {
		t.Errorf("uncertainty without Monte Carlo: %v", u)
	}

	code, out, _ = run("section", "--json", tube)
	doc = nil
	if err := json.Unmarshal([]byte(out), &doc); code != 0 || err != nil {
		t.Fatal(code, err)
	}
	has("section", doc["section"], "area_mm2", "j_mm4", "centroid_mm", "shear_centre_mm", "j_error")
	has("surface", first(doc["surface"]), "y_mm", "z_mm", "torque_mpa_per_nm", "shear_y_mpa_per_n", "shear_z_mpa_per_n")

	_, out, _ = run("pick", "--json", "../../designs/feed-screw-open.yaml")
	doc = nil
	if err := json.Unmarshal([]byte(out), &doc); err != nil {
		t.Fatal(err)
	}
	has("pick", doc, "candidates", "searched", "proof")
	has("candidate", first(doc["candidates"]), "rank", "placements", "bridges", "metrics", "why")

	_, out, _ = run("check", "--json", tube)
	doc = nil
	if err := json.Unmarshal([]byte(out), &doc); err != nil {
		t.Fatal(err)
	}
	has("check", doc, "pass", "findings")
	has("finding", first(doc["findings"]), "level", "rule", "value", "limit", "message")
}
