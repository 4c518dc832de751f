// Package coverage reads a separation once and keeps what the setting of keys
// needs of it: the exact ink of every pixel column and row, and a coarse grid
// (Map). It knows nothing of zones, presses or keys.
package coverage
