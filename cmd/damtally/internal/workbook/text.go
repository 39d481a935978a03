package workbook

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// longestText is how much of a user's text a cell takes, in characters. xlsx
// allows 32,767; a cell longer than a page is of no use to a reader.
const longestText = 2000

// clean makes a user's text fit for a cell: control characters become blanks,
// broken bytes go, and a very long text is cut with a word that says so.
func clean(s string) string {
	s = strings.ToValidUTF8(s, "")
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r):
			return ' '
		case r == 0xFFFE || r == 0xFFFF: // not allowed in XML
			return -1
		}
		return r
	}, s)
	s = strings.TrimSpace(s)
	if utf8.RuneCountInString(s) > longestText {
		s = string([]rune(s)[:longestText]) + " ... (cut here, the text is longer)"
	}
	return s
}

// longestName is the greatest length of a sheet's name in xlsx, in UTF-16 units.
const longestName = 31

// sheetName makes a free sheet name from a user's text. Letters, digits and a few
// plain signs stay: the name stands in formulas, where others could mean
// something, and xlsx forbids some. A number is added when the name is taken.
// used holds lower-case names.
func sheetName(wanted, fallback string, used map[string]bool) string {
	base := clip(strings.Trim(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(" -_.()&#%", r) {
			return r
		}
		return ' '
	}, clean(wanted)), " "), longestName)
	if base == "" || base == "History" { // reserved by a spreadsheet program
		base = fallback
	}
	name := base
	for n := 2; used[strings.ToLower(name)]; n++ {
		tail := " " + itoa(n)
		name = clip(base, longestName-len(tail)) + tail
	}
	used[strings.ToLower(name)] = true
	return name
}

// clip cuts a text to at most n UTF-16 units.
func clip(s string, n int) string {
	units := 0
	for i, r := range s {
		units++
		if r > 0xFFFF {
			units++
		}
		if units > n {
			return strings.TrimRight(s[:i], " ")
		}
	}
	return s
}

// longestFooter is how much of a text stands in a page footer, beside two others.
const longestFooter = 56

// footerText makes a user's text fit for a page footer, where "&" begins a code.
func footerText(s string) string {
	return strings.ReplaceAll(clip(clean(s), longestFooter), "&", "&&")
}
