// Peers times bladeline against C programs that count the same ink through
// libtiff and libpng, and against libvips where it is installed. It runs from
// the module's root:
//
//	go run ./coverage/testdata/peers [-plates DIR] [-runs N] [-only REGEXP]
//
// Plates are made in DIR and kept, with what the generator knows of each in a
// file of facts beside it: delete them to have them made anew. Every run's
// coverage is compared; where two differ, the exit status is 1.
package main

import (
	"flag"
	"fmt"
	"os"
	"regexp"
	"slices"
)

func main() {
	only := regexp.MustCompile("")
	plates := flag.String("plates", "out/plates", "the `folder` that plates are kept in")
	runs := flag.Int("runs", 5, "how often each program reads each plate; 0 makes the plates and times nothing")
	flag.TextVar(only, "only", only, "take the rows whose title or file matches this `regexp`")
	flag.Parse()
	if *runs < 0 || flag.NArg() > 0 {
		flag.Usage()
		os.Exit(2)
	}
	if err := run(*plates, *runs, only); err != nil {
		fmt.Fprintln(os.Stderr, "peers:", err)
		os.Exit(1)
	}
}

func run(dir string, runs int, only *regexp.Regexp) error {
	against, growth, kinds := selected(comparisons(), only), selected(growths(), only), selected(varied(), only)
	all := slices.Concat(against, growth, kinds)
	if len(all) == 0 {
		return fmt.Errorf("-only %s: matches no row; leave it out to see them all", only)
	}
	built, err := os.MkdirTemp("", "peers")
	if err != nil {
		return err
	}
	defer os.RemoveAll(built)
	t := tools{built}
	if err := t.build(); err != nil {
		return err
	}
	if err := t.makePlates(dir, all); err != nil || runs == 0 {
		return err
	}
	printMachine(runs)
	if err := compare(t, dir, runs, against); err != nil {
		return err
	}
	if err := grow(t, dir, runs, growth); err != nil {
		return err
	}
	return vary(t, dir, runs, kinds)
}

// compare prints the first table, a row as soon as it is known.
func compare(t tools, dir string, runs int, rows []row) error {
	if len(rows) == 0 {
		return nil
	}
	printHeading()
	for _, r := range rows {
		if r.missing() {
			printMissing(r)
			continue
		}
		res, err := t.race(dir, r, runs)
		if err != nil {
			return err
		}
		printResult(res)
	}
	return nil
}

// grow prints the second table: the time that plates of the same width and
// growing height take.
func grow(t tools, dir string, runs int, rows []row) error {
	if len(rows) == 0 {
		return nil
	}
	printGrowthHeading()
	for _, r := range rows {
		res, err := t.race(dir, r, runs)
		if err != nil {
			return err
		}
		printGrowth(res)
	}
	return nil
}

// vary prints the third table: what plates of Group 4 take, whatever they carry.
func vary(t tools, dir string, runs int, rows []row) error {
	if len(rows) == 0 {
		return nil
	}
	printKindHeading()
	results := map[string][]result{}
	for _, r := range rows {
		res, err := t.race(dir, r, runs)
		if err != nil {
			return err
		}
		printKind(res)
		results[r.strips] = append(results[r.strips], res)
	}
	for _, s := range strips {
		printWorst(s.title, results[s.title])
	}
	return nil
}
