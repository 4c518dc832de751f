package page

import (
	"bytes"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/zones"
	"bladeline/zones/preset"
)

// save is a file of the same bytes as the command writes.
func (s *Server) save(r *http.Request) (*file, error) {
	work, err := s.asked(r)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	if as := q.Get("as"); as != "curve" {
		return work.saved(as, s.options.Cure)
	}
	i, err := strconv.Atoi(q.Get("unit"))
	if err != nil || i < 0 || i >= len(work.Units) {
		return nil, refused("unit", "there is no unit %q; choose an ink", q.Get("unit"))
	}
	curve := work.Units[i].Curve
	text, err := s.written(curve)
	return &file{name: fileLabel(curve.Name) + ".curve.toml", kind: "application/toml", data: text}, err
}

// presetKinds are those of the files that a preset is saved as, by their endings.
var presetKinds = map[string]string{"csv": "text/csv; charset=utf-8", "json": "application/json", "pdf": "application/pdf"}

// saved is the preset as a file.
func (w *work) saved(as string, cure func([]zones.Warning)) (*file, error) {
	ordered := w.InOrder() // as the command writes it
	p, err := ordered.Preset()
	if err != nil {
		if _, placed := w.preset(); placed != nil { // which says where
			err = placed
		}
		return nil, err
	}
	if cure != nil {
		cure(p.Warnings)
	}
	if as == "worksheet" {
		return worksheet(ordered, p)
	}
	f := &file{name: fileLabel(w.Job) + "." + as, kind: presetKinds[as]}
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
	return &file{name: fileLabel(s.Job+", worksheet") + ".pdf", kind: presetKinds["pdf"], data: b.Bytes()}, err
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
