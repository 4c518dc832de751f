package page

// preparedForm is a form to begin with, and what to look at.
type preparedForm struct {
	ID     string  `json:"id"`
	Title  string  `json:"title"`
	Says   string  `json:"says"`
	Shapes []shape `json:"shapes"`
}

var preparedForms = []preparedForm{
	{
		"tint", "An even tint", "Every zone takes the same, so every key stands alike: what is left to choose is the sweep.",
		[]shape{{0.05, 0.05, 0.9, 0.9, 30}},
	},
	{
		"heavy-side", "One heavy side", "The keys under the solid open wide while the others nearly close; a one-piece blade pulls the light neighbours open.",
		[]shape{{0.05, 0.05, 0.9, 0.9, 8}, {0.65, 0.1, 0.28, 0.8, 100}},
	},
	{
		"bar", "A take-off bar", "A solid bar along the tail takes ink in every zone, so that light zones need no key that is all but shut.",
		[]shape{{0.08, 0.15, 0.3, 0.5, 5}, {0.55, 0.2, 0.35, 0.6, 40}, {0.03, 0.93, 0.94, 0.04, 100}},
	},
	{
		"band", "A band that invites ghosting", "One band takes all the ink at once, and then nothing follows: the mean is low, the keys are low, and the band starves.",
		[]shape{{0.05, 0.05, 0.9, 0.1, 4}, {0.05, 0.55, 0.9, 0.13, 100}, {0.4, 0.2, 0.2, 0.3, 100}},
	},
}
