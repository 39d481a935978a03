package earthwork

import (
	"fmt"
	"math"
)

// ValueError is a value that no design can have, such as a width below zero.
type ValueError struct {
	What  string // which value, as "crest width"
	Index int    // in its list, from 0
	Value float64
	Must  string // what it must be, as "above 0"
}

// Error implements error.
func (e *ValueError) Error() string {
	return fmt.Sprintf("%s %d is %g; it must be %s", e.What, e.Index+1, e.Value, e.Must)
}

// Check returns a *ValueError for the first value of the design that no dam can
// have, nil when there is none. Cut begins with it.
func (d *Design) Check() error {
	if len(d.Crest) == 0 {
		return &ValueError{"number of crest points", 0, 0, "1 or more"}
	}
	for i, p := range d.Crest {
		switch {
		case !finite(p.Elevation):
			return &ValueError{"crest elevation", i, p.Elevation, "a number"}
		case !(finite(p.Width) && p.Width > 0):
			return &ValueError{"crest width", i, p.Width, "above 0"}
		case i > 0 && !(p.Station > d.Crest[i-1].Station):
			return &ValueError{"crest station", i, p.Station, "beyond the one before"}
		}
	}
	for _, side := range [][]FacePart{d.Upstream, d.Downstream} {
		if err := checkFace(side); err != nil {
			return err
		}
	}
	return d.checkBelow()
}

func checkFace(parts []FacePart) error {
	if len(parts) == 0 {
		return &ValueError{"number of face parts", 0, 0, "1 or more on each side"}
	}
	for i, p := range parts {
		switch {
		case !(finite(p.Slope) && p.Slope > 0):
			return &ValueError{"face slope", i, p.Slope, "above 0"}
		case math.IsNaN(p.ToElevation) || math.IsInf(p.ToElevation, 1):
			return &ValueError{"end of a face part", i, p.ToElevation, "a number, or -Inf for the ground"}
		case !(finite(p.Bench) && p.Bench >= 0):
			return &ValueError{"bench width", i, p.Bench, "0 or more"}
		case !(finite(p.Overbuild) && p.Overbuild >= 0):
			return &ValueError{"overbuild", i, p.Overbuild, "0 or more"}
		case !(p.From < p.To):
			return &ValueError{"start of a face part", i, p.From, "below its end; -Inf and +Inf stand for the dam's ends"}
		}
	}
	return nil
}

// checkBelow checks the trench, the stripping and the allowance.
func (d *Design) checkBelow() error {
	for i, p := range d.Trench.Points {
		switch {
		case !(finite(p.BottomWidth) && p.BottomWidth >= 0):
			return &ValueError{"trench bottom width", i, p.BottomWidth, "0 or more"}
		case !(finite(p.SideSlope) && p.SideSlope >= 0):
			return &ValueError{"trench side slope", i, p.SideSlope, "0 or more"}
		case !finite(p.Level) || !finite(p.Offset):
			return &ValueError{"trench level", i, p.Level, "a number, as its offset"}
		case i > 0 && !(p.Station > d.Trench.Points[i-1].Station):
			return &ValueError{"trench station", i, p.Station, "beyond the one before"}
		}
	}
	for i, r := range d.Stripping {
		switch {
		case !(finite(r.Depth) && r.Depth >= 0):
			return &ValueError{"stripping depth", i, r.Depth, "0 or more"}
		case !(r.From < r.To):
			return &ValueError{"start of a stripping reach", i, r.From, "below its end; -Inf and +Inf stand for the dam's ends"}
		}
	}
	if a := d.Settlement.Allowance; !(finite(a) && a >= 0) {
		return &ValueError{"settlement allowance", 0, a, "0 or more"}
	}
	switch d.Settlement.Basis {
	case OnHeight, OnHeightToesKept, OnVolume:
		return nil
	}
	if d.Settlement.Allowance == 0 {
		return nil
	}
	return &ValueError{"settlement basis", 0, math.NaN(), "one of the three, since there is an allowance"}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
