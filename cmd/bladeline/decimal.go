package main

import (
	"strconv"

	"bladeline/curves/settings"

	"github.com/spf13/pflag"
)

// A decimal is the number of a flag, which may have a decimal comma, as in tables.
type decimal float64

// decimalVar defines a flag as Float64Var does.
func decimalVar(flags *pflag.FlagSet, v *float64, name string, value float64, usage string) {
	*v = value
	flags.Var((*decimal)(v), name, usage)
}

func (d *decimal) Set(text string) error {
	v, err := strconv.ParseFloat(settings.Pointed(text), 64)
	*d = decimal(v)
	return err
}

func (d *decimal) String() string { return settings.Shortest(float64(*d)) }

// Type is what a number's is called, so that help and errors say it as of others.
func (d *decimal) Type() string { return "float64" }

// A whole is the whole number of a flag. One that is too large for the machine is refused,
// where pflag's own would cut it to other bits.
type whole int

// wholeVar defines a flag as IntVar does.
func wholeVar(flags *pflag.FlagSet, v *int, name string, value int, usage string) {
	*v = value
	flags.Var((*whole)(v), name, usage)
}

func (w *whole) Set(text string) error {
	v, err := strconv.ParseInt(text, 0, strconv.IntSize)
	*w = whole(v)
	return err
}

func (w *whole) String() string { return strconv.Itoa(int(*w)) }

// Type is what a whole number's is called, so that help and errors say it as of others.
func (w *whole) Type() string { return "int" }
