package site

import "math"

// checkConduits checks what holds between the cells of a pipe.
func (r *reading) checkConduits() {
	for _, c := range r.site.Conduits {
		if c.TrenchWidth > 0 && !c.Invert.Given {
			r.wrong(c.Ref, "invert elevation", "is blank, but the trench is dug down to it", "fill it in, or leave `trench width` blank")
		}
		if c.TrenchWidth > 0 && c.TrenchWidth < c.Diameter {
			r.wrong(c.Ref, "trench width", "is less than the pipe's diameter", "check both and their units")
		}
		if c.OutletInvert.Given && !c.Invert.Given {
			r.wrong(c.Ref, "invert elevation", "is blank beside an `outlet invert elevation`", "give both, or the one where the pipe begins alone")
		}
		if c.OffsetFrom.Or(math.Inf(-1)) >= c.OffsetTo.Or(math.Inf(1)) {
			r.wrong(c.Ref, "offset to", "is not beyond `offset from`", "swap the two or mend one; offsets are negative upstream")
		}
	}
}
