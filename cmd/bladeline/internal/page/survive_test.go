package page

import (
	"bytes"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestHalfAnswersEnd has panics before answers and in the middle of them: the
// client is told, nobody waits for the place, and nothing is logged.
func TestHalfAnswersEnd(t *testing.T) {
	server, err := New(testOptions(t))
	require.NoError(t, err)
	server.mux.HandleFunc("POST /api/wrong", server.timely(server.answer(func(*http.Request) (any, error) { panic("injected") })))
	server.mux.HandleFunc("GET /api/half", server.inTurn(server.asking, func(w http.ResponseWriter, _ *http.Request) {
		io.WriteString(w, "{")
		panic("injected")
	}))
	served := httptest.NewUnstartedServer(server)
	var logged bytes.Buffer
	served.Config.ErrorLog = log.New(&logged, "", 0)
	served.Start()
	t.Cleanup(served.Close)
	c := &client{t, server, served.URL}
	for range 2 * maxAsking {
		said := refusedWith(t, http.StatusInternalServerError, c.send("/api/wrong", 1))
		assert.Equal(t, "The server failed on this; please report it, with what was asked last.", said.Error)
		r, err := http.NewRequest("GET", served.URL+"/api/half", nil)
		require.NoError(t, err)
		_, err = http.DefaultTransport.RoundTrip(r)
		require.Error(t, err, "half an answer is none")
	}
	c.quick("after them")
	assert.Empty(t, logged.String())
	assert.Eventually(t, func() bool { return len(server.asking)+len(server.computing) == 0 }, slowed*time.Second, time.Millisecond)
}
