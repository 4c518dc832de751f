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
