package page

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	cdp "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A screen is one that lessons are played on.
type screen struct {
	name          string
	width, height int64
	byFinger      bool
}

var (
	desk    = screen{"desk", 1440, 900, false}
	screens = []screen{desk, {"tablet", 1024, 768, true}}
)

// onScreens plays a lesson at a desk and on a tablet.
func onScreens(t *testing.T, o func(*testing.T) Options, play func(*testing.T, *tab)) {
	for _, s := range screens {
		t.Run(s.name, func(t *testing.T) { play(t, openOn(t, o(t), s)) })
	}
}

func openOn(t *testing.T, o Options, s screen) *tab {
	t.Helper()
	b := open(t, o)
	b.screen = s
	if s.byFinger {
		b.tablet(s.width, s.height)
	}
	b.settled()
	return b
}

// step ends a step of a lesson: nothing lies beside the window, and what is seen is left
// as a picture in the folder that BLADELINE_PICTURES names.
func (b *tab) step(name string) {
	b.t.Helper()
	b.settled()
	assert.LessOrEqual(b.t, get[int](b, `document.documentElement.scrollWidth`), int(b.screen.width), name)
	b.steps++
	folder := os.Getenv("BLADELINE_PICTURES")
	if folder == "" {
		return
	}
	shot, err := chromedp.Call(b.ctx, cdp.CaptureScreenshot, cdp.CaptureScreenshotParams{})
	require.NoError(b.t, err)
	require.NoError(b.t, os.MkdirAll(folder, 0o777))
	file := fmt.Sprintf("%s %02d %s.png", strings.ReplaceAll(b.t.Name(), "/", " "), b.steps, name)
	require.NoError(b.t, os.WriteFile(filepath.Join(folder, file), shot.Data, 0o600))
}

// near is the middle of an element, which is scrolled to only where it is out of sight.
func (b *tab) near(selector string) (x, y float64) {
	b.t.Helper()
	get[bool](b, fmt.Sprintf(`(document.querySelector(%q).scrollIntoViewIfNeeded(), true)`, selector))
	b.settled()
	at := get[[]float64](b, fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`, selector))
	return at[0], at[1]
}

// point points at an element, with a mouse or a finger.
func (b *tab) point(selector string) {
	b.t.Helper()
	x, y := b.near(selector)
	if b.screen.byFinger {
		b.touch(input.DispatchTouchEventTypeTouchStart, finger{x, y})
		b.touch(input.DispatchTouchEventTypeTouchEnd)
	} else {
		b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, x, y))
	}
	b.settled()
}

// sees tells whether all of something is in the window.
func (b *tab) sees(selectors ...string) {
	b.t.Helper()
	for _, s := range selectors {
		assert.True(b.t, get[bool](b, fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return r.width > 0 && r.top >= 0 && r.left >= 0 && r.bottom <= innerHeight && r.right <= innerWidth; })()`, s)), "%s is in the window", s)
	}
}
