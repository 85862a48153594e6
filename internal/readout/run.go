package readout

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
)

// Options of a run.
type Options struct {
	Tare    Tare
	Blank   bool     // leave the loads of a bad row blank and go on, instead of stopping
	Pass    []string // names of further columns to pass through as text
	Digits  int      // significant digits of a load, 1 to 17; 0: 7; −1: the shortest that read back the same; an uncertainty has at most 4, or the shortest
	Comma   bool     // the decimal sign is the comma, whatever the first row has; not with columns parted by commas
	Workers int      // 0: one for each processor; the output does not depend on it
}

// Tare says what the outputs are at rest. The zero of the recovery holds when neither is
// given.
type Tare struct {
	Rows   int       // the mean of so many first rows
	Values []float64 // or these, V/V, for each bridge
}

// Summary of a run.
type Summary struct {
	Rows      int        // of data that were written
	Blanks    int        // of them left blank
	Skipped   int        // lines that are empty or begin with #
	Bytes     int64      // of the rows written
	Problems  []*Problem // of the blank rows, the first few
	Notes     []string
	Separator string    // of input and output
	Point     string    // their decimal sign
	Zero      []float64 // in use, V/V
	Loads     []Extent  // go with Recovery.Components
}

// Extent is what was seen of one load.
type Extent struct {
	Low, High float64 // SI; NaN without any row
	Outside   int     // rows beyond the calibrated range
}

const (
	blockSize    = 512 << 10
	maxLine      = 1 << 20
	maxPreamble  = 64 << 20 // bytes that the rows of a tare may take
	mostProblems = 20
)

// Run reads a log from in and writes loads to out. It keeps a constant amount of
// memory, whatever the length. The Summary is of what was written, whatever the error:
// a *Stopped (bad row), Problems (header), that of in or out, or ctx's. A Read of in
// that does not return is left behind when the run is interrupted or stops.
func Run(ctx context.Context, rec *Recovery, in io.Reader, out io.Writer, o Options) (*Summary, error) {
	sum := &Summary{}
	if err := rec.Validate(); err != nil {
		return sum, err
	}
	switch {
	case o.Digits < -1 || o.Digits > 17:
		return sum, fmt.Errorf("%d digits; give 1 to 17", o.Digits)
	case o.Digits == 0:
		o.Digits = 7
	case o.Digits == -1:
		o.Digits = 0
	}
	if o.Workers < 1 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	if o.Tare.Rows < 0 || o.Tare.Rows > 0 && o.Tare.Values != nil {
		return sum, errors.New("the tare is a number of rows or values, not both")
	}
	for range rec.Components {
		sum.Loads = append(sum.Loads, Extent{math.NaN(), math.NaN(), 0})
	}
	h, err := begin(ctx, rec, in, &o, sum)
	if err != nil {
		return sum, err
	}
	if _, err := out.Write(h.head(nil, rec)); err != nil {
		return sum, err
	}
	p := newPipe(&h.reader, io.MultiReader(bytes.NewReader(h.rest), in), o.Workers, h.row)
	return sum, p.run(ctx, out, sum)
}

// opening is what stands before the rows.
type opening struct {
	reader
	rest []byte // read and not used
	row  int    // line at which rest begins
}

// begin reads the header, the first row of data for the decimal sign, and the rows of
// the tare.
func begin(ctx context.Context, rec *Recovery, in io.Reader, o *Options, sum *Summary) (*opening, error) {
	pre := preamble{in: in, ctx: ctx}
	h := &opening{}
	line, err := pre.header()
	if err != nil {
		return nil, err
	}
	if bytes.IndexByte(line, 0) >= 0 {
		return nil, &Problem{Row: pre.row, Wrong: "the log is no text in UTF-8", Right: "save it as CSV in UTF-8"}
	}
	h.layout, sum.Notes, err = readHeader(line, pre.row, rec, o.Pass)
	if err != nil {
		return nil, err
	}
	sum.Skipped += pre.row - 1
	h.rest, h.row = pre.buf[pre.at:], pre.row+1
	if o.Comma && h.separator == ',' {
		return nil, errors.New("a decimal comma and columns parted by commas cannot be told apart; part the columns by semicolons")
	}

	zero, cov := rec.Zero, rec.CovZero
	if o.Tare.Values != nil {
		if err := vector("the tare", o.Tare.Values, len(rec.Bridges)); err != nil {
			return nil, err
		}
		zero, cov = o.Tare.Values, nil
	}
	h.digits, h.blank = o.Digits, o.Blank
	h.low, h.high = rec.kelvinRange()
	if h.kelvin < 0 && rec.Drift != nil { // noted in readHeader
		still := *rec
		still.Drift = nil
		rec = &still
	}
	h.solver = newSolver(rec, zero, cov)
	rest := pre.at
	t := tare{rows: o.Tare.Rows, sum: make([]float64, len(rec.Bridges))}
	w := h.worker()
	for first := true; first || t.taken < t.rows; {
		line, err := pre.next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		line = bytes.TrimSuffix(line, []byte{'\r'})
		if skipped(line) {
			continue
		}
		if first {
			first = false
			if o.Comma {
				h.point = ','
			} else {
				h.decide(line)
			}
			if t.rows == 0 {
				break
			}
		}
		if err := t.add(h, line, pre.row, w); err != nil {
			return nil, err
		}
	}
	h.rest = pre.buf[rest:]
	if t.rows > 0 {
		if zero, cov, err = t.mean(rec); err != nil {
			return nil, err
		}
		h.solver = newSolver(rec, zero, cov)
	}
	sum.Separator, sum.Point = string(h.separator), string(h.point)
	sum.Zero = append([]float64(nil), h.zero...)
	if h.separator != ',' {
		sum.Notes = append(sum.Notes, fmt.Sprintf("columns are parted by %q, the decimal sign is %q", sum.Separator, sum.Point))
	}
	return h, nil
}

// tare is the mean of the first rows, drift taken off.
type tare struct {
	rows, taken, good int
	sum               []float64
}

func (t *tare) add(h *opening, line []byte, row int, w *worker) error {
	t.taken++
	_, p := h.read(line, row, w)
	if p != nil {
		if h.blank {
			return nil
		}
		return &Stopped{Problem: p}
	}
	for b, v := range w.v {
		if h.r.Drift != nil {
			z, _, _, _ := h.r.Drift[b].at(w.kelvin)
			v -= z
		}
		t.sum[b] += v
	}
	t.good++
	return nil
}

// mean and its covariance, that of a reading over their number.
func (t *tare) mean(rec *Recovery) ([]float64, [][]float64, error) {
	if t.taken < t.rows {
		return nil, nil, fmt.Errorf("the log has %d rows, the tare wants %d; give fewer, or the values", t.taken, t.rows)
	}
	if t.good == 0 {
		return nil, nil, fmt.Errorf("none of the first %d rows can be read, so there is no tare; give its values", t.rows)
	}
	n := float64(t.good)
	for b := range t.sum {
		t.sum[b] /= n
	}
	var cov [][]float64
	for _, row := range rec.Noise {
		c := make([]float64, len(row))
		for i, v := range row {
			c[i] = v / n
		}
		cov = append(cov, c)
	}
	return t.sum, cov, nil
}

// preamble reads lines from the start of a log and keeps them.
type preamble struct {
	ctx context.Context
	in  io.Reader
	buf []byte
	at  int // where the next line begins
	row int // of the last line
	eof bool
}

// header is the first line that is neither empty nor begins with #.
func (p *preamble) header() ([]byte, error) {
	for {
		line, err := p.next()
		if err == io.EOF {
			return nil, errors.New("the log is empty; it needs a header such as time,T [mV/V] and rows of numbers")
		}
		if err != nil {
			return nil, err
		}
		if p.row == 1 {
			if bytes.HasPrefix(line, []byte{0xff, 0xfe}) || bytes.HasPrefix(line, []byte{0xfe, 0xff}) {
				return nil, &Problem{Row: 1, Wrong: "the log is text in UTF-16", Right: "save it as CSV in UTF-8"}
			}
			line = bytes.TrimPrefix(line, []byte("\xef\xbb\xbf"))
		}
		if !skipped(bytes.TrimSuffix(line, []byte{'\r'})) {
			return line, nil
		}
	}
}

// next is the next line without its \n; io.EOF after the last.
func (p *preamble) next() ([]byte, error) {
	for from := p.at; ; {
		if i := bytes.IndexByte(p.buf[from:], '\n'); i >= 0 || p.eof {
			end := len(p.buf)
			if i >= 0 {
				end = from + i
			}
			line := p.buf[p.at:end]
			if i < 0 && len(line) == 0 {
				return nil, io.EOF
			}
			p.at = min(end+1, len(p.buf))
			p.row++
			if len(line) > maxLine {
				return nil, tooLong(p.row)
			}
			return line, nil
		}
		from = len(p.buf)
		switch {
		case from-p.at > maxLine:
			return nil, tooLong(p.row + 1)
		case from > maxPreamble:
			return nil, fmt.Errorf("the rows of the tare take more than %d MB; give fewer, or the values", maxPreamble>>20)
		}
		if err := p.more(); err != nil {
			return nil, err
		}
	}
}

func (p *preamble) more() error {
	for range 100 {
		if err := p.ctx.Err(); err != nil {
			return err
		}
		// a Read that waits for a pipe does not hear of ctx
		type got struct {
			chunk []byte
			err   error
		}
		arrived := make(chan got, 1)
		go func() {
			chunk := make([]byte, 64<<10)
			n, err := p.in.Read(chunk)
			arrived <- got{chunk[:n], err}
		}()
		var g got
		select {
		case <-p.ctx.Done():
			return p.ctx.Err()
		case g = <-arrived:
		}
		p.buf = append(p.buf, g.chunk...)
		if g.err == io.EOF {
			p.eof = true
			return nil
		}
		if g.err != nil || len(g.chunk) > 0 {
			return g.err
		}
	}
	return io.ErrNoProgress
}

func tooLong(row int) error {
	return &Problem{Row: row, Wrong: "the line is longer than 1 MB", Right: "give one row of readings a line"}
}

// skipped lines hold no data.
func skipped(line []byte) bool {
	return len(line) == 0 || line[0] == '#' || (line[0] == ' ' || line[0] == '\t') && len(bytes.TrimSpace(line)) == 0
}
