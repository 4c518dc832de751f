package main

import (
	"bytes"
	"encoding/json"
)

// bill is the bill of materials of a program, in CycloneDX. What it says of the
// program that wrote it is taken out: sums of that, which differ from machine to
// machine.
func (r *release) bill(program string) ([]byte, error) {
	said, err := output(nil, r.sbom, "bin", "-json", "-noserial", "-notimestamp", "-std", "-licenses", "-version", r.commit, program)
	if err != nil {
		return nil, err
	}
	var bill map[string]any
	if err := json.Unmarshal(said, &bill); err != nil {
		return nil, err
	}
	if about, is := bill["metadata"].(map[string]any); is {
		delete(about, "tools")
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err = e.Encode(bill)
	return b.Bytes(), err
}
