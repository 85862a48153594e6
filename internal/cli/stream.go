package cli

import (
	"errors"
	"fmt"
	"io"
)

// stream lets write fill a file whole or not at all, never over an input; - is
// standard output.
func (e *env) stream(name string, inputs []string, write func(io.Writer) error) error {
	if name == "-" {
		return e.streamed(name, write(wrapped{e.out}))
	}
	f, err := e.begin(name, inputs)
	if err != nil {
		return err
	}
	defer f.abandon()
	if err := write(wrapped{f}); err != nil {
		return e.streamed(name, err)
	}
	if err := e.ctx.Err(); err != nil {
		return err
	}
	return f.commit()
}

// streamed words what ended a stream.
func (e *env) streamed(name string, err error) error {
	var broken brokenWrite
	switch {
	case e.ctx.Err() != nil && err != nil:
		return e.ctx.Err()
	case errors.As(err, &broken) && name == "-":
		return e.write(broken.error)
	case errors.As(err, &broken):
		return fileError{fmt.Errorf("cannot write %s: %w", name, cause(broken.error))}
	}
	return err
}

// brokenWrite is a failure of the output itself.
type brokenWrite struct{ error }

// Unwrap is the failure.
func (b brokenWrite) Unwrap() error { return b.error }

// wrapped marks the errors of a writer as those of the output.
type wrapped struct{ w io.Writer }

func (w wrapped) Write(p []byte) (int, error) {
	n, err := w.w.Write(p)
	if err != nil {
		err = brokenWrite{err}
	}
	return n, err
}
