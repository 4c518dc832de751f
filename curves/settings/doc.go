// Package settings handles text files that people edit: presses, curves and
// tables. It is a leaf and imports nothing of this module.
//
// [Decode] reads TOML strictly: a key that the struct does not have is an error
// with line and column, and a guess at what was meant. [SetValue], [SetNumbers]
// and [Rows] edit a file and keep all else, comments and order too, byte for
// byte. [Plain] and [Quoted] put numbers and texts into messages, [Number] and
// [TOMLString] into files.
//
// What is wrong with a file is a [FileError]: file, place, what is wrong, what to
// do, on one line. Syntax is that of TOML 1.0.0.
package settings
