package page

import (
	"bytes"
	"image/png"
	"net/http"
	"net/url"
	"strconv"

	"bladeline/zones"
	"bladeline/zones/preset"
	"bladeline/zones/sheet"
)

// maxPicture is how many pixels the page can show, either way.
const maxPicture = 1200

// picture is a separation in bench view, from its cells.
func (s *Server) picture(r *http.Request) (*file, error) {
	q := r.URL.Query()
	sep, err := s.store.find(q.Get("separation"))
	if err != nil {
		return nil, err
	}
	placement, err := placementOf(q)
	if err != nil {
		return nil, err
	}
	form, err := zones.Lay(sep.Map, nil, *placement)
	if err != nil {
		return nil, refusedAs("placement", err)
	}
	var b bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	err = encoder.Encode(&b, sheet.Painted(form, maxPicture))
	return &file{kind: "image/png", data: b.Bytes()}, err
}

// placementOf is the placement that a query states; a shift does not change
// the picture.
func placementOf(q url.Values) (*zones.Placement, error) {
	stated := preset.StatedPlacement{LeadEdge: zones.Edge(q.Get("lead_edge")), Mirrored: q.Get("mirrored") == "true"}
	if m := q.Get("mirrored"); m != "" && m != "true" && m != "false" {
		return nil, refused("placement.mirrored", "%q is neither true nor false; give one of them", firstOf(m, maxName))
	}
	var err error
	if stated.DPIX, err = dpiOf(q, "dpi_x"); err != nil {
		return nil, err
	}
	if stated.DPIY, err = dpiOf(q, "dpi_y"); err != nil {
		return nil, err
	}
	if err := stated.Validate(); err != nil {
		return nil, refusedAs("placement", err)
	}
	return stated.Placement(), nil
}

// dpiOf is a resolution that a query states; nil where it states none.
func dpiOf(q url.Values, name string) (*float64, error) {
	text := q.Get(name)
	if text == "" {
		return nil, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return nil, refused("placement."+name, "%q is not a resolution; give pixels per inch", firstOf(text, maxName))
	}
	return &v, nil
}
