// Package zones lays a separation on the ink fountain of a press and says
// where every key goes: the press, the placement, the coverage of each zone,
// the key scale, and the preset with its files. It draws nothing, and opens
// no file itself.
package zones
