package page

import (
	"net/http"

	"bladeline/coverage"
)

// survive ends a request whose answering went wrong as nothing should, and that
// alone.
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
