package settings

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestRemoveComments(t *testing.T) {
	const file = "# of the file\n\n[a]\n# above,\n# in 2 lines\nzones = 21   # 1 to 21\nother = 3 # 4\n\n# alone\nlist = [1, # one\n  2] # two\r\nlast = 5 # 6"
	all := func(string) bool { return true }
	for _, c := range []struct{ key, gone, left string }{
		{"zones", "# above,\n# in 2 lines\nzones = 21   # 1 to 21", "zones = 21"},
		{"other", " # 4", ""},
		{"list", "# alone\nlist = [1, # one\n  2] # two\r", "list = [1, # one\n  2]\r"},
		{"last", " # 6", ""},
		{"none", "", ""},
	} {
		assert.Equal(t, strings.Replace(file, c.gone, c.left, 1), string(RemoveComments([]byte(file), all, "a", c.key)), c.key)
	}
	var asked []string
	assert.Equal(t, file, string(RemoveComments([]byte(file), func(s string) bool { asked = append(asked, s); return false }, "a", "zones")))
	assert.Equal(t, []string{"# 1 to 21", "# above,\n# in 2 lines\n"}, asked)
}

func TestRemoveHead(t *testing.T) {
	for file, want := range map[string]string{
		"# A press\n# of mine.\n#\n# Copy it.\n\na = 1\n": "# Copy it.\n\na = 1\n",
		"\ufeff# A press\r\n\r\na = 1\r\n":                "\ufeffa = 1\r\n",
		"\n# A press.\n#\n#\n\n# Copy it.\na = 1":         "# Copy it.\na = 1",
		"# A press.\na = 1 # one\n":                       "a = 1 # one\n",
		"a = 1\n# A press.\n":                             "a = 1\n# A press.\n",
		"\n\na = 1":                                       "\n\na = 1",
		"# A press.":                                      "",
		"":                                                "",
	} {
		assert.Equal(t, want, string(RemoveHead([]byte(file))), "%q", file)
	}
}
