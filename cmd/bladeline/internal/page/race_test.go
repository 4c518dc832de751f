//go:build race

package page

// slowed is how many times longer the race detector may make things take: 2 to
// 20 (Go documentation, "Data Race Detector").
const slowed = 20
