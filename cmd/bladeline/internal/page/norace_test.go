//go:build !race

package page

const slowed = 1
