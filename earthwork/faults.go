package earthwork

import "fmt"

// A dam that cannot be cut is described by one of the errors below. Cut returns
// all of them at once, joined by errors.Join, one for each rule and side at the
// station where it is worst.

// GroundShortError says that the ground ends before the face meets it.
type GroundShortError struct {
	Station float64 // where it is worst, m
	Side    string  // "upstream" or "downstream"
	By      float64 // how much farther the ground would have to reach if it ran on level, m
	Edge    float64 // offset at which the ground ends, m
	Others  int     // further sections with the same fault
	// Trench says that it is the cutoff trench's side that runs off the ground,
	// by no more than By.
	Trench bool
}

// Error implements error.
func (e *GroundShortError) Error() string {
	return fmt.Sprintf("station %.3f m: the ground ends %.3f m short of the %s toe", e.Station, e.By, e.Side)
}

// NeverMeetsError says that ground which is carried on at its own slope falls
// at least as steeply as the face, so that they never meet.
type NeverMeetsError struct {
	Station float64
	Side    string
	Others  int
}

// Error implements error.
func (e *NeverMeetsError) Error() string {
	return fmt.Sprintf("station %.3f m: the %s face never meets the ground", e.Station, e.Side)
}

// NoGroundError says that there is no ground on the centreline.
type NoGroundError struct {
	Station float64
	Others  int
}

// Error implements error.
func (e *NoGroundError) Error() string {
	return fmt.Sprintf("station %.3f m: no ground on the centreline", e.Station)
}

// BelowGroundError says that the crest lies below the stripped ground along the
// whole dam. Closest is the station where it comes nearest to it, By how far
// below it still is, m.
type BelowGroundError struct {
	Closest, By float64
}

// Error implements error.
func (e *BelowGroundError) Error() string {
	return fmt.Sprintf("the crest lies below the ground all along; nearest at station %.3f m, %.3f m below", e.Closest, e.By)
}

// UncoveredError says that a part of a section belongs to no zone.
type UncoveredError struct {
	Station float64
	Area    float64 // m2
	Others  int
}

// Error implements error.
func (e *UncoveredError) Error() string {
	return fmt.Sprintf("station %.3f m: %.4f m2 of the section belong to no zone", e.Station, e.Area)
}

// ZoneRule is what a zone lacks among the other zones.
type ZoneRule string

// The rules that zones can break.
const (
	NeedsCore      ZoneRule = "a chimney needs a core to stand against"
	NeedsFacing    ZoneRule = "a bedding needs a facing on its side, at its elevations"
	BeddingOutside ZoneRule = "a bedding outside the outline cannot lie under a facing inside it"
)

// ZoneRuleError says that a zone cannot be laid among the others.
type ZoneRuleError struct {
	Zone string
	Kind Kind
	Rule ZoneRule
}

// Error implements error.
func (e *ZoneRuleError) Error() string { return fmt.Sprintf("zone %s: %s", e.Zone, e.Rule) }

// ZoneOutsideError says that a core sticks out of the dam where the dam is not
// low: at Station, where it is worst, Area m2 of it lie above the outline.
type ZoneOutsideError struct {
	Zone    string
	Kind    Kind
	Station float64
	Area    float64
	Others  int // further sections with the same fault
}

// Error implements error.
func (e *ZoneOutsideError) Error() string {
	return fmt.Sprintf("station %.3f m: %.4f m2 of zone %s lie outside the dam", e.Station, e.Area, e.Zone)
}

// ZoneNowhereError says that a zone other than a shell gets nothing in any
// section. Station is that of the highest section.
type ZoneNowhereError struct {
	Zone    string
	Kind    Kind
	Station float64
}

// Error implements error.
func (e *ZoneNowhereError) Error() string {
	return fmt.Sprintf("zone %s lies nowhere in the dam; the highest section stands at station %.3f m", e.Zone, e.Station)
}

// NoReachError says that crest and ground have no stretch of stations in common.
type NoReachError struct {
	GroundFrom, GroundTo, CrestFrom, CrestTo float64
}

// Error implements error.
func (e *NoReachError) Error() string {
	return fmt.Sprintf("the ground runs from station %.3f m to %.3f m and the crest from %.3f m to %.3f m", e.GroundFrom, e.GroundTo, e.CrestFrom, e.CrestTo)
}

// NoFaceError says that at a station no part of a face stands.
type NoFaceError struct {
	Station float64
	Side    string
	Others  int
}

// Error implements error.
func (e *NoFaceError) Error() string {
	return fmt.Sprintf("station %.3f m: no part of the %s face stands here", e.Station, e.Side)
}

// faults keeps the worst of each kind.
type faults struct {
	short   [2]*GroundShortError
	never   [2]*NeverMeetsError
	noface  [2]*NoFaceError
	ground  *NoGroundError
	covered *UncoveredError
}

const (
	upstream = iota
	downstream
)

var sideNames = [2]string{"upstream", "downstream"}

// list returns the faults in a fixed order.
func (f *faults) list() []error {
	var out []error
	for i := range sideNames {
		if e := f.noface[i]; e != nil {
			out = append(out, e)
		}
	}
	if f.ground != nil {
		out = append(out, f.ground)
	}
	for i := range sideNames {
		if e := f.short[i]; e != nil {
			out = append(out, e)
		}
		if e := f.never[i]; e != nil {
			out = append(out, e)
		}
	}
	if f.covered != nil {
		out = append(out, f.covered)
	}
	return out
}

func (f *faults) groundShort(side int, e GroundShortError) {
	old := f.short[side]
	if old == nil {
		f.short[side] = &e
		return
	}
	others := old.Others + e.Others + 1
	if e.By <= old.By {
		old.Others = others
		return
	}
	e.Others = others
	f.short[side] = &e
}

func (f *faults) neverMeets(side int, station float64) {
	if f.never[side] == nil {
		f.never[side] = &NeverMeetsError{Station: station, Side: sideNames[side]}
		return
	}
	f.never[side].Others++
}

func (f *faults) noFace(side int, station float64) {
	if f.noface[side] == nil {
		f.noface[side] = &NoFaceError{Station: station, Side: sideNames[side]}
		return
	}
	f.noface[side].Others++
}

func (f *faults) noGround(station float64) {
	if f.ground == nil {
		f.ground = &NoGroundError{Station: station}
		return
	}
	f.ground.Others++
}

func (f *faults) uncovered(e UncoveredError) {
	old := f.covered
	if old == nil {
		f.covered = &e
		return
	}
	others := old.Others + e.Others + 1
	if e.Area <= old.Area {
		old.Others = others
		return
	}
	e.Others = others
	f.covered = &e
}

// merge adds what was noted of sections that come after these.
func (f *faults) merge(o *faults) {
	for side := range sideNames {
		if e := o.short[side]; e != nil {
			f.groundShort(side, *e)
		}
		if e := o.never[side]; e != nil {
			f.neverMeets(side, e.Station)
			f.never[side].Others += e.Others
		}
		if e := o.noface[side]; e != nil {
			f.noFace(side, e.Station)
			f.noface[side].Others += e.Others
		}
	}
	if e := o.ground; e != nil {
		f.noGround(e.Station)
		f.ground.Others += e.Others
	}
	if e := o.covered; e != nil {
		f.uncovered(*e)
	}
}
