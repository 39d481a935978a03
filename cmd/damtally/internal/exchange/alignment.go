package exchange

import (
	"bytes"
	"fmt"

	"github.com/damtally/damtally/geometry"
	"github.com/paulmach/orb"
)

// alignment writes the dam's centreline as an alignment of LandXML 1.2: lines and
// circular curves with their ends, northing before easting, and the station at its
// start. A curve turns clockwise ("cw") where it turns right.
func (s *scribe) alignment(out *bytes.Buffer) {
	line := s.r.Plan.Line
	length := func(m float64) string { return fixed(s.grid.FromSI(m), surfaceDecimals) }
	fmt.Fprintf(out, " <Alignments><Alignment name=\"centreline\" length=%q staStart=%q><CoordGeom>\n", length(line.End()-line.Start()), length(line.Start()))
	for _, p := range line.Parts() {
		from, to := s.northEast(p.From), s.northEast(p.To)
		if p.Turn == geometry.TurnsNot {
			fmt.Fprintf(out, "  <Line><Start>%s</Start><End>%s</End></Line>\n", from, to)
			continue
		}
		way := "ccw"
		if p.Turn == geometry.TurnsRight {
			way = "cw"
		}
		fmt.Fprintf(out, "  <Curve rot=%q crvType=\"arc\"><Start>%s</Start><Center>%s</Center><End>%s</End></Curve>\n", way, from, s.northEast(p.Center), to)
	}
	out.WriteString(" </CoordGeom></Alignment></Alignments>\n")
}

// northEast writes a place as LandXML does: northing, then easting.
func (s *scribe) northEast(p orb.Point) string {
	x, y := s.place(p)
	return fixed(y, surfaceDecimals) + " " + fixed(x, surfaceDecimals)
}
