// Package ink reckons with the ink film: its density, and its mass.
//
// A film is in µm or in g/m²; a density is that of the ink alone, the paper's
// subtracted. [FitDensity] finds from solids of known film how density follows
// the film ([DensityLaw]), and [Correct] uses that law to turn densities
// measured on a sheet into openings that come nearer to a target. [EstimatedFilm]
// and [Grams] say how much ink a run takes.
//
// The law is that of Tollenaar and Ernst, in its standard form and from memory;
// films of process inks are those of ISO 2846-1. Each constant names its source
// where it stands, or says that it has none. Functions take any number: what
// makes no sense is refused with one line, or comes out as NaN or an infinity
// where the formula has one.
package ink
