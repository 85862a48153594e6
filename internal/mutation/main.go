// Command mutation breaks lines of the physics one at a time, in a copy of the
// tree, and tells which of them the tests do not notice.
//
// The list names one break a line: file, text to replace (it must stand in the
// file exactly once), text put in its place, separated by tabs. Lines that start
// with # are remarks.
package main

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

type mutation struct {
	line           int
	file, from, to string
}

func main() {
	list := flag.String("list", "testdata/mutations.txt", "the list of breaks")
	least := flag.Float64("least", 95, "percent that must be noticed")
	flag.Parse()
	noticed, all, err := run(*list)
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutation:", err)
		os.Exit(2)
	}
	percent := 100 * float64(noticed) / float64(all)
	fmt.Printf("%d of %d breaks noticed, %.1f %%\n", noticed, all, percent)
	if percent < *least {
		os.Exit(1)
	}
}

func run(list string) (noticed, all int, err error) {
	mutations, err := read(list)
	if err != nil {
		return 0, 0, err
	}
	tree, err := os.MkdirTemp("", "mutation")
	if err != nil {
		return 0, 0, err
	}
	defer os.RemoveAll(tree)
	if out, err := exec.Command("cp", "-r", ".", tree).CombinedOutput(); err != nil {
		return 0, 0, fmt.Errorf("cannot copy the tree: %s", out)
	}
	for _, m := range mutations {
		name := filepath.Join(tree, m.file)
		text, err := os.ReadFile(name)
		if err != nil {
			return noticed, all, err
		}
		if n := bytes.Count(text, []byte(m.from)); n != 1 {
			return noticed, all, fmt.Errorf("%s:%d: %q stands %d times in %s", list, m.line, m.from, n, m.file)
		}
		if err := os.WriteFile(name, bytes.Replace(text, []byte(m.from), []byte(m.to), 1), 0o644); err != nil {
			return noticed, all, err
		}
		word := "SURVIVED"
		switch {
		case fails(tree, "build", "./..."):
			return noticed, all, fmt.Errorf("%s:%d: the break does not build", list, m.line)
		case fails(tree, "test", "-failfast", "./"+filepath.Dir(m.file)):
			word = "noticed beside it"
		case fails(tree, "test", "-failfast", "./..."):
			word = "noticed elsewhere"
		}
		if err := os.WriteFile(name, text, 0o644); err != nil {
			return noticed, all, err
		}
		all++
		if word != "SURVIVED" {
			noticed++
		}
		fmt.Printf("%-18s %s: %s -> %s\n", word, m.file, m.from, m.to)
	}
	return noticed, all, nil
}

func fails(tree string, args ...string) bool {
	c := exec.Command("go", args...)
	c.Dir = tree
	return c.Run() != nil
}

func read(list string) ([]mutation, error) {
	f, err := os.Open(list)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var all []mutation
	s := bufio.NewScanner(f)
	for n := 1; s.Scan(); n++ {
		if strings.TrimSpace(s.Text()) == "" || strings.HasPrefix(s.Text(), "#") {
			continue
		}
		cells := strings.Split(s.Text(), "\t")
		if len(cells) != 3 {
			return nil, fmt.Errorf("%s:%d: %d cells; write file, text and replacement, separated by tabs", list, n, len(cells))
		}
		all = append(all, mutation{n, cells[0], cells[1], cells[2]})
	}
	return all, s.Err()
}
