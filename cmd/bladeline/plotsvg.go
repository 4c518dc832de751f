package main

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"

	"bladeline/curves"
	"bladeline/curves/learn"
	"bladeline/curves/settings"
)

// Size of a plot as SVG, in its own units: the field, and the room about it for
// what is written.
const (
	svgField  = 500
	svgMargin = 60
)

// writePlotSVG draws what was learned: the readings, the old and the new curve.
func writePlotSVG(w io.Writer, old *curves.Curve, l *learn.Result) error {
	var b bytes.Buffer
	size := svgField + 2*svgMargin
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" font-family="sans-serif" font-size="13">`+"\n", size, size, size, size)
	b.WriteString(`<rect width="100%" height="100%" fill="white"/>` + "\n")
	svgGrid(&b)
	for _, u := range l.Used {
		svgReading(&b, u)
	}
	svgCurve(&b, old, `stroke="#888" stroke-dasharray="6 4"`)
	svgCurve(&b, l.Curve, `stroke="#06c"`)
	for _, p := range l.Curve.Points {
		x, y := svgPlace(p.CoveragePct, p.OpeningPct)
		fmt.Fprintf(&b, `<circle cx="%.1f" cy="%.1f" r="4" fill="#06c"/>`+"\n", x, y)
	}
	svgKey(&b, old, l)
	b.WriteString("</svg>\n")
	_, err := w.Write(b.Bytes())
	return err
}

func svgPlace(coveragePct, openingPct float64) (x, y float64) {
	inField := min(max(openingPct, 0), 100)
	return svgMargin + coveragePct*svgField/100, svgMargin + (100-inField)*svgField/100
}

// svgGrid draws a line every 20 %, and what they stand for.
func svgGrid(b *bytes.Buffer) {
	for pct := 0.0; pct <= 100; pct += 20 {
		x, y := svgPlace(pct, pct)
		fmt.Fprintf(b, `<path d="M%.1f %d V%d M%d %.1f H%d" stroke="#ddd"/>`+"\n", x, svgMargin, svgMargin+svgField, svgMargin, y, svgMargin+svgField)
		fmt.Fprintf(b, `<text x="%.1f" y="%d" text-anchor="middle">%g</text>`+"\n", x, svgMargin+svgField+18, pct)
		fmt.Fprintf(b, `<text x="%d" y="%.1f" text-anchor="end">%g</text>`+"\n", svgMargin-8, y+4, pct)
	}
	middle := svgMargin + svgField/2
	fmt.Fprintf(b, `<text x="%d" y="%d" text-anchor="middle">coverage %%</text>`+"\n", middle, svgMargin+svgField+40)
	fmt.Fprintf(b, `<text transform="translate(18 %d) rotate(-90)" text-anchor="middle">opening %% at the reference sweep</text>`+"\n", middle)
}

// svgReading draws a reading: a ring, or for a bound an arrow the way that the
// wanted opening may lie.
func svgReading(b *bytes.Buffer, u learn.Fitted) {
	x, y := svgPlace(u.CoveragePct, u.ReferencePct)
	shape := fmt.Sprintf(`<circle cx="%.1f" cy="%.1f" r="3.5"/>`, x, y)
	if u.Censoring != learn.Uncensored {
		tip := 6.0
		if u.Censoring == learn.RightCensored {
			tip = -6
		}
		shape = fmt.Sprintf(`<path d="M%.1f %.1f h7 l-3.5 %g z"/>`, x-3.5, y, tip)
	}
	fmt.Fprintf(b, `<g fill="none" stroke="#c30"><title>%s, zone %d</title>%s</g>`+"\n", svgText(u.Run), u.Zone, shape)
}

func svgCurve(b *bytes.Buffer, c *curves.Curve, stroke string) {
	b.WriteString(`<polyline fill="none" stroke-width="2" ` + stroke + ` points="`)
	for pct := 0.0; pct <= 100; pct += 0.5 {
		x, y := svgPlace(pct, c.At(pct))
		fmt.Fprintf(b, "%.1f,%.1f ", x, y)
	}
	b.WriteString("\"/>\n")
}

// svgKey says what is drawn.
func svgKey(b *bytes.Buffer, old *curves.Curve, l *learn.Result) {
	line := func(y int, colour, text string) {
		fmt.Fprintf(b, `<text x="%d" y="%d" fill="%s">%s</text>`+"\n", svgMargin, y, colour, svgText(text))
	}
	line(18, "#06c", "new: "+l.Curve.Name)
	line(34, "#666", "old, dashed: "+old.Name)
	line(50, "#c30", fmt.Sprintf("%d readings of %s; triangles: so much or less, so much or more", len(l.Used), counted(len(l.Curve.Learned.Runs), "job")))
}

// svgText is a text as XML takes it.
func svgText(s string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(settings.Printable(s))); err != nil {
		return ""
	}
	return b.String()
}
