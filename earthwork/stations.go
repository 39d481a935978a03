package earthwork

import (
	"math"
	"slices"

	"github.com/damtally/damtally/geometry"
)

// sameStation is the distance under which two stations are one, m. It guards
// the rounding of stations that were converted from feet or figured as
// multiples of an interval; no stake is set closer.
const sameStation = 1e-6

// cutAt is a place to cut: a station and the side it is looked at from.
type cutAt struct {
	station float64
	side    Side
	place   Place
}

// places returns where sections stand between two stations: at the surveyed
// stations, at every change of the design and the centreline, and at multiples
// of the design's interval, and on hills and saddles between those. Where
// something steps there are two.
func (k *cutter) places(line *geometry.Centreline, from, to float64) []cutAt {
	d := k.design
	stations := append([]float64{from, to}, k.ground.Stations()...)
	steps := d.steps(line)
	stations = append(stations, steps...)
	stations = append(stations, d.changes()...)
	stations = append(stations, multiples(d.Interval, from, to)...)
	stations = merged(stations, from, to)
	stations = merged(append(stations, k.hidden(stations)...), from, to)
	var out []cutAt
	for i, s := range stations {
		step := slices.ContainsFunc(steps, func(x float64) bool { return math.Abs(x-s) < sameStation })
		switch {
		case i == 0:
			out = append(out, cutAt{s, JustAfter, On})
		case i == len(stations)-1:
			out = append(out, cutAt{s, JustBefore, On})
		case step:
			out = append(out, cutAt{s, JustBefore, Before}, cutAt{s, JustAfter, After})
		default:
			out = append(out, cutAt{s, JustBefore, On})
		}
	}
	return out
}

// steps returns the stations at which the section jumps.
func (d *Design) steps(line *geometry.Centreline) []float64 {
	var out []float64
	for _, p := range append(append([]FacePart{}, d.Upstream...), d.Downstream...) {
		out = append(out, p.From, p.To)
	}
	for _, r := range d.Stripping {
		out = append(out, r.From, r.To)
	}
	if n := len(d.Trench.Points); n > 1 {
		out = append(out, d.Trench.Points[0].Station, d.Trench.Points[n-1].Station)
	}
	out = append(out, d.benchEnds()...)
	if line != nil {
		// Square sections on either side of a bend, and of a curve's ends,
		// where the curvature jumps.
		out = append(out, line.Changes()...)
	}
	return slices.DeleteFunc(out, func(s float64) bool { return math.IsInf(s, 0) })
}

// changes returns the stations at which the design's lines have a corner.
func (d *Design) changes() []float64 {
	var out []float64
	if len(d.Crest) > 1 {
		for _, p := range d.Crest {
			out = append(out, p.Station)
		}
	}
	if len(d.Trench.Points) > 1 {
		for _, p := range d.Trench.Points {
			out = append(out, p.Station)
		}
	}
	return out
}

// multiples returns the multiples of an interval strictly between two stations.
func multiples(interval, from, to float64) []float64 {
	if !(interval > 0) {
		return nil
	}
	var out []float64
	for i := math.Floor(from/interval) + 1; i*interval < to; i++ {
		out = append(out, i*interval)
	}
	return out
}

// merged sorts stations, keeps those from..to and drops repeats. Of stations
// closer than sameStation the first in the list's order of value stays.
func merged(stations []float64, from, to float64) []float64 {
	stations = slices.DeleteFunc(stations, func(s float64) bool { return s < from || s > to })
	slices.Sort(stations)
	var out []float64
	for _, s := range stations {
		if n := len(out); n > 0 && s-out[n-1] < sameStation {
			continue
		}
		out = append(out, s)
	}
	if n := len(out); n > 1 && to-out[n-1] < sameStation {
		out[n-1] = to
	}
	return out
}
