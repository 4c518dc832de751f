package page

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"bladeline/coverage"
	"bladeline/coverage/coveragetest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sendForm sends a body as a form whose boundary is b.
func (c *client) sendForm(body io.Reader, changes ...func(*http.Request)) answered {
	c.t.Helper()
	return c.ask("POST", "/api/separations", body, append(changes, header("Content-Type", "multipart/form-data; boundary=b"))...)
}

func partOf(name, content string) string {
	return "--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"" + name + "\"\r\n\r\n" + content + "\r\n"
}

// TestDamageBehindAFileIsSaid sends a sound file and behind it something that is
// none: the file is taken, and the rest is told of.
func TestDamageBehindAFileIsSaid(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	good := partOf("good.png", rasterOf(half))
	const cut = "The files did not arrive whole; send them again."
	for rest, want := range map[string]string{
		"--b\r\nContent-Disposition: form-da":       cut,
		"--b\r\nContent-Disposition: form-data\r\n": cut,
		"--b\r\n":                 cut,
		"--b":                     cut,
		partOf("bell\a.tif", "x"): "A file's name cannot be read, perhaps for a control character in it; give the file another name and bring it again.",
		strings.Repeat(partOf("x", ""), maxParts) + "--b--": "More than 64 parts, files and names of inks, are too many for one request; bring fewer files at once.",
	} {
		a := c.sendForm(strings.NewReader(good + rest))
		require.Equal(t, 200, a.status, string(a.body))
		b := decoded[brought](t, a)
		assert.Len(t, b.Separations, 1)
		require.NotEmpty(t, b.Errors)
		assert.Equal(t, fileError{Error: want}, b.Errors[len(b.Errors)-1])
	}
	said := refusedWith(t, http.StatusBadRequest, c.upload([3]string{"file", "bell\a.tif", rasterOf(half)}))
	assert.Contains(t, said.Error, "control character")
}

// TestPartsAreCounted refuses more parts than a job's files and their names are.
func TestPartsAreCounted(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	said := refusedWith(t, 422, c.sendForm(strings.NewReader(strings.Repeat("--b\r\nContent-Disposition: form-data; name=\"other\"\r\n\r\n\r\n", 100_000)+"--b--")))
	assert.Contains(t, said.Error, "More than 64 parts")
}

// TestMorePagesThanAJobHas brings a file of as many pages as a job has inks,
// and one of one more, which is not kept.
func TestMorePagesThanAJobHas(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	args := append([]string{"90x70", "0", "pages"}, slices.Repeat([]string{"50"}, maxUnits+1)...)
	most, err := coveragetest.Plate("most.tif", args[:len(args)-1]...)
	require.NoError(t, err)
	more, err := coveragetest.Plate("more.tif", args...)
	require.NoError(t, err)
	a := c.upload([3]string{"file", "more.tif", string(more)})
	require.Equal(t, 422, a.status)
	assert.Equal(t, []fileError{{File: "more.tif", Error: "With it there are 33 separations, more than the 32 inks of a job; bring fewer, one file an ink."}}, decoded[brought](t, a).Errors)
	assert.Empty(t, c.server.store.held)
	b := decoded[brought](t, c.upload([3]string{"file", "most.tif", string(most)}, [3]string{"file", "one.png", rasterOf(half)}))
	assert.Len(t, b.Separations, maxUnits)
	assert.Len(t, b.Errors, 1)
	assert.Len(t, c.server.store.held, maxUnits)
}

// TestUploadsAtOnceAreBounded is turned away while all places are taken.
func TestUploadsAtOnceAreBounded(t *testing.T) {
	c := newClient(t, testOptions(t))
	for range maxReceiving {
		c.server.receiving <- struct{}{}
	}
	refusedWith(t, http.StatusServiceUnavailable, c.upload([3]string{"file", "x.png", rasterOf(half)}))
	leave(c.server.receiving)
	require.Equal(t, 200, c.upload([3]string{"file", "x.png", rasterOf(half)}).status)
}

// TestNobodyWaitsForWhoHasGone has others measure: a form is drawn all the same,
// and an upload whose client goes gives its place back, and leaves nothing.
func TestNobodyWaitsForWhoHasGone(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	for range maxMeasuring {
		c.server.measuring <- struct{}{}
	}
	ctx, goes := context.WithCancel(context.Background())
	ended := make(chan struct{})
	body, kind := form(t, [3]string{"file", "x.png", rasterOf(half)})
	r, err := http.NewRequestWithContext(ctx, "POST", c.url+"/api/separations", body)
	require.NoError(t, err)
	kind(r)
	r.Header.Set(TokenHeader, c.server.token)
	go func() {
		http.DefaultTransport.RoundTrip(r)
		close(ended)
	}()
	require.Eventually(t, func() bool { return len(c.server.receiving) == 1 }, 10*time.Second, time.Millisecond)
	assert.Equal(t, 200, c.send("/api/draw", plateOf("Black", half)).status)
	goes()
	<-ended
	assert.Eventually(t, func() bool { return len(c.server.receiving) == 0 }, 10*time.Second, time.Millisecond)
	assert.Len(t, c.server.store.held, 1, "the drawing")
}

// TestMeasuringEndsWithItsClient asks for one that has gone already.
func TestMeasuringEndsWithItsClient(t *testing.T) {
	ownTemp(t)
	server, err := New(testOptions(t))
	require.NoError(t, err)
	gone, goes := context.WithCancel(context.Background())
	goes()
	body, kind := form(t, [3]string{"file", "x.png", rasterOf(half)})
	for range 20 { // there may be a place, or none
		refusedWith(t, http.StatusRequestTimeout, direct(t, server, "/api/separations", body.Bytes(), kind, func(r *http.Request) {
			*r = *r.WithContext(context.WithValue(gone, http.LocalAddrContextKey, r.Context().Value(http.LocalAddrContextKey)))
		}))
	}
	assert.Empty(t, server.store.held)
}

// TestOpeningEndsWithItsClient opens a file whose client has gone.
func TestOpeningEndsWithItsClient(t *testing.T) {
	ctx, goes := context.WithCancel(t.Context())
	plate := rasterOf(half)
	_, err := measured(ctx, "x.png", strings.NewReader(plate), int64(len(plate)), coverage.Options{})
	require.NoError(t, err)
	goes()
	_, err = measured(ctx, "x.png", strings.NewReader(plate), int64(len(plate)), coverage.Options{})
	require.ErrorIs(t, err, context.Canceled)
}

// slowly is a body of which a piece comes every now and then, count times.
func slowly(piece string, count int, every time.Duration) io.Reader {
	r, w := io.Pipe()
	go func() {
		for range count {
			time.Sleep(every)
			io.WriteString(w, piece)
		}
		w.Close()
	}()
	return r
}

// TestSlowBodies cuts off what stands still, and JSON that takes long, but no
// upload that goes on, however slowly.
func TestSlowBodies(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	c.server.times.body, c.server.times.idle = 300*time.Millisecond, 600*time.Millisecond
	const long = time.Hour
	said := refusedWith(t, http.StatusRequestTimeout, c.ask("POST", "/api/preset", io.MultiReader(strings.NewReader("{"), slowly("x", 1, long))))
	assert.Equal(t, "The request did not arrive in time; send it again.", said.Error)
	refusedWith(t, http.StatusRequestTimeout, c.ask("POST", "/api/draw", slowly(" ", 100, 10*time.Millisecond)))
	said = refusedWith(t, http.StatusRequestTimeout, c.sendForm(io.MultiReader(strings.NewReader(partOf("x.tif", "x")), slowly("x", 1, long))))
	assert.Contains(t, said.Error, "Nothing more came for ")
	begin := time.Now()
	lasting := io.MultiReader(strings.NewReader(partOf("x.png", rasterOf(half))+"--b--\r\n"), slowly("\r\n", 9, 100*time.Millisecond))
	require.Equal(t, 200, c.sendForm(lasting).status)
	assert.Greater(t, time.Since(begin), c.server.times.idle, "it lasted")
	refusedWith(t, http.StatusForbidden, c.ask("POST", "/api/draw", slowly(" ", 1, long), header(TokenHeader, "x")))
}

// TestLargeJSONIsRefused sends more than any state takes.
func TestLargeJSONIsRefused(t *testing.T) {
	c := newClient(t, testOptions(t))
	refusedWith(t, http.StatusRequestEntityTooLarge, c.ask("POST", "/api/preset", bytes.NewReader(bytes.Repeat([]byte(" "), 2*maxBody))))
}

// TestManyValuesAreRefusedUnmade sends within a request's length what takes a
// hundred times as much as values.
func TestManyValuesAreRefusedUnmade(t *testing.T) {
	server, err := New(testOptions(t))
	require.NoError(t, err)
	for item, count := range map[string]int{"{}": maxObjects, "[]": 300_000, "0": 500_000, `"\"{,"`: 120_000} {
		body := []byte(`{"units":[` + strings.Repeat(item+",", count) + item + "]}")
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		a := direct(t, server, "/api/preset", body)
		runtime.ReadMemStats(&after)
		said := refusedWith(t, http.StatusRequestEntityTooLarge, a)
		assert.Equal(t, "More than 20000 shapes and inks, or 100000 values, are too many for one request; send less at once.", said.Error)
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(16<<20), item)
	}
	for _, few := range []string{`"` + strings.Repeat(`{,`, 400_000) + `"`, `"\\",{"a":"` + strings.Repeat(`\",{`, 200_000) + `"}`} {
		require.NoError(t, bounded([]byte(few)), "in a text they are letters")
	}
}

func TestTooLargeIsSaidInWords(t *testing.T) {
	c := newClient(t, testOptions(t))
	said := refusedWith(t, http.StatusRequestEntityTooLarge, c.sendForm(http.NoBody, func(r *http.Request) {
		r.Body, r.ContentLength = io.NopCloser(slowly("", 1, time.Hour)), maxUpload+1
	}))
	assert.Equal(t, "More than 4 GB are too much for one upload; name the file on the command line of bladeline serve.", said.Error)
	for bytes, want := range map[int64]string{0: "0 bytes", 1023: "1023 bytes", 1024: "1 kB", 5 << 20: "5 MB", 4<<30 + 1: "4 GB"} {
		assert.Equal(t, want, sizeOf(bytes), fmt.Sprint(bytes))
	}
}
