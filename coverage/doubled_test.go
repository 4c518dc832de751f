package coverage

import (
	"bytes"
	"encoding/binary"
	"strings"
	"testing"

	"github.com/klauspost/compress/zlib"
	"github.com/stretchr/testify/require"
)

func TestDoubledKey(t *testing.T) {
	for text, want := range map[string]string{
		`{"a": 1, "b": 2, "a": 3}`:                            "a",
		`{"a": {"b": [{"c": 1}, {"d": 1, "d": 2}]}}`:          "d",
		`{"a": {}, "b": [], "a": null}`:                       "a",
		`[{"x": "x", "y": "x"}, [["x", "x"]], {"z":1,"z":2}]`: "z",
		`{"a": 1, "\u0061": 2}`:                               "a",
		`{"": 1, "": 2}`:                                      "",
	} {
		key, offset, doubled := DoubledKey([]byte(text))
		require.True(t, doubled, text)
		require.Equal(t, want, key, text)
		require.Equal(t, byte('"'), text[offset], text)
		require.Positive(t, strings.Count(text[:offset], `"`), "the second is meant")
	}
	for _, text := range []string{
		`{"a": {"a": [{"a": 1}, {"a": "a"}]}, "A": "a"}`, `["a", "a"]`, `"a"`, `{}`, `{"a": "b", "b": "a"}`, `{"a": 1, "a`, ``,
	} {
		_, _, doubled := DoubledKey([]byte(text))
		require.False(t, doubled, text)
	}
}

// TestSavedKeyTwice: a saved description that says a thing twice is damaged.
func TestSavedKeyTwice(t *testing.T) {
	_, data := savedExample(t)
	inflate, err := zlib.NewReader(bytes.NewReader(data[len(savedMagic):]))
	require.NoError(t, err)
	src := new(bytes.Buffer)
	_, err = src.ReadFrom(inflate)
	require.NoError(t, err)
	length, err := binary.ReadUvarint(src)
	require.NoError(t, err)
	text := strings.Replace(string(src.Next(int(length))), `"page":1`, `"page":7,"page":1`, 1)
	again := bytes.NewBufferString(savedMagic)
	packed := zlib.NewWriter(again)
	_, err = packed.Write(append(append(binary.AppendUvarint(nil, uint64(len(text))), text...), src.Bytes()...))
	require.NoError(t, err)
	require.NoError(t, packed.Close())
	_, err = measured(t, written(t, "job.cover", again.Bytes()), Options{})
	require.ErrorContains(t, err, `the key "page" appears twice in its description; measure the separations again`)
}
