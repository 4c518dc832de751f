package page

import (
	"io"
	"math"
	"mime/multipart"
	"net/http"
	"strings"
)

// formParts are those of a form that a client sends. The library takes up to 10 MB
// of a part's header, which is no more than a name; these stay within
// maxPartHeader.
type formParts struct {
	*multipart.Reader
	body *allowance
	part *multipart.Part // the one before
}

const maxPartHeader = 16 << 10

var errLongName = &refusal{http.StatusBadRequest, "a file's name is too long; give the file a shorter one and bring it again", ""}

// partsOf reads a request's body as a form.
func partsOf(r *http.Request) (*formParts, error) {
	p := &formParts{body: &allowance{ReadCloser: ended(r.Body), left: math.MaxInt64}}
	r.Body = p.body
	var err error
	p.Reader, err = r.MultipartReader()
	return p, err
}

// next is the next part, whatever was read of the one before.
func (p *formParts) next() (*multipart.Part, error) {
	if p.part != nil {
		p.part.Close() // which reads it to its end
	}
	p.body.left = maxPartHeader
	part, err := p.NextPart()
	p.body.left = math.MaxInt64
	p.part = part
	return part, err
}

// An allowance is a body of which only so much may be read.
type allowance struct {
	io.ReadCloser
	left int64
}

func (a *allowance) Read(b []byte) (int, error) {
	if a.left <= 0 {
		return 0, errLongName
	}
	n, err := a.ReadCloser.Read(b[:min(int64(len(b)), a.left)])
	a.left -= int64(n)
	return n, err
}

// ended puts an empty line behind a form. One that is cut off in the header of a
// part would be taken for one that ends there; behind that line it is not.
func ended(form io.ReadCloser) io.ReadCloser {
	return struct {
		io.Reader
		io.Closer
	}{io.MultiReader(form, strings.NewReader("\r\n\r\n")), form}
}
