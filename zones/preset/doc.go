// Package preset says where every key of a press goes for a form, and how far to
// sweep, and looks at the form for what no key will cure.
//
// What goes in are laid forms (package zones), a curve for each and a press; New
// makes a Preset of them, which is written and read as JSON and CSV. From there
// on it serves what comes after: compare it with another or with what was run,
// correct it by densities, estimate the ink, learn from what stood. Coverages are
// in % of area, openings in % of a key's travel, keys and sweeps on the press's
// own scales. Errors are one line; those of files are of type
// *settings.FileError. The package opens no file itself.
package preset
