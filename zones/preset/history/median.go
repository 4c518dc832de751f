package history

import (
	"cmp"
	"slices"
)

// weightedMedian is the value below which half of the weight lies; the weights
// are above 0. Where a value ends the half exactly it is the middle between it
// and the next.
func weightedMedian(values, weights []float64) float64 {
	order := make([]int, len(values))
	total := 0.0
	for i := range values {
		order[i] = i
		total += weights[i]
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	sum := 0.0
	for i, at := range order {
		sum += weights[at]
		switch {
		case sum > total/2*(1+1e-12):
			return values[at]
		case sum >= total/2*(1-1e-12) && i+1 < len(order):
			return (values[at] + values[order[i+1]]) / 2
		}
	}
	return values[order[len(order)-1]]
}

// median is that of values that count alike.
func median(values []float64) float64 {
	weights := make([]float64, len(values))
	for i := range weights {
		weights[i] = 1
	}
	return weightedMedian(values, weights)
}
