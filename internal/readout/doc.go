// Package readout turns a log of bridge outputs, CSV of any length, into loads with
// their standard uncertainties, row by row:
//
//	time [s],T [mV/V],By [µV/V],temperature [°C]
//	0.00,0.7314,-120.5,21.4
//
// A log has one header row. Its columns, in any order, are the bridges with their unit,
// time columns, which are passed through as text, and optionally the temperature; all
// others are noted and left out. Columns are parted by commas, semicolons or tabs,
// whichever the header has; where it is not the comma, the first row of data decides
// whether the decimal sign is the point or the comma. The output is written as the input
// is: same separator, same decimal sign, same line end. Lines that are empty or begin with
// # are left out and counted.
//
// What cannot be read stops the run with its row and column after the rows before it
// have been written, or, when Options.Blank is set, leaves the loads of its row blank and
// is counted. A row is a line of the file, the first is 1. A last line without a line end is
// read as it stands, with a note: nothing tells whether its last number is whole.
//
// It does not filter, average or resample; it knows nothing of the time between rows,
// creep, hysteresis or what the bridges' amplifier does. The errors of the matrix and of
// the zero are the same in every row, so that the uncertainty of a mean of rows is not that
// of a row over the square root of their number.
package readout
