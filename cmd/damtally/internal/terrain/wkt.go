package terrain

import (
	"math"
	"strconv"
	"strings"
)

// wktNode is a part of a well-known text: a keyword with what its brackets hold.
// Sources: OGC 01-009 for the older form, ISO 19162:2019 (OGC 18-010r11) for the
// newer one.
type wktNode struct {
	name  string // in capitals
	words []string
	parts []wktNode
}

// deepestWKT guards against a text that is nothing but brackets.
const deepestWKT = 32

// parseWKT reads a well-known text as far as it is one.
func parseWKT(text string) wktNode {
	p := wktParser{text: strings.TrimRight(text, "\x00 \r\n\t")}
	return p.node(0)
}

type wktParser struct {
	text string
	at   int
}

// node reads a keyword and, in brackets of either sort, its parts.
func (p *wktParser) node(depth int) wktNode {
	n := wktNode{name: strings.ToUpper(p.word())}
	if p.at >= len(p.text) || !strings.ContainsRune("[(", rune(p.text[p.at])) || depth > deepestWKT {
		return n
	}
	for p.at < len(p.text) {
		p.at++ // the bracket or comma
		part := p.node(depth + 1)
		switch {
		case part.parts != nil || part.words != nil:
			n.parts = append(n.parts, part)
		default:
			n.words = append(n.words, part.name)
		}
		if p.at >= len(p.text) || p.text[p.at] != ',' {
			p.at++ // the closing bracket
			p.blanks()
			break
		}
	}
	return n
}

// word reads a keyword, number or quoted text, and the blanks around it.
func (p *wktParser) word() string {
	p.blanks()
	start := p.at
	if p.at < len(p.text) && p.text[p.at] == '"' {
		end := strings.IndexByte(p.text[p.at+1:], '"')
		if end < 0 {
			end = len(p.text) - p.at - 1
		}
		p.at = min(p.at+end+2, len(p.text))
	} else {
		for p.at < len(p.text) && !strings.ContainsRune("[](), \r\n\t", rune(p.text[p.at])) {
			p.at++
		}
	}
	word := p.text[start:p.at]
	p.blanks()
	return word
}

func (p *wktParser) blanks() {
	for p.at < len(p.text) && strings.ContainsRune(" \r\n\t", rune(p.text[p.at])) {
		p.at++
	}
}

// find is the first part, at any depth, with one of some names; nil for none.
func (n *wktNode) find(names ...string) *wktNode {
	for _, name := range names {
		if n.name == name {
			return n
		}
	}
	for i := range n.parts {
		if found := n.parts[i].find(names...); found != nil {
			return found
		}
	}
	return nil
}

// unit is the name of the unit of length of a reference system, "" when it is
// none of ours. The newer form may state it at each axis.
func (n *wktNode) unit() string {
	if n == nil {
		return ""
	}
	for _, p := range n.parts {
		switch p.name {
		case "UNIT", "LENGTHUNIT":
			return p.unitName()
		case "AXIS":
			if unit := p.unit(); unit != "" {
				return unit
			}
		}
	}
	return ""
}

// wktUnits are the units of length by their metres.
var wktUnits = []struct {
	name   string
	metres float64
}{{"m", 1}, {"ft", 0.3048}, {"ftUS", 1200.0 / 3937}}

// sameFactor is how unlike, relative, two factors are that differ by the digits
// that are written alone. The two feet differ by two in a million.
const sameFactor = 1e-8

func (n *wktNode) unitName() string {
	if len(n.words) < 2 {
		return ""
	}
	factor, err := strconv.ParseFloat(n.words[1], 64)
	for _, u := range wktUnits {
		if err == nil && math.Abs(factor/u.metres-1) < sameFactor {
			return u.name
		}
	}
	return ""
}

// wktSays is what a reference system says of its units: of the plane and of the
// elevations, "" for nothing, and whether its coordinates are degrees.
func wktSays(text string) (plane, elevation string, degrees bool) {
	n := parseWKT(text)
	grid := n.find("PROJCS", "PROJCRS", "PROJECTEDCRS", "LOCAL_CS", "ENGCRS", "ENGINEERINGCRS")
	if grid == nil {
		return "", "", n.find("GEOGCS", "GEOGCRS", "GEOGRAPHICCRS", "GEODCRS", "GEODETICCRS") != nil
	}
	return grid.unit(), n.find("VERT_CS", "VERTCS", "VERTCRS", "VERTICALCRS").unit(), false
}
