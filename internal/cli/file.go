package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"gridwright/internal/design"
	"gridwright/internal/designfile"
	"gridwright/internal/predict"
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

// unbearable is the load that a design cannot bear, if that is what err says.
func unbearable(err error) *predict.Unbearable {
	var u *predict.Unbearable
	errors.As(err, &u)
	return u
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

// refuse reports why nothing may be written under a name: it is an input, a
// folder, or no regular file. Commands ask before they begin.
func (e *env) refuse(name string, inputs []string) error {
	if name == "-" {
		return nil
	}
	for _, in := range inputs {
		if e.sameFile(in, name) {
			return inputf("the output %s is the input; write to another file", name)
		}
	}
	st, err := os.Stat(name)
	switch {
	case err != nil:
		return nil // not there yet
	case st.IsDir():
		return fileError{fmt.Errorf("cannot write %s: it is a folder; name a file", name)}
	case !st.Mode().IsRegular():
		return fileError{fmt.Errorf("cannot write %s: it is no regular file; name one, or - for standard output", name)}
	}
	return nil
}

// output writes a file whole or not at all, never over an input; - is standard
// output. A link is followed, and a file that was there keeps its permissions.
func (e *env) output(name string, inputs []string, content []byte) error {
	if name == "-" {
		_, err := e.out.Write(content)
		return e.write(err)
	}
	f, err := e.begin(name, inputs)
	if err != nil {
		return err
	}
	defer f.abandon()
	if _, err := f.Write(content); err != nil {
		return f.failed(err)
	}
	return f.commit()
}

// whole is a file that comes to be at once, when it is committed.
type whole struct {
	*os.File
	name, target string
	closed       bool
}

// begin starts a file that is not there until it is committed.
func (e *env) begin(name string, inputs []string) (*whole, error) {
	if err := e.refuse(name, inputs); err != nil {
		return nil, err
	}
	w := &whole{name: name, target: name}
	mode := os.FileMode(0o666) // what the user's mask leaves of it
	if real, err := filepath.EvalSymlinks(name); err == nil {
		w.target = real
		if st, err := os.Stat(real); err == nil {
			mode = st.Mode().Perm()
		}
	}
	var err error
	if w.File, err = createBeside(w.target, mode); err != nil {
		return nil, w.failed(err)
	}
	return w, nil
}

func (w *whole) failed(err error) error {
	return fileError{fmt.Errorf("cannot write %s: %w", w.name, cause(err))}
}

// commit puts the file in its place.
func (w *whole) commit() error {
	w.closed = true
	if err := w.Close(); err != nil {
		return w.failed(err)
	}
	if err := os.Rename(w.File.Name(), w.target); err != nil {
		return w.failed(err)
	}
	return nil
}

// abandon removes what was written, unless it was committed.
func (w *whole) abandon() {
	if !w.closed {
		w.Close()
	}
	os.Remove(w.File.Name()) // gone already when all went well
}

// createBeside opens a new file in the folder of another one.
func createBeside(target string, mode os.FileMode) (*os.File, error) {
	for i := 0; ; i++ {
		name := filepath.Join(filepath.Dir(target), fmt.Sprintf(".%s.%d-%d", filepath.Base(target), os.Getpid(), i))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if !errors.Is(err, os.ErrExist) || i >= 100 {
			return f, err
		}
	}
}

// cause is what a system call reports, without the path of a temporary file.
func cause(err error) error {
	var p *os.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err
	case errors.As(err, &l):
		return l.Err
	}
	return err
}

// sameFile reports whether an input, standard input among them, is the file of
// that name.
func (e *env) sameFile(input, name string) bool {
	out, err := os.Stat(name)
	if input == "-" {
		f, ok := e.in.(*os.File)
		if !ok || err != nil {
			return false
		}
		in, inErr := f.Stat()
		return inErr == nil && os.SameFile(in, out)
	}
	in, inErr := os.Stat(input)
	if err == nil && inErr == nil {
		return os.SameFile(in, out)
	}
	return filepath.Clean(input) == filepath.Clean(name)
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
