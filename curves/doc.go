// Package curves turns coverage into key openings: the transfer curve, the
// sweep, and the limits of a key. Floats go in and floats come out; it knows
// nothing of rasters or of presses.
//
// Coverage is in % of a zone's area, an opening in % of a key's travel from
// closed, a sweep in the press's own unit. A [Curve] gives the opening for a
// coverage at its reference sweep, [OpeningAt] the opening that feeds the same
// at another, [ChooseSweep] the sweep that an operator would choose for the keys of
// an ink, and [Limits] what the keys can be set to.
//
// A curve is read from a text file by [ParseCurve], written by [Curve.TOML], and
// edited in place by [SetPoints], [RemovePoints] and [ScalePoints]. What is
// wrong with a curve, its file or a scale is a [settings.FileError], which says
// where it stands and what to do.
//
// The smooth shape is the monotone cubic of F. N. Fritsch and J. Butland, SIAM
// J. Sci. Stat. Comput. 5 (1984); that the ink fed is proportional to opening ×
// sweep, and the order of the limits, are common practice of the trade.
package curves
