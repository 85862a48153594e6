// Package layout sets a document page by page: a column of headings, paragraphs,
// tables and figures that flows over the pages, each with a frame and a title
// strip, and figures put into words in a system of units. The design sheet and the
// record of a calibration are made with it.
//
// It computes no figure and knows nothing of what the pages say. It sets one column;
// it does not balance pages, number headings or make a table of contents.
package layout
