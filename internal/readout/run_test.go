package readout

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"pgregory.net/rapid"
)

func run(t testing.TB, r *Recovery, log string, o Options) (string, *Summary, error) {
	t.Helper()
	var out bytes.Buffer
	sum, err := Run(context.Background(), r, strings.NewReader(log), &out, o)
	return out.String(), sum, err
}

// simple has D = diag(1000, 500) N·m per V/V, noise of 1 and 2 µV/V.
func simple() *Recovery {
	return &Recovery{
		Bridges: []string{"T", "By"},
		Components: []Component{
			{Name: "torque", Unit: "N·m", Factor: 1, Low: -1, High: 1},
			{Name: "bending-y", Unit: "lbf·in", Factor: 2},
		},
		D:     [][]float64{{1000, 0}, {0, 500}},
		Noise: [][]float64{{1e-12, 0}, {0, 4e-12}},
	}
}

func TestRows(t *testing.T) {
	for _, c := range []struct {
		name, log, want string
		o               Options
	}{
		{"time and units", "time,T [mV/V],By [µV/V]\n0.0,1,250\n0.1,-0.5,-1e3\n",
			"time,torque [N·m],u(torque) [N·m],bending-y [lbf·in],u(bending-y) [lbf·in]\n0.0,1,0.001,0.25,0.002\n0.1,-0.5,0.001,-1,0.002\n", Options{}},
		{"other order, columns beside", "By [uV/V],note,T [V/V],Date\n250,\"a,\"\"b\",1e-3,\"1,5\"\n",
			"Date,torque [N·m],u(torque) [N·m],bending-y [lbf·in],u(bending-y) [lbf·in]\n\"1,5\",1,0.001,0.25,0.002\n", Options{}},
		{"decimal commas, CRLF, BOM", "\xef\xbb\xbftime;T [mV/V];By [mV/V]\r\n0,0;1,5;-0,25\r\n0,1;2;0\r\n",
			"time;torque [N·m];u(torque) [N·m];bending-y [lbf·in];u(bending-y) [lbf·in]\r\n0,0;1,5;0,001;-0,25;0,002\r\n0,1;2;0,001;0;0,002\r\n", Options{}},
		{"tabs, spaces, quotes", "T [mV/V]\tBy [mV/V]\n 1 \t\"0.5\"\n",
			"torque [N·m]\tu(torque) [N·m]\tbending-y [lbf·in]\tu(bending-y) [lbf·in]\n1\t0.001\t0.5\t0.002\n", Options{}},
		{"a comma in the time decides", "time;T [mV/V];By [mV/V]\n0,0;1;2\n0,1;1,5;2\n",
			"time;torque [N·m];u(torque) [N·m];bending-y [lbf·in];u(bending-y) [lbf·in]\n0,0;1;0,001;2;0,002\n0,1;1,5;0,001;2;0,002\n", Options{}},
		{"a semicolon in quotation marks", "\"what; where\",T [mV/V],By [mV/V]\nx,1,0\n",
			"torque [N·m],u(torque) [N·m],bending-y [lbf·in],u(bending-y) [lbf·in]\n1,0.001,0,0.002\n", Options{}},
		{"comma said", "T [mV/V];By [mV/V]\n1;2\n1,5;2\n",
			"torque [N·m];u(torque) [N·m];bending-y [lbf·in];u(bending-y) [lbf·in]\n1;0,001;2;0,002\n1,5;0,001;2;0,002\n", Options{Comma: true}},
		{"empty lines and remarks", "# from the bench\n\nT [mV/V],By [mV/V]\n# hot\n1,0\n\n  \n2,0",
			"torque [N·m],u(torque) [N·m],bending-y [lbf·in],u(bending-y) [lbf·in]\n1,0.001,0,0.002\n2,0.001,0,0.002\n", Options{}},
		{"given tare", "T [mV/V],By [mV/V]\n1.5,0\n", "torque [N·m],u(torque) [N·m],bending-y [lbf·in],u(bending-y) [lbf·in]\n1,0.001,-1,0.002\n",
			Options{Tare: Tare{Values: []float64{0.5e-3, 1e-3}}}},
		// the mean of three rows is 0.5, 1; u = √(1 + 1/3) µV/V
		{"tare of rows", "T [mV/V],By [mV/V]\n0.4,1\n0.5,1\n0.6,1\n1.5,2\n",
			"torque [N·m],u(torque) [N·m],bending-y [lbf·in],u(bending-y) [lbf·in]\n-0.1,0.001155,0,0.002309\n0,0.001155,0,0.002309\n0.1,0.001155,0,0.002309\n1,0.001155,1,0.002309\n",
			Options{Tare: Tare{Rows: 3}}},
		{"passed by name", "T [mV/V],By [mV/V],cycle\n1,0,7\n", "cycle,torque [N·m],u(torque) [N·m],bending-y [lbf·in],u(bending-y) [lbf·in]\n7,1,0.001,0,0.002\n",
			Options{Pass: []string{"cycle"}}},
		{"blanks", "time,T [mV/V],By [mV/V]\n1,x,1\n2,1,1\n3,,1\n4,NaN,1\n5,1\n6,1,1,1\n7,2000,1\n",
			"time,torque [N·m],u(torque) [N·m],bending-y [lbf·in],u(bending-y) [lbf·in]\n1,,,,\n2,1,0.001,1,0.002\n3,,,,\n4,,,,\n,,,,\n,,,,\n7,,,,\n", Options{Blank: true}},
		{"no rows", "T [mV/V],By [mV/V]\n", "torque [N·m],u(torque) [N·m],bending-y [lbf·in],u(bending-y) [lbf·in]\n", Options{}},
	} {
		got, sum, err := run(t, simple(), c.log, c.o)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got != c.want {
			t.Errorf("%s:\n%q, want\n%q", c.name, got, c.want)
		}
		if rows := strings.Count(c.want, "\n") - 1; sum.Rows != rows {
			t.Errorf("%s: %d rows, want %d", c.name, sum.Rows, rows)
		}
	}
}

func TestSummary(t *testing.T) {
	_, sum, err := run(t, simple(), "time,T [mV/V],By [mV/V],Tt,temperature [°C]\n1,x,1,,20\n#\n2,1.5,1,,20\n3,-2,1,,20\n4,0.5,-1,,20", Options{Blank: true})
	if err != nil {
		t.Fatal(err)
	}
	if sum.Rows != 4 || sum.Blanks != 1 || sum.Skipped != 1 || len(sum.Problems) != 1 {
		t.Errorf("%+v", sum)
	}
	if l := sum.Loads; l[0] != (Extent{-2, 1.5, 2}) || l[1] != (Extent{-0.5, 0.5, 0}) {
		t.Errorf("extents %v", l)
	}
	notes := strings.Join(sum.Notes, "\n")
	for _, want := range []string{
		"column 4 (Tt) is not used", "column 5 (temperature [°C]) is not used: no drift",
		"row 6, the last, has no line end: if the log was cut off, its last number may not be whole",
	} {
		if !strings.Contains(notes, want) {
			t.Errorf("no note %q in\n%s", want, notes)
		}
	}
}

func TestBadLogs(t *testing.T) {
	const head = "time,T [mV/V],By [mV/V]\n"
	for _, c := range []struct{ log, want string }{
		{"", "the log is empty; it needs a header such as time,T [mV/V] and rows of numbers"},
		{"\n#x\n", "the log is empty; it needs a header such as time,T [mV/V] and rows of numbers"},
		{"\xff\xfeT", "row 1: the log is text in UTF-16; save it as CSV in UTF-8"},
		{"T [mV/V]\x00", "row 1: the log is no text in UTF-8; save it as CSV in UTF-8"},
		{"time,T [mV/V]\n", "row 1: no column of bridge By; give a column By [mV/V]"},
		{"T [mV/V],by [mV/V]\n", `row 1: no column of bridge By; give a column By [mV/V]; the header has "by [mV/V]"`},
		{"T,By [mV/V]\n", "row 1, column 1 (T): the bridge has no unit; write T [mV/V]"},
		{"T [mV/V],By [mV/V],T [µV/V]\n", `row 1, column 3 (T [µV/V]): "T" stands in column 1 already; give each column its own name`},
		{"T [mV],By [mV/V]\n", "row 1, column 1 (T [mV]): mV is a voltage, a voltage ratio is wanted; write a voltage ratio such as 2 mV/V (mV/V, µV/V); write T [mV/V]"},
		{"T [mV/V],By [mV/V],temperature\n", "row 1, column 3 (temperature): the temperature has no unit; write temperature [°C]"},
		{head + "0,0.1,0.2\n1,O.1,0.2\n", `row 3, column 2 (T [mV/V]): "O.1" is not a number; write a decimal number such as 0.1234; 1 row was written before it`},
		{head + "1,0.1 mV,0.2\n", `row 2, column 2 (T [mV/V]): "0.1 mV" is not a number; write a decimal number such as 0.1234; 0 rows were written before it`},
		{head + "1,,0.2\n", `row 2, column 2 (T [mV/V]): no number; write the reading; rows without one can be left blank by choice; 0 rows were written before it`},
		{head + "1,0.1,nan\n", `row 2, column 3 (By [mV/V]): "nan" is no reading; write a finite number; such rows can be left blank by choice; 0 rows were written before it`},
		{head + "1,0.1,-Inf\n", `row 2, column 3 (By [mV/V]): "-Inf" is no reading; write a finite number; such rows can be left blank by choice; 0 rows were written before it`},
		{head + "1,0.1\n", "row 2: 2 fields, the header has 3; give every row as many fields as the header; 0 rows were written before it"},
		{head + "1,0,1,0,2\n", "row 2: 5 fields, the header has 3; give every row as many fields as the header; decimal commas need semicolons between the columns; 0 rows were written before it"},
		{head + "0,0.1,0.2\n1,0.1", "row 3: 2 fields, the header has 3, and the log breaks off here; give every row as many fields as the header; 1 row was written before it"},
		{head + "1,1500,0.2\n", `row 2, column 2 (T [mV/V]): "1500" is more than a bridge can give; look at the unit in the header; an output lies between −1 and 1 V/V; 0 rows were written before it`},
		{head + "1,1e999,0.2\n", `row 2, column 2 (T [mV/V]): "1e999" is more than a bridge can give; look at the unit in the header; an output lies between −1 and 1 V/V; 0 rows were written before it`},
		{head + "1,0x1,0.2\n", `row 2, column 2 (T [mV/V]): "0x1" is not a number; write a decimal number such as 0.1234; 0 rows were written before it`},
		{head + "1,\"0.1,0.2\n", "row 2: 2 fields, the header has 3; give every row as many fields as the header; 0 rows were written before it"},
		{"T [mV/V];By [mV/V]\n0,1;0,2\n0.1;0,2\n", `row 3, column 1 (T [mV/V]): "0.1" has another decimal sign than the first row; write a decimal "," in all rows, or say that the log has decimal commas where its first row does not show it; 1 row was written before it`},
		{"T [mV/V];By [mV/V]\n1;2\n0,1;2\n", `row 3, column 1 (T [mV/V]): "0,1" has another decimal sign than the first row; write a decimal "." in all rows, or say that the log has decimal commas where its first row does not show it; 1 row was written before it`},
		{head + "1,0.1,0.2" + strings.Repeat(" ", maxLine) + "\n", "row 2: the line is longer than 1 MB; give one row of readings a line"},
		{head + "0,0.1,0.2\n" + strings.Repeat("1", maxLine+1), "row 3: the line is longer than 1 MB; give one row of readings a line; 1 row was written before it"},
		{head + "0,0.1,0.2\n" + strings.Repeat("1", maxLine+1) + "\n", "row 3: the line is longer than 1 MB; give one row of readings a line; 1 row was written before it"},
	} {
		_, _, err := run(t, simple(), c.log, Options{})
		if err == nil || err.Error() != c.want {
			t.Errorf("%.80q:\n%v, want\n%s", c.log, err, c.want)
		}
	}
	for _, c := range []struct {
		log  string
		o    Options
		want string
	}{
		{head + "1,0.1,0.2\n", Options{Tare: Tare{Rows: 2}}, "the log has 1 rows, the tare wants 2; give fewer, or the values"},
		{head + "1,x,0.2\n", Options{Tare: Tare{Rows: 1}, Blank: true}, "none of the first 1 rows can be read, so there is no tare; give its values"},
		{head + "1,x,0.2\n", Options{Tare: Tare{Rows: 1}}, `row 2, column 2 (T [mV/V]): "x" is not a number; write a decimal number such as 0.1234; 0 rows were written before it`},
		{head, Options{Tare: Tare{Values: []float64{1}}}, "the tare: 1 numbers where 2 belong"},
		{head, Options{Tare: Tare{Rows: -1}}, "the tare is a number of rows or values, not both"},
		{head, Options{Digits: 18}, "18 digits; give 1 to 17"},
		{head, Options{Comma: true}, "a decimal comma and columns parted by commas cannot be told apart; part the columns by semicolons"},
	} {
		if _, _, err := run(t, simple(), c.log, c.o); err == nil || err.Error() != c.want {
			t.Errorf("%+v: %v, want %s", c.o, err, c.want)
		}
	}
}

func TestTemperature(t *testing.T) {
	r := simple()
	r.Drift = []Drift{
		{Kelvin: []float64{273.15, 293.15, 313.15}, Zero: []float64{-2e-4, 0, 4e-4}, Span: []float64{0.5, 1, 2}},
		{Kelvin: []float64{253.15, 333.15}},
	}
	// at 30 °C the zero is 0.2 mV/V and the span 1.5: (0.8 − 0.2)/1.5 = 0.4; at 86 °F too
	for _, c := range []struct{ unit, degrees string }{{"°C", "30"}, {"°F", "86"}, {"K", "303.15"}} {
		got, _, err := run(t, r, "T [mV/V],By [mV/V],temperature ["+c.unit+"]\n0.8,0.1,"+c.degrees+"\n", Options{Digits: 6})
		if err != nil {
			t.Fatal(err)
		}
		if _, row, _ := strings.Cut(got, "\n"); row != "0.4,0.0006667,0.1,0.002\n" {
			t.Errorf("%s: %q", c.unit, row)
		}
	}
	if _, _, err := run(t, r, "T [mV/V],By [mV/V],temperature [°C]\n0.8,0.1,-0.1\n", Options{}); err == nil {
		t.Error("a temperature below the range was taken")
	}
	_, _, err := run(t, r, "T [mV/V],By [mV/V],temperature [°C]\n0.8,0.1,41\n", Options{})
	want := `row 2, column 3 (temperature [°C]): the drift of zero and span is not known at "41"; it is known from 0 to 40 in this unit; take the column out to do without the correction; 0 rows were written before it`
	if err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
	got, sum, err := run(t, r, "T [mV/V],By [mV/V]\n0.8,0.1\n", Options{})
	if err != nil || !strings.HasSuffix(got, "\n0.8,0.001,0.1,0.002\n") {
		t.Errorf("%q, %v", got, err)
	}
	if want := "there is no column temperature [°C]: zero and span are not corrected for temperature"; len(sum.Notes) != 1 || sum.Notes[0] != want {
		t.Errorf("notes %q", sum.Notes)
	}
	// rest at 40 °C reads 0.9 mV/V: 0.5 of zero, 0.4 of drift
	got, sum, err = run(t, r, "T [mV/V],By [mV/V],temperature [°C]\n0.9,0,40\n1.1,0,30\n", Options{Tare: Tare{Rows: 1}, Digits: 6})
	if err != nil || sum.Zero[0] != 0.9e-3-4e-4 || !strings.Contains(got, "\n0.266667,") { // (1.1 − 0.5 − 0.2)/1.5
		t.Errorf("%q, %v", got, err)
	}
}

// The output is that of the plain way, encoding/csv and strconv, and the same for any
// number of workers and any way in which the bytes arrive.
func TestAnyWayIsThePlainWay(t *testing.T) {
	r := twoBridges()
	rapid.Check(t, func(t *rapid.T) {
		var log, want bytes.Buffer
		log.WriteString("T [mV/V],time,By [µV/V]\n")
		want.WriteString("time,torque [N·m],u(torque) [N·m],bending-y [N·m],u(bending-y) [N·m]\n")
		rows := rapid.IntRange(0, 60).Draw(t, "rows")
		for range rows {
			fmt.Fprintf(&log, "%s,%s,%s\n",
				strconv.FormatFloat(rapid.Float64Range(-900, 900).Draw(t, "T"), 'g', rapid.IntRange(1, 18).Draw(t, "digits"), 64),
				rapid.StringMatching(`[0-9]{0,6}`).Draw(t, "time"),
				strconv.FormatFloat(rapid.Float64Range(-1000, 1000).Draw(t, "By"), 'f', rapid.IntRange(0, 12).Draw(t, "decimals"), 64))
		}
		c := csv.NewReader(bytes.NewReader(log.Bytes()))
		c.Read()
		for {
			f, err := c.Read()
			if err == io.EOF {
				break
			}
			a, err1 := strconv.ParseFloat(f[0], 64)
			b, err2 := strconv.ParseFloat(f[2], 64)
			if err != nil || err1 != nil || err2 != nil {
				t.Fatal(err, err1, err2)
			}
			load, u, err := r.Load([]float64{a * 1e-3, b * 1e-6}, 0)
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&want, "%s,%.7g,%.4g,%.7g,%.4g\n", f[1], load[0], u[0], load[1], u[1])
		}
		for _, in := range []io.Reader{bytes.NewReader(log.Bytes()), iotest.HalfReader(bytes.NewReader(log.Bytes())), iotest.DataErrReader(iotest.OneByteReader(bytes.NewReader(log.Bytes())))} {
			var out bytes.Buffer
			sum, err := Run(context.Background(), r, in, &out, Options{Workers: rapid.IntRange(1, 4).Draw(t, "workers")})
			if err != nil {
				t.Fatal(err)
			}
			if out.String() != want.String() || sum.Rows != rows {
				t.Fatalf("%d rows:\n%s\nwant\n%s", sum.Rows, out.String(), want.String())
			}
		}
	})
}

// Several blocks, with a bad row in the midst of them: the same bytes and the same
// error, whoever works.
func TestWorkersAgreeOnALongLog(t *testing.T) {
	var log bytes.Buffer
	if _, err := writeLog(&log, 3*blockSize); err != nil {
		t.Fatal(err)
	}
	good := log.String()
	cut := strings.Index(good[2*blockSize:], "\n") + 2*blockSize
	bad := good[:cut] + "\n1,x,2" + good[cut:]
	for _, o := range []Options{{}, {Blank: true}, {Tare: Tare{Rows: 30_000}}} {
		for _, text := range []string{good, bad} {
			o.Workers = 1
			first, s1, err1 := run(t, twoBridges(), text, o)
			o.Workers = 5
			second, s2, err2 := run(t, twoBridges(), text, o)
			if first != second || fmt.Sprint(err1) != fmt.Sprint(err2) || fmt.Sprint(s1.Loads, s1.Rows, s1.Blanks) != fmt.Sprint(s2.Loads, s2.Rows, s2.Blanks) {
				t.Errorf("%+v: %v, %v", o, err1, err2)
			}
			if rows := strings.Count(first, "\n") - 1; s1.Rows != rows || s1.Bytes+int64(strings.Index(first, "\n")+1) != int64(len(first)) {
				t.Errorf("%d rows and %d bytes said, %d written", s1.Rows, s1.Bytes, rows)
			}
			if text == bad && !o.Blank {
				var stopped *Stopped
				row := strings.Count(bad[:cut], "\n") + 2
				if !errors.As(err1, &stopped) || stopped.Problem.Row != row || stopped.Rows != row-2 {
					t.Errorf("%v, want row %d", err1, row)
				}
			}
		}
	}
}

// repeated is a header and then the same rows n times, made without any allocation.
type repeated struct {
	head, rows string
	at, n      int
}

func (r *repeated) Read(p []byte) (int, error) {
	if r.head != "" {
		n := copy(p, r.head)
		r.head = r.head[n:]
		return n, nil
	}
	if r.n == 0 {
		return 0, io.EOF
	}
	n := copy(p, r.rows[r.at:])
	if r.at += n; r.at == len(r.rows) {
		r.at = 0
		r.n--
	}
	return n, nil
}

// What is allocated, garbage included, does not grow with the log.
func TestMemoryIsConstant(t *testing.T) {
	rows := strings.Repeat("0.001,0.123456,-0.234567\n", 4000) // 100 kB
	allocated := func(n int) float64 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		sum, err := Run(context.Background(), twoBridges(), &repeated{"time,T [mV/V],By [mV/V]\n", rows, 0, n}, io.Discard, Options{Workers: 2})
		runtime.ReadMemStats(&after)
		if err != nil || sum.Rows != 4000*n {
			t.Fatalf("%d rows, %v", sum.Rows, err)
		}
		return float64(after.TotalAlloc-before.TotalAlloc) / 1e6
	}
	short, long := allocated(100), allocated(400)
	if long-short > 1 {
		t.Errorf("%.1f MB allocated for a log of 10 MB, %.1f MB for one of 40 MB", short, long)
	}
}

// stuck gives a header and two rows and then nothing, for ever.
type stuck struct {
	text string
	hold chan struct{}
}

func (s *stuck) Read(p []byte) (int, error) {
	if s.text == "" {
		<-s.hold
		return 0, io.EOF
	}
	n := copy(p, s.text)
	s.text = s.text[n:]
	return n, nil
}

func TestInterrupted(t *testing.T) {
	for _, text := range []string{"", "T [mV/V],By [mV/V]\n", "T [mV/V],By [mV/V]\n1,0\n1,0\n1,"} {
		s := &stuck{text, make(chan struct{})}
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Millisecond)
		var out bytes.Buffer
		_, err := Run(ctx, simple(), s, &out, Options{})
		cancel()
		close(s.hold)
		if !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("after %q: %v", text, err)
		}
		if n := strings.Count(out.String(), "\n"); n > 0 && !strings.HasSuffix(out.String(), "\n") || strings.Count(text, "1,0") > 0 && n != 3 {
			t.Errorf("after %q: %q", text, out.String())
		}
	}
}

func TestReadAndWriteErrors(t *testing.T) {
	broken := errors.New("the disk is gone")
	log := "T [mV/V],By [mV/V]\n1,0\n"
	var out bytes.Buffer
	_, err := Run(context.Background(), simple(), io.MultiReader(strings.NewReader(log), iotest.ErrReader(broken)), &out, Options{})
	if !errors.Is(err, broken) || err.Error() != "the disk is gone; 1 row was written before it" || !strings.HasSuffix(out.String(), "\n1,0.001,0,0.002\n") {
		t.Errorf("%v, %q", err, out.String())
	}
	_, err = Run(context.Background(), simple(), strings.NewReader(log), failing{broken}, Options{})
	if !errors.Is(err, broken) {
		t.Errorf("%v", err)
	}
	_, err = Run(context.Background(), simple(), iotest.ErrReader(broken), io.Discard, Options{})
	if !errors.Is(err, broken) {
		t.Errorf("%v", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

// Whatever the log, there is no panic, and what is written is whole rows of five columns
// and no more than the log has.
func FuzzRun(f *testing.F) {
	for _, s := range []string{"1,0.1,0.2\n", "1;2\n", "\"", "\"\n,\"\"", "1,1e-999,2\r\n\r\n", "\x00\xff,1,1", "1,0.1,0.2,3\n\n#\n1,2"} {
		f.Add("time,T [mV/V],By [mV/V]\n"+s, true, uint8(0))
		f.Add("T [mV/V];By [µV/V];temperature [°C]\r\n"+s, false, uint8(1))
	}
	r, _ := full(f)
	r.Bridges = []string{"T", "By", "Q"}
	two := twoBridges()
	f.Fuzz(func(t *testing.T, log string, blank bool, tare uint8) {
		for _, rec := range []*Recovery{two, r} {
			var out bytes.Buffer
			sum, err := Run(context.Background(), rec, strings.NewReader(log), &out, Options{Blank: blank, Tare: Tare{Rows: int(tare)}, Workers: 2})
			if out.Len() == 0 && err == nil {
				t.Fatal("nothing written and no error")
			}
			if text := out.String(); text != "" && (!strings.HasSuffix(text, "\n") || strings.Count(text, "\n") != sum.Rows+1) {
				t.Fatalf("%d rows: %q", sum.Rows, text)
			}
			if sum.Rows > strings.Count(log, "\n") || strings.Contains(out.String(), "NaN") && !strings.Contains(log, "NaN") {
				t.Fatalf("%d rows of %q: %q", sum.Rows, log, out.String())
			}
			for _, l := range sum.Loads {
				if sum.Rows > sum.Blanks && (math.IsNaN(l.Low) || l.Low > l.High) {
					t.Fatalf("extents %v", sum.Loads)
				}
			}
		}
	})
}
