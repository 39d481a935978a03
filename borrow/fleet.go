package borrow

import (
	"errors"
	"math"
)

// Stage is one step that all the soil of a move passes: loading, hauling,
// spreading, rolling. All stages of a move count the same volume in one state.
type Stage struct {
	Name string
	Each float64 // m3/s that one machine does, above zero; +Inf = no limit
	// Machines is how many there are; 0 = as many as keep up with the others.
	Machines int
}

// Pace is how fast a move goes, and what holds it up.
type Pace struct {
	Rate    float64 // m3/s, that of the slowest stage
	Slowest int     // its index; the first of those alike
	// Machines is how many machines of each stage are at work, and Busy the share
	// of the time that each of them has work to do.
	Machines []int
	Busy     []float64
}

// ErrNoStages is returned by PaceOf when nothing limits the pace.
var ErrNoStages = errors.New("no stage of the work has a rate")

// PaceOf sets the stages of a move against each other. The stages with a number of
// machines set the pace; the others get as many machines as keep up with it,
// rounded up. Where no stage has a number, the first one with a rate has one machine.
//
// So with one loader the trucks come out as cycle / loading time, rounded up, and
// the loader governs; rounded down the trucks would (common practice). The error
// is ErrNoStages.
func PaceOf(stages []Stage) (Pace, error) {
	counts := make([]int, len(stages))
	fixed, first := false, -1
	for i, s := range stages {
		counts[i] = s.Machines
		limits := s.Each > 0 && !math.IsInf(s.Each, 1)
		fixed = fixed || limits && s.Machines > 0
		if limits && first < 0 {
			first = i
		}
	}
	if first < 0 {
		return Pace{}, ErrNoStages
	}
	if !fixed {
		counts[first] = 1
	}
	p := Pace{Rate: math.Inf(1), Slowest: -1, Machines: counts, Busy: make([]float64, len(stages))}
	for i, s := range stages {
		if rate := float64(counts[i]) * s.Each; counts[i] > 0 && rate < p.Rate {
			p.Rate, p.Slowest = rate, i
		}
	}
	for i, s := range stages {
		if counts[i] == 0 {
			counts[i] = max(1, MachinesFor(p.Rate, s.Each))
		}
		if rate := float64(counts[i]) * s.Each; rate > 0 {
			p.Busy[i] = min(1, p.Rate/rate)
		}
	}
	return p, nil
}

// MachinesFor is how many machines of one rate keep up with another rate, or do a
// volume in the time that makes it one: needed / each, rounded up. With a volume
// Q, a rate P and T hours it is Q / (P T), as US Army FM 5-434 (2000) has it.
func MachinesFor(needed, each float64) int {
	n := needed / each
	return int(math.Ceil(n - loadSlack*n))
}
