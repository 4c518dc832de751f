package ccitt

// Group4 decodes ITU-T T.6: every row is coded against the one above.
type Group4 struct{ rows }

// Row decodes one row.
func (g *Group4) Row() ([]int32, error) { return g.finish(g.twoDimensional()) }
