// Package doctor finds out what a machine has of what the program uses: whether the
// main job works on it, and what each thing that is missing costs. It changes
// nothing; what it writes to try a folder is removed.
package doctor

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"runtime"

	"bladeline/cmd/bladeline/internal/ghostscript"

	"golang.org/x/sys/cpu"
)

// A Finding is what was found of one thing.
type Finding struct {
	Thing  string `json:"thing"`
	Found  string `json:"found"`
	Cost   string `json:"cost"`   // what its lack costs, and what to do about it; "" where it lacks nothing
	Broken bool   `json:"broken"` // the main job does not work without
}

// Ghostscript is the Thing that a front end says how to install.
const Ghostscript = "Ghostscript"

// Format names the JSON that WriteJSON writes; Schema is its JSON Schema.
const Format = "bladeline.doctor/1"

//go:embed doctor.schema.json
var Schema []byte

// WriteJSON writes findings as JSON.
func WriteJSON(w io.Writer, findings []Finding) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(struct {
		Format   string    `json:"format"`
		Findings []Finding `json:"findings"`
	}{Format, findings})
}

// Examine looks at all that does not depend on how the program was started.
func Examine(ctx context.Context) []Finding {
	findings := []Finding{mainJob(ctx), processor(), memory()}
	for _, f := range []struct{ thing, path, lost, do string }{
		{"this folder", ".", "", "give outputs another place with -o or --out"},
		{"temporary folder", os.TempDir(), "PDF and PostScript files, and files brought to the page, cannot be taken; ", "name a folder that can be written to with TMPDIR (on Windows TMP)"},
	} {
		findings = append(findings, folder(f.thing, f.path, f.lost, f.do))
	}
	return append(findings, theGhostscript(ctx), fonts())
}

// processor tells which innermost loops are used.
func processor() Finding {
	cores := "1 core"
	if n := runtime.GOMAXPROCS(0); n > 1 {
		cores = fmt.Sprintf("%d cores", n)
	}
	f := Finding{Thing: "processor", Found: runtime.GOARCH + ", " + cores}
	if cpu.X86.HasAVX2 && cpu.X86.HasBMI2 {
		f.Found += ", AVX2 and BMI2 used"
		return f
	}
	f.Cost = "without AVX2 and BMI2, of x86-64 alone, plates are counted the same but more slowly, uncompressed ones and Group 4 most"
	return f
}

// enoughMemory is room for a plate, 64 MiB, and for Ghostscript, which is given 1 GB.
const enoughMemory = 1200 << 20

func memory() Finding {
	f := Finding{Thing: "memory", Found: "not known on this system"}
	if bytes, known := memorySize(); known {
		f.Found = sizeOf(bytes)
		if bytes < enoughMemory {
			f.Cost = "a plate takes up to 64 MiB; large PDF pages, for which Ghostscript may take 1 GB, can fail"
		}
	}
	return f
}

// enoughRoom is what the separations of a large PDF page may take while they are
// measured: 1020 x 720 mm at 600 dpi is 0.4 GB an ink.
const enoughRoom = 2 << 30

// folder tries to write to a folder, and says how much room there is, or what is lost
// without, and what to do.
func folder(thing, path, lost, do string) Finding {
	f := Finding{Thing: thing, Found: path + ", can be written to"}
	file, err := os.CreateTemp(path, ".bladeline-*")
	if err != nil {
		f.Found, f.Cost = path+", cannot be written to", lost+do
		return f
	}
	file.Close()
	os.Remove(file.Name())
	if bytes, known := freeSpace(path); known {
		f.Found += ", " + sizeOf(bytes) + " free"
		if bytes < enoughRoom {
			f.Cost = "large PDF pages may find no room: one of 1020 x 720 mm takes 0.4 GB an ink at 600 dpi; free some, or " + do
		}
	}
	return f
}

func theGhostscript(ctx context.Context) Finding {
	f := Finding{Thing: Ghostscript}
	p, err := ghostscript.Find(ctx)
	if err != nil {
		f.Found, f.Cost = err.Error(), "PDF, PostScript and EPS files are refused; TIFF, PNG and saved coverage need no Ghostscript"
		return f
	}
	f.Found = p.Version + ", " + p.Path()
	return f
}

// fonts are none of the machine's.
func fonts() Finding {
	return Finding{Thing: "fonts", Found: "key sheets bring their own; none of this machine's are used"}
}

func sizeOf(bytes uint64) string {
	if bytes >= 1<<30 {
		return fmt.Sprintf("%.1f GB", float64(bytes)/(1<<30))
	}
	return fmt.Sprintf("%d MB", bytes>>20)
}
