package page

import (
	"net/http"

	"bladeline/coverage"
)

// survive makes a panic in answering a request the end of that request, and of no
// other.
func survive(o *outlet) {
	wrong := recover()
	if wrong == nil {
		return
	}
	coverage.ShowStack(wrong)
	if !o.begun.IsZero() {
		panic(http.ErrAbortHandler) // what was said is not whole: the connection ends
	}
	refuse(o, http.StatusInternalServerError, "the server failed on this; please report it, with what was asked last", "")
}
