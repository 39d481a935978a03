package workbook

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Widths are in characters of the workbook's font, heights in points.
const (
	narrowest   = 7.0
	widestText  = 34.0 // a column of words breaks into lines beyond this
	padding     = 1.8  // room on both sides of a figure
	boldness    = 1.12 // how much wider bold words are
	lineHeight  = 13.5
	titleSize   = 1.9 // how much wider a title's letters are
	mostHeight  = 409 // what xlsx allows
	proseWidth  = 1.1 // characters of prose that go where one digit does
	titleHeight = 22.0
)

// shownAs is the text that a cell shows, near enough to measure it.
func (c *cell) shownAs() string {
	v := c.content.val
	switch v.kind {
	case isNumber:
		return shownNumber(v.num, c.look.format)
	case isText:
		return v.text
	}
	return ""
}

// shownNumber writes a number as its format does.
func shownNumber(x float64, format string) string {
	if format == "" {
		return strconv.FormatFloat(x, 'g', 10, 64)
	}
	if format == formatDate {
		return "2000-01-01" // all dates are as long
	}
	percent := strings.Contains(format, "%")
	if percent {
		x *= 100
	}
	s := strconv.FormatFloat(x, 'f', decimalsOf(format), 64)
	if strings.Contains(format, "#,") {
		whole, _, _ := strings.Cut(strings.TrimPrefix(s, "-"), ".")
		s += strings.Repeat(",", (len(whole)-1)/3)
	}
	if percent {
		s += "%"
	}
	return s
}

// width is the width of a column: typed, or fitting what stands in it. Headings
// and words may break into lines, so only their longest word must fit.
func (s *sheet) width(col int) float64 { return s.widthWithin(col, widestText) }

// widthWithin is the width of a column whose words break into lines beyond so many
// characters.
func (s *sheet) widthWithin(col int, widest float64) float64 {
	if w, ok := s.widths[col]; ok {
		return w
	}
	w := narrowest
	for row := 1; row <= s.lastRow(); row++ {
		c := s.at(row, col)
		if c == nil || c.across > 1 || c.look.role == roleTitle || c.look.role == rolePart {
			continue
		}
		words := c.shownAs()
		need := float64(utf8.RuneCountInString(words))
		if c.look.wraps() && c.content.val.kind == isText {
			need = math.Max(longestWord(words), math.Min(need, widest))
			if c.look.role == roleHead {
				need = longestWord(words)
			}
		}
		if bold(c.look.role) {
			need *= boldness
		}
		w = math.Max(w, need+padding)
	}
	return math.Min(w, 60)
}

func bold(r role) bool { return r == roleHead || r == roleTotal || r == roleDanger || r == roleAnswer }

func longestWord(s string) float64 {
	longest := 0
	for _, word := range strings.Fields(s) {
		longest = max(longest, utf8.RuneCountInString(word))
	}
	return float64(longest)
}

// height is the height of a row so that no wrapped text is cut; 0 leaves the
// program's own.
func (s *sheet) height(row int, widths []float64) float64 {
	if h, ok := s.heights[row]; ok {
		return h
	}
	tallest := 0.0
	for col := 1; col <= s.lastCol; col++ {
		if c := s.at(row, col); c != nil {
			tallest = math.Max(tallest, c.height(widths))
		}
	}
	return math.Min(tallest, mostHeight)
}

// height is what a cell's own text needs, 0 for a single plain line.
func (c *cell) height(widths []float64) float64 {
	words := c.content.val.text
	if c.tallFor != "" {
		words = c.tallFor
	}
	if words == "" || !c.look.wraps() {
		if c.look.role == rolePart {
			return titleHeight
		}
		return 0
	}
	room := 0.0
	for i := range max(c.across, 1) {
		room += widths[c.col-1+i]
	}
	line := lineHeight
	switch {
	case c.look.role == roleTitle:
		line, room = titleHeight, room/titleSize
	case bold(c.look.role):
		room /= boldness
	}
	lines := linesIn(words, room*proseWidth-1)
	if lines == 1 && c.look.role != roleTitle {
		return 0
	}
	return float64(lines)*line + 1.5
}

// linesIn is how many lines a text takes when broken at blanks to a width.
func linesIn(s string, width float64) int {
	lines, used := 1, 0.0
	for _, word := range strings.Fields(s) {
		n := float64(utf8.RuneCountInString(word))
		switch {
		case used > 0 && used+1+n > width:
			lines, used = lines+1, n
		case used > 0:
			used += 1 + n
		default:
			used = n
		}
		for used > width && width > 1 { // a word longer than the line is broken
			lines, used = lines+1, used-width
		}
	}
	return lines
}
