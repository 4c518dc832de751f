// Package ghostscript makes separations of the pages of a PDF or PostScript file
// by running Ghostscript, an interpreter of both. It knows nothing of coverage,
// presses or flags.
//
// A file is a program that runs: what it may read, how much memory and time it
// takes, and how large its pages are, is bounded. It reads no file but itself
// (-dSAFER), writes into one folder, and stops at the first error rather than
// leave out what it does not understand.
package ghostscript
