package main

import (
	"errors"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/damtally/damtally/earthwork"
)

// plannedWith is planned, with cross-sections at stations as they were typed.
func (w *world) plannedWith(path string, typed []string) (*plan.Result, []earthwork.Section, error) {
	if len(typed) == 0 {
		r, err := w.planned(path)
		return r, nil, err
	}
	p := &progress{w: w}
	defer p.clear()
	p.step("reading " + path + " ...")
	s, err := w.engine.read(w.at(path))
	if err != nil {
		return nil, nil, readFailed(path, err)
	}
	system := units.SystemOf(s.Settings.OutputUnits)
	stations, err := readStations(typed, system)
	if err != nil {
		return nil, nil, err
	}
	p.step("planning ...")
	r, sections, err := w.engine.drawn(s, stations, p.reading())
	var off *earthwork.NoSectionError
	if errors.As(err, &off) {
		return nil, nil, wrongUse("there is no section at station %s; ground and crest run from %s to %s",
			system.Station(off.Station), system.Station(off.From), system.Station(off.To))
	}
	return r, sections, err
}

// readStations reads the stations of an option, in m.
func readStations(typed []string, system units.System) ([]float64, error) {
	out := make([]float64, len(typed))
	for i, t := range typed {
		s, err := units.ParseStation(strings.TrimSpace(t), system.Length)
		if err != nil {
			return nil, wrongUse("--stations %q: %v", t, err)
		}
		out[i] = s
	}
	return out, nil
}
