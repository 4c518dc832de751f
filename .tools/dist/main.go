// Dist makes the archives of a release from the commit that is checked out, into a
// folder: one for each target that is named, with the program, its man pages, what shells
// complete, the licences of all that is in it and its bill of materials; and the
// archives' SHA-256 sums. The same commit makes the same bytes, by the same Go,
// wherever it is checked out.
package main

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"time"
)

// A target is a system and a processor that there is an archive for.
type target struct{ system, processor string }

// parseTargets reads targets as SYSTEM/PROCESSOR.
func parseTargets(args []string) (targets []target, err error) {
	for _, arg := range args {
		system, processor, is := strings.Cut(arg, "/")
		if !is || system == "" || processor == "" {
			return nil, fmt.Errorf("%s: not a target; write it as linux/arm64", arg)
		}
		targets = append(targets, target{system, processor})
	}
	if len(targets) == 0 {
		return nil, errors.New("no target is named; name them as linux/arm64 windows/amd64")
	}
	return targets, nil
}

// environment is that of commands for the target. On arm64 Go may multiply and add with
// one rounding (The Go Programming Language Specification, "Floating-point operators"),
// which changes last digits; there the compiler is told not to, so that the same
// input gives the same bytes on every machine.
func (t target) environment() []string {
	flags := "GOFLAGS=-trimpath -buildvcs=true"
	if t.processor == "arm64" {
		flags += " -gcflags=all=-d=fmahash=qn"
	}
	return append(os.Environ(), flags, "GOOS="+t.system, "GOARCH="+t.processor, "CGO_ENABLED=0", "GOAMD64=v1", "GO386=sse2", "GOARM64=v8.0", "GOEXPERIMENT=")
}

// a release is what all archives have in common.
type release struct {
	folder string // for the archives
	sbom   string // the program that writes bills of materials
	commit string
	at     time.Time // of the commit: what all files are dated
	common []entry
}

func main() {
	log.SetFlags(0)
	log.SetPrefix("dist: ")
	folder := flag.String("o", "out/dist", "write to this `FOLDER`")
	sbom := flag.String("sbom", "", "the `PROGRAM` that writes bills of materials, cyclonedx-gomod")
	flag.Parse()
	targets, err := parseTargets(flag.Args())
	if err == nil {
		err = run(*folder, *sbom, targets)
	}
	if err != nil {
		log.Fatal(err)
	}
}

func run(folder, sbom string, targets []target) error {
	r := &release{folder: folder, sbom: sbom}
	if err := r.find(); err != nil {
		return err
	}
	if err := os.RemoveAll(folder); err != nil {
		return err
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	if err := r.documents(); err != nil {
		return err
	}
	var sums strings.Builder
	for _, t := range targets {
		name, archive, err := r.archive(t)
		if err != nil {
			return fmt.Errorf("%s/%s: %w", t.system, t.processor, err)
		}
		if err := os.WriteFile(filepath.Join(folder, name), archive, 0o666); err != nil {
			return err
		}
		fmt.Fprintf(&sums, "%x  %s\n", sha256.Sum256(archive), name)
		log.Println(filepath.Join(folder, name))
	}
	return os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(sums.String()), 0o666)
}

// find finds out which commit is checked out. Changes to it are refused: nobody could
// make the same archives again.
func (r *release) find() error {
	changed, err := output(nil, "git", "status", "--porcelain")
	if err != nil {
		return err
	}
	if len(changed) > 0 {
		return fmt.Errorf("there are changes that no commit has; commit them or put them away:\n%s", changed)
	}
	said, err := output(nil, "git", "log", "-1", "--format=%h %ct", "--abbrev=12")
	if err != nil {
		return err
	}
	commit, at, _ := strings.Cut(strings.TrimSpace(string(said)), " ")
	seconds, err := strconv.ParseInt(at, 10, 64)
	r.commit, r.at = commit, time.Unix(seconds, 0).UTC()
	return err
}

// documents makes what every archive has: README, licence, examples, man pages and
// completions, as a program for this machine writes them.
func (r *release) documents() error {
	for _, name := range []string{"README.md", "LICENSE"} {
		if err := r.add(name, name); err != nil {
			return err
		}
	}
	examples, err := output(nil, "git", "ls-files", "examples")
	if err != nil {
		return err
	}
	for name := range strings.Lines(string(examples)) {
		name = strings.TrimSpace(name)
		if !strings.HasSuffix(name, ".go") {
			if err := r.add(name, name); err != nil {
				return err
			}
		}
	}
	work, err := os.MkdirTemp("", "bladeline-dist-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	program := filepath.Join(work, "bladeline")
	if _, err := output(target{runtime.GOOS, runtime.GOARCH}.environment(), "go", "build", "-o", program, "./cmd/bladeline"); err != nil {
		return err
	}
	if said, err := output(nil, program, "--version"); err != nil || !strings.Contains(string(said), r.commit) {
		return fmt.Errorf("go does not find out the commit %s, as in a work tree of git: make the archives in a clone (%w)", r.commit, cmp.Or(err, errors.New("the program does not state it")))
	}
	dated := append(os.Environ(), fmt.Sprintf("SOURCE_DATE_EPOCH=%d", r.at.Unix()))
	if _, err := output(dated, program, "docs", "man", filepath.Join(work, "man1")); err != nil {
		return err
	}
	pages, err := os.ReadDir(filepath.Join(work, "man1"))
	if err != nil {
		return err
	}
	for _, page := range pages {
		if err := r.add("man/man1/"+page.Name(), filepath.Join(work, "man1", page.Name())); err != nil {
			return err
		}
	}
	for shell, name := range map[string]string{"bash": "bladeline.bash", "zsh": "_bladeline", "fish": "bladeline.fish", "powershell": "bladeline.ps1"} {
		script, err := output(nil, program, "completion", shell)
		if err != nil {
			return err
		}
		r.common = append(r.common, entry{name: "completion/" + name, data: script})
	}
	return nil
}

func (r *release) add(name, path string) error {
	data, err := os.ReadFile(path)
	r.common = append(r.common, entry{name: name, data: data})
	return err
}

// archive makes a target's: a zip for Windows, else a tar.gz.
func (r *release) archive(t target) (name string, data []byte, err error) {
	work, err := os.MkdirTemp("", "bladeline-dist-*")
	if err != nil {
		return "", nil, err
	}
	defer os.RemoveAll(work)
	program := "bladeline"
	if t.system == "windows" {
		program += ".exe"
	}
	built := filepath.Join(work, program)
	if _, err := output(t.environment(), "go", "build", "-ldflags=-s -w", "-o", built, "./cmd/bladeline"); err != nil {
		return "", nil, err
	}
	binary, err := os.ReadFile(built)
	if err != nil {
		return "", nil, err
	}
	licences, err := licencesOf(t)
	if err != nil {
		return "", nil, err
	}
	bill, err := r.bill(built)
	if err != nil {
		return "", nil, err
	}
	entries := slices.Concat(r.common, licences, []entry{{program, binary, true}, {"sbom.cdx.json", bill, false}})
	slices.SortFunc(entries, func(a, b entry) int { return cmp.Compare(a.name, b.name) })
	folder := fmt.Sprintf("bladeline-%s-%s-%s", r.commit, t.system, t.processor)
	var b bytes.Buffer
	name, write := folder+".tar.gz", writeTar
	if t.system == "windows" {
		name, write = folder+".zip", writeZip
	}
	err = write(&b, folder, r.at, entries)
	return name, b.Bytes(), err
}

// output runs a command, in an environment unless that is nil, and returns what it
// prints. What it says else is in the error.
func output(environment []string, name string, args ...string) ([]byte, error) {
	var out, errs bytes.Buffer
	c := exec.Command(name, args...)
	c.Env, c.Stdout, c.Stderr = environment, &out, &errs
	if err := c.Run(); err != nil {
		return nil, fmt.Errorf("%s %s: %w\n%s", name, strings.Join(args, " "), err, errs.String())
	}
	return out.Bytes(), nil
}
