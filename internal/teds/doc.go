// Package teds writes the transducer electronic data sheet of a bridge transducer, as
// IEEE 1451.4 lays it out: basic data, then template 33 (bridge sensors) with its physical
// and electrical limits in full single precision, in pages with checksums for the memory
// of a transducer, and reads such images back to verify them.
//
// The layout was checked against a published image of such a memory, which this package
// reproduces to the byte. The codes of the units and the tolerance of the response time
// are not known from the standard itself; what is written with them comes with a warning.
// The compact forms of the limits are refused, and so are calibration templates, other
// templates and text of the user. Nothing is written to a memory: an image is bytes.
package teds
