package main

// A kind is what a plate of Group 4 carries; two files of each are made, one
// in strips of 256 rows and one in a single strip.
type kind struct {
	title, file string
	sizeMB      int // of a file, about, rounded up
	args        string
}

// kinds are as wide as plates are and a quarter as high, but for text, which
// has too little on it for that. The generator approaches rulings and angles.
var kinds = []kind{
	{"the first plate's form", "pages", 28, quarter},
	{"round dots, 100 lpi at 45°", "round-100", 19, quarter + work + "-screen round -lpi 100 -angle 45 -dpi 2400"},
	{"round dots, 150 lpi at 0°", "round-150", 28, quarter + work + "-screen round -lpi 150 -angle 0 -dpi 2540"},
	{"round dots, 175 lpi at 15°", "round-175", 33, quarter + work + "-screen round -lpi 175 -angle 15 -dpi 2540"},
	{"round dots, 200 lpi at 75°", "round-200", 39, quarter + work + "-screen round -lpi 200 -angle 75 -dpi 2400"},
	{"round dots, 250 lpi at 45°", "round-250", 45, quarter + work + "-screen round -lpi 250 -angle 45 -dpi 2540"},
	{"elliptic dots, 133 lpi at 15°", "elliptic-133", 24, quarter + work + "-screen elliptic -lpi 133 -angle 15 -dpi 2540"},
	{"elliptic dots, 175 lpi at 45°", "elliptic-175", 32, quarter + work + "-screen elliptic -lpi 175 -angle 45 -dpi 2540"},
	{"elliptic dots, 200 lpi at 0°", "elliptic-200", 38, quarter + work + "-screen elliptic -lpi 200 -angle 0 -dpi 2400"},
	{"elliptic dots, 250 lpi at 75°", "elliptic-250", 42, quarter + work + "-screen elliptic -lpi 250 -angle 75 -dpi 2400"},
	{"lines, 100 lpi at 75°", "line-100", 15, quarter + work + "-screen line -lpi 100 -angle 75 -dpi 2540"},
	{"lines, 133 lpi at 0°", "line-133", 20, quarter + work + "-screen line -lpi 133 -angle 0 -dpi 2540"},
	{"lines, 150 lpi at 45°", "line-150", 31, quarter + work + "-screen line -lpi 150 -angle 45 -dpi 2400"},
	{"lines, 200 lpi at 15°", "line-200", 37, quarter + work + "-screen line -lpi 200 -angle 15 -dpi 2400"},
	{"stochastic, spots of 20 µm", "stochastic", 77, quarter + work + "-screen stochastic"},
	{"stochastic, spots of a pixel", "stochastic-fine", 239, quarter + work + "-screen stochastic-fine -dpi 2400"},
	{"stochastic of the second order", "clustered", 49, quarter + work + "-screen clustered"},
	{"pages of a book", "text", 12, "-form text -seed 4"},
	{"solids, reversed type, bars", "solids", 8, quarter + "-form solids -seed 5"},
	{"83 % covered, 175 lpi at 75°", "heavy", 43, quarter + "-form heavy -seed 6 -screen round -lpi 175 -angle 75"},
	{"nine screens, 2540 dpi", "mixed", 45, quarter + "-form mixed -seed 7"},
	{"nine screens, 2400 dpi", "mixed-2400", 45, quarter + "-form mixed -seed 8 -dpi 2400"},
}

const (
	quarter = "-height 18900 "
	work    = "-form work -seed 3 "
)

// strips are the two ways in which the rows of kinds are kept.
var strips = []struct{ title, file, args string }{
	{"256-row strips", "256", ""},
	{"one strip", "one", " -rows-per-strip 0"},
}

// varied are the rows of the table of kinds.
func varied() []row {
	var rows []row
	for _, k := range kinds {
		for _, s := range strips {
			p := plate{k.title + ", " + s.title, "kind-" + k.file + "-" + s.file + ".tif", k.sizeMB, k.args + s.args}
			rows = append(rows, row{title: p.title, plate: p, peer: tiffcount, strips: s.title})
		}
	}
	return rows
}
