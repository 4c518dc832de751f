package preset

// The codes of warnings of a preset, beside those of where its form lies.
const (
	CodeScale      = "scale"   // a key's own zero takes it off its scale
	CodeKeysApart  = "apart"   // keys further apart than on any press
	CodeEmpty      = "empty"   // a separation without ink
	CodeLow        = "low"     // zones that take off little ink
	CodeHigh       = "high"    // zones that are covered almost wholly
	CodeCeiling    = "ceiling" // keys that the ceiling holds
	CodeFloor      = "floor"   // keys that the floor holds
	CodeNeighbours = "steep"   // keys that neighbours on one blade hold open
	CodeSpill      = "spill"   // ink that neighbours on one blade feed where nothing prints
	CodeUneven     = "uneven"  // zones whose ink stands in one band
	CodeShut       = "shut"    // shut keys beside the sheet that have a printing zone run light
	CodeUncured    = "uncured" // zones whose film no key evens on the press's rollers
	CodeCarried    = "carried" // what was carried over from a run only as well as it could be
	CodeDensity    = "density" // what a measured density cannot correct
)
