package page

import (
	"os"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

func (b *tab) shot(name string) {
	data, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(90))
	require.NoError(b.t, err)
	require.NoError(b.t, os.WriteFile("/tmp/pr-"+name+".png", data, 0o644))
}

func TestZZShot(t *testing.T) {
	b := rehearses(t)
	b.shot("wide0")
	b.hover(`#rehearse-films .column[data-zone="9"]`)
	b.wait(`document.querySelector("#run-pulled svg")`)
	b.settled()
	b.shot("wide")
	b.do(chromedp.EmulateViewport(390, 844))
	b.settled()
	b.shot("hand")
	b.do(chromedp.EmulateViewport(1440, 900))
	b.click("#projector")
	b.settled()
	b.shot("projector")
	b.click("#projector")
	b.set("press", "duplicator")
	b.click("[data-view=drawn]")
	b.wait(`document.querySelector("[data-form]")`)
	b.click(`[data-form="band"]`)
	b.settled()
	b.settled()
	b.set("ruler-from", "190")
	b.shot("drawn")
}
