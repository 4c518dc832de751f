package main

import (
	"encoding/csv"
	"os"
	"strings"

	"bladeline/coverage/coveragetest"

	"github.com/rogpeppe/go-internal/testscript"
)

// raster FILE WxH DPI [WORD]... [NAME:]N,N,... makes a plate; coveragetest.Plate
// says what the words mean.
func raster(ts *testscript.TestScript, _ bool, args []string) {
	ts.Check(writePlate(ts.MkAbs(args[0]), args[1:]...))
}

func writePlate(path string, args ...string) error {
	file, err := coveragetest.Plate(path, args...)
	if err != nil {
		return err
	}
	return os.WriteFile(path, file, 0o666)
}

func readCSV(text string) ([][]string, error) {
	return csv.NewReader(strings.NewReader(text)).ReadAll()
}
