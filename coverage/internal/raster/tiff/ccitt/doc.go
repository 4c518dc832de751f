// Package ccitt decodes the bilevel codings of ITU-T T.4 and T.6 into run
// ends. No pixel is ever painted: the cost follows the transitions of the
// picture, not its area.
//
// Names are the recommendations': a0, a1, a2 are changing elements of the row
// being decoded, b1 and b2 of the row above (the reference line).
package ccitt
