package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"bladeline/cmd/bladeline/internal/doctor"
	"bladeline/cmd/bladeline/internal/hotfolder"
	"bladeline/zones/preset"
	"bladeline/zones/preset/history"
	"bladeline/zones/preset/rehearsal"
	"bladeline/zones/preset/rollerchart"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"bladeline": main})
}

// today is the day that the scripts and README are run on, 26 November 2026, in
// seconds since 1970.
const today = "1795651200"

// TestScripts runs the program as its users do. UPDATE_GOLDEN=1 writes what
// comes out into the scripts' cmp files.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	require.NoError(t, err)
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       os.Getenv("UPDATE_GOLDEN") != "",
		Setup: func(e *testscript.Env) error {
			e.Setenv("SOURCE_DATE_EPOCH", today)
			return os.Symlink(examples, filepath.Join(e.WorkDir, "examples"))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status": status,
			"raster": raster,
			"column": column,
		},
	})
}

// status N bladeline ARG... runs the program and wants the exit status N. It
// holds what the program promises of every run: JSON follows its schema, and a
// refusal is one line on standard error and nothing on standard output.
func status(ts *testscript.TestScript, _ bool, args []string) {
	err := ts.Exec(args[1], args[2:]...)
	got := 0
	if exit, ok := errors.AsType[*exec.ExitError](err); ok {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	stdout, stderr := ts.ReadFile("stdout"), ts.ReadFile("stderr")
	if strconv.Itoa(got) != args[0] {
		ts.Fatalf("exit status %d, want %s; standard error: %s", got, args[0], stderr)
	}
	if got == statusFailed || got == statusUsage {
		if stdout != "" {
			ts.Fatalf("refused, but standard output has %q", stdout)
		}
		ts.Check(oneMessage(stderr))
	}
	if strings.HasPrefix(stdout, "{") {
		ts.Check(checkSchema([]byte(stdout)))
	}
	for _, arg := range args {
		if filepath.Ext(arg) != ".json" { // some are devices, which never end
			continue
		}
		if data, err := os.ReadFile(ts.MkAbs(arg)); err == nil {
			ts.Check(checkSchema(data))
		}
	}
}

// oneMessage wants one line that begins as all of the program's do.
func oneMessage(stderr string) error {
	line, rest, ended := strings.Cut(stderr, "\n")
	if !strings.HasPrefix(line, "bladeline: ") || !ended || rest != "" {
		return fmt.Errorf("%q is not one line of bladeline", stderr)
	}
	return nil
}

// checkSchema holds JSON against the schema of the format that it states.
func checkSchema(data []byte) error {
	var stated struct{ Format string }
	if err := json.Unmarshal(data, &stated); err != nil {
		return err
	}
	text, ok := map[string][]byte{
		preset.Format: preset.Schema, preset.CoverageFormat: preset.CoverageSchema,
		preset.EstimateFormat: preset.EstimateSchema, preset.CompareFormat: preset.CompareSchema,
		preset.ChangeFormat: preset.ChangeSchema, history.Format: history.Schema,
		rollerchart.Format: rollerchart.Schema, rehearsal.Format: rehearsal.Schema,
		doctor.Format:          doctor.Schema,
		hotfolder.StatusFormat: hotfolder.StatusSchema,
	}[stated.Format]
	if !ok {
		return fmt.Errorf("no schema for the format %q", stated.Format)
	}
	schema, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return err
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource(stated.Format, schema); err != nil {
		return err
	}
	compiled, err := compiler.Compile(stated.Format)
	if err != nil {
		return err
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		return err
	}
	return compiled.Validate(v)
}

// TestSchemaCheckBites shows that checkSchema refuses what it should.
func TestSchemaCheckBites(t *testing.T) {
	require.Error(t, checkSchema([]byte(`{"format": "`+preset.Format+`"}`)))
	require.Error(t, checkSchema([]byte(`{"format": "`+preset.CoverageFormat+`", "separations": [], "warnings": [], "more": 1}`)))
	require.Error(t, checkSchema([]byte(`{"format": "`+preset.EstimateFormat+`"}`)))
	require.Error(t, checkSchema([]byte(`{"format": "`+preset.CompareFormat+`"}`)))
	require.Error(t, checkSchema([]byte(`{"format": "`+preset.ChangeFormat+`"}`)))
	require.Error(t, checkSchema([]byte(`{"format": "`+rollerchart.Format+`"}`)))
	require.Error(t, checkSchema([]byte(`{"format": "`+hotfolder.StatusFormat+`"}`)))
	require.Error(t, checkSchema([]byte(`{"format": "unheard of"}`)))
}

// column FILE INK COLUMN VALUE... wants the values, by zone, in a column of a
// preset's or a measurement's CSV, numbers to 1e-9. "stdout" is a FILE.
func column(ts *testscript.TestScript, neg bool, args []string) {
	rows, err := readCSV(ts.ReadFile(args[0]))
	ts.Check(err)
	at := slices.Index(rows[0], args[2])
	if at < 0 {
		ts.Fatalf("%s has no column %s", args[0], args[2])
	}
	var got []string
	for _, row := range rows[1:] {
		if row[slices.Index(rows[0], "ink")] == args[1] {
			got = append(got, row[at])
		}
	}
	if slices.EqualFunc(got, args[3:], same) == neg {
		ts.Fatalf("%s of %s: %s, want %s", args[2], args[1], strings.Join(got, " "), strings.Join(args[3:], " "))
	}
}

func same(a, b string) bool {
	x, errA := strconv.ParseFloat(a, 64)
	y, errB := strconv.ParseFloat(b, 64)
	return a == b || errA == nil && errB == nil && math.Abs(x-y) <= 1e-9
}
