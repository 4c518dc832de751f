package page

import (
	"net/http"
	"net/http/httptest"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestLostServerKeepsThePicture ends the server under an open page: what was drawn
// stays and is marked, what was set stays, and nothing is offered to be saved.
func TestLostServerKeepsThePicture(t *testing.T) {
	server, err := New(options(t, harbourFair()[0]))
	require.NoError(t, err)
	served := httptest.NewServer(server)
	t.Cleanup(served.Close)
	b := openAt(t, served.URL)
	b.wait(`document.querySelector("g.key")`)
	b.settled()
	sweep := b.text("#sweep-value")
	served.CloseClientConnections()
	served.Close()
	b.set("shift_mm", "5")
	b.wait(`document.querySelector("#problem").textContent.includes("The server does not answer")`)
	assert.Equal(t, sweep, b.text("#sweep-value"))
	assert.True(t, get[bool](b, `document.querySelector("#work").matches(".stale") && document.querySelector(".curve-drawn").getAttribute("d") !== "" && document.querySelector("#bench").checkVisibility()`))
	assert.True(t, get[bool](b, `[...document.querySelectorAll("[data-save]")].every((button) => button.disabled)`))
}

// TestLostServerComesBack cuts the server off and lets it answer again: meanwhile nothing
// is taken back and no files are opened, and the button says why; then both can be.
func TestLostServerComesBack(t *testing.T) {
	server, err := New(options(t, harbourFair()[0]))
	require.NoError(t, err)
	var cut atomic.Bool
	served := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if cut.Load() {
			panic(http.ErrAbortHandler) // the connection ends without an answer
		}
		server.ServeHTTP(w, r)
	}))
	t.Cleanup(served.Close)
	b := openAt(t, served.URL)
	b.wait(`document.querySelector("g.key")`)
	b.settled()
	cut.Store(true)
	b.set("shift_mm", "5")
	b.wait(`document.querySelector("#problem").textContent.includes("The server does not answer")`)
	able := `[document.querySelector("#undo").ariaDisabled !== "true", !document.querySelector("#files").disabled]`
	assert.Equal(t, []bool{false, false}, get[[]bool](b, able))
	b.click("#undo")
	b.wait(`document.querySelector("#said").textContent.startsWith("The server does not answer")`)
	assert.Equal(t, "5", get[string](b, `document.querySelector("#shift_mm").value`))
	cut.Store(false)
	b.wait(`!document.querySelector("#problem").textContent`)
	assert.Equal(t, []bool{true, true}, get[[]bool](b, able))
	b.click("#undo")
	b.wait(`document.querySelector("#shift_mm").value === "0"`)
}
