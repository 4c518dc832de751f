package page

import (
	"bytes"
	"context"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"
)

// save is a file of the same bytes as the command writes.
func (s *Server) save(r *http.Request) (*file, error) {
	work, err := s.asked(r)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	if as := q.Get("as"); as != "curve" {
		if err := work.sheetAs(q); err != nil {
			return nil, err
		}
		return work.saved(r.Context(), as, s.options.Cure)
	}
	i, err := strconv.Atoi(q.Get("unit"))
	if err != nil || i < 0 || i >= len(work.curves) {
		return nil, refused("unit", "there is no unit %q; choose an ink", q.Get("unit"))
	}
	curve := work.curves[i]
	text, err := s.written(curve)
	return &file{name: savedLabel(curve.Name) + ".curve.toml", kind: "application/toml", data: text}, err
}

// sheetAs takes from a query how large the key sheet's page is, and for how many copies
// it says the ink.
func (w *work) sheetAs(q url.Values) error {
	switch size := sheet.PageSize(q.Get("page_size")); size {
	case "", sheet.A4, sheet.Letter:
		w.PageSize = size
	default:
		return refused("page_size", "%q is not the size of a page; give a4 or letter", firstOf(string(size), maxName))
	}
	text := q.Get("copies")
	if text == "" {
		return nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > preset.MaxRun {
		return refused("copies", "%q is not a number of copies; give 1 to %d", firstOf(text, maxName), preset.MaxRun)
	}
	w.Copies = n
	return nil
}

// presetKinds are those of the files that a preset is saved as, by their endings.
var presetKinds = map[string]string{"csv": "text/csv; charset=utf-8", "json": "application/json", "pdf": "application/pdf"}

// saved is the preset as a file.
func (w *work) saved(ctx context.Context, as string, cure func([]zones.Warning)) (*file, error) {
	if _, err := w.preset(); err != nil { // which says where
		return nil, err
	}
	ordered := w.InOrder() // as the command writes it
	p, err := ordered.Preset()
	if err != nil {
		return nil, err
	}
	if cure != nil {
		cure(p.Warnings)
	}
	if err := ordered.StateCharges(ctx, p, nil); err != nil {
		return nil, refusedAs("", err)
	}
	if as == "worksheet" {
		return worksheet(ordered, p)
	}
	f := &file{name: savedLabel(w.Job) + "." + as, kind: presetKinds[as]}
	if f.kind == "" {
		return nil, refused("as", "%q is not a kind of file; give csv, json, pdf, worksheet or curve", firstOf(as, maxName))
	}
	files, err := ordered.Files(p, []job.Output{{Path: f.name}})
	if err != nil {
		return nil, refusedAs("", err)
	}
	var b bytes.Buffer
	err = files[0].Write(&b)
	f.data = b.Bytes()
	return f, err
}

// worksheet is the preset as a PDF for learners.
func worksheet(s *job.Setup, p *preset.Preset) (*file, error) {
	write, err := s.Worksheet(p)
	if err != nil {
		return nil, refusedAs("", err)
	}
	var b bytes.Buffer
	err = write(&b)
	return &file{name: savedLabel(s.Job+", worksheet") + ".pdf", kind: presetKinds["pdf"], data: b.Bytes()}, err
}

// savedLabel is what a file is saved as by a name that somebody gave, all of it: a slash
// in it parts no folders.
func savedLabel(name string) string {
	return fileLabel(strings.NewReplacer("/", "_", `\`, "_").Replace(name))
}

// disposition has the browser save a file under a name (RFC 6266): in ASCII for
// those that know no other, and as it is.
func disposition(name string) string {
	ascii := strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' || strings.ContainsRune(`"\;%`, r) {
			return '_'
		}
		return r
	}, name)
	return `attachment; filename="` + ascii + `"; filename*=UTF-8''` + url.PathEscape(name)
}
