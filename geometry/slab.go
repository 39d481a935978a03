package geometry

import "slices"

// Trapezoid is a piece of a slab: all of one label, between two straight lines.
// Elevations are metres; From and To mean the slab's two offsets.
type Trapezoid struct {
	Label                int
	BottomFrom, BottomTo float64
	TopFrom, TopTo       float64
}

// Slab is the part of a cross-section between two offsets, From < To, as a
// stack of trapezoids from the bottom up. Neighbours in the stack share a line
// or have a gap between them; they never overlap.
type Slab struct {
	From, To float64
	Stack    []Trapezoid
}

// Strip is the part of a cross-section between two offsets in which every one
// of a set of lines is straight and no two of them cross. Left and Right hold
// each line's elevation at the two offsets, in the order of the lines.
type Strip struct {
	From, To    float64
	Left, Right []float64
}

// Measure returns the area between two lines of the strip and its moment about
// the centreline; both are negative where the upper line lies below the lower.
// The area of a trapezoid and its moment are exact for straight lines.
func (s Strip) Measure(lower, upper int) Measure {
	return trapezoid(s.From, s.To, s.Left[upper]-s.Left[lower], s.Right[upper]-s.Right[lower])
}

// Middle returns a line's elevation half way between the strip's offsets.
func (s Strip) Middle(line int) float64 {
	return (s.Left[line] + s.Right[line]) / 2
}

// Measure returns the area of one trapezoid of the stack and its moment.
func (s Slab) Measure(i int) Measure {
	return s.Stack[i].Measure(s.From, s.To)
}

// Measure returns the area of a trapezoid between two offsets and its moment
// about the centreline.
func (t Trapezoid) Measure(from, to float64) Measure {
	return trapezoid(from, to, t.TopFrom-t.BottomFrom, t.TopTo-t.BottomTo)
}

// trapezoid integrates a height that runs straight from h0 at a to h1 at b.
func trapezoid(a, b, h0, h1 float64) Measure {
	l := b - a
	return Measure{
		Area:   l * (h0 + h1) / 2,
		Moment: l * (h0*(2*a+b) + h1*(a+2*b)) / 6,
	}
}

// Strips cuts the lines into vertical strips between two offsets and hands them
// to visit from left to right. Every line must span from..to; what a line says
// beyond is not looked at. A strip's slices are good until visit returns.
func Strips(lines []Line, from, to float64, visit func(Strip)) {
	if !(from < to) {
		return
	}
	breaks := breakpoints(lines, from, to)
	n := len(lines)
	cursor := make([]int, n)
	buffer := make([]float64, 4*n)
	whole := Strip{Left: buffer[:n], Right: buffer[n : 2*n]}
	part := Strip{Left: buffer[2*n : 3*n], Right: buffer[3*n:]}
	var crossings []float64
	for i := 1; i < len(breaks); i++ {
		whole.From, whole.To = breaks[i-1], breaks[i]
		for j, l := range lines {
			whole.Left[j], whole.Right[j] = l.over(&cursor[j], whole.From, whole.To)
		}
		crossings = whole.crossings(crossings[:0])
		if len(crossings) == 0 {
			visit(whole)
			continue
		}
		whole.split(crossings, part, visit)
	}
}

// breakpoints returns every offset at which a line has a knot, between from
// and to, with both, rising and without repeats.
func breakpoints(lines []Line, from, to float64) []float64 {
	n := 2
	for _, l := range lines {
		n += len(l)
	}
	out := make([]float64, 0, n)
	out = append(out, from, to)
	for _, l := range lines {
		for _, k := range l {
			if k.Offset > from && k.Offset < to {
				out = append(out, k.Offset)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// over returns the line's elevation just after a and just before b, where no
// knot lies between them. The cursor is the index of the last knot at or
// before a; it only ever moves up.
func (l Line) over(cursor *int, a, b float64) (left, right float64) {
	i := *cursor
	for i+1 < len(l) && l[i+1].Offset <= a {
		i++
	}
	*cursor = i
	if i+1 == len(l) { // only when a is the line's end, which no strip starts at
		return l[i].Elevation, l[i].Elevation
	}
	return between(l[i], l[i+1], a), between(l[i], l[i+1], b)
}

// crossings appends the offsets inside the strip at which two lines cross.
func (s Strip) crossings(out []float64) []float64 {
	for i := range s.Left {
		for j := range i {
			d0, d1 := s.Left[i]-s.Left[j], s.Right[i]-s.Right[j]
			if (d0 < 0 && d1 > 0) || (d0 > 0 && d1 < 0) {
				x := s.From + (s.To-s.From)*(d0/(d0-d1))
				if x > s.From && x < s.To {
					out = append(out, x)
				}
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// split hands the strip on in parts, cut at rising offsets inside it.
func (s Strip) split(at []float64, part Strip, visit func(Strip)) {
	part.From = s.From
	copy(part.Left, s.Left)
	for _, x := range append(at, s.To) {
		part.To = x
		if x == s.To {
			copy(part.Right, s.Right)
		} else {
			for j := range s.Left {
				part.Right[j] = between(Knot{s.From, s.Left[j]}, Knot{s.To, s.Right[j]}, x)
			}
		}
		visit(part)
		part.From = x
		copy(part.Left, part.Right)
	}
}
