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

func (d *decimal) String() string { return strconv.FormatFloat(float64(*d), 'g', -1, 64) }

// Type is what a number's is called, so that help and errors say it as of others.
func (d *decimal) Type() string { return "float64" }
