// Package job takes a job from its files to a preset and back to files, without
// flags or a page: the library of presses and curves, what was asked for each
// ink, reading the separations, working out the preset, and writing what comes
// of it, whole or not at all.
//
// Run does all of it. Its parts are there for those that want another result of
// the same files. Errors are one line, "FILE: place: what is wrong; what to do".
// Where what to do depends on who asks, the error says what is wrong alone: it
// has a method Code, and each front end has its own words for each of Codes.
package job
