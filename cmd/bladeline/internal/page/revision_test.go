package page

import (
	"bytes"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestAnswersBearTheRevision asks about a revision of a tab's state: answers and
// refusals say to which they are, and to none where the question states none.
func TestAnswersBearTheRevision(t *testing.T) {
	c, sep := drawnHalf(t)
	good, wrong := marshalled(t, stateOf(t, sep)), marshalled(t, State{})
	for _, asked := range []struct {
		path   string
		body   []byte
		status int
	}{
		{"/api/preset", good, http.StatusOK},
		{"/api/preset", wrong, http.StatusUnprocessableEntity},
		{"/api/preset", []byte("{"), http.StatusBadRequest},
		{"/api/save?as=csv", good, http.StatusOK},
		{"/api/score", marshalled(t, trial{State: stateOf(t, sep), Keys: make([]float64, 8), Sweep: 45}), http.StatusOK},
		{"/api/draw", marshalled(t, plateOf("Black", half)), http.StatusOK},
		{"/api/draw", marshalled(t, plate{}), http.StatusUnprocessableEntity},
	} {
		for stated, want := range map[string]string{"7": "7", "18446744073709551615": "18446744073709551615", "": "", "-1": "", "seven": "", "1e3": ""} {
			got := c.ask("POST", asked.path, bytes.NewReader(asked.body), func(r *http.Request) { r.Header.Set(revisionHeader, stated) })
			assert.Equal(t, asked.status, got.status, asked.path)
			assert.Equal(t, want, got.header.Get(revisionHeader), "%s, %q", asked.path, stated)
		}
	}
}
