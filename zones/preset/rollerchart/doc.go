// Package rollerchart says what the roller train of a press is: its rollers, how
// large they are, what they touch, and how far apart the marks lie that they leave on
// the sheet. It holds what was measured on them against what the press's file says.
//
// Lengths are in mm. What it finds of measured rollers is common practice; the
// press's manual comes before it.
package rollerchart
