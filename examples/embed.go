// Package examples carries the presses and starting curves that a user copies
// to describe a press of their own. It is data only: it knows neither format,
// and imports nothing of the project. The demonstration job beside it, the
// separations of one form and the counts made of them, is described in
// README.md and is not embedded.
package examples

import "embed"

// Files holds every *.press.toml and *.curve.toml, without folders: the curve
// that a press file names stands beside it.
//
//go:embed *.press.toml *.curve.toml
var Files embed.FS
