// Package page serves the local web page on which one sees why a key wants what
// it wants. Its handlers call what the commands call, so that page and command
// line never disagree. It opens no file that a client names.
//
// A tab's edits live in the tab: every request carries the State it is about.
// What the server keeps is measured separations.
package page

import (
	"crypto/rand"
	"embed"
	"net/http"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/coverage"
	"bladeline/zones"
)

//go:embed html
var embedded embed.FS

// Options are what the page begins with.
type Options struct {
	job.Library
	PressNamed bool            // the first press is called for, and no form chose it
	Maps       []*coverage.Map // separations that are there already
	Job        string          // their name
	Placement  zones.Placement // how they lie
	Paper      string          // the stock that they are printed on, "" where it is not stated
	InkIsLight bool            // of what is uploaded, the light part is ink
	Cautions   string
	AskToken   bool // answers only who shows the page's token
	// Cure, where set, adds to warnings what the command says to do about them: a
	// preset is saved as the command writes it.
	Cure func([]zones.Warning)
}

// A Server serves the page. It is safe for any number of requests at once.
type Server struct {
	options    Options
	token      string
	store      *store
	given      []*separation // from the command line, in their order
	files      map[string]file
	mux        *http.ServeMux
	crossSite  http.CrossOriginProtection // by what browsers say beside Origin
	maxUpload  int64                      // bytes of one request
	times      times
	asking     chan struct{}              // a token for every question that is being answered
	computing  chan struct{}              // for every one that is being worked out
	long       chan struct{}              // for every long one that is held
	heavy      chan struct{}              // for the one of these, or of many values, that is being answered
	receiving  chan struct{}              // for every upload
	measuring  chan struct{}              // for every upload that is being measured
	parting    chan struct{}              // for the one PDF that is being separated
	workers    *coverage.Workers          // that measure them
	drawing    chan struct{}              // for every form that is being drawn
	rehearsing chan struct{}              // for every run that is being rehearsed by a whole train
	rehearsals *rehearsals                // what was worked out of these
	temporary  func() (*temporary, error) // where uploads go
}

// A route is what the server answers at a path.
type route struct {
	method, path string
	handler      http.HandlerFunc
}

// New returns a server whose separations are those given.
func New(o Options) (*Server, error) {
	s := &Server{
		options: o, token: rand.Text(), store: newStore(), mux: http.NewServeMux(),
		maxUpload: maxUpload, times: usualTimes, temporary: newTemporary,
		asking: make(chan struct{}, maxAsking), computing: make(chan struct{}, maxComputing),
		long: make(chan struct{}, maxLong), heavy: make(chan struct{}, 1),
		receiving: make(chan struct{}, maxReceiving), measuring: make(chan struct{}, maxMeasuring), parting: make(chan struct{}, 1), workers: coverage.NewWorkers(0), drawing: make(chan struct{}, maxDrawing),
		rehearsing: make(chan struct{}, maxRehearsing), rehearsals: newRehearsals(),
	}
	var err error
	if s.files, err = filesOf(embedded, s.token); err != nil {
		return nil, err
	}
	for _, m := range o.Maps {
		s.given = append(s.given, s.store.keep(&separation{Map: m, id: rand.Text(), kind: given}))
	}
	for _, r := range []route{
		{"GET", "/{$}", s.index},
		{"GET", "/favicon.ico", s.favicon},
		{"GET", "/static/{name}", s.static},
		{"GET", "/api/start", s.inTurn(s.asking, s.answer(s.start))},
		{"GET", "/api/picture", s.inTurn(s.asking, s.send(s.picture))},
		{"GET", "/api/drawn", s.inTurn(s.asking, s.send(s.drawn))},
		{"POST", "/api/preset", s.timely(s.answer(s.preset))},
		{"POST", "/api/separations", s.upload},
		{"POST", "/api/draw", s.timely(s.answer(s.draw))},
		{"POST", "/api/along", s.timely(s.answer(s.along))},
		{"POST", "/api/open", s.timely(s.answer(s.open))},
		{"POST", "/api/takes", s.timely(s.answer(s.takes))},
		{"POST", "/api/example", s.timely(s.answer(s.example))},
		{"POST", "/api/score", s.timely(s.answer(s.score))},
		{"POST", "/api/row", s.timely(s.answer(s.row))},
		{"POST", "/api/rehearse/line", s.timely(s.answer(s.line))},
		{"POST", "/api/rehearse/settled", s.timely(s.inTurn(s.rehearsing, s.answer(s.settled)))},
		{"POST", "/api/rehearse/clean", s.timely(s.inTurn(s.rehearsing, s.answer(s.clean)))},
		{"POST", "/api/rehearse/solved", s.timely(s.inTurn(s.rehearsing, s.answer(s.solved)))},
		{"POST", "/api/rehearse/said", s.timely(s.inTurn(s.rehearsing, s.answer(s.said)))},
		{"POST", "/api/rehearse/pulled", s.timely(s.inTurn(s.rehearsing, s.answer(s.pulled)))},
		{"POST", "/api/save", s.timely(s.send(s.save))},
	} {
		s.mux.HandleFunc(r.method+" "+r.path, revised(r.handler))
		s.mux.HandleFunc(r.path, notSo(r.method))
	}
	s.mux.HandleFunc("/", nowhere)
	return s, nil
}

// notSo answers a request of another method than the one of its path.
func notSo(method string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Allow", method)
		refuse(w, http.StatusMethodNotAllowed, "this is asked with "+method+" alone; load the page again", "")
	}
}

func nowhere(w http.ResponseWriter, _ *http.Request) {
	refuse(w, http.StatusNotFound, "there is nothing here; open the address that bladeline serve printed", "")
}
