package record

import (
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"gridwright/internal/calibration"
	"gridwright/internal/designfile"
	"gridwright/internal/diagnosis"
	"gridwright/internal/dossier"
	"gridwright/internal/worksheet"
)

const example = "../../designs/agitator-tube.yaml"

type tester interface {
	Helper()
	Fatalf(string, ...any)
}

// bench is how a simulated calibration goes: the part is the design's but for a gain,
// zeros and noise; nothing here is measured.
type bench struct {
	seed       uint64
	gain       float64 // of every output under load, 0 is none
	noise      float64 // mV/V
	hysteresis float64 // of rated output, at half load
	zero       float64 // mV/V, spread of the zero balances
	drop       float64 // share of the readings not taken
	outlier    bool
	constant   bool // the temperature was noted
	mirror     bool // every series with the loads the other way round as well
	omit       func(row map[string]string) bool
	plan       worksheet.Options
}

// filled is the plan of a design with its blanks filled in, as a person would.
func filled(t tester, d *dossier.Dossier, b bench) string {
	t.Helper()
	plan, err := worksheet.Of(d, b.plan)
	if err != nil {
		t.Fatalf("%v", err)
	}
	var sheet strings.Builder
	if err := plan.WriteCSV(&sheet); err != nil {
		t.Fatalf("%v", err)
	}
	in := csv.NewReader(strings.NewReader(sheet.String()))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatalf("%v", err)
	}
	r := rand.New(rand.NewPCG(b.seed, 7))
	head := rows[0]
	column := map[string]int{}
	for i, h := range head {
		column[h] = i
	}
	zero := make([]float64, len(d.Result.Bridges))
	for i := range zero {
		zero[i] = b.zero * r.NormFloat64()
	}
	var kept [][]string
	for _, row := range rows[1:] {
		named := map[string]string{}
		for i, h := range head {
			named[h] = row[i]
		}
		if b.omit != nil && b.omit(named) {
			continue
		}
		for i := range d.Result.Bridges {
			br := &d.Result.Bridges[i]
			expected, err := strconv.ParseFloat(named["expected "+br.Name+" [mV/V]"], 64)
			if err != nil {
				t.Fatalf("%v", err)
			}
			gain := b.gain
			if named["shunt"] != "" { // a gauge factor or a wall that is off leaves the shunt as it is
				gain = 0
			}
			v := expected*(1+gain) + zero[i] + b.noise*r.NormFloat64()
			if named["stepping"] == "down" && br.Rated != 0 {
				share := expected / (br.Rated * 1e3)
				v += b.hysteresis * br.Rated * 1e3 * 4 * share * (1 - share)
			}
			if r.Float64() >= b.drop {
				row[column[br.Name+" [mV/V]"]] = strconv.FormatFloat(v, 'f', 6, 64)
			}
		}
		if b.constant {
			row[column["temperature [°C]"]] = strconv.FormatFloat(21.4+0.2*r.NormFloat64(), 'f', 2, 64)
		}
		kept = append(kept, row)
	}
	if b.outlier && len(d.Result.Bridges) > 0 {
		c := column[d.Result.Bridges[0].Name+" [mV/V]"]
		row := kept[len(kept)/3]
		if v, err := strconv.ParseFloat(row[c], 64); err == nil {
			row[c] = strconv.FormatFloat(v+math.Abs(d.Result.Bridges[0].Rated)*1e3*0.05, 'f', 6, 64)
		}
	}
	if b.mirror {
		kept = append(kept, mirrored(head, kept, zero, d)...)
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	_ = w.Write(head)
	_ = w.WriteAll(kept)
	return out.String()
}

// mirrored are the same series with loads and changes of output the other way round.
func mirrored(head []string, rows [][]string, zero []float64, d *dossier.Dossier) [][]string {
	negative := map[int]float64{} // columns, with what stays
	for i, h := range head {
		if name, unit, ok := strings.Cut(h, " ["); ok && unit != "mV/V]" && name != "temperature" {
			negative[i] = 0
		}
		for k := range d.Result.Bridges {
			if h == d.Result.Bridges[k].Name+" [mV/V]" {
				negative[i] = zero[k]
			}
		}
	}
	var out [][]string
	for _, row := range rows {
		if row[len(row)-2*len(zero)-1] != "" { // a shunt
			continue
		}
		other := append([]string{}, row...)
		run, _ := strconv.Atoi(row[0])
		other[0] = strconv.Itoa(run + 100)
		for i, z := range negative {
			if v, err := strconv.ParseFloat(row[i], 64); err == nil {
				other[i] = strconv.FormatFloat(2*z-v, 'f', 6, 64)
			}
		}
		out = append(out, other)
	}
	return out
}

// dossierOf reads and predicts a design.
func dossierOf(t tester, text []byte) *dossier.Dossier {
	t.Helper()
	d, err := designfile.Read("design.yaml", text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	s, err := dossier.Of("design.yaml", text, d)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return s
}

// evaluated reads and evaluates a filled plan.
func evaluated(d *dossier.Dossier, file, text string, o calibration.Options) (*calibration.Result, error) {
	data, err := calibration.Read(strings.NewReader(text), file, d.Design)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256([]byte(text))
	o.DesignDigest, o.DataDigest, o.Date = d.Digest, hex.EncodeToString(sum[:]), d.Design.Part.Date
	return calibration.Evaluate(d.Design, data, o)
}

// ofExample is a calibration of the example: a gain 0.4 % high, noise of 0.02 µV/V.
func ofExample(t testing.TB, o calibration.Options, change func(*bench)) (*calibration.Result, *diagnosis.Diagnosis) {
	t.Helper()
	text, err := os.ReadFile(example)
	if err != nil {
		t.Fatal(err)
	}
	if o.SecondOrder { // the plan has combined loads for the measured ones alone
		for _, load := range []string{"bending-z", "axial", "shear-z"} {
			text = regexp.MustCompile(`(?m)^  `+load+`:.*\n`).ReplaceAll(text, nil)
		}
	}
	if !strings.Contains(string(text), "\ncalibration:") {
		text = append(text, []byte("calibration: {standard-uncertainty: 0.05 %, indicator-resolution: 0.01 µV/V, indicator-uncertainty: 0.01 %}\n")...)
	}
	d := dossierOf(t, text)
	b := bench{seed: 3, gain: 0.004, noise: 2e-5, hysteresis: 3e-4, zero: 0.02, constant: true}
	if change != nil {
		change(&b)
	}
	r, err := evaluated(d, "data.csv", filled(t, d, b), o)
	if err != nil {
		t.Fatal(err)
	}
	return r, diagnosed(t, r)
}

// diagnosed is a diagnosis of the result.
func diagnosed(t tester, r *calibration.Result) *diagnosis.Diagnosis {
	t.Helper()
	d, err := diagnosis.Of(r.Design, diagnosis.Calibrated(r), diagnosis.Options{})
	if err != nil {
		t.Fatalf("%v", err)
	}
	return d
}

// words to make names and notes of.
var lorem = strings.Fields("tube measured between collar Ω µε ± φ of-the-second-delivery überall long_identifier_without_any_break_in_it_at_all_2026_11_02_revision_B ≤ × · α")

func some(r *rand.Rand, n int) string {
	s := ""
	for len(s) < n {
		s += lorem[r.IntN(len(lorem))] + " "
	}
	return strings.TrimSpace(s)
}

// randomDesign is a tube with one to six bridges of one to five loads, its texts as
// awkward as a design file may have them. All is invented.
func randomDesign(r *rand.Rand) []byte {
	var b strings.Builder
	pf := func(format string, args ...any) { fmt.Fprintf(&b, format, args...) }
	length := func() int { return []int{4, 12, 30, 120, 400}[r.IntN(5)] }
	pf("gridwright: 1\ntitle: %q\npart:\n", some(r, length()))
	for _, key := range []string{"number", "maker", "serial", "drawing", "revision", "note"} {
		if r.IntN(2) == 0 {
			pf("  %s: %q\n", key, some(r, length()))
		}
	}
	pf("  material: 42CrMo4+QT\n  section: {shape: round-tube, outside-diameter: 60 mm ± 0.05 mm, inside-diameter: 44 mm ± 0.1 mm}\nloads:\n")
	scale := math.Pow(10, float64(r.IntN(5)-2))
	loads := []string{"torque", "bending-y", "bending-z", "axial", "shear-z"}[:1+r.IntN(5)]
	for i, l := range loads {
		unit, rated := "N·m", 1200*scale
		if i > 2 {
			unit, rated = "N", 15000*scale
		}
		use := "measure"
		if i > 0 && r.IntN(2) == 0 {
			use = "reject"
		}
		pf("  %s: {rated: %.4g %s, use: %s}\n", l, rated, unit, use)
	}
	pf("gauges:\n  R: {pattern: rectangular-rosette, grid: {length: 3 mm, width: 2 mm}, resistance: 350 Ω ± 0.2 %%, gauge-factor: 2.08 ± 0.5 %%, gauge-factor-scatter: 0.1 %%}\nplacements:\n")
	pairs := 1 + r.IntN(3)
	name := func(stem string, i int) string {
		if r.IntN(5) == 0 {
			return fmt.Sprintf("%s%d_a-name-that-goes-on-and-on_because-it-may", stem, i)
		}
		return fmt.Sprintf("%s%c", stem, 'A'+i)
	}
	var bridges []string
	for i := range pairs {
		one, two := name("P", i), name("Q", i)
		around := float64(r.IntN(12)) * 15
		pf("  %s: {gauge: R, station: %d mm, around: %g°}\n  %s: {gauge: R, station: %d mm, around: %g°}\n", one, 40*i, around, two, 40*i, around+180)
		bridges = append(bridges, fmt.Sprintf("  %s: {measures: torque, arms: [%s3, %s1, %s3, %s1]}\n", name("T", i), one, one, two, two))
		if len(loads) > 1 {
			bridges = append(bridges, fmt.Sprintf("  %s: {measures: %s, arms: [%s2, %s2, 350 Ω ± 0.01 %%, 350 Ω ± 0.01 %%]}\n", name("B", i), loads[1+r.IntN(min(len(loads)-1, 2))], one, two))
		}
	}
	pf("bridges:\n%s", strings.Join(bridges, ""))
	if r.IntN(2) == 0 {
		pf("shunt: [{resistor: 100 kΩ, arm: 1}, {resistor: 59 kΩ ± 0.1 %%, arm: 2}]\n")
	}
	if r.IntN(2) == 0 {
		pf("calibration: {standard-uncertainty: 0.05 %%, indicator-resolution: 0.01 µV/V, indicator-uncertainty: 0.01 %%}\n")
	}
	return []byte(b.String())
}

// randomResult simulates a calibration with whatever may be missing; an error where
// the readings carry none.
func randomResult(t tester, seed uint64) (*calibration.Result, error) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 11))
	d := dossierOf(t, randomDesign(r))
	odd := func(n int) bool { return r.IntN(n) == 0 }
	b := bench{seed: seed, noise: []float64{0, 1e-6, 2e-5, 1e-2}[r.IntN(4)], zero: []float64{0, 0.3}[r.IntN(2)], hysteresis: []float64{0, 1e-3}[r.IntN(2)],
		outlier: odd(3), constant: odd(2), plan: worksheet.Options{Steps: 2 + r.IntN(9), All: true}}
	if odd(3) {
		b.gain = 0.2 * r.NormFloat64()
	}
	if odd(4) {
		b.drop = 0.05
	}
	if odd(3) {
		b.omit = func(row map[string]string) bool { return row["stepping"] == "down" }
	}
	if odd(4) {
		b.omit = func(row map[string]string) bool {
			return row["position"] != "0" && row["shunt"] == "" && row["run"] > "2" && len(row["run"]) == 1
		}
	}
	o := calibration.Options{Method: calibration.Methods[r.IntN(4)], Zero: calibration.Zeros[r.IntN(4)], SecondOrder: odd(5), NoCompare: odd(6), LimitsConfirmed: odd(2)}
	b.mirror = o.SecondOrder || odd(5)
	if odd(3) {
		o.Degree = 1 + r.IntN(5)
	}
	return evaluated(d, "data.csv", filled(t, d, b), o)
}
