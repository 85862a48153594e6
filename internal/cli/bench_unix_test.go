//go:build unix

package cli

import (
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
)

// BenchmarkSheetProcess is `gridwright sheet` on the main example as a user runs
// it: wall time of the whole process, and its peak memory.
func BenchmarkSheetProcess(b *testing.B) {
	dir := b.TempDir()
	bin := filepath.Join(dir, "gridwright")
	if out, err := exec.Command("go", "build", "-o", bin, "../../cmd/gridwright").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	peak := int64(0)
	for b.Loop() {
		c := exec.Command(bin, "sheet", tube, "-o", filepath.Join(dir, "sheet.pdf"))
		if out, err := c.CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
		if u, ok := c.ProcessState.SysUsage().(*syscall.Rusage); ok {
			peak = max(peak, u.Maxrss)
		}
	}
	b.ReportMetric(float64(peak)/1024, "MB-peak")
}
