package xlsx

import "strings"

// ColumnName returns the letters of a column: A for 0, AA for 26.
func ColumnName(column int) string {
	name := ""
	for column++; column > 0; column = (column - 1) / 26 {
		name = string(rune('A'+(column-1)%26)) + name
	}
	return name
}

// parseAddress reads an address such as C7: column from 0, row from 1.
func parseAddress(address string) (column, row int, ok bool) {
	i := 0
	for ; i < len(address) && address[i] >= 'A' && address[i] <= 'Z' && column <= maxColumn; i++ {
		column = column*26 + int(address[i]-'A') + 1
	}
	digits := address[i:]
	for j := 0; j < len(digits) && row <= maxRow; j++ {
		if digits[j] < '0' || digits[j] > '9' {
			return 0, 0, false
		}
		row = row*10 + int(digits[j]-'0')
	}
	return column - 1, row, i > 0 && row > 0 && row <= maxRow
}

// parseRange reads a block such as A1:C3.
func parseRange(text string) (Range, bool) {
	first, last, two := strings.Cut(text, ":")
	if !two {
		last = first
	}
	c1, r1, ok1 := parseAddress(first)
	c2, r2, ok2 := parseAddress(last)
	return Range{FirstRow: r1, LastRow: r2, FirstColumn: c1, LastColumn: c2}, ok1 && ok2
}
