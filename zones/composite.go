package zones

import (
	"fmt"
	"strings"

	"bladeline/coverage"
)

// CodeComposite is the code of a CompositeError.
const CodeComposite = "composite"

// A CompositeError reports a file that holds the inks of a form together, beside
// the separations of the same inks, as programs that separate write it for a look.
type CompositeError struct {
	File, Ink  string
	Separation string // the file that holds the ink alone
}

// Code is CodeComposite.
func (e *CompositeError) Code() string { return CodeComposite }

func (e *CompositeError) Error() string {
	return fmt.Sprintf("%s: is the composite, which holds the inks together: %s is in %s as well, and would be counted twice", e.File, e.Ink, e.Separation)
}

// Composites are CompositeErrors of those separations, by their place, that are of
// a composite; nil of all others. Where one ink of a file stands in a separation of
// its own the whole page is the composite.
func Composites(maps []*coverage.Map) []error {
	found := make([]error, len(maps))
	for i, m := range maps {
		for _, earlier := range maps[:i] {
			if !strings.EqualFold(m.Ink, earlier.Ink) {
				continue
			}
			e, is := composite(maps, m, earlier).(*CompositeError)
			if !is {
				continue
			}
			of := m
			if e.File == earlier.File {
				of = earlier
			}
			for k, other := range maps {
				if found[k] == nil && other.File == of.File && other.Page == of.Page {
					found[k] = e
				}
			}
		}
	}
	return found
}

// composite finds which of two separations of one ink is a composite's: the file
// holds others on the same page, and the other file that ink alone; nil where it is
// neither.
func composite(maps []*coverage.Map, a, b *coverage.Map) error {
	channels := func(of *coverage.Map) (n int) {
		for _, m := range maps {
			if m != nil && m.File == of.File && m.Page == of.Page {
				n++
			}
		}
		return n
	}
	if a.File == b.File || strings.TrimSpace(a.File) == "" {
		return nil
	}
	switch inA, inB := channels(a), channels(b); {
	case inA > 1 && inB == 1:
		return &CompositeError{a.File, a.Ink, b.File}
	case inB > 1 && inA == 1:
		return &CompositeError{b.File, b.Ink, a.File}
	}
	return nil
}
