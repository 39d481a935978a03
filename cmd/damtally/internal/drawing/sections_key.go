package drawing

import "github.com/paulmach/orb"

// The rows that explain hatches and lines at the top of a sheet, points.
const (
	keyRow   = 14.0
	keyPad   = 8.0
	keySign  = 24.0 // width of a sign
	keyText  = 28.0 // from a sign's left to its words
	keySpace = 16.0 // between entries
)

// keyEntry is a sign with what it means, or words alone, and its place.
type keyEntry struct {
	text string
	draw func(s *Sheet, x, y float64) // nil for words alone
	row  int
	x    float64
}

// width is how much of a row the entry takes.
func (e keyEntry) width() float64 {
	w := textWidth(e.text, plainWords, false)
	if e.draw != nil {
		w += keyText
	}
	return w
}

// key lists what the sheets of sections must explain, row by row.
func (t *sectionSheets) key() []keyEntry {
	var out []keyEntry
	for i, z := range t.d.r.Quantities.Zones {
		out = append(out, keyEntry{text: name(z.Zone), draw: func(s *Sheet, x, y float64) {
			ring := rectangle(x, y-8, x+keySign, y+2)
			s.fillWith(t.patterns[i], []orb.LineString{ring})
			s.outline(thin, ring)
		}})
	}
	sample := func(text string, p pen) {
		out = append(out, keyEntry{text: text, draw: func(s *Sheet, x, y float64) {
			s.line(p, orb.LineString{{x, y - 3}, {x + keySign, y - 3}})
		}})
	}
	sample("ground", groundPen)
	if len(t.d.r.Design.Stripping) > 0 {
		sample("stripped ground", strippedPen)
	}
	if t.d.r.Quantities.Settlement > 0 {
		sample("as built, with the settlement allowance", builtPen)
	}
	out = append(out, keyEntry{text: "Upstream is on the left. Offsets and elevations are in " + t.d.system.Length.Name + ", areas square to the centreline."})
	layRows(out, margin+keyPad, t.d.paper.Width-margin-keyPad)
	return out
}

// layRows puts entries beside one another, and under one another where a row is
// full.
func layRows(entries []keyEntry, left, right float64) {
	x, row := left, 0
	for i := range entries {
		w := entries[i].width()
		if x > left && x+w > right {
			x, row = left, row+1
		}
		entries[i].x, entries[i].row = x, row
		x += w + keySpace
	}
}

// drawKey draws the rows at the top of a sheet.
func drawKey(s *Sheet, entries []keyEntry) {
	s.on("legend")
	right := s.paper.Width - margin - keyPad
	for _, e := range entries {
		x, y := e.x, margin+keyRow*float64(e.row+1)+1
		if e.draw != nil {
			e.draw(s, x, y)
			x += keyText
		}
		s.write(words{at: orb.Point{x, y}, text: shortened(e.text, plainWords, false, right-x), size: plainWords})
	}
}
