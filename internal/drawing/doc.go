// Package drawing is the drawing office: a scene says what is drawn, in
// millimetres, and a back end knows how.
//
// A Scene is a page or a figure. Its origin is the top left corner, x grows to
// the right and y grows down, as on a sheet that is read. Angles are radians,
// counterclockwise as seen on the paper. Type sizes are points (1/72 inch).
// Everything that is drawn, a dimension or a plot included, ends as a path or
// as a line of text, so that a back end has two things to know.
//
// A Document puts scenes on the pages of a PDF file; a Scene alone becomes an
// SVG file or, at a resolution, a PNG picture. PDF and SVG hold vectors and text
// only, and the same input gives the same bytes.
//
// A coordinate that is not finite, a pen without a width, an arrow of no
// length is not drawn: the first such fault is kept and returned by Err,
// WriteSVG, WritePNG and WritePDF, so that no half-right drawing leaves the office.
//
// Not modelled: transparency (colours are opaque; what a plot asks for is
// mixed with the white of the paper), raster images in a scene, right-to-left and
// composed scripts, kerning (the embedded fonts have none), curved text, text
// outlines, PDF/A.
package drawing
