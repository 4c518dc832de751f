package page

// preparedForm is a form to begin with, and what to look at.
type preparedForm struct {
	ID     string  `json:"id"`
	Title  string  `json:"title"`
	Says   string  `json:"says"` // what holds on every press, at every sweep; what stands where the page adds
	Shapes []shape `json:"shapes"`
}

var preparedForms = []preparedForm{
	{
		"tint", "An even tint", "Every zone that lies wholly under the tint takes the same, so their keys stand alike; at the ends part of a zone is bare, and takes less. What is left to choose is the sweep.",
		[]shape{{0, 0.05, 1, 0.9, 30}},
	},
	{
		"heavy-side", "One heavy side", "The zones under the solid take many times what the others do, and ask for keys as much wider. A blade of one piece cannot bend so steeply from key to key: it holds the light neighbours open.",
		[]shape{{0.05, 0.05, 0.9, 0.9, 8}, {0.65, 0.1, 0.28, 0.8, 100}},
	},
	{
		"bar", "A take-off bar", "A solid bar along the tail takes ink in every zone, so that none takes less than its key can be set by.",
		[]shape{{0.08, 0.15, 0.3, 0.5, 5}, {0.55, 0.2, 0.35, 0.6, 40}, {0, 0.88, 1, 0.075, 100}},
	},
	{
		"band", "Bands that invite ghosting", "A form roller that has inked a solid comes round with less ink where the solid was: a turn of the roller later the solid's edges come back as steps of film. No key cures it. Rehearse says which roller brings back the largest step on this press, where and by how much.",
		[]shape{{0.05, 0.02, 0.9, 0.96, 3}, {0.05, 0.04, 0.9, 0.15, 100}, {0.05, 0.43, 0.9, 0.15, 100}},
	},
}
