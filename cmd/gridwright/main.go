// Command gridwright turns a shaft, tube or column into a transducer with bonded
// strain gauges, on paper, before anything is bonded.
package main

import (
	"os"

	"gridwright/internal/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
