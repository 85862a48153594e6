// Package rosette turns the strains that the grids of a rosette indicate into the strain
// and stress of the surface, and the readings of all rosettes on a part into the loads
// that they imply.
//
// Directions are those of the part: from its axis +x toward growing φ, clockwise as seen
// from outside with +x up. Angles of principal strain are given from grid 1 toward grid 2
// and from the part axis.
//
// It takes the surface as free, elastic and of one strain under all grids of a rosette for
// the reduction; the loads implied use each grid's own place and area. It does not know
// thermal output: readings are changes of strain at one temperature.
package rosette
