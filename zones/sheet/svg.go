package sheet

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// WriteSVG writes one page as SVG 1.1. Texts stay texts; each states its
// length, so that it fits its place in whatever font the viewer has; for
// viewers that overlook that, the fonts named after the first run as wide or less.
func WriteSVG(w io.Writer, p *Page) error {
	if p == nil {
		return errNoPage
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" version="1.1" width="%[1]smm" height="%[2]smm" viewBox="0 0 %[1]s %[2]s" font-family="'Go', Arial, 'Liberation Sans', Helvetica, sans-serif">
<title>%[3]s</title>
<rect width="100%%" height="100%%" fill="#fff"/>
`, mm(p.WidthMM), mm(p.HeightMM), escaped(p.Title))
	for _, m := range p.Marks {
		b.WriteString(svgMark(m) + "\n")
	}
	b.WriteString("</svg>\n")
	_, err := w.Write(b.Bytes())
	return err
}

func svgMark(m Mark) string {
	switch m := m.(type) {
	case Line:
		dash := ""
		if m.Dashed {
			dash = fmt.Sprintf(` stroke-dasharray="%s"`, mm(dashMM))
		}
		return fmt.Sprintf(`<path d="M%s %sL%s %s" stroke="%s" stroke-width="%s"%s/>`,
			mm(m.From.X), mm(m.From.Y), mm(m.To.X), mm(m.To.Y), shade(m.Gray), mm(m.WidthMM), dash)
	case Polygon:
		return svgPolygon(m)
	case Circle:
		return fmt.Sprintf(`<circle cx="%s" cy="%s" r="%s" %s/>`, mm(m.At.X), mm(m.At.Y), mm(m.RadiusMM), svgStyle(m.Fill, m.WidthMM))
	case Text:
		return svgText(m)
	case Picture:
		if m.Image == nil {
			return ""
		}
		return fmt.Sprintf(`<image x="%s" y="%s" width="%s" height="%s" preserveAspectRatio="none" xlink:href="data:image/png;base64,%s"/>`,
			mm(m.Box.Left), mm(m.Box.Top), mm(m.Box.Right-m.Box.Left), mm(m.Box.Bottom-m.Box.Top), base64.StdEncoding.EncodeToString(encoded(m.Image)))
	}
	return ""
}

func svgPolygon(m Polygon) string {
	points := make([]string, len(m.Points))
	for i, p := range m.Points {
		points[i] = mm(p.X) + "," + mm(p.Y)
	}
	return fmt.Sprintf(`<polygon points="%s" %s/>`, strings.Join(points, " "), svgStyle(m.Fill, m.WidthMM))
}

// svgStyle is what an area is filled and outlined with.
func svgStyle(fill *Gray, widthMM float64) string {
	style := `fill="none"`
	if fill != nil {
		style = fmt.Sprintf(`fill="%s"`, shade(*fill))
	}
	if widthMM > 0 {
		style += fmt.Sprintf(` stroke="%s" stroke-width="%s"`, shade(Black), mm(widthMM))
	}
	return style
}

func svgText(m Text) string {
	more := ""
	if m.Bold {
		more = ` font-weight="bold"`
	}
	if m.Before > fromLeft {
		more += ` text-anchor="` + map[float64]string{centred: "middle", toRight: "end"}[m.Before] + `"`
	}
	if m.Up {
		more += fmt.Sprintf(` transform="rotate(-90 %s %s)"`, mm(m.X), mm(m.Y))
	}
	return fmt.Sprintf(`<text x="%s" y="%s" font-size="%s" fill="%s" textLength="%s" lengthAdjust="spacingAndGlyphs"%s>%s</text>`,
		mm(m.X), mm(m.Y), mm(m.SizePT*mmPerPT), shade(m.Gray), mm(m.WidthMM()), more, escaped(m.Text))
}

// mm is a length to 0.001 mm.
func mm(v float64) string {
	s := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', 3, 64), "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

func shade(g Gray) string { return "#" + strings.Repeat(fmt.Sprintf("%02x", level(g)), 3) }

func escaped(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s)) // a Builder takes everything
	return b.String()
}
