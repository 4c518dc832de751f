package page

import (
	"fmt"
	"net/http"
	"os"
	"runtime/debug"
)

// debugVariable has the stack printed of what went wrong, if it is 1.
const debugVariable = "BLADELINE_DEBUG"

// survive ends a request whose answering went wrong as nothing should, and that
// alone.
func survive(o *outlet) {
	wrong := recover()
	if wrong == nil {
		return
	}
	if os.Getenv(debugVariable) == "1" {
		fmt.Fprintf(os.Stderr, "panic: %v\n%s", wrong, debug.Stack())
	}
	if !o.begun.IsZero() {
		panic(http.ErrAbortHandler) // what was said is not whole: the connection ends
	}
	refuse(o, http.StatusInternalServerError, "the server failed on this; please report it, with what was asked last", "")
}
