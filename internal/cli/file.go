package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/dossier"
)

// maxRead is more than a design file may have, so that the reader can say so.
const maxRead = 16 << 20

// read returns the text of an input, - being standard input.
func (e *env) read(name string) ([]byte, error) {
	var r io.Reader = e.in
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, fileError{fmt.Errorf("cannot read the design: %w", plainPath(err))}
		}
		defer f.Close()
		r = f
	}
	text, err := io.ReadAll(io.LimitReader(r, maxRead))
	if err != nil {
		return nil, fileError{fmt.Errorf("cannot read %s: %w", name, plainPath(err))}
	}
	return text, nil
}

// plainPath words a path error without the name of the system call.
func plainPath(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s: %w", p.Path, p.Err)
	}
	return err
}

// design reads a design file.
func (e *env) design(name string) (*design.Design, []byte, error) {
	text, err := e.read(name)
	if err != nil {
		return nil, nil, err
	}
	d, err := designfile.Read(name, text)
	return d, text, err
}

// dossier reads, predicts and checks.
func (e *env) dossier(name string) (*dossier.Dossier, []byte, error) {
	d, text, err := e.design(name)
	if err != nil {
		return nil, nil, err
	}
	out, err := dossier.Of(name, text, d)
	if err != nil {
		return nil, nil, inputf("%s: %v", name, err)
	}
	return out, text, nil
}

// needsBridges refuses a design that places nothing, with the way out.
func needsBridges(name string, d *design.Design) error {
	if len(d.Placements) > 0 && len(d.Bridges) > 0 {
		return nil
	}
	what := "places no gauge and wires no bridge"
	if len(d.Placements) > 0 {
		what = "wires no bridge"
	}
	return inputf("%s: the design %s; let `gridwright pick %s -o placed.yaml` choose, or write `placements` and `bridges`", name, what, name)
}

// output writes a file whole or not at all, never over an input; - is standard
// output.
func (e *env) output(name string, inputs []string, content []byte) error {
	if name == "-" {
		_, err := e.out.Write(content)
		return e.write(err)
	}
	for _, in := range inputs {
		if sameFile(in, name) {
			return inputf("the output %s is the input; write to another file", name)
		}
	}
	fail := func(err error) error { return fileError{fmt.Errorf("cannot write %s: %w", name, plainPath(err))} }
	if st, err := os.Stat(name); err == nil && st.IsDir() {
		return fileError{fmt.Errorf("cannot write %s: it is a folder; name a file", name)}
	}
	tmp, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return fail(err)
	}
	defer os.Remove(tmp.Name()) // gone already when all went well
	_, err = io.Copy(tmp, bytes.NewReader(content))
	if err == nil {
		err = tmp.Chmod(0o644)
	}
	if closeErr := tmp.Close(); err == nil {
		err = closeErr
	}
	if err == nil {
		err = os.Rename(tmp.Name(), name)
	}
	if err != nil {
		return fail(err)
	}
	return nil
}

func sameFile(a, b string) bool {
	if a == "-" {
		return false
	}
	sa, errA := os.Stat(a)
	sb, errB := os.Stat(b)
	if errA == nil && errB == nil {
		return os.SameFile(sa, sb)
	}
	return filepath.Clean(a) == filepath.Clean(b)
}

// isTerminal reports whether w is a terminal.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	st, err := f.Stat()
	return err == nil && st.Mode()&os.ModeCharDevice != 0
}
