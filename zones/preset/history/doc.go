// Package history looks back over what a shop ran. It takes OK files, presets
// in which the operator filled in what finally stood, and says job by job how
// many keys were right at once, how that changes over the months, which keys
// have drifted, and which inks and papers run fuller or leaner than preset.
//
// A Record is what one OK file says; records are small, so that ten thousand
// files are looked at one by one and none is kept. Of puts them together.
// Openings are in % of travel, and differences of them in points.
package history
