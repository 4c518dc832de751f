package page

import (
	"net/http"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestNoRoom tells a full disk from a folder that is not there, and both from
// files that did not arrive.
func TestNoRoom(t *testing.T) {
	c := newClient(t, testOptions(t))
	c.server.temporary = func() (*temporary, error) {
		f, err := os.OpenFile("/dev/full", os.O_RDWR, 0) // which Linux alone has
		return &temporary{f, false}, err
	}
	plate := rasterOf(half)
	said := refusedWith(t, http.StatusInsufficientStorage, c.upload([3]string{"file", "x.png", plate + strings.Repeat("x", 3<<20)}))
	assert.Equal(t, "The temporary folder "+os.TempDir()+" has no room for the files, which need 3 MB; free some there.", said.Error)
	unsaid := func(r *http.Request) { r.ContentLength = -1 }
	said = refusedWith(t, http.StatusInsufficientStorage, c.sendForm(strings.NewReader(partOf("x.png", plate)+"--b--"), unsaid))
	assert.NotContains(t, said.Error, "need")

	c = newClient(t, testOptions(t))
	t.Setenv("TMPDIR", "/nowhere")
	said = refusedWith(t, http.StatusInternalServerError, c.upload([3]string{"file", "x.png", plate}))
	assert.Contains(t, said.Error, "The temporary folder /nowhere cannot be written to: no such file or directory; ")
	require.EqualError(t, CheckTemporary(), "t"+strings.TrimSuffix(said.Error[1:], "."))
}
