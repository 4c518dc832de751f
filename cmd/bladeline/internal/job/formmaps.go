package job

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"bladeline/cmd/bladeline/internal/ghostscript"
	"bladeline/coverage"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// forms are those among the inputs, by their place there: nil where it is a
// separation's.
func (r Reading) forms() ([]*Form, error) {
	if r.Form != nil {
		return []*Form{r.Form}, nil
	}
	forms := make([]*Form, len(r.Inputs))
	for i, in := range r.Inputs {
		if !zones.IsForm(in.Path) {
			continue
		}
		if len(in.Inks) > 0 {
			return nil, fmt.Errorf("%s: a form file names its inks itself; leave out %s=", in.Path, strings.Join(in.Inks, ","))
		}
		var err error
		if forms[i], err = LoadForm(in.Path); err != nil {
			return nil, err
		}
	}
	return forms, nil
}

// Paths are all files that are read, those of forms' pieces among them.
func (r Reading) Paths() ([]string, error) {
	forms, err := r.forms()
	if err != nil {
		return nil, err
	}
	var paths []string
	for _, in := range r.Inputs {
		paths = append(paths, in.Path)
	}
	for _, f := range forms {
		if f != nil {
			paths = append(paths, f.paths()...)
		}
	}
	return paths, nil
}

// formMaps measures files of which some are forms: every raster once, however it is
// cropped.
func (r Reading) formMaps(ctx context.Context, forms []*Form) ([]*coverage.Map, error) {
	var rasters rasters
	plain := make([]use, len(forms))
	uses := make([][][]use, len(forms)) // of each form's pieces' sources
	for i, f := range forms {
		if f == nil {
			plain[i] = rasters.add(r.Inputs[i], nil)
			continue
		}
		for _, p := range f.Pieces {
			var at []use
			for _, s := range p.Sources {
				at = append(at, rasters.add(s.Input, s.Crop))
			}
			uses[i] = append(uses[i], at)
		}
	}
	var err error
	if rasters.measured, err = r.measureAll(ctx, rasters.inputs); err != nil {
		return nil, uncropped(err, forms)
	}
	var all []*coverage.Map
	for i, f := range forms {
		if f == nil {
			all = append(all, rasters.maps(plain[i])...)
			continue
		}
		maps, err := f.maps(uses[i], &rasters)
		if err != nil {
			return nil, err
		}
		all = append(all, maps...)
	}
	return all, nil
}

// rasters are inputs, each once with all that is taken of it.
type rasters struct {
	inputs   []coverage.Input
	measured [][]*coverage.Map // of each of the inputs, crop by crop
	at       map[rasterKey]int
	uses     map[useKey]use
}

type rasterKey struct{ path, inks string }

// A use is which crop of which input a piece takes.
type use struct{ input, crop int }

type useKey struct {
	rasterKey
	cropped bool
	crop    coverage.Crop
}

// add takes a crop of an input, nil being all of it.
func (r *rasters) add(in coverage.Input, crop *coverage.Crop) use {
	if r.at == nil {
		r.at, r.uses = map[rasterKey]int{}, map[useKey]use{}
	}
	raster := rasterKey{in.Path, strings.Join(in.Inks, "\x00")}
	key := useKey{rasterKey: raster}
	if crop != nil {
		key.cropped, key.crop = true, *crop
	}
	if had, has := r.uses[key]; has {
		return had
	}
	at, has := r.at[raster]
	if !has || len(r.inputs[at].Crops) == mapsAtOnce {
		at = len(r.inputs)
		r.at[raster], r.inputs = at, append(r.inputs, in)
	}
	r.uses[key] = use{at, len(r.inputs[at].Crops)}
	r.inputs[at].Crops = append(r.inputs[at].Crops, crop)
	return r.uses[key]
}

// maps are the separations of what is taken.
func (r *rasters) maps(u use) []*coverage.Map {
	all := r.measured[u.input]
	each := len(all) / len(r.inputs[u.input].Crops)
	return all[u.crop*each : (u.crop+1)*each]
}

// mapsAtOnce is how many files, or crops of files, are measured together: systems bound
// how many are open. What the Maps of a form hold is bounded by mostSums, 512 MiB: some
// 300 plates, or thousands of cards.
const (
	mapsAtOnce = 64
	mostSums   = 1 << 26
)

// together are so many of the inputs, of one at least, as are measured together.
func together(inputs []coverage.Input) int {
	crops := 0
	for i, in := range inputs {
		if crops += max(1, len(in.Crops)); i > 0 && crops > mapsAtOnce {
			return i
		}
	}
	return len(inputs)
}

// measureAll measures the files, each by itself.
func (r Reading) measureAll(ctx context.Context, inputs []coverage.Input) (maps [][]*coverage.Map, err error) {
	sums := 0
	for len(maps) < len(inputs) {
		from := len(maps)
		some := inputs[from : from+together(inputs[from:])]
		o := coverage.Options{InkIsLight: r.InkIsLight, Workers: r.Workers}
		if r.Progress != nil {
			o.Progress = func(done float64) {
				r.Progress((float64(from) + done*float64(len(some))) / float64(len(inputs)))
			}
		}
		more, err := r.measureSome(ctx, some, o)
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		if err != nil {
			return nil, err
		}
		for i, of := range more {
			for _, m := range of {
				sums += len(m.Columns) + len(m.Rows) + len(m.Cells.Ink)/2
			}
			if sums > mostSums {
				return nil, fmt.Errorf("%s: the form's separations are more than can be held at once; export its pieces at a lower resolution", some[i].Path)
			}
		}
		maps = append(maps, more...)
	}
	return maps, nil
}

// measureSome measures rasters together, and what is to be separated first file by
// file.
func (r Reading) measureSome(ctx context.Context, inputs []coverage.Input, o coverage.Options) ([][]*coverage.Map, error) {
	maps := make([][]*coverage.Map, len(inputs))
	var rasters []coverage.Input
	var places []int
	for i, in := range inputs {
		if r.Separating == nil || !ghostscript.IsJob(in.Path) {
			rasters, places = append(rasters, in), append(places, i)
			continue
		}
		var err error
		if maps[i], err = r.ofJob(ctx, in); err != nil {
			return nil, err
		}
	}
	measured, err := coverage.MeasureEach(ctx, rasters, o)
	if err != nil {
		return nil, err
	}
	for i, at := range places {
		maps[at] = measured[i]
	}
	return maps, nil
}

// ofJob are the separations of a file that is to be separated first.
func (r Reading) ofJob(ctx context.Context, in coverage.Input) ([]*coverage.Map, error) {
	several := *r.Separating
	several.OnePage = false // the form says which page is meant
	r.Inputs, r.Form, r.Progress, r.Separating = []coverage.Input{in}, nil, nil, &several
	r, from, remove, err := r.separated(ctx)
	if err != nil {
		return nil, err
	}
	defer remove()
	for i := range r.Inputs {
		r.Inputs[i].Crops = in.Crops
	}
	plates, err := coverage.MeasureEach(ctx, r.Inputs, coverage.Options{InkIsLight: r.InkIsLight, Workers: r.Workers})
	var maps []*coverage.Map
	for crop := 0; err == nil && crop < max(1, len(in.Crops)); crop++ {
		for _, crops := range plates {
			maps = append(maps, crops[crop]) // a plate is a file of one separation
		}
	}
	called(maps, r.Inputs, from)
	return maps, err
}

// maps are the form's, one an ink, in the order in which its pieces have them. uses
// says what of the measured rasters each piece's sources are.
func (f *Form) maps(uses [][]use, rasters *rasters) ([]*coverage.Map, error) {
	a := assembly{form: f, derived: map[derivedKey]*coverage.Map{}}
	for i := range f.Pieces {
		p := &f.Pieces[i]
		var own []*coverage.Map
		for k, s := range p.Sources {
			maps, err := f.taken(&s, rasters.maps(uses[i][k]))
			if err != nil {
				return nil, err
			}
			for _, m := range maps {
				own = append(own, a.derive(m, s.Ink, p))
			}
		}
		if err := a.add(p, own); err != nil {
			return nil, err
		}
	}
	a.finish()
	return a.inks, nil
}

// taken are those of a file's separations that a source takes.
func (f *Form) taken(s *Source, maps []*coverage.Map) ([]*coverage.Map, error) {
	taken := slices.DeleteFunc(slices.Clone(maps), func(m *coverage.Map) bool {
		return s.Page > 0 && m.Page != s.Page || s.Channel > 0 && m.Channel != s.Channel
	})
	switch {
	case slices.ContainsFunc(taken, func(m *coverage.Map) bool { return m.Sheet != nil }):
		return nil, f.refused(s.place, s.Path+" holds a form of several pieces, and is no piece of one", "name its separations")
	case len(taken) == 0:
		return nil, f.refused(s.place, fmt.Sprintf("%s has no such page and channel (page %d, channel %d)", s.Path, max(1, s.Page), max(1, s.Channel)), "correct them")
	case s.Ink != "" && len(taken) > 1:
		return nil, f.refused(s.place, fmt.Sprintf("%s has %d separations", s.Path, len(taken)), "write the page and the channel of the one that is meant")
	}
	return taken, nil
}

func (f *Form) refused(place, what, do string) error {
	return &settings.FileError{File: f.Name, Place: place, What: what, Do: do}
}

// An assembly puts the pieces of a form together, ink by ink.
type assembly struct {
	form    *Form
	inks    []*coverage.Map
	sizes   []pieceSize
	derived map[derivedKey]*coverage.Map
}

type pieceSize struct{ wide, long float64 }

type derivedKey struct {
	*coverage.Map
	ink        string
	dpiX, dpiY float64
}

// derive is a measured separation under the ink's name and at the piece's own
// resolution: the same for pieces that want the same.
func (a *assembly) derive(m *coverage.Map, ink string, p *FormPiece) *coverage.Map {
	key := derivedKey{m, ink, p.DPIX, p.DPIY}
	if had := a.derived[key]; had != nil {
		return had
	}
	v := m
	if ink != "" && ink != m.Ink || p.DPIX != 0 || p.DPIY != 0 {
		v = new(*m)
		if ink != "" {
			v.Ink = ink
		}
		if p.DPIX != 0 {
			v.DPIX = p.DPIX
		}
		if p.DPIY != 0 {
			v.DPIY = p.DPIY
		}
	}
	a.derived[key] = v
	return v
}

// add puts a piece on the sheets of its inks.
func (a *assembly) add(p *FormPiece, own []*coverage.Map) error {
	at := p.Piece
	var size pieceSize
	for i, m := range own {
		for _, earlier := range own[:i] {
			if strings.EqualFold(m.Ink, earlier.Ink) {
				return a.form.twice(p, m, earlier)
			}
		}
		at.Map = m
		wide, long := at.SizeMM()
		size = pieceSize{max(size.wide, wide), max(size.long, long)}
	}
	if p.Gaps {
		at.StepXMM, at.StepYMM = p.StepXMM+size.wide, p.StepYMM+size.long
	}
	a.sizes = append(a.sizes, pieceSize{size.wide + float64(max(1, p.Across)-1)*at.StepXMM, size.long + float64(max(1, p.Along)-1)*at.StepYMM})
	for _, m := range own {
		at.Map = m
		s := a.sheetOf(m)
		s.Pieces = append(s.Pieces, at)
	}
	return nil
}

// twice refuses two separations of one ink in one piece.
func (f *Form) twice(p *FormPiece, m, earlier *coverage.Map) error {
	do := "name them apart under [pieces.inks], or leave one out"
	if f.Name == "" {
		do = "give each a place of its own, as --at NAME=X,Y, or name them apart as INK=FILE"
	}
	return f.refused(fmt.Sprintf("piece %d", p.Number), fmt.Sprintf("%s is the ink %s, and so is %s", m.File, m.Ink, earlier.File), do)
}

// sheetOf is the sheet of a separation's ink.
func (a *assembly) sheetOf(m *coverage.Map) *coverage.Sheet {
	for _, ink := range a.inks {
		if strings.EqualFold(ink.Ink, m.Ink) {
			return ink.Sheet
		}
	}
	form := &coverage.Map{Ink: m.Ink, File: a.form.Name, Page: 1, Channel: len(a.inks) + 1, Sheet: &coverage.Sheet{WidthMM: a.form.WidthMM, LengthMM: a.form.LengthMM}}
	if form.File == "" {
		form.File, form.Page, form.Channel = m.File, m.Page, m.Channel
	}
	a.inks = append(a.inks, form)
	return form.Sheet
}

// finish gives the sheet its size, where none is stated, and warns of what pieces
// lack.
func (a *assembly) finish() {
	for _, ink := range a.inks {
		s := ink.Sheet
		if s.WidthMM == 0 {
			s.WidthMM = a.extent(func(p *FormPiece, size pieceSize) (float64, float64) { return p.XMM, size.wide })
		}
		if s.LengthMM == 0 {
			s.LengthMM = a.extent(func(p *FormPiece, size pieceSize) (float64, float64) { return p.YMM, size.long })
		}
		if text := a.missing(ink.Ink, s); text != "" {
			ink.Warnings = append(ink.Warnings, coverage.Warning{Code: zones.CodeMissing, Text: text})
		}
	}
	a.unheardOf()
}

// unheardOf warns of inks that pieces are said to be without and that none has, as of a
// slip of the pen: with the ink that may be meant.
func (a *assembly) unheardOf() {
	inks := InksOf(a.inks)
	for i := range a.form.Pieces {
		p := &a.form.Pieces[i]
		for _, w := range p.Without {
			if slices.ContainsFunc(inks, func(ink string) bool { return strings.EqualFold(ink, w) }) {
				continue
			}
			at, do := 0, "correct it, or remove it"
			if meant := settings.Nearest(w, inks); meant != "" {
				at, do = slices.Index(inks, meant), "write "+settings.TOMLString(meant)
			}
			text := fmt.Sprintf("piece %d is said to be without %s, which no piece of the form has: %s", p.Number, settings.Quoted(w), do)
			a.inks[at].Warnings = append(a.inks[at].Warnings, coverage.Warning{Code: zones.CodeMissing, Text: text})
		}
	}
}

// extent is how wide or long a sheet is that pieces stand on with as much margin
// behind them as before.
func (a *assembly) extent(of func(*FormPiece, pieceSize) (at, size float64)) float64 {
	var least, most float64
	for i := range a.form.Pieces {
		at, size := of(&a.form.Pieces[i], a.sizes[i])
		if i == 0 || at < least {
			least = at
		}
		most = max(most, at+size)
	}
	return most + max(0, least)
}

// missing names the pieces that have no separation of an ink and are not said to have
// none.
func (a *assembly) missing(ink string, s *coverage.Sheet) string {
	has := map[int]bool{}
	for _, p := range s.Pieces {
		has[p.Number] = true
	}
	var lack []string
	for i := range a.form.Pieces {
		p := &a.form.Pieces[i]
		if !has[p.Number] && !slices.ContainsFunc(p.Without, func(w string) bool { return strings.EqualFold(w, ink) }) {
			lack = append(lack, fmt.Sprint(p.Number))
		}
	}
	if len(lack) == 0 {
		return ""
	}
	verb := "has"
	if len(lack) > 1 {
		verb = "have"
	}
	text := fmt.Sprintf("%s %s no %s, which others of the form have", pieceNumbers(lack), verb, ink)
	if a.form.Name != "" {
		text += ": name the separation, or write without = [" + settings.TOMLString(ink) + "]"
	}
	return text
}

// pieceNumbers are "piece 2" or "pieces 2, 3 and 5".
func pieceNumbers(numbers []string) string {
	if len(numbers) == 1 {
		return "piece " + numbers[0]
	}
	return "pieces " + listed(numbers)
}

// listed are a few names, and how many more there are.
func listed(names []string) string {
	const most = 10
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return names[0]
}
