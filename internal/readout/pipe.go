package readout

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"sync"
)

// pipe reads blocks of whole lines, has workers turn them into output, and writes them in
// their order: the output depends neither on the number of workers nor on where blocks
// end.
type pipe struct {
	reader  *reader
	in      io.Reader
	workers int
	row     int // line at which in begins

	free, work, order chan *block
	stop              chan struct{}
}

// block of whole lines; only the last may lack its line end.
type block struct {
	buf  []byte
	data []byte // the lines, in buf
	row  int    // line of the first of them
	err  error  // what ended the input after them
	cut  bool   // the last line has no line end

	out      []byte
	rows     int
	blanks   int
	skipped  int
	problems []*Problem
	halt     *Problem // at which the run stops
	loads    []Extent
	done     chan struct{}
}

func newPipe(r *reader, in io.Reader, workers, row int) *pipe {
	n := 2*workers + 2
	p := &pipe{reader: r, in: in, workers: workers, row: row, stop: make(chan struct{}),
		free: make(chan *block, n), work: make(chan *block, n), order: make(chan *block, n)}
	for range n {
		p.free <- &block{done: make(chan struct{}, 1), loads: make([]Extent, r.nl)}
	}
	return p
}

// run until the end of the input, an error, or ctx.
func (p *pipe) run(ctx context.Context, out io.Writer, sum *Summary) error {
	var workers sync.WaitGroup
	defer workers.Wait()
	defer close(p.stop)
	go p.feed()
	for range p.workers {
		workers.Go(p.worker)
	}
	for {
		var b *block
		select {
		case <-ctx.Done():
			return ctx.Err()
		case b = <-p.order:
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-b.done:
		}
		if err := ctx.Err(); err != nil { // select takes either when both are ready
			return err
		}
		if len(b.out) > 0 {
			if _, err := out.Write(b.out); err != nil {
				return err
			}
		}
		sum.add(b)
		switch {
		case b.halt != nil:
			return &Stopped{b.halt, sum.Rows}
		case b.err == io.EOF:
			if b.cut {
				sum.Notes = append(sum.Notes, fmt.Sprintf("row %d, the last, has no line end: if the log was cut off, its last number may not be whole", b.row+bytes.Count(b.data, []byte{'\n'})))
			}
			return nil
		case b.err != nil:
			var problem *Problem
			if errors.As(b.err, &problem) {
				return &Stopped{problem, sum.Rows}
			}
			return fmt.Errorf("%w; %s", b.err, written(sum.Rows))
		}
		p.free <- b
	}
}

func (s *Summary) add(b *block) {
	s.Rows += b.rows
	s.Blanks += b.blanks
	s.Skipped += b.skipped
	s.Bytes += int64(len(b.out))
	for _, q := range b.problems {
		if len(s.Problems) < mostProblems {
			s.Problems = append(s.Problems, q)
		}
	}
	for i := range s.Loads {
		l, m := &s.Loads[i], &b.loads[i]
		if !(l.Low <= m.Low) && m.Low <= m.High {
			l.Low = m.Low
		}
		if !(l.High >= m.High) && m.Low <= m.High {
			l.High = m.High
		}
		l.Outside += m.Outside
	}
}

// feed reads the input into blocks.
func (p *pipe) feed() {
	var carry []byte // the line that the last block broke off in
	row := p.row
	for {
		var b *block
		select {
		case <-p.stop:
			return
		case b = <-p.free:
		}
		if b.buf == nil {
			b.buf = make([]byte, blockSize)
		}
		n, end, err := p.fill(b, carry, row)
		b.row, b.err, b.cut = row, err, false
		if err == io.EOF && n > end {
			end, b.cut = n, true
		}
		b.data = b.buf[:end]
		carry = append(carry[:0], b.buf[end:n]...)
		row += bytes.Count(b.data, []byte{'\n'})
		p.order <- b // both have room for every block there is
		p.work <- b
		if err != nil {
			return
		}
	}
}

// fill puts carry and what one Read gives into the block, more while no line ends: n bytes,
// of which end are whole lines.
func (p *pipe) fill(b *block, carry []byte, row int) (n, end int, err error) {
	if len(carry) >= len(b.buf) {
		b.buf = make([]byte, len(carry)+blockSize)
	}
	n = copy(b.buf, carry)
	for empty := 0; ; {
		if n == len(b.buf) {
			b.buf = append(b.buf, make([]byte, blockSize)...)
		}
		m, err := p.in.Read(b.buf[n:])
		i := bytes.LastIndexByte(b.buf[n:n+m], '\n')
		if i >= 0 {
			end = n + i + 1
		}
		n += m
		switch {
		case err != nil:
			return n, end, err
		case i >= 0:
			return n, end, nil
		case n > maxLine:
			return n, 0, tooLong(row)
		case m > 0:
			empty = 0
		default:
			if empty++; empty >= 100 {
				return n, end, io.ErrNoProgress
			}
		}
	}
}

func (p *pipe) worker() {
	w := p.reader.worker()
	for {
		select {
		case <-p.stop:
			return
		case b := <-p.work:
			p.reader.lines(b, w)
			b.done <- struct{}{}
		}
	}
}

// lines turns the block's lines into its output.
func (r *reader) lines(b *block, w *worker) {
	b.out, b.rows, b.blanks, b.skipped, b.problems, b.halt = b.out[:0], 0, 0, 0, nil, nil
	for i := range b.loads {
		b.loads[i] = Extent{math.Inf(1), math.Inf(-1), 0}
	}
	w.many = false
	rest := b.data
	for row := b.row; len(rest) > 0; row++ {
		line := rest
		if i := bytes.IndexByte(rest, '\n'); i >= 0 {
			line, rest = rest[:i], rest[i+1:]
		} else {
			rest = nil
		}
		if n := len(line); n > 0 && line[n-1] == '\r' {
			line = line[:n-1]
		}
		if skipped(line) {
			b.skipped++
			continue
		}
		var p *Problem
		if len(line) > maxLine {
			b.halt = tooLong(row).(*Problem)
			return
		}
		b.out, p = r.row(b.out, line, row, w)
		if p != nil && !r.blank {
			if b.cut && rest == nil {
				p.Wrong += ", and the log breaks off here"
			}
			b.halt = p
			return
		}
		b.rows++
		if p != nil {
			b.blanks++
			if !w.many {
				b.problems = append(b.problems, p)
				w.many = len(b.problems) >= mostProblems
			}
			continue
		}
		for i, f := range w.load {
			e, c := &b.loads[i], &r.r.Components[i]
			e.Low, e.High = min(e.Low, f), max(e.High, f)
			if c.Low < c.High && (f < c.Low || f > c.High) {
				e.Outside++
			}
		}
	}
}
