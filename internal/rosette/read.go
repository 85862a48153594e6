package rosette

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"gridwright/internal/design"
	"gridwright/internal/quantity"
)

// Problem is one thing wrong with a file of readings.
type Problem struct {
	Row    int // line of the file, from 1
	Column int // from 1; 0: the row as a whole
	Wrong  string
	Right  string
}

func (p *Problem) Error() string {
	s := fmt.Sprintf("row %d", p.Row)
	if p.Column > 0 {
		s += fmt.Sprintf(", column %d", p.Column)
	}
	return s + ": " + p.Wrong + "; " + p.Right
}

// Problems are all that were found, at most mostProblems.
type Problems []*Problem

func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i := range p {
		lines[i] = p[i].Error()
	}
	return strings.Join(lines, "\n")
}

const mostProblems = 20

// table is a file of readings while it is read.
type table struct {
	d        *design.Design
	head     []string
	grid     []int // of each column: number from 1, 0 the placement, −1 not used
	unit     []string
	comma    bool // decimal commas
	problems Problems
	notes    []string
}

// Read takes a CSV file of readings: one row a placement,
//
//	placement,1 [µε],2 [µε],3 [µε]
//
// with any unit of strain, columns in any order; those of grids that a pattern does not
// have are left empty. Columns parted by semicolons may hold decimal commas, which the notes
// say. Lines that begin with # are left out. All problems are found in one run.
func Read(in io.Reader, d *design.Design) ([]Reading, []string, error) {
	b := bufio.NewReader(in)
	if mark, err := b.Peek(3); err == nil && string(mark) == "\xef\xbb\xbf" {
		b.Discard(3)
	}
	c := csv.NewReader(b)
	c.Comment, c.FieldsPerRecord, c.TrimLeadingSpace = '#', -1, true
	if start, _ := b.Peek(4096); strings.Contains(headerLine(string(start)), ";") {
		c.Comma = ';'
	}
	t := &table{d: d}
	var out []Reading
	rows := map[int]int{}
	for len(t.problems) < mostProblems {
		record, err := c.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			var e *csv.ParseError
			if !errors.As(err, &e) {
				return nil, t.notes, err
			}
			t.problem(e.Line, 0, "the row breaks off or has a quotation mark inside a field: "+e.Err.Error(), "write plain fields")
			break
		}
		row, _ := c.FieldPos(0)
		if t.head == nil {
			t.header(record, row)
			if len(t.problems) > 0 {
				break
			}
			continue
		}
		if c.Comma == ';' && !t.comma && strings.Contains(strings.Join(record, ";"), ",") {
			t.comma = true
			t.notes = append(t.notes, "columns are parted by semicolons, the decimal sign is the comma")
		}
		r, ok := t.row(record, row)
		if !ok {
			continue
		}
		if first, twice := rows[r.Placement]; twice {
			t.problem(row, 0, fmt.Sprintf("placement %s was read in row %d already", d.Placements[r.Placement].Name, first), "give one row a placement; other states of load go into files of their own")
			continue
		}
		rows[r.Placement] = row
		out = append(out, r)
	}
	switch {
	case len(t.problems) > 0:
		return nil, t.notes, t.problems
	case t.head == nil:
		return nil, nil, errors.New("the file of readings is empty; it needs a header such as placement,1 [µε],2 [µε],3 [µε] and a row for each placement")
	case len(out) == 0:
		return nil, t.notes, errors.New("the file of readings has a header and no rows; give a row for each placement")
	}
	return out, t.notes, nil
}

// headerLine is the first line that holds anything.
func headerLine(start string) string {
	for _, line := range strings.Split(start, "\n") {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			return line
		}
	}
	return ""
}

func (t *table) problem(row, column int, wrong, right string) {
	t.problems = append(t.problems, &Problem{row, column, wrong, right})
}

var gridColumn = regexp.MustCompile(`^([0-9]{1,3})\s*(?:\[(.*)\])?$`)

func (t *table) header(record []string, row int) {
	t.head = record
	seen := map[int]int{}
	most := 0
	for _, p := range t.d.Placements {
		most = max(most, len(t.d.Gauges[p.Gauge].Directions))
	}
	for c, text := range record {
		text = strings.TrimSpace(text)
		number, unit := -1, ""
		if text == "placement" {
			number = 0
		} else if m := gridColumn.FindStringSubmatch(text); m != nil {
			number, _ = strconv.Atoi(m[1])
			unit = strings.TrimSpace(m[2])
			switch _, err := quantity.Parse("1 "+unit, quantity.Strain); {
			case number < 1 || number > most:
				t.problem(row, c+1, fmt.Sprintf("no placement has a grid %d", number), fmt.Sprintf("give grids from 1 to %d", most))
			case unit == "":
				t.problem(row, c+1, "the readings have no unit", fmt.Sprintf("write %d [µε]", number))
			case err != nil:
				t.problem(row, c+1, strings.Split(err.Error(), "; ")[0], fmt.Sprintf("write %d [µε]", number))
			}
		} else {
			t.notes = append(t.notes, fmt.Sprintf("column %d (%s) is not used", c+1, text))
		}
		if number >= 0 {
			if first, twice := seen[number]; twice {
				t.problem(row, c+1, fmt.Sprintf("it is column %d again", first), "give each column once")
			}
			seen[number] = c + 1
		}
		t.grid, t.unit = append(t.grid, number), append(t.unit, unit)
	}
	if _, ok := seen[0]; !ok {
		t.problem(row, 0, "no column placement", "write a header such as placement,1 [µε],2 [µε],3 [µε]")
	} else if len(seen) < 2 {
		t.problem(row, 0, "no column of a grid", "write a header such as placement,1 [µε],2 [µε],3 [µε]")
	}
}

// row is one placement's readings.
func (t *table) row(record []string, row int) (Reading, bool) {
	if len(record) != len(t.head) {
		right := "give every row as many fields as the header"
		if len(record) > len(t.head) {
			right += "; decimal commas need semicolons between the columns"
		}
		t.problem(row, 0, fmt.Sprintf("%d fields, the header has %d", len(record), len(t.head)), right)
		return Reading{}, false
	}
	before := len(t.problems)
	r := Reading{Placement: -1, Row: row}
	values := map[int]float64{}
	for c, text := range record {
		text = strings.TrimSpace(text)
		switch n := t.grid[c]; {
		case n == 0:
			r.Placement = t.placement(text, row, c)
		case n > 0 && text != "":
			if t.comma {
				if strings.Contains(text, ".") {
					t.problem(row, c+1, fmt.Sprintf("%.24q has a decimal point, the file has decimal commas", text), "write one decimal sign in all rows")
					continue
				}
				text = strings.Replace(text, ",", ".", 1)
			}
			v, err := quantity.Parse(text+" "+t.unit[c], quantity.Strain)
			if err != nil || v.Tolerance != 0 {
				t.problem(row, c+1, fmt.Sprintf("%.24q is not a number", text), "write the reading as a decimal number; its unit stands in the header")
				continue
			}
			values[n] = v.SI
		}
	}
	if r.Placement < 0 || len(t.problems) > before {
		return r, false
	}
	name := t.d.Placements[r.Placement].Name
	grids := len(t.d.Gauges[t.d.Placements[r.Placement].Gauge].Directions)
	for n := 1; n <= grids; n++ {
		v, ok := values[n]
		if !ok {
			t.problem(row, 0, fmt.Sprintf("no reading of grid %s%d", name, n), fmt.Sprintf("placement %s has %d grids; give one reading of each", name, grids))
			return r, false
		}
		delete(values, n)
		r.Strains = append(r.Strains, v)
	}
	if len(values) > 0 {
		t.problem(row, 0, fmt.Sprintf("%d readings, placement %s has %d grids", grids+len(values), name, grids), "leave the columns of grids that it does not have empty")
		return r, false
	}
	return r, true
}

func (t *table) placement(text string, row, column int) int {
	var names []string
	for i, p := range t.d.Placements {
		if p.Name == text {
			return i
		}
		names = append(names, p.Name)
	}
	right := "the placements are " + strings.Join(names, ", ")
	if len(names) == 0 {
		right = "the design has no placements"
	} else if near := quantity.Nearest(text, names); near != "" {
		right = "the nearest is " + near
	} else if len(names) > 12 {
		right = fmt.Sprintf("the design has %d, %s to %s", len(names), names[0], names[len(names)-1])
	}
	t.problem(row, column+1, fmt.Sprintf("no placement %.24q in the design", text), right)
	return -1
}
