package main

import (
	"math"
	"math/rand/v2"
)

// dispersed is a stochastic screen of the first order: every pixel is inked in
// the middle of the largest void left, as in the void-and-cluster method
// (Ulichney, 1993), from a few pixels inked at random on.
func dispersed() [][]uint8 {
	const side, reach, sigma = 128, 9, 1.5
	near := square[float64](2*reach + 1)
	for y := range near {
		for x := range near[y] {
			dx, dy := float64(x-reach), float64(y-reach)
			near[y][x] = math.Exp(-(dx*dx + dy*dy) / (2 * sigma * sigma))
		}
	}
	rank, crowd := square[float64](side), square[float64](side)
	ink := func(x, y, nth int) {
		rank[y][x] = float64(nth)
		crowd[y][x] = math.Inf(1)
		for dy, row := range near {
			for dx, v := range row {
				crowd[(y+dy-reach+side)%side][(x+dx-reach+side)%side] += v
			}
		}
	}
	rnd := rand.New(rand.NewPCG(1993, 0))
	for nth := range side * side {
		x, y := emptiest(crowd)
		if nth < side {
			x, y = rnd.IntN(side), rnd.IntN(side)
		}
		ink(x, y, nth)
	}
	return ranked(side, func(x, y int) float64 { return -rank[y][x] })
}

// emptiest is the place of the least value.
func emptiest(crowd [][]float64) (x, y int) {
	least := math.Inf(1)
	for j, row := range crowd {
		for i, v := range row {
			if v < least {
				least, x, y = v, i, j
			}
		}
	}
	return x, y
}

// enlarged makes every pixel a square of so many px.
func enlarged(small [][]uint8, by int) [][]uint8 {
	large := square[uint8](len(small) * by)
	for y, row := range large {
		for x := range row {
			row[x] = small[y/by][x/by]
		}
	}
	return large
}

// clustered is a stochastic screen of the second order: spots of noise of one
// size, about 5 px, that grow into worms where the tone is half.
func clustered() [][]uint8 {
	const side = 512
	noise := square[float64](side)
	rnd := rand.New(rand.NewPCG(2, 0))
	for _, row := range noise {
		for x := range row {
			row[x] = rnd.NormFloat64()
		}
	}
	fine := softened(noise, 1.8)
	coarse := softened(fine, 2.6)
	return ranked(side, func(x, y int) float64 { return fine[y][x] - coarse[y][x] })
}

// softened is the convolution of a period with a bell curve of sigma px.
func softened(m [][]float64, sigma float64) [][]float64 {
	return softenedRows(softenedRows(m, sigma), sigma)
}

// softenedRows softens along the rows and turns them into columns.
func softenedRows(m [][]float64, sigma float64) [][]float64 {
	side, reach := len(m), int(4*sigma)
	out := square[float64](side)
	for d := -reach; d <= reach; d++ {
		weight := math.Exp(-float64(d*d)/(2*sigma*sigma)) / (sigma * math.Sqrt(2*math.Pi))
		for y, row := range m {
			for x := range row {
				out[x][y] += weight * row[(x+d+side)%side]
			}
		}
	}
	return out
}
