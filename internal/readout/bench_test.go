package readout

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// twoBridges is torque and bending of a tube, invented.
func twoBridges() *Recovery {
	return &Recovery{
		Bridges: []string{"T", "By"},
		Components: []Component{
			{Name: "torque", Unit: "N·m", Factor: 1, Low: -1200, High: 1200, Relative: 5e-4},
			{Name: "bending-y", Unit: "N·m", Factor: 1, Low: -400, High: 400, Relative: 5e-4},
		},
		D:     [][]float64{{1.1e6, -2.3e3}, {-1.7e3, 6.2e5}},
		CovD:  [][]float64{{3e5, 10, 5, 0}, {10, 2e5, 0, 1}, {5, 0, 1e5, 20}, {0, 1, 20, 2e5}},
		Noise: [][]float64{{1e-14, 0}, {0, 1.2e-14}},
	}
}

// writeLog makes a log of at least size bytes: time, and two bridges as an instrument
// of six decimals writes them.
func writeLog(w io.Writer, size int64) (int64, error) {
	rng := rand.New(rand.NewPCG(1, 2))
	buf := []byte("time,T [mV/V],By [mV/V]\n")
	var total int64
	for row := 0; total < size; row++ {
		buf = fmt.Appendf(buf, "%d.%03d,%.6f,%.6f\n", row/1000, row%1000, rng.Float64()*2-1, rng.Float64()*1.2-0.6)
		if len(buf) > 1<<20 {
			n, err := w.Write(buf)
			total += int64(n)
			if err != nil {
				return total, err
			}
			buf = buf[:0]
		}
	}
	n, err := w.Write(buf)
	return total + int64(n), err
}

func BenchmarkRun(b *testing.B) {
	var log bytes.Buffer
	size, err := writeLog(&log, 32<<20)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(size)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Run(context.Background(), twoBridges(), bytes.NewReader(log.Bytes()), io.Discard, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkScanNumber(b *testing.B) {
	text := []byte("-0.123456")
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		scanNumber(text, '.')
	}
}

func BenchmarkAppendNumber(b *testing.B) {
	dst := make([]byte, 0, 32)
	for b.Loop() {
		dst = appendNumber(dst[:0], -123.456789012, 7, '.')
	}
}

// The same job by a program not written here, file to file; the ratio is that of the
// times by the clock.
func BenchmarkAgainstMawk(b *testing.B) { against(b, "mawk", "mawk", "-f", "testdata/loads.awk") }

func BenchmarkAgainstNumpy(b *testing.B) {
	const python = "/usr/bin/python3" // that Debian's python3-numpy belongs to
	if err := exec.Command(python, "-c", "import numpy").Run(); err != nil {
		b.Skipf("%s with numpy (Debian python3-numpy) is not there: %v", python, err)
	}
	against(b, "numpy", python, "testdata/loads.py")
}

func against(b *testing.B, name, program string, script ...string) {
	path, err := exec.LookPath(program)
	if err != nil {
		b.Skipf("%s is not there: %v", program, err)
	}
	dir := b.TempDir()
	log := filepath.Join(dir, "log.csv")
	f, err := os.Create(log)
	if err != nil {
		b.Fatal(err)
	}
	size, err := writeLog(f, 32<<20)
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(size)
	var ours, theirs time.Duration
	for b.Loop() {
		start := time.Now()
		in, err := os.Open(log)
		if err != nil {
			b.Fatal(err)
		}
		out, err := os.Create(filepath.Join(dir, "ours.csv"))
		if err != nil {
			b.Fatal(err)
		}
		if _, err := Run(context.Background(), twoBridges(), in, out, Options{}); err != nil {
			b.Fatal(err)
		}
		in.Close()
		out.Close()
		ours += time.Since(start)

		start = time.Now()
		cmd := exec.Command(path, append(script, log)...)
		var stderr strings.Builder
		cmd.Stderr = &stderr
		if cmd.Stdout, err = os.Create(filepath.Join(dir, "theirs.csv")); err != nil {
			b.Fatal(err)
		}
		if err := cmd.Run(); err != nil {
			b.Fatalf("%s: %v\n%s", name, err, stderr.String())
		}
		cmd.Stdout.(*os.File).Close()
		theirs += time.Since(start)
	}
	sameLoads(b, filepath.Join(dir, "ours.csv"), filepath.Join(dir, "theirs.csv"))
	mb := float64(size) * float64(b.N) / 1e6
	b.ReportMetric(mb/ours.Seconds(), "here-MB/s")
	b.ReportMetric(mb/theirs.Seconds(), name+"-MB/s")
	b.ReportMetric(theirs.Seconds()/ours.Seconds(), "ratio")
}

// sameLoads compares two outputs number by number, as far as their digits go.
func sameLoads(b *testing.B, ours, theirs string) {
	b.Helper()
	p, err := os.ReadFile(ours)
	if err != nil {
		b.Fatal(err)
	}
	q, err := os.ReadFile(theirs)
	if err != nil {
		b.Fatal(err)
	}
	x, y := strings.Split(string(p), "\n"), strings.Split(string(q), "\n")
	if len(x) != len(y) || x[0] != y[0] {
		b.Fatalf("%d lines here, %d there; %q, %q", len(x), len(y), x[0], y[0])
	}
	for i := 1; i < len(x)-1; i += 997 {
		f, g := strings.Split(x[i], ","), strings.Split(y[i], ",")
		if len(f) != len(g) {
			b.Fatalf("row %d: %q here, %q there", i+1, x[i], y[i])
		}
		for c := 1; c < len(f); c++ {
			v, err1 := strconv.ParseFloat(f[c], 64)
			w, err2 := strconv.ParseFloat(g[c], 64)
			unit := 1.01e-6 // of seven digits
			if c%2 == 0 {
				unit = 1.01e-3 // an uncertainty has four
			}
			if err1 != nil || err2 != nil || math.Abs(v-w) > unit*math.Abs(v) {
				b.Fatalf("row %d: %q here, %q there", i+1, x[i], y[i])
			}
		}
	}
}
