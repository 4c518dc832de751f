package page

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"time"
)

// A file is one that is sent.
type file struct {
	kind string // media type
	data []byte
	name string // under which the browser is to save it; "" shows it
	tag  string // ETag; "" is none
}

// kinds are stated here, as systems differ in what they take an ending for.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".svg":  "image/svg+xml",
	".png":  "image/png",
}

const indexName = "index.html"

// filesOf are the embedded files by name, the token written into the index.
func filesOf(embedded fs.FS, token string) (map[string]file, error) {
	files := map[string]file{}
	names, err := fs.Glob(embedded, "html/*")
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		data, err := fs.ReadFile(embedded, name)
		if err != nil {
			return nil, err
		}
		base := path.Base(name)
		kind, known := kinds[path.Ext(base)]
		if !known {
			return nil, fmt.Errorf("page: %s: its media type is not stated", base)
		}
		files[base] = file{kind: kind, data: data, tag: fmt.Sprintf(`"%x"`, sha256.Sum256(data))}
	}
	index, err := template.New(indexName).Parse(string(files[indexName].data))
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = index.Execute(&b, struct{ Token string }{token})
	files[indexName] = file{kind: kinds[".html"], data: b.Bytes()}
	return files, err
}

func (s *Server) index(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Cache-Control", "no-store") // the token goes with the process
	s.remember(w, r)
	s.files[indexName].serve(w, r)
}

func (s *Server) favicon(w http.ResponseWriter, r *http.Request) {
	http.Redirect(w, r, "/static/favicon.svg", http.StatusFound)
}

func (s *Server) static(w http.ResponseWriter, r *http.Request) {
	f, known := s.files[r.PathValue("name")]
	if !known || f.tag == "" {
		nowhere(w, r)
		return
	}
	w.Header().Set("Cache-Control", "no-cache") // ask whether it is still the same
	f.serve(w, r)
}

// serve sends the file, or says that the client's is still the same.
func (f file) serve(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", f.kind)
	if f.tag != "" {
		h.Set("ETag", f.tag)
	}
	if f.name != "" {
		h.Set("Content-Disposition", disposition(f.name))
	}
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(f.data))
}
