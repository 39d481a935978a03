package geometry

// SameLevel is the height below which two lines are taken to touch, m. It
// guards the rounding of elevations that were converted from feet, which is
// near 1e-13 m, and is far below what any survey can see.
const SameLevel = 1e-9

// Extent is where an upper line lies above a lower one, connected with a given
// stretch of offsets.
type Extent struct {
	// Parts are the stretches, from left to right. Usually there is one; when
	// the stretch asked for is partly below the lower line there may be more.
	Parts []Interval
	// OpenLeft and OpenRight say that the upper line is still above the lower
	// one where the lines end.
	OpenLeft, OpenRight bool
	// Touch is where the two lines just meet within the stretch asked for, when
	// there are no Parts; empty else.
	Touch Interval
	// Beyond is the area between the lines elsewhere, m2.
	Beyond float64
}

// Interval is a stretch of offsets.
type Interval struct {
	From, To float64
}

// Width is the interval's length, m.
func (i Interval) Width() float64 { return i.To - i.From }

// Hull returns the interval from the first part's start to the last part's
// end, or Touch when there are no parts.
func (e Extent) Hull() Interval {
	if len(e.Parts) == 0 {
		return e.Touch
	}
	return Interval{e.Parts[0].From, e.Parts[len(e.Parts)-1].To}
}

// Above finds where upper lies above lower between from and to, connected with
// the stretch core (which may be a single offset). Where the lines touch, at a
// point or over a stretch, and the upper one rises again, they are taken to go
// on; where it then falls below, the part ends where the touch began. Both lines must span
// from..to.
func Above(lower, upper Line, from, to float64, core Interval) Extent {
	var e Extent
	run := run{core: core}
	Strips([]Line{lower, upper}, from, to, func(s Strip) {
		l, r := s.Left[1]-s.Left[0], s.Right[1]-s.Right[0]
		switch {
		case l > SameLevel || r > SameLevel:
			run.grow(s, s.Measure(0, 1).Area)
		case l < -SameLevel || r < -SameLevel:
			run.end(&e, from)
		default:
			// The run goes on if the upper line rises again; at.To stays.
			e.touch(s, core)
		}
	})
	e.OpenRight = run.open && run.wanted && run.at.To == to
	run.end(&e, from)
	if len(e.Parts) > 0 {
		e.Touch = Interval{}
	}
	return e
}

// run is a stretch of neighbouring strips in which the upper line is above.
type run struct {
	core         Interval
	open, wanted bool
	at           Interval
	area         float64
}

func (r *run) grow(s Strip, area float64) {
	if !r.open {
		*r = run{core: r.core, open: true, at: Interval{s.From, s.To}}
	}
	r.at.To = s.To
	r.area += area
	if r.core.Width() > 0 {
		r.wanted = r.wanted || (s.From < r.core.To && s.To > r.core.From)
	} else {
		r.wanted = r.wanted || (s.From <= r.core.From && s.To >= r.core.From)
	}
}

func (r *run) end(e *Extent, from float64) {
	if !r.open {
		return
	}
	r.open = false
	if !r.wanted {
		e.Beyond += r.area
		return
	}
	e.Parts = append(e.Parts, r.at)
	e.OpenLeft = e.OpenLeft || r.at.From == from
}

// touch widens Touch by what the strip shares with the stretch asked for.
func (e *Extent) touch(s Strip, core Interval) {
	a, b := max(s.From, core.From), min(s.To, core.To)
	if a >= b {
		return
	}
	if e.Touch.Width() == 0 {
		e.Touch = Interval{a, b}
		return
	}
	e.Touch.To = b
}
