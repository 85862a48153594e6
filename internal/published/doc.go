// Package published checks the program against figures printed outside it:
// standards, handbooks, textbooks, worked examples. Each test file is one source and
// names it at its top, with how the figures are known: read in the source, read in a
// public copy of its worked examples, recomputed, or from memory. Each test is one
// example; its tolerance is half a unit of the last printed digit, and where it is
// wider the test says why.
//
// The package has no code of its own and checks nothing but printed figures: what
// the program computes beyond them is tested beside the code.
package published
