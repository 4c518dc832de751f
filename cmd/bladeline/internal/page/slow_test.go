package page

import (
	"bytes"
	"compress/flate"
	"context"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// dial opens a connection to the server and sends a text as it is.
func (c *client) dial(text string) net.Conn {
	c.t.Helper()
	conn, err := net.Dial("tcp", strings.TrimPrefix(c.url, "http://"))
	require.NoError(c.t, err)
	c.t.Cleanup(func() { conn.Close() })
	_, err = io.WriteString(conn, text)
	require.NoError(c.t, err)
	return conn
}

// begun is the beginning of a request: its line and header.
func (c *client) begun(method, path string, fields ...string) string {
	lines := append([]string{method + " " + path + " HTTP/1.1", "Host: " + strings.TrimPrefix(c.url, "http://"), TokenHeader + ": " + c.server.token}, fields...)
	return strings.Join(lines, "\r\n") + "\r\n\r\n"
}

// quick wants a question answered at once, whatever else is under way.
func (c *client) quick(what string) {
	c.t.Helper()
	begin := time.Now()
	c.fetch("/api/start")
	assert.Less(c.t, time.Since(begin), slowed*time.Second, what)
}

// endless is a plate of 5 billion pixels, which take ten seconds and more; its
// data end before the picture does.
func endless() string {
	var part bytes.Buffer
	packer, _ := flate.NewWriter(&part, flate.BestSpeed) // a level that there is
	packer.Write(make([]byte, 1<<20))
	packer.Flush()
	packed := append([]byte{0x78, 0x01}, bytes.Repeat(part.Bytes(), 9000)...)
	header := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, 100_000), 50_000)
	header = append(header, 16, 0, 0, 0, 0) // bits, gray, and the methods of which there is one
	return "\x89PNG\r\n\x1a\n" + pngChunk("IHDR", header) + pngChunk("IDAT", packed) + pngChunk("IEND", nil)
}

func pngChunk(name string, data []byte) string {
	named := append([]byte(name), data...)
	chunk := append(binary.BigEndian.AppendUint32(nil, uint32(len(data))), named...)
	return string(binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(named)))
}

// TestGoneClientsHoldNobody has as many uploads measured as can be at once,
// which take long, and takes their clients away: a small one is measured then.
func TestGoneClientsHoldNobody(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	body, kind := form(t, [3]string{"file", "endless.png", endless()})
	ctx, go1 := context.WithCancel(context.Background())
	defer go1()
	var ended sync.WaitGroup
	for range maxMeasuring {
		r, err := http.NewRequestWithContext(ctx, "POST", c.url+"/api/separations", bytes.NewReader(body.Bytes()))
		require.NoError(t, err)
		kind(r)
		r.Header.Set(TokenHeader, c.server.token)
		ended.Go(func() { http.DefaultTransport.RoundTrip(r) })
	}
	require.Eventually(t, func() bool { return len(c.server.measuring) == maxMeasuring }, 20*time.Second, time.Millisecond)
	time.Sleep(300 * time.Millisecond) // well into it
	require.Len(t, c.server.measuring, maxMeasuring)
	go1()
	ended.Wait()
	begin := time.Now()
	require.Equal(t, 200, c.upload([3]string{"file", "x.png", rasterOf(half)}).status)
	assert.Less(t, time.Since(begin), slowed*time.Second)
	assert.Eventually(t, func() bool { return len(c.server.receiving)+len(c.server.measuring) == 0 }, slowed*time.Second, time.Millisecond)
	assert.Len(t, c.server.store.held, 1)
}

// TestDrawingEndsWithItsClient draws for one that has gone already.
func TestDrawingEndsWithItsClient(t *testing.T) {
	server, err := New(testOptions(t))
	require.NoError(t, err)
	gone, goes := context.WithCancel(context.Background())
	goes()
	for range 20 { // there may be a place, or none
		refusedWith(t, http.StatusRequestTimeout, direct(t, server, "/api/draw", marshalled(t, plateOf("Black", half)), func(r *http.Request) {
			*r = *r.WithContext(context.WithValue(gone, http.LocalAddrContextKey, r.Context().Value(http.LocalAddrContextKey)))
		}))
	}
	assert.Empty(t, server.store.held)
}

// TestDrippingUploads cuts off what comes byte by byte, and takes what is slow
// and stands still at times.
func TestDrippingUploads(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	c.server.times.upload = 800 * time.Millisecond
	begin := time.Now()
	said := refusedWith(t, http.StatusRequestTimeout, c.sendForm(io.MultiReader(strings.NewReader(partOf("x.png", "x")), slowly("x", 1000, 10*time.Millisecond))))
	assert.Equal(t, "Less than 64 kB came in 1 s; send the files again where the connection is faster.", said.Error)
	assert.Less(t, time.Since(begin), slowed*5*time.Second)
	slow := slowly(strings.Repeat("x", leastUpload), 8, 200*time.Millisecond)
	a := c.sendForm(io.MultiReader(strings.NewReader(partOf("x.png", rasterOf(half))+strings.TrimSuffix(partOf("y.tif", ""), "\r\n")), slow, strings.NewReader("\r\n--b--")))
	require.Equal(t, 200, a.status, string(a.body))
}

// TestAnswersThatNobodyReads cuts off clients that ask for much and read
// nothing, and with them what is held for them.
func TestAnswersThatNobodyReads(t *testing.T) {
	server, err := New(testOptions(t))
	require.NoError(t, err)
	server.times.write = 300 * time.Millisecond
	var opened, closed atomic.Int64
	served := httptest.NewUnstartedServer(server)
	served.Config.ConnState = func(_ net.Conn, s http.ConnState) {
		switch s {
		case http.StateNew:
			opened.Add(1)
		case http.StateClosed:
			closed.Add(1)
		}
	}
	served.Start()
	t.Cleanup(served.Close)
	c := &client{t, server, served.URL}
	const many = 50
	for range many {
		conn := c.dial("")
		conn.(*net.TCPConn).SetReadBuffer(4096)
		go io.WriteString(conn, strings.Repeat(c.begun("GET", "/static/style.css"), 5000)) // as far as it goes
	}
	assert.Eventually(t, func() bool { return closed.Load() == many }, 10*time.Second, 10*time.Millisecond, "of %d opened", opened.Load())
	c.quick("behind them")
}

// TestAnswersMayBeReadSlowly reads an answer in pieces, for longer than each may
// take, but not for longer than all may.
func TestAnswersMayBeReadSlowly(t *testing.T) {
	var piped sync.WaitGroup
	for _, whole := range []time.Duration{time.Hour, 500 * time.Millisecond} {
		ours, theirs := net.Pipe() // which holds nothing
		piped.Go(func() {
			defer theirs.Close()
			for range 10 {
				time.Sleep(100 * time.Millisecond)
				if _, err := io.CopyN(io.Discard, theirs, pieceBytes); err != nil {
					return
				}
			}
		})
		o := &outlet{ResponseWriter: pipeWriter{ours}, times: times{write: 300 * time.Millisecond, answer: whole}}
		n, err := o.Write(make([]byte, 10*pieceBytes))
		if whole == time.Hour {
			assert.Equal(t, 10*pieceBytes, n)
			assert.NoError(t, err)
		} else {
			assert.Less(t, n, 9*pieceBytes)
			assert.Error(t, err)
		}
		ours.Close()
	}
	piped.Wait()
}

// pipeWriter is an answer that goes straight to a connection.
type pipeWriter struct{ net.Conn }

func (pipeWriter) Header() http.Header { return nil }
func (pipeWriter) WriteHeader(int)     {}

// TestManyQuestionsWait has all places taken: a question waits, and is told so
// when it was too long; one that came whole but slowly took none.
func TestManyQuestionsWait(t *testing.T) {
	c := newClient(t, testOptions(t))
	c.server.times.turn = 500 * time.Millisecond
	for range 3 * maxAsking {
		c.dial(c.begun("POST", "/api/preset", "Content-Length: 1000") + "{") // and no more
	}
	c.quick("short questions that drip")
	for range 3 * maxAsking {
		c.dial(c.begun("POST", "/api/preset", "Content-Length: 500000") + strings.Repeat(" ", shortBody)) // and no more
	}
	c.quick("long questions that drip")
	for range maxAsking {
		c.server.asking <- struct{}{}
	}
	said := refusedWith(t, http.StatusServiceUnavailable, c.ask("GET", "/api/start", nil))
	assert.Equal(t, "Too many questions are asked at once; ask again in a moment.", said.Error)
	refusedWith(t, http.StatusServiceUnavailable, c.send("/api/draw", plateOf("Black", half)))
	time.AfterFunc(100*time.Millisecond, func() { leave(c.server.asking) })
	assert.Equal(t, 200, c.send("/api/draw", plateOf("Black", half)).status)
}

// TestIdleConnections has a thousand connections, half of them idle and half in
// the middle of a header.
func TestIdleConnections(t *testing.T) {
	c := newClient(t, testOptions(t))
	for i := range 1000 {
		c.dial([]string{"", "GET / HTTP/1.1\r\nHost: "}[i%2])
	}
	c.quick("beside idle ones")
}

// TestQuestionsThatWaitAreNotGone has a question that came slowly wait for longer
// than its body may take.
func TestQuestionsThatWaitAreNotGone(t *testing.T) {
	c := newClient(t, testOptions(t))
	c.server.times.body = 300 * time.Millisecond
	for range maxAsking {
		c.server.asking <- struct{}{}
	}
	time.AfterFunc(800*time.Millisecond, func() {
		for range maxAsking {
			leave(c.server.asking)
		}
	})
	var all sync.WaitGroup
	all.Go(func() { assert.Equal(t, 200, c.ask("GET", "/api/start", nil).status) })
	all.Go(func() { assert.Equal(t, 200, c.send("/api/draw", plateOf("Black", half)).status) })
	all.Wait()
}

// TestManyUploadsAtOnce brings a file 200 times at once: each is taken or told
// that there are too many, and nothing is left of it.
func TestManyUploadsAtOnce(t *testing.T) {
	ownTemp(t)
	c := newClient(t, testOptions(t))
	plate := rasterOf(half)
	var taken, turnedAway atomic.Int64
	var all sync.WaitGroup
	for i := range 200 {
		all.Go(func() {
			a := c.upload([3]string{"file", fmt.Sprintf("job_%d.png", i), plate})
			switch a.status {
			case http.StatusOK:
				taken.Add(1)
			case http.StatusServiceUnavailable:
				turnedAway.Add(1)
			}
		})
	}
	all.Wait()
	assert.EqualValues(t, 200, taken.Load()+turnedAway.Load())
	assert.Len(t, c.server.store.held, min(int(taken.Load()), maxHeld))
	assert.Eventually(t, func() bool { return len(c.server.receiving)+len(c.server.measuring) == 0 }, slowed*time.Second, time.Millisecond)
	assert.Positive(t, taken.Load())
	c.quick("after them")
}
