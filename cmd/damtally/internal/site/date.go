package site

import (
	"strings"
	"time"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// parseDate reads a day, year first, and writes it as year-month-day.
func parseDate(text string) (string, *fault) {
	day, _, _ := strings.Cut(strings.ReplaceAll(text, "/", "-"), " ")
	t, err := time.Parse("2006-1-2", day)
	if err != nil {
		return "", &fault{units.Quote(text) + " is not a date", "write year-month-day, such as 2026-05-31"}
	}
	return t.Format(time.DateOnly), nil
}

// readDate reads the day in a cell: text, or a number that is shown as a day.
func readDate(c cell, from source) (string, *fault) {
	if f := unreadable(c); f != nil {
		return "", f
	}
	if c.kind != xlsx.Number {
		return parseDate(c.text)
	}
	serial, err := units.ParseDecimal(c.text)
	if err == nil && c.format == xlsx.Day {
		if text, ok := from.day(serial); ok {
			return text, nil
		}
	}
	return "", &fault{units.Quote(c.text) + " is not a date", "write year-month-day, such as 2026-05-31"}
}
