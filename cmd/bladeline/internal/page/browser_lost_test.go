package page

import (
	"net/http/httptest"
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
