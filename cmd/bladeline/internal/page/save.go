package page

import (
	"bytes"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"bladeline/zones"
	"bladeline/zones/sheet"
)

// save is a file of the same bytes as the command writes.
func (s *Server) save(r *http.Request) (*file, error) {
	j, err := s.asked(r)
	if err != nil {
		return nil, err
	}
	q := r.URL.Query()
	if as := q.Get("as"); as != "curve" {
		return j.saved(as, s.options.Cure)
	}
	i, err := strconv.Atoi(q.Get("unit"))
	if err != nil || i < 0 || i >= len(j.units) {
		return nil, refused("unit", "there is no unit %q; choose an ink", q.Get("unit"))
	}
	curve := j.units[i].Curve
	text, err := s.written(curve)
	return &file{name: fileLabel(curve.Name) + ".curve.toml", kind: "application/toml", data: text}, err
}

// saved is the preset as a file.
func (j *job) saved(as string, cure func([]zones.Warning)) (*file, error) {
	p, err := j.preset()
	if err != nil {
		return nil, err
	}
	if cure != nil {
		cure(p.Warnings)
	}
	f := &file{name: fileLabel(j.name) + "." + as}
	var b bytes.Buffer
	switch as {
	case "csv":
		f.kind, err = "text/csv; charset=utf-8", p.WriteCSV(&b)
	case "json":
		f.kind, err = "application/json", p.WriteJSON(&b)
	case "pdf":
		f.kind = "application/pdf"
		pages, drawing := sheet.Pages(p, sheet.Options{Forms: j.forms()})
		if drawing != nil {
			return nil, refusedAs("", drawing)
		}
		err = sheet.WritePDF(&b, pages)
	default:
		return nil, refused("as", "%q is not a kind of file; give csv, json, pdf or curve", firstOf(as, maxName))
	}
	f.data = b.Bytes()
	return f, err
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
