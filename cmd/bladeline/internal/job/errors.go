package job

import (
	"fmt"
	"strings"
	"time"

	"bladeline/curves/learn"
	"bladeline/curves/settings"
	"bladeline/zones"
)

// Codes of errors whose cure each front end says in its own words.
const (
	CodeNoCurve      = "no-curve"           // the press's file names no curve for an ink
	CodeNoTarget     = "no-target"          // nor a density to correct to
	CodeNoLimit      = "no-limit"           // nor the density that no film exceeds
	CodeNoTravel     = "travel"             // the travel of the keys that were run is not known
	CodeUnknownInk   = "unknown-ink"        // something is asked for an ink that no separation is of
	CodeAskedTwice   = "asked-twice"        // two things are asked for one ink
	CodeTwoFilms     = "two-films"          // a film in um and one in g/m2 are stated for one ink
	CodeUnplaced     = "unplaced-preset"    // a preset does not state how its separations lie
	CodeShippedPress = "shipped-press"      // the zeros of a press that ships are to be written
	CodeShippedCurve = "shipped-curve"      // a curve that ships is to be edited
	CodeShippedTrain = "shipped-train"      // the train of a press that ships is to be fitted in its file
	CodeFewJobs      = "few-jobs-for-zeros" // zeros are to be learned from too few jobs
	CodeCoverage     = "coverage-no-preset" // coverages are given in place of a preset
	CodeUnknownUnit  = "unknown-unit"       // an ink is asked for in a unit that the press does not have
	CodePapers       = "papers"             // a curve is to be learned from jobs of several papers
	CodeOneZero      = "one-zero"           // zeros are to be learned that move the keys of several inks: a warning's
	CodePaper        = "paper"              // the press's file names no curve for an ink on a paper: a warning's
	CodeManyPages    = "many-pages"         // a PDF has more pages than the one form that is wanted
	CodeSlow         = "slow-to-separate"   // a PDF takes longer than it may
	CodeSeparated    = "separated-already"  // a separation is there that a new one would replace
)

// Codes are all codes of this package's errors.
var Codes = []string{CodeNoCurve, CodeNoTarget, CodeNoTravel, CodeNoLimit, CodeUnknownInk, CodeAskedTwice, CodeTwoFilms, CodeUnplaced, CodeShippedPress, CodeShippedCurve, CodeShippedTrain, CodeFewJobs, CodeUnknownUnit, CodePapers, CodeOneZero, CodePaper, CodeCoverage, CodeManyPages, CodeSlow, CodeSeparated}

// An UnstatedError is what a press's file does not state of an ink, and nobody
// else did.
type UnstatedError struct {
	File string
	Ink  string
	code string
}

func (e *UnstatedError) Code() string { return e.code }

func (e *UnstatedError) Error() string {
	switch e.code {
	case CodeNoTarget:
		return fmt.Sprintf("%s: states no target_density for %s", e.File, e.Ink)
	case CodeNoLimit:
		return fmt.Sprintf("%s: states no density_limit for %s", e.File, e.Ink)
	}
	return fmt.Sprintf("%s: names no curve for %s", e.File, e.Ink)
}

// An UnplacedError is of a preset that does not state how its separations lie.
type UnplacedError struct{ File string }

func (e *UnplacedError) Code() string { return CodeUnplaced }

func (e *UnplacedError) Error() string {
	return e.File + ": does not state how its separations lie"
}

// A CoverageError is of a file of coverages that is given for a preset.
type CoverageError struct{ File string }

func (e *CoverageError) Code() string { return CodeCoverage }

func (e *CoverageError) Error() string { return e.File + ": holds coverages, and no keys yet" }

// A ShippedError refuses to write to a file inside the program.
type ShippedError struct {
	Called string
	code   string
}

func (e *ShippedError) Code() string { return e.code }

func (e *ShippedError) Error() string {
	if e.code != CodeShippedPress {
		return e.Called + ": ships with bladeline and is not changed"
	}
	return e.Called + ": ships with bladeline and its zeros are not written"
}

// A FewJobsError refuses to learn zeros from too few jobs.
type FewJobsError struct {
	Jobs int
	Unit string // of the press; "" of a press without units
}

func (e *FewJobsError) Code() string { return CodeFewJobs }

func (e *FewJobsError) Error() string {
	if e.Unit != "" {
		return fmt.Sprintf("takes at least %d jobs of a unit and there are %d of unit %s", learn.MinRuns, e.Jobs, e.Unit)
	}
	return fmt.Sprintf("takes at least %d jobs and there are %d", learn.MinRuns, e.Jobs)
}

// A PagesError is of a file of several pages where one form is wanted.
type PagesError struct {
	File  string
	Pages int
}

func (e *PagesError) Code() string { return CodeManyPages }

func (e *PagesError) Error() string {
	return fmt.Sprintf("%s: %d pages are %d forms, and a preset is of one", e.File, e.Pages, e.Pages)
}

// A SlowError is of a file that takes longer to separate than it may.
type SlowError struct {
	File string
	Time time.Duration
}

func (e *SlowError) Code() string { return CodeSlow }

func (e *SlowError) Error() string {
	return fmt.Sprintf("%s: is not separated after %v", e.File, e.Time)
}

// A SeparatedError is of a separation that is there already.
type SeparatedError struct{ File string }

func (e *SeparatedError) Code() string { return CodeSeparated }

func (e *SeparatedError) Error() string { return e.File + ": already exists and is not overwritten" }

// An AskedError is of what was asked for a new file, and of no file that is there.
type AskedError struct{ Err error }

func (e *AskedError) Error() string { return e.Err.Error() }
func (e *AskedError) Unwrap() error { return e.Err }

// A PapersError refuses to learn one curve from jobs of several papers.
type PapersError struct {
	Ink    string
	Papers []string
	Jobs   []int // on each
}

func (e *PapersError) Code() string { return CodePapers }

func (e *PapersError) Error() string {
	var parts []string
	for i, paper := range e.Papers {
		parts = append(parts, fmt.Sprintf("%s (%d)", settings.Quoted(paper), e.Jobs[i]))
	}
	return fmt.Sprintf("the jobs of %s were run on several papers, %s", e.Ink, strings.Join(parts, ", "))
}

// A PaperError is of inks for which the press's file names no curve on a paper. It
// is what a warning of CodePaper is about: they are preset as on any paper.
type PaperError struct {
	Paper string
	Known []string // papers that the press's file names curves for
	Inks  []string
}

func (e *PaperError) Error() string {
	return fmt.Sprintf("there is no curve for %s on the paper %s: the keys are as for the press's usual paper", strings.Join(e.Inks, ", "), settings.Quoted(e.Paper))
}

// warnings are what the inks of a form are warned of.
func (e *PaperError) warnings() []zones.Warning {
	if len(e.Inks) == 0 {
		return nil
	}
	return []zones.Warning{{Code: CodePaper, Text: e.Error(), Facts: e}}
}
