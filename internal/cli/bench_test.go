package cli

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

// The commands on every example, in this process.
func BenchmarkCommands(b *testing.B) {
	files, _ := filepath.Glob("../../designs/*.yaml")
	for _, command := range []string{"predict", "check", "pick", "sheet"} {
		for _, f := range files {
			args := []string{"-q", command, f}
			if command == "sheet" {
				args = append(args, "-o", "-")
			}
			b.Run(command+"/"+strings.TrimSuffix(filepath.Base(f), ".yaml"), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					var out, errs bytes.Buffer
					if code := Main(args, nil, &out, &errs); code == exitBug || code == exitFile {
						b.Fatal(errs.String())
					}
				}
			})
		}
	}
}
