package site

import (
	"cmp"
	"fmt"
	"math"
	"slices"
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
