package sheet

import "fmt"

// Codes of errors whose cure depends on how bladeline is used, so that their texts
// state the fact alone. Those of package zones come beside them.
const CodeOtherForm = "other-form" // an OtherFormError

// Codes are all of them.
var Codes = []string{CodeOtherForm}

// An OtherFormError reports a form that a unit was not preset from, or that lies
// otherwise than it did.
type OtherFormError struct {
	File, Ink       string
	Zone            int     // the first that differs
	HerePct, WasPct float64 // its coverage as the form lies, and in the preset
}

// Code is CodeOtherForm.
func (e *OtherFormError) Code() string { return CodeOtherForm }

func (e *OtherFormError) Error() string {
	return fmt.Sprintf("%s: ink %s: zone %d is covered %.1f %% as the separation is placed, and %.1f %% in the preset", e.File, e.Ink, e.Zone, e.HerePct, e.WasPct)
}
