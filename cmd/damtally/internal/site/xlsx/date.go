package xlsx

import (
	"math"
	"time"
)

// lastDay is the serial number of 9999-12-31, the last day of a workbook.
const lastDay = 2958465

// feigned is the serial number of 1900-02-29, a day that never was: workbooks
// that count from 1900 hold it for the sake of an older program's files.
const feigned = 60

// DayText writes a serial day number as year-month-day, without the time of
// day. It is false for a number that is no day.
func (b *Book) DayText(serial float64) (string, bool) {
	if !(serial >= 0 && serial < lastDay+1) {
		return "", false
	}
	days := int(math.Floor(serial))
	start := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	switch {
	case b.Date1904:
		start = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
	case days == feigned:
		return "", false
	case days < feigned:
		days++
	}
	return start.AddDate(0, 0, days).Format(time.DateOnly), true
}
