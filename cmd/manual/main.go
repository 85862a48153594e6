// Command manual writes the manual pages of gridwright into a folder.
package main

import (
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra/doc"

	"gridwright/internal/cli"
	"gridwright/internal/dossier"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "manual: name one folder")
		os.Exit(2)
	}
	if err := write(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "manual:", err)
		os.Exit(3)
	}
}

// write puts one page a command; the date is fixed, so that the same program
// writes the same bytes.
func write(folder string) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	date := time.Date(2026, time.November, 1, 0, 0, 0, 0, time.UTC)
	root := cli.Command()
	root.DisableAutoGenTag = true
	return doc.GenManTree(root, &doc.GenManHeader{Title: "GRIDWRIGHT", Section: "1", Date: &date, Source: "gridwright " + dossier.Version, Manual: "gridwright"}, folder)
}
