package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// DryLot is soil of one source that lies too wet: how long a lot of it dries.
type DryLot struct {
	Source, Material string
	Days             float64 // fair days for each lot spread
	// Room is the area, m2, on which soil must lie spread at once so that drying
	// keeps up with placing; NaN where pace or lift is not known.
	Room float64
}

// dryFrom is the fair days that a lot of soil of a source dries before it can be
// rolled, by the water of its pit, else of the material; 0 where it need not dry
// or no drying rate is given.
func (m *Material) dryFrom(source string) float64 {
	w := m.Moisture
	if w == nil {
		return 0
	}
	days := w.Days
	if k := slices.IndexFunc(w.Pits, func(p PitMoisture) bool { return p.Pit == source }); k >= 0 {
		days = w.Pits[k].Days
	}
	if math.IsNaN(days) {
		return 0
	}
	return days
}

// addDrying lists the sources whose soil must dry. The work goes through one
// source after the other, so the first lot of each dries before there is anything
// to roll; its later lots dry while earlier ones are placed, where there is room to
// spread them.
func (h *Haul) addDrying(r *Result) {
	for i, mv := range h.Moves {
		f := &r.Allocation.Flows[mv.Flow]
		k := slices.IndexFunc(r.Materials, func(m Material) bool { return m.Row.Name == f.Material })
		m := &r.Materials[k]
		days := m.dryFrom(f.Source)
		if days == 0 {
			continue
		}
		at := slices.IndexFunc(h.Dry, func(l DryLot) bool { return l.Source == f.Source && l.Material == f.Material })
		if at < 0 {
			at = len(h.Dry)
			h.Dry = append(h.Dry, DryLot{Source: f.Source, Material: f.Material, Days: days, Room: math.NaN()})
			h.Drying += days
		}
		if room := h.dryRoom(&h.Moves[i], m, days); !(room <= h.Dry[at].Room) {
			h.Dry[at].Room = room
		}
	}
}

// dryRoom is the area, m2, that must lie spread so that a move is not held up: what
// is placed while a lot dries, over the loose thickness of a lift.
func (h *Haul) dryRoom(mv *Move, m *Material, days float64) float64 {
	f := &m.Factors
	if !(f.Loose.Value > 0) || !(f.Fill.Value > 0) {
		return math.NaN()
	}
	perDay := mv.Pace * h.HoursPerDay * secondsPerHour // loose m3
	return perDay * days / (m.Moisture.Lift * f.Fill.Value / f.Loose.Value)
}

// dryNotes says which soils dry, how long, and on how much room.
func (j *Job) dryNotes(h *Haul, w *noteList) {
	if len(h.Dry) == 0 {
		return
	}
	var parts []string
	for _, l := range h.Dry {
		words := fmt.Sprintf("%s of %s %.1f fair days", l.Material, l.Source, l.Days)
		if l.Room > 0 {
			words += " (to keep the pace, " + j.area(l.Room) + " must lie spread to dry at once)"
		}
		parts = append(parts, words)
	}
	w.add("look", site.Ref{Table: "materials"}, "common practice", fmt.Sprintf(
		"soil that lies too wet must dry before it can be rolled: %s. The first lot of each holds the work up, so %.1f fair days are added to the calendar; later lots are taken to dry while earlier ones are placed",
		strings.Join(parts, "; "), h.Drying))
}
