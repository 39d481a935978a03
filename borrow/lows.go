package borrow

import "math"

// lows is how low the pit's floor comes at the least, by squares of the plan: where
// it lies a depth below the ground, or follows layers, no one level tells which
// sides it hides.
type lows struct {
	box   box
	level []float64 // row by row from the lowest y, m; +Inf where nothing may be dug
}

// lowsAcross is the number of squares along each way. It sets time alone.
const lowsAcross = 64

// lowsOf finds the lows of a dig's floor. It names ground to the dig on the way.
func (r *prepared) lowsOf(d *dig) *lows {
	l := &lows{r.o.box, make([]float64, lowsAcross*lowsAcross)}
	for i := range l.level {
		l.level[i] = math.Inf(1)
	}
	r.tasks.each(func(i int32, t *task) {
		d.under(i, t)
		least := math.Inf(-1)
		for _, f := range d.floors {
			low, _ := f.span(t.cell)
			least = max(least, low)
		}
		west, east := affine{x: 1}.span(t.cell)
		south, north := affine{y: 1}.span(t.cell)
		l.each(west, east, south, north, func(z *float64) { *z = min(*z, least) })
	})
	return l
}

// each visits the squares that a box touches.
func (l *lows) each(west, east, south, north float64, use func(*float64)) {
	square := func(v float64, way int) int {
		k := math.Floor((v - l.box.mid[way] + l.box.half[way]) / (2 * l.box.half[way]) * lowsAcross)
		return int(min(max(k, 0), lowsAcross-1))
	}
	first, last := square(west, 0), square(east, 0)
	for row := square(south, 1); row <= square(north, 1); row++ {
		for col := first; col <= last; col++ {
			use(&l.level[row*lowsAcross+col])
		}
	}
}

// over is the lowest of the floor in a box, m. The box is taken wider by touch,
// within which a cell beside it counts as in it.
func (l *lows) over(b box) float64 {
	least := math.Inf(1)
	l.each(b.mid[0]-b.half[0]-touch, b.mid[0]+b.half[0]+touch, b.mid[1]-b.half[1]-touch, b.mid[1]+b.half[1]+touch,
		func(z *float64) { least = min(least, *z) })
	return least
}
