package plan

import (
	"fmt"
	"math"

	"github.com/damtally/damtally/borrow"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// wayWords names a way as the subject of a sentence and as its object, with what
// it saw.
var wayWords = map[borrow.Way][2]string{
	borrow.ByTally: {"the truck tally says", "the truck tally counts"},
	borrow.ByScale: {"the weights say", "the weights say"},
	borrow.ByPit:   {"the pits lost", "the pits lost"},
	borrow.ByFill:  {"the fill took", "the fill took"},
}

// DifferenceWords says in plain words what parts two ways of measuring.
func DifferenceWords(d *borrow.Difference) string {
	by := d.Ratio.Value - 1
	word := "more"
	if by < 0 {
		word, by = "less", -by
	}
	if share := math.Round(1000*by) / 1000; share > 0 {
		return fmt.Sprintf("%s %s %s than %s", wayWords[d.First][0], percent(share), word, wayWords[d.Second][1])
	}
	return fmt.Sprintf("%s as much as %s", wayWords[d.First][0], wayWords[d.Second][1])
}

// DifferenceCauses lists what may stand behind a difference that errors of
// measurement do not explain.
func DifferenceCauses(d *borrow.Difference) string {
	more := d.Ratio.Value > 1
	pick := func(over, under string) string {
		if more {
			return over
		}
		return under
	}
	switch [2]borrow.Way{d.First, d.Second} {
	case [2]borrow.Way{borrow.ByTally, borrow.ByPit}:
		return pick("trucks less full than counted, loads counted twice or hauled elsewhere, soil looser than tested",
			"trucks fuller than counted, loads that nobody counted, topsoil or waste dug in the pit, soil denser in the truck than tested")
	case [2]borrow.Way{borrow.ByTally, borrow.ByScale}:
		return pick("trucks less full than counted, or soil looser in the truck than tested", "trucks fuller than counted, or soil wetter or denser in the truck than tested")
	case [2]borrow.Way{borrow.ByScale, borrow.ByPit}:
		return pick("bank denser than tested, soil wetter than taken, or loads from elsewhere", "loads that nobody weighed, topsoil or waste dug in the pit, or bank looser than tested")
	case [2]borrow.Way{borrow.ByTally, borrow.ByFill}:
		return pick("fill and foundation settled since, more lost on the way than taken, trucks less full than counted, soil hauled elsewhere",
			"overbuild beyond the survey's lines, soft ground dug out and filled, less lost than taken, fill less dense than tested")
	case [2]borrow.Way{borrow.ByScale, borrow.ByFill}, [2]borrow.Way{borrow.ByPit, borrow.ByFill}:
		return pick("fill and foundation settled since, more lost on the way than taken, fill denser than tested, soil hauled elsewhere",
			"soft ground or a deeper trench dug out and filled, soil from elsewhere, less lost than taken, fill less dense than tested")
	}
	return ""
}

// findings turns what the ways say of each other into notes.
func (j *reconciler) findings(r *Result, rec *Reconciliation) {
	ref := site.Ref{Table: "loads"}
	for i := range rec.Soils {
		s := &rec.Soils[i]
		name := r.Materials[s.Material].Row.Name
		for k := range s.Account.Differences {
			if d := &s.Account.Differences[k]; d.Beyond {
				j.note("look", ref, fmt.Sprintf("%s: %s, which is beyond the errors of measurement (+-%s); look for %s",
					name, DifferenceWords(d), percent(math.Round(1000*d.Ratio.Half(Confidence))/1000), DifferenceCauses(d)), "")
			}
		}
		j.seenNotes(name, s)
		j.leftNote(name, s)
	}
	for i := range rec.PitSeen {
		p := &rec.PitSeen[i]
		for k := range p.Account.Differences {
			if d := &p.Account.Differences[k]; d.Beyond && j.severalPits(rec, p.Material) {
				j.note("look", ref, fmt.Sprintf("pit %s: %s, which is beyond the errors of measurement (+-%s)",
					r.Pits[p.Pit].Row.Name, DifferenceWords(d), percent(math.Round(1000*d.Ratio.Half(Confidence))/1000)), "")
			}
		}
	}
	if n := len(rec.Fills); n > 0 {
		j.beyondNote(&rec.Fills[n-1])
	}
}

// severalPits tells whether a soil comes from more than one pit, so that a pit
// by itself says something new.
func (j *reconciler) severalPits(rec *Reconciliation, material int) bool {
	n := 0
	for _, p := range rec.PitSeen {
		if p.Material == material {
			n++
		}
	}
	return n > 1
}

// seenNotes tells of factors that the work shows to be other than assumed.
func (j *reconciler) seenNotes(name string, s *SoilAccount) {
	ref := site.Ref{Table: "materials"}
	if f := s.Account.Shrink; f.Differs {
		j.note("look", ref, fmt.Sprintf("%s: the surveys show a shrink factor of %.3f (95 %%: %.3f to %.3f) where the tests say %.3f. The soil may differ from its tests; settled fill, overbuild, soft spots dug out and another loss look the same",
			name, f.Seen.Value, f.Interval.Low, f.Interval.High, f.Assumed.Value), "")
	}
	if f := s.Account.TruckFill; f.Differs {
		j.note("look", ref, fmt.Sprintf("%s: the trucks carried %s of what was counted (95 %%: %s to %s), by what the pits lost",
			name, percent(math.Round(1000*f.Seen.Value)/1000), percent(math.Round(1000*f.Interval.Low)/1000), percent(math.Round(1000*f.Interval.High)/1000)), "")
	}
}

// leftNote says whether the rest of the borrow suffices.
func (j *reconciler) leftNote(name string, s *SoilAccount) {
	l := &s.Left
	if !l.Need.Known() || s.Capacity == 0 {
		return
	}
	level, verdict := "note", "the pits still hold enough"
	if !l.Enough {
		level, verdict = "danger", "the pits do NOT hold enough, short by "+j.volume(l.Need.Value-l.Available.Value, "bank")
	}
	chance := ""
	if !math.IsNaN(l.Chance) {
		chance = fmt.Sprintf(" (chance that it is enough, from errors of measurement and tests only: %s)", ChanceWords(l.Chance))
	}
	j.note(level, site.Ref{Table: "pits"}, fmt.Sprintf("%s: %s are still to be placed, %s to dig, and %s are left: %s%s",
		name, j.volume(l.Compacted, "compacted"), j.volume(l.Need.Value, "bank"), j.volume(l.Available.Value, "bank"), verdict, chance), "")
}

// overbuilt is the share of the placed fill from which fill beyond the lines is
// told. It is a judgement.
const overbuilt = 0.01

// beyondNote tells of fill beyond the design's lines.
func (j *reconciler) beyondNote(f *FillSurvey) {
	p := &f.Progress
	for _, part := range []struct {
		volume float64
		text   string
	}{
		{p.Above, "lies above the design lines between the toes: settlement allowance, overbuild or heaps"},
		{p.Beside, "lies outside the toes: overbuild or spill"},
		{p.Undercut, "filled what was dug below the design's stripped ground and trench"},
	} {
		if part.volume > overbuilt*p.Total() {
			j.note("look", site.Ref{Table: "surfaces"}, fmt.Sprintf("by the survey %s, %s %s; it took soil and is not paid by the design's lines",
				f.Name, j.volume(part.volume, "compacted"), part.text), "")
		}
	}
}

// ChanceWords writes a chance in whole percent, without claiming to be certain.
func ChanceWords(chance float64) string {
	switch p := math.Round(100 * chance); {
	case p >= 100:
		return "more than 99 %"
	case p <= 0:
		return "less than 1 %"
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}
