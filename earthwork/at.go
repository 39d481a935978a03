package earthwork

import (
	"errors"
	"fmt"
)

// NoSectionError says that a section was asked for where there is no ground or
// no crest. Stations in m.
type NoSectionError struct{ Station, From, To float64 }

func (e *NoSectionError) Error() string {
	return fmt.Sprintf("station %g lies beyond the dam's, %g to %g", e.Station, e.From, e.To)
}

// CutAt cuts single sections of a dam, for a drawing or a foreman's question: one
// at each station, m, in the order given, as [Cut] would cut it there. At a step
// it is the section just before. Sections in which there is no fill have Fill
// false. Design and site are as for Cut, whose errors it returns; a station beyond
// the ground or the crest is a [NoSectionError].
func CutAt(d Design, at Site, stations []float64) ([]Section, error) {
	if err := d.Check(); err != nil {
		return nil, err
	}
	k, err := newCutter(&d, at)
	if err != nil {
		return nil, err
	}
	from, to, err := d.stretch(at.Ground)
	if err != nil {
		return nil, err
	}
	out := make([]Section, len(stations))
	for i, station := range stations {
		if station < from || station > to {
			return nil, &NoSectionError{Station: station, From: from, To: to}
		}
		out[i], _ = k.cut(station, JustBefore) // what fails is among the faults
	}
	if list := k.faults.list(); len(list) > 0 {
		return nil, errors.Join(list...)
	}
	return out, nil
}
