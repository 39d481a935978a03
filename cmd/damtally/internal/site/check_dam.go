package site

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

func (r *reading) checkCrest() {
	crest := r.site.Crest
	if len(crest) < 2 {
		return
	}
	for _, c := range crest {
		if !c.Station.Given {
			r.wrong(c.Ref, "station", "is blank, and the crest has several rows", "give each row its station, or keep one row for a level crest")
		}
	}
	r.rising("crest", len(crest), func(i int) (Ref, float64) { return crest[i].Ref, crest[i].Station.Or(math.NaN()) })
}

// sideReach is the parts of one face that share a reach of stations, in order.
type sideReach struct {
	reach
	parts []FacePart
}

func (r *reading) checkFaces() {
	for _, side := range []string{"upstream", "downstream"} {
		groups := r.faceReaches(side)
		if len(groups) == 0 && r.whole("faces") && r.has("faces") && !r.hasBadSide() {
			r.wrong(Ref{Table: "faces"}, "side", "the "+side+" face is missing", "add a row with "+side+" and its slope")
		}
		for _, g := range groups {
			r.checkParts(g.parts)
		}
		r.checkReaches(side, groups)
	}
}

// hasBadSide reports whether a row's side could not be read.
func (r *reading) hasBadSide() bool {
	return slices.ContainsFunc(r.site.Faces, func(f FacePart) bool { return f.Side == "" })
}

// faceReaches groups the parts of a face by their reach, by rising start.
func (r *reading) faceReaches(side string) []sideReach {
	var groups []sideReach
	for _, f := range r.site.Faces {
		at := reachOf(f.FromStation, f.ToStation)
		if f.Side != side || r.backwards(f.Ref, at) {
			continue
		}
		i := slices.IndexFunc(groups, func(g sideReach) bool { return g.reach == at })
		if i < 0 {
			groups = append(groups, sideReach{reach: at})
			i = len(groups) - 1
		}
		groups[i].parts = append(groups[i].parts, f)
	}
	slices.SortStableFunc(groups, func(a, b sideReach) int {
		return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to))
	})
	return groups
}

// checkParts checks the parts of a face in one reach, from the crest down.
func (r *reading) checkParts(parts []FacePart) {
	for i, f := range parts {
		last := i == len(parts)-1
		switch {
		case last && f.ToElevation.Given:
			r.wrong(f.Ref, "to elevation", "is given in the last part of the face, which must run to the ground",
				"leave it blank, or add a row for the part below")
		case !last && !f.ToElevation.Given:
			r.wrong(f.Ref, "to elevation", fmt.Sprintf("is blank, but the face goes on in row %d", parts[i+1].Ref.Row),
				"say where this part ends; the last part of the face alone runs to the ground")
		case i > 0 && f.ToElevation.Given && f.ToElevation.Value >= parts[i-1].ToElevation.Or(math.Inf(1)):
			r.wrong(f.Ref, "to elevation", fmt.Sprintf("is not below that of row %d", parts[i-1].Ref.Row), "put the parts in order from the crest down")
		}
		if f.BenchWidth > 0 && !f.ToElevation.Given {
			r.wrong(f.Ref, "bench width", "a bench needs the elevation where it lies", "fill in `to elevation`, or leave the bench out")
		}
	}
}

// checkReaches checks that the reaches of a face follow each other.
func (r *reading) checkReaches(side string, groups []sideReach) {
	for i := 1; i < len(groups); i++ {
		a, b := groups[i-1], groups[i]
		ref := b.parts[0].Ref
		switch {
		case !a.apart(b.reach):
			r.wrong(ref, "from station", fmt.Sprintf("the reach of this row and that of row %d overlap in part", a.parts[0].Ref.Row),
				"give rows of one reach the same stations, and let the next reach begin where the last one ends")
		case b.from > a.to:
			r.wrong(ref, "from station", fmt.Sprintf("the %s face has a gap behind the reach of row %d", side, a.parts[0].Ref.Row),
				"let the reach begin where the last one ends")
		}
	}
}

func (r *reading) checkTrench() {
	trench := r.site.Trench
	r.rising("trench", len(trench), func(i int) (Ref, float64) { return trench[i].Ref, trench[i].Station })
	for i, p := range trench {
		switch {
		case p.Depth.Given == p.BottomElevation.Given && p.Depth.Given:
			r.wrong(p.Ref, "depth", "stands beside a bottom elevation", "keep one of the two")
		case p.Depth.Given == p.BottomElevation.Given:
			r.wrong(p.Ref, "depth", "there is neither a depth nor a bottom elevation", "give one of the two")
		case p.Depth.Given != trench[0].Depth.Given && i > 0 && trench[0].Depth.Given != trench[0].BottomElevation.Given:
			r.wrong(p.Ref, "depth", "some rows give a depth and some a bottom elevation", "give the same one in every row")
		}
	}
}

func (r *reading) checkStripping() {
	strips := r.site.Stripping
	for i, s := range strips {
		at := reachOf(s.FromStation, s.ToStation)
		if r.backwards(s.Ref, at) {
			continue
		}
		for _, other := range strips[:i] {
			o := reachOf(other.FromStation, other.ToStation)
			if o.to > o.from && at.from < o.to && o.from < at.to {
				r.wrong(s.Ref, "from station", fmt.Sprintf("the reach overlaps that of row %d", other.Ref.Row), "let it begin where the other ends")
				break
			}
		}
	}
}

func (r *reading) checkZones() {
	shell := Ref{}
	badKind := false
	for _, z := range r.site.Zones {
		switch z.Kind {
		case "core":
			r.checkCore(z)
			if shell.Row > 0 {
				r.wrong(z.Ref, "zone", fmt.Sprintf("stands below the shell of row %d, so it gets nothing", shell.Row), "move the row above the shell's")
			}
		case "shell":
			r.checkShell(z)
			if shell.Row > 0 {
				r.wrong(z.Ref, "kind", fmt.Sprintf("is a second shell; the one in row %d takes everything", shell.Row), "keep one shell; give it several materials parted by ; if need be")
			} else {
				shell = z.Ref
			}
		case "":
			badKind = true
		default:
			badKind = true
			r.wrong(z.Ref, "kind", "zones of kind "+z.Kind+" can't be figured by this version yet", "take the row out or make it part of the shell")
		}
	}
	if len(r.site.Zones) > 0 && shell.Row == 0 && !badKind {
		r.wrong(Ref{Table: "zones"}, "kind", "there is no shell, so what lies outside the core would be built of nothing",
			"add a last row of kind shell with its material")
	}
}

// checkCore: a core has a top, a width and two slopes.
func (r *reading) checkCore(z Zone) {
	switch {
	case z.TopElevation.Given && z.TopBelowCrest.Given:
		r.wrong(z.Ref, "top elevation", "stands beside `top below crest`", "keep one of the two")
	case !z.TopElevation.Given && !z.TopBelowCrest.Given:
		r.wrong(z.Ref, "top elevation", "a core needs its top", "give `top elevation` or `top below crest`")
	}
	for _, c := range []struct {
		column string
		given  bool
	}{{"top width", z.TopWidth.Given}, {"upstream slope", z.UpstreamSlope.Given}, {"downstream slope", z.DownstreamSlope.Given}} {
		if !c.given {
			r.wrong(z.Ref, c.column, "a core needs it", "fill it in")
		}
	}
	if z.UpstreamSlope.Value+z.DownstreamSlope.Value < 0 {
		r.wrong(z.Ref, "upstream slope", "the core grows narrower going down", "let the two slopes add up to zero or more")
	}
}

// checkShell: a shell takes what is left, so it has no shape of its own.
func (r *reading) checkShell(z Zone) {
	var given []string
	for _, c := range []struct {
		column string
		n      Number
	}{
		{"top elevation", z.TopElevation},
		{"top below crest", z.TopBelowCrest},
		{"top width", z.TopWidth},
		{"upstream slope", z.UpstreamSlope},
		{"downstream slope", z.DownstreamSlope},
	} {
		if c.n.Given {
			given = append(given, c.column)
		}
	}
	if len(given) > 0 {
		r.wrong(z.Ref, given[0], "a shell takes all that is left, so it has no "+strings.Join(given, ", ")+" of its own",
			"leave the cell blank; the outline of the dam stands in crest and faces")
	}
}
