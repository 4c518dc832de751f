package preset

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestDoubledKeys: a key that stands twice is refused by name, wherever it does.
func TestDoubledKeys(t *testing.T) {
	text := jsonOf(t, gull(t))
	doubled := strings.Replace(text, `"job": `, "\"job\": \"Tern\",\n  \"job\": ", 1)
	_, err := ReadJSON("gull.json", strings.NewReader(doubled))
	assert.EqualError(t, err, `gull.json: line 4, column 3: the key "job" stands twice in one object; keep one of the two`)
	_, err = ReadJSON("gull.json", strings.NewReader(strings.Replace(text, `"key": 1.375`, `"key": 0, "key": 1.375`, 1)))
	assert.ErrorContains(t, err, `the key "key" stands twice in one object; keep one of the two`)
}
