package cli

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"

	"gridwright/internal/variant"
)

// maxList bounds a list, in bytes.
const maxList = 256 << 20

// readList reads the variants of a CSV file.
func (e *env) readList(name string, s *variant.Sweep) error {
	var r io.Reader = e.in
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return fileError{fmt.Errorf("cannot read the list: %w", plainPath(err))}
		}
		defer file.Close()
		r = file
	}
	text, err := io.ReadAll(io.LimitReader(r, maxList+1))
	switch {
	case err != nil:
		return fileError{fmt.Errorf("cannot read %s: %w", name, plainPath(err))}
	case len(text) > maxList:
		return inputf("%s: the list has more than %d bytes; split it", name, maxList)
	}
	lines := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	lines.TrimLeadingSpace, lines.Comment, lines.ReuseRecord = true, '#', true
	s.List = [][]float64{}
	for row := 0; ; row++ {
		cells, err := lines.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return listError(name, err)
		}
		if row == 0 {
			if s.Axes, err = listHeader(name, s.Base, cells, lines); err != nil {
				return err
			}
			continue
		}
		if len(s.List) == mostVariants {
			return inputf("%s: more than %d variants; split the list", name, mostVariants)
		}
		at := make([]float64, len(cells))
		for i, cell := range cells {
			if at[i], err = listCell(s.Axes[i], cell); err != nil {
				line, column := lines.FieldPos(i)
				return inputf("%s:%d:%d: %s: %v", name, line, column, s.Axes[i].Value.Path, err)
			}
			a := s.Axes[i]
			if len(s.List) == 0 {
				a.From, a.To = at[i], at[i]
			}
			a.From, a.To = math.Min(a.From, at[i]), math.Max(a.To, at[i])
		}
		s.List = append(s.List, at)
	}
	if len(s.List) == 0 {
		return inputf("%s: the list has no variant; write a header such as `part.section.outside-diameter [mm]` and a row for each variant", name)
	}
	return nil
}

func listError(name string, err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		what := p.Err.Error()
		if errors.Is(p.Err, csv.ErrFieldCount) {
			what = "the row has not as many cells as the header; give each variant every value, with decimal points"
		}
		return inputf("%s:%d:%d: %s", name, p.Line, max(p.Column, 1), what)
	}
	return fileError{fmt.Errorf("cannot read %s: %w", name, err)}
}

// listHeader reads the paths and units of a list.
func listHeader(name string, b *variant.Base, cells []string, lines *csv.Reader) ([]*variant.Axis, error) {
	var axes []*variant.Axis
	for i, cell := range cells {
		line, column := lines.FieldPos(i)
		if len(cells) == 1 && strings.Contains(cell, ";") {
			return nil, inputf("%s:%d:%d: the cells are parted by semicolons; write commas, and decimal points in numbers", name, line, column)
		}
		path, unit := strings.TrimSpace(cell), ""
		if head, tail, ok := strings.Cut(cell, " ["); ok && strings.HasSuffix(strings.TrimSpace(tail), "]") {
			path, unit = strings.TrimSpace(head), strings.TrimSuffix(strings.TrimSpace(tail), "]")
		}
		a, err := b.Column(path, unit)
		if err != nil {
			if unit == "" {
				err = fmt.Errorf("%w (a unit stands in the header, as in `%s [mm]`)", err, path)
			}
			return nil, inputf("%s:%d:%d: %v", name, line, column, err)
		}
		if slices.ContainsFunc(axes, func(o *variant.Axis) bool { return o.Value == a.Value }) {
			return nil, inputf("%s:%d:%d: %s has a column already; leave one", name, line, column, path)
		}
		axes = append(axes, a)
	}
	return axes, nil
}

// listCell reads a number in the unit of its column.
func listCell(a *variant.Axis, cell string) (float64, error) {
	cell = strings.TrimSpace(cell)
	if cell == "" {
		return 0, errors.New("the cell is empty; write the value")
	}
	if strings.Contains(cell, "±") {
		return 0, errors.New("the tolerance stays as the file has it; write the value alone")
	}
	if x, err := a.Number(cell + " " + a.Unit); err == nil {
		return x, nil
	}
	return a.Number(cell)
}
