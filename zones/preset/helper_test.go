package preset

import (
	"bladeline/coverage"
	"bladeline/zones"
	"bladeline/zones/press"

	"github.com/stretchr/testify/require"
)

func lay(t require.TestingT, m *coverage.Map, on *press.Press, at zones.Placement) *zones.Form {
	f, err := zones.Lay(m, on, at)
	require.NoError(t, err)
	return f
}

// valueOf is what must be known.
func valueOf[V any](t require.TestingT, v *V) V {
	require.NotNil(t, v)
	return *v
}
