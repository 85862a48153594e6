//go:build unix

package cli

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// program builds the program once and returns its path.
func program(t *testing.T) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "gridwright")
	if out, err := exec.Command("go", "build", "-o", name, "../../cmd/gridwright").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return name
}

// exit is the exit status of a finished command.
func exit(t *testing.T, err error) int {
	t.Helper()
	var e *exec.ExitError
	switch {
	case err == nil:
		return 0
	case errors.As(err, &e):
		return e.ExitCode()
	}
	t.Fatal(err)
	return -1
}

// files are the names in a folder.
func files(t *testing.T, folder string) []string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// writers are command lines that write a result, %s standing for the file.
func writers(t *testing.T) map[string][]string {
	t.Helper()
	tube, err := filepath.Abs("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	open := filepath.Join(filepath.Dir(tube), "feed-screw-open.yaml")
	data, log := filepath.Join(filepath.Dir(tube), "agitator-tube-calibration.csv"), filepath.Join(t.TempDir(), "log.csv")
	rows := "T [mV/V],By [mV/V]\n" + strings.Repeat("0.1234,0.0567\n", 5000) // more than a block of the limited file
	if err := os.WriteFile(log, []byte(rows), 0o644); err != nil {
		t.Fatal(err)
	}
	return map[string][]string{
		"pick":      {"pick", open, "-o", "%s"},
		"sheet":     {"sheet", tube, "--trials", "0", "-o", "%s"},
		"wrap":      {"wrap", tube, "-o", "%s"},
		"worksheet": {"worksheet", tube, "--trials", "0", "-o", "%s"},
		"record":    {"calibrate", tube, data, "-q", "-o", "%s"},
		"matrix":    {"calibrate", tube, data, "-q", "--matrix", "%s"},
		"loads":     {"loads", tube, log, "-q", "-o", "%s"},
		"convert":   {"convert", tube, "--units", "us", "-o", "%s"},
		"new":       {"new", "--part", "tube", "--measure", "torque", "-o", "%s"},
		"schema":    {"schema", "-o", "%s"},
		"sweep":     {"sweep", tube, "--vary", "part.section.inside-diameter=30 mm:50 mm:40", "-o", "%s"},
		"size":      {"size", tube, "--vary", "part.section.inside-diameter=30 mm:50 mm", "-o", "%s"},
	}
}

func with(args []string, file string) []string {
	out := make([]string, len(args))
	for i, a := range args {
		out[i] = strings.ReplaceAll(a, "%s", file)
	}
	return out
}

// TestFullDisk: when the disk takes no more, a file limit of the shell standing in
// for it, the status is 3, the message says so, and neither the file nor a part of
// it is left; a file that was there is as it was.
func TestFullDisk(t *testing.T) {
	bin := program(t)
	for name, args := range writers(t) {
		for _, before := range []string{"", "kept"} {
			folder := t.TempDir()
			file := filepath.Join(folder, "out")
			if name == "new" && before != "" {
				continue // it never overwrites
			}
			if before != "" {
				if err := os.WriteFile(file, []byte(before), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			sh := append([]string{"-c", `ulimit -f 1; trap "" XFSZ; exec "$0" "$@"`, bin}, with(args, file)...)
			var stderr bytes.Buffer
			c := exec.Command("bash", sh...)
			c.Stderr = &stderr
			if code := exit(t, c.Run()); code != 3 {
				t.Errorf("%s: exit %d, want 3; %s", name, code, &stderr)
			}
			if !strings.Contains(stderr.String(), "cannot write") {
				t.Errorf("%s: %s", name, &stderr)
			}
			left := files(t, folder)
			kept, _ := os.ReadFile(file)
			if before == "" && len(left) > 0 || before != "" && (len(left) != 1 || string(kept) != before) {
				t.Errorf("%s: %v is left, the file holds %.20q", name, left, kept)
			}
		}
	}
}

// TestNoPlaceToWrite: a folder that cannot be written to, or is not there.
func TestNoPlaceToWrite(t *testing.T) {
	bin := program(t)
	for name, args := range writers(t) {
		for _, file := range []string{"/proc/gridwright-out", filepath.Join(t.TempDir(), "no", "such", "folder")} {
			var stderr bytes.Buffer
			c := exec.Command(bin, with(args, file)...)
			c.Stderr = &stderr
			if code := exit(t, c.Run()); code != 3 {
				t.Errorf("%s -o %s: exit %d, want 3; %s", name, file, code, &stderr)
			}
		}
	}
}

// TestClosedOutput: standard output that is full is status 3, a pipe that nobody
// reads ends the program like any other. (Where standard output is closed before
// the start, Go's run time puts the null device in its place.)
func TestClosedOutput(t *testing.T) {
	bin := program(t)
	tube, _ := filepath.Abs("../../designs/agitator-tube.yaml")
	for _, args := range [][]string{{"predict", "--trials", "0", tube}, {"check", tube}, {"section", tube}, {"materials"}, {"worksheet", "--trials", "0", tube}, {"predict", "--json", "--trials", "0", tube}} {
		for redirect, want := range map[string]int{"> /dev/full": 3, "| (exec <&-; sleep 1); exit ${PIPESTATUS[0]}": 128 + int(syscall.SIGPIPE)} {
			sh := append([]string{"-c", `"$0" "$@" ` + redirect, bin}, args...)
			var stderr bytes.Buffer
			c := exec.Command("bash", sh...)
			c.Stderr = &stderr
			if code := exit(t, c.Run()); code != want {
				t.Errorf("%v %s: exit %d, want %d; %s", args, redirect, code, want, &stderr)
			}
		}
	}
}

// TestInterrupt: Ctrl-C during a long command ends it within two seconds, with
// status 130 and nothing written.
func TestInterrupt(t *testing.T) {
	bin := program(t)
	tube, _ := filepath.Abs("../../designs/agitator-tube.yaml")
	for name, args := range map[string][]string{
		"predict": {"predict", tube, "--trials", "100000000"},
		"sheet":   {"sheet", tube, "--trials", "100000000", "-o", "%s"},
		"sweep":   {"sweep", tube, "--vary", "part.section.inside-diameter=30 mm:50 mm:100000", "-o", "%s"},
		"size":    {"size", tube, "--vary", "part.section.inside-diameter=30 mm:50 mm", "--vary", "part.section.outside-diameter=55 mm:90 mm", "-o", "%s"},
	} {
		folder := t.TempDir()
		c := exec.Command(bin, with(args, filepath.Join(folder, "out"))...)
		var stdout, stderr bytes.Buffer
		c.Stdout, c.Stderr = &stdout, &stderr
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(400 * time.Millisecond)
		start := time.Now()
		if err := c.Process.Signal(os.Interrupt); err != nil {
			t.Errorf("%s was over before it was interrupted: %v", name, err)
		}
		code := exit(t, c.Wait())
		if code != 130 || time.Since(start) > 2*time.Second {
			t.Errorf("%s: exit %d after %v, want 130; %s", name, code, time.Since(start), &stderr)
		}
		if left := files(t, folder); len(left) > 0 || stdout.Len() > 0 {
			t.Errorf("%s: %v is left, %d bytes on standard output", name, left, stdout.Len())
		}
	}
}

// TestInterruptedLog: Ctrl-C while a log streams in leaves no file, with status 130.
func TestInterruptedLog(t *testing.T) {
	bin := program(t)
	tube, _ := filepath.Abs("../../designs/agitator-tube.yaml")
	folder := t.TempDir()
	c := exec.Command(bin, "loads", tube, "-", "-q", "-o", filepath.Join(folder, "out"))
	in, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		fmt.Fprintln(in, "T [mV/V],By [mV/V]")
		for range 1 << 30 {
			if _, err := fmt.Fprintln(in, "0.1234,0.0567"); err != nil {
				return // the program is gone
			}
		}
	}()
	time.Sleep(500 * time.Millisecond)
	c.Process.Signal(os.Interrupt)
	if code := exit(t, c.Wait()); code != 130 {
		t.Errorf("exit %d, want 130", code)
	}
	<-done
	if left := files(t, folder); len(left) > 0 {
		t.Errorf("%v is left", left)
	}
}

// TestBounded: designs beyond all measure end in an error or a result, in bounded
// memory.
func TestBounded(t *testing.T) {
	bin := program(t)
	text, err := os.ReadFile("../../designs/agitator-tube.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var many strings.Builder
	for i := range 10_000 {
		fmt.Fprintf(&many, "  P%d: {gauge: R, station: 0 mm, around: %d°}\n", i, i%360)
	}
	for name, one := range map[string]struct {
		text string
		want int
	}{
		"10,000 placements": {strings.Replace(string(text), "placements:\n", "placements:\n"+many.String(), 1), 2},
		"a title of 1 MB":   {strings.Replace(string(text), "title: ", "title: "+strings.Repeat("long ", 200_000), 1), 0},
	} {
		if one.text == string(text) {
			t.Fatalf("%s: the example has changed", name)
		}
		folder := t.TempDir()
		file := filepath.Join(folder, "d.yaml")
		if err := os.WriteFile(file, []byte(one.text), 0o644); err != nil {
			t.Fatal(err)
		}
		for _, args := range [][]string{{"predict", file, "--trials", "0"}, {"sheet", file, "--trials", "0", "-o", filepath.Join(folder, "s.pdf")}, {"wrap", file, "-o", filepath.Join(folder, "w.pdf")}, {"check", file}} {
			c := exec.Command(bin, args...)
			var stderr bytes.Buffer
			c.Stderr = &stderr
			if code := exit(t, c.Run()); code != one.want && !(one.want == 0 && code == 2) {
				t.Errorf("%s, %s: exit %d; %.300s", name, args[0], code, stderr.String())
			}
			if usage, ok := c.ProcessState.SysUsage().(*syscall.Rusage); ok && usage.Maxrss > 600<<10 { // KiB on Linux
				t.Errorf("%s, %s: %d MiB of memory", name, args[0], usage.Maxrss>>10)
			}
			if stderr.Len() > 1<<20 {
				t.Errorf("%s, %s: an error of %d bytes", name, args[0], stderr.Len())
			}
		}
	}
}
