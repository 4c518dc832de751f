package raster

import (
	"fmt"
	"os"
	"runtime/debug"
	"strings"
	"unicode"
)

// A FaultError reports that the reader itself failed on a file: a panic, which
// ends the reading of that file and of no other.
type FaultError struct {
	Where
	What string // of the panic
}

func (e *FaultError) Error() string {
	return e.message("the reader failed on this file ("+e.What+")", "please report this, with the file")
}

// Guard reads something of a file, and makes an error of a panic. Whatever runs
// in a goroutine of its own needs a guard of its own.
func Guard(at Where, read func() error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			ShowStack(v)
			err = &FaultError{Where: at, What: inOneLine(v)}
		}
	}()
	return read()
}

// DebugVariable is the environment variable under which ShowStack shows.
const DebugVariable = "BLADELINE_DEBUG"

// ShowStack, called where a panic is recovered, writes to standard error where
// it came from, if BLADELINE_DEBUG is 1.
func ShowStack(panicked any) {
	if os.Getenv(DebugVariable) != "1" {
		return
	}
	stack := debug.Stack()
	if elsewhere, ok := panicked.(interface{ Stack() []byte }); ok {
		stack = elsewhere.Stack()
	}
	fmt.Fprintf(os.Stderr, "panic: %v\n%s", panicked, stack)
}

// inOneLine is what a panic says, which may hold bytes of the file.
func inOneLine(panicked any) string {
	const most = 200
	var b strings.Builder
	for _, r := range fmt.Sprint(panicked) {
		if b.Len() >= most {
			break
		}
		if !unicode.IsGraphic(r) {
			r = ' '
		}
		b.WriteRune(r)
	}
	return b.String()
}
