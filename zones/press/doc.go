// Package press says what the presetting of its keys needs to know of a press:
// its fountain, the scale that its keys are set by, the least and the most that
// they open, its sweep, and which curve and ink runs on it.
//
// A press is read from TOML (Parse), or made by hand and held to the same rules
// (Validate). Lengths are in mm, openings in % of a key's travel, keys in the
// press's own unit. Errors are of type *settings.FileError, one line with the
// place in the file, what is wrong there, and what to do.
package press
