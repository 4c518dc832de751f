// Package coverage reads the separations of a printing form and keeps what the
// setting of keys needs of each: a Map.
//
// In go files: TIFF and PNG rasters, one or several separations each, or Maps
// saved before (Save). Open looks at a file, Measure reads it once, as a stream,
// within 64 MiB whatever its size; MeasureFiles does both for the files of a form.
//
// Out comes a Map a separation: the exact ink of every pixel column and every
// pixel row, in units of sample value (Map.Full is one pixel full of ink), and of
// every cell of a grid of about 2 mm. Places are in px from the picture's top left,
// as it is meant to be seen; resolutions in px an inch and lengths in mm are 0
// where the file does not state them; CoveragePct is 0 to 100 %.
//
// What is ink: TIFF PhotometricInterpretation 0 (WhiteIsZero) and 5 (separated)
// store ink as high values, 1 (BlackIsZero) and PNG as low ones; Options.InkIsLight
// takes the light part instead. A picture in RGB or of a palette is taken where
// every pixel is neutral. TIFF is read after TIFF 6.0 (1992), its supplements and
// BigTIFF, its Group 3 and 4 after ITU-T T.4 and T.6, PNG after its third edition
// (W3C, 2025).
//
// A file that is damaged or ends early is an error, never a number. Errors are of
// one line, "FILE: page P, row R: what is wrong; what to do", of the kinds
// FormatError, UnsupportedError, ReadError, FaultError and InkCountError. A doubt,
// as of a plate that looks inverted, is a Warning of the Map. Those of Codes say
// the fact alone, since what to do about it depends on how bladeline is used.
//
// The package knows nothing of zones, presses or keys.
package coverage
