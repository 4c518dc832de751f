package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"bladeline/cmd/bladeline/internal/job"
	"bladeline/curves/settings"
	"bladeline/zones/press"

	"github.com/spf13/cobra"
)

func newPressNew() *cobra.Command {
	var (
		from, out string
		zoneCount int
		widthMM   float64
		firstZone string
	)
	c := &cobra.Command{
		Use:   "new NAME -o FILE.press.toml",
		Short: "Start the description of your own press from one that ships",
		Long: `new writes a press file, with comments that say what every line means, and
beside it the curve it starts from, unless that exists. Comments that speak of
the old press and of values that are no longer there go. Measure the key
spacing with a rule and read the scales on the press, then edit the file.`,
		Example: `  bladeline press new "Hall press" --from four-colour --zones 28 --zone-width 32 -o hall.press.toml`,
		Args:    exactly(1, "one name"),
		RunE: func(c *cobra.Command, args []string) error {
			if out == "" {
				return usagef("-o is missing; name the press file to write")
			}
			old, file, err := job.LoadPress(from)
			if err != nil {
				return err
			}
			asked := []setting{{settings.TOMLString(args[0]), []string{"name"}}}
			for _, s := range []struct{ flag, key, value string }{
				{"zones", "zones", strconv.Itoa(zoneCount)},
				{"zone-width", "zone_width_mm", settings.Decimal(widthMM)},
				{"first-zone", "first_zone", settings.TOMLString(firstZone)},
			} {
				if c.Flags().Changed(s.flag) {
					asked = append(asked, setting{s.value, []string{"fountain", s.key}})
				}
			}
			if file.Data, err = withSettings(file, asked); err != nil {
				return err
			}
			file.Data = withoutOld(file.Data, old, asked)
			return writeNewPress(c.OutOrStdout(), file, out)
		},
	}
	c.Flags().StringVar(&from, "from", "two-colour", "the `PRESS` to start from: a file, or a name that press list shows")
	c.Flags().StringVarP(&out, "output", "o", "", "the `FILE` to write")
	c.Flags().IntVar(&zoneCount, "zones", 0, "`N` keys across the fountain")
	c.Flags().Float64Var(&widthMM, "zone-width", 0, "`MM` from key to key")
	c.Flags().StringVar(&firstZone, "first-zone", "", "`SIDE` of a pulled sheet where key 1 is, lead edge nearest you: left or right")
	return c
}

// A setting is a value, as TOML, and the path of its key.
type setting struct {
	value string
	path  []string
}

// withSettings is a file with other values.
func withSettings(file job.Settings, asked []setting) ([]byte, error) {
	data := file.Data
	for _, s := range asked {
		var err error
		if data, err = settings.SetValue(file.Name, data, s.value, s.path...); err != nil {
			if e, ok := errors.AsType[*settings.FileError](err); ok {
				e.Do = "start from another press"
			}
			return nil, err
		}
	}
	return data, nil
}

// withoutOld is a press's file without what its comments say of the press that it
// was begun from: its head's first words, and what is said with figures of keys
// whose values are others now. The fountain's width follows from two of them.
func withoutOld(data []byte, old *press.Press, asked []setting) []byte {
	data = settings.RemoveHead(data)
	values := map[string]string{
		"name": settings.TOMLString(old.Name), "first_zone": settings.TOMLString(string(old.Fountain.FirstZone)),
		"zones": strconv.Itoa(old.Fountain.Zones), "zone_width_mm": settings.Decimal(old.Fountain.ZoneWidthMM),
	}
	for _, s := range asked {
		key := s.path[len(s.path)-1]
		was := values[key]
		if was == s.value {
			continue
		}
		speaks := func(comment string) bool { return speaksOf(comment, strings.Trim(was, `"`)) }
		data = settings.RemoveComments(data, speaks, s.path...)
		if key == "zones" || key == "zone_width_mm" {
			data = settings.RemoveComments(data, speaks, "fountain", "zones")
			data = settings.RemoveComments(data, speaks, "fountain", "zone_width_mm")
		}
	}
	return data
}

// numberedKey names a key, as "zone 1", and is no figure of the press's own.
var numberedKey = regexp.MustCompile(`(?i)\b(key|screw|zone) \d+`)

// speaksOf tells whether a comment speaks of a value: names it, or has figures.
func speaksOf(comment, value string) bool {
	return strings.Contains(comment, value) || strings.ContainsAny(numberedKey.ReplaceAllString(comment, ""), "0123456789")
}

// writeNewPress writes a press and the curves it names, each where the press
// looks for it.
func writeNewPress(w io.Writer, file job.Settings, out string) error {
	if _, err := os.Lstat(out); err == nil {
		return fmt.Errorf("%s: already exists and is not overwritten; choose another name", out)
	}
	press, err := press.Parse("the new press", file.Data)
	if err != nil {
		return usageError{err}
	}
	files := []job.File{job.Bytes(out, file.Data)}
	names := append(slices.Collect(maps.Values(press.Curves)), press.DefaultCurve)
	slices.Sort(names)
	for _, name := range slices.Compact(names) {
		place := filepath.Join(filepath.Dir(out), name)
		if _, err := os.Lstat(place); err == nil || name == "" || filepath.IsAbs(name) {
			continue
		}
		curve, err := file.Beside(name)
		if err != nil {
			return err
		}
		files = append(files, job.Bytes(place, curve.Data))
	}
	if err := job.WriteFiles(files); err != nil {
		return err
	}
	for _, f := range files {
		fmt.Fprintln(w, "wrote", printable(f.Path))
	}
	return nil
}
