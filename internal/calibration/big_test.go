package calibration

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestManyReadings: as many readings as are allowed are evaluated in seconds; more than
// a thousand runs are refused with the row.
func TestManyReadings(t *testing.T) {
	d := only("T")
	random := newNoise(1)
	var b strings.Builder
	b.WriteString("run,torque [N·m],T [mV/V]\n")
	for i := range maxReadings {
		f := (i * 7919) % 1000
		fmt.Fprintf(&b, "%d,%d,%.6f\n", i/500, f, 0.002*float64(f)+1e-4*random.normal())
	}
	start := time.Now()
	r := evaluated(t, d, read(t, d, b.String()), Options{Zero: ZeroNone})
	near(t, "sensitivity", r.Matrix.Sensitivity[0][0], 2e-6, 1e-5)
	if took := time.Since(start); took > 30*time.Second {
		t.Errorf("took %v", took)
	}
	many := strings.Builder{}
	many.WriteString("run,torque [N·m],T [mV/V]\n")
	for i := range 1200 {
		fmt.Fprintf(&many, "%d,%d,%d\n", i, i%10, i%10)
	}
	if _, err := Evaluate(d, read(t, d, many.String()), Options{Zero: ZeroNone}); err == nil || !strings.Contains(err.Error(), "data.csv:1002:1: more than 1000 runs") {
		t.Error(err)
	}
}
