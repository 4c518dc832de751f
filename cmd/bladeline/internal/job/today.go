package job

import (
	"fmt"
	"os"
	"strconv"
	"time"

	"bladeline/curves/settings"
)

// epochVariable says, in seconds, what time it is to be taken for, so that outputs
// are the same whenever they are made: reproducible-builds.org, "SOURCE_DATE_EPOCH".
const epochVariable = "SOURCE_DATE_EPOCH"

// Today is the day that presets are dated, as 2026-11-26.
func Today() (string, error) {
	text, set := os.LookupEnv(epochVariable)
	if !set || text == "" {
		return time.Now().Format(time.DateOnly), nil
	}
	seconds, err := strconv.ParseInt(text, 10, 64)
	day := time.Unix(seconds, 0).UTC()
	if err != nil || day.Year() < 0 || day.Year() > 9999 {
		return "", fmt.Errorf("%s=%s: not a time; write seconds since 1970, or unset it", epochVariable, settings.Quoted(text))
	}
	return day.Format(time.DateOnly), nil
}
