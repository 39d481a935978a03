package borrow

import (
	"errors"
	"math"
	"time"
)

// Calendar is when work is done: days of a week, and days lost to weather.
type Calendar struct {
	// Week is the days worked in a week, above 0 and at most 7, counted from
	// Monday: 5.5 is Monday to Friday and half of Saturday.
	Week float64
	// Lost is the working days that weather takes in each month, January first. They
	// are spread evenly over the month's working days.
	Lost [12]float64
}

// ErrNoWorkDays says that weather and week leave no day to work on.
var ErrNoWorkDays = errors.New("no working days are left")

// longestJob is how far Finish looks ahead, days: a job that takes longer than 50
// years has no finish that anybody plans for.
const longestJob = 50 * 366

// daySlack guards the sum of shares of days against rounding, so that five whole
// days of work end on the fifth day.
const daySlack = 1e-9

// Finish is the last day of a job that takes a number of days of work, above zero,
// and starts on a day; the days that the calendar runs, both ends counted, are
// Span. The error is ErrNoWorkDays where the work does not end within 50 years.
func (c Calendar) Finish(start time.Time, work float64) (time.Time, error) {
	day := time.Date(start.Year(), start.Month(), start.Day(), 0, 0, 0, 0, time.UTC)
	month, share := time.Month(0), 0.0
	for range longestJob {
		if day.Month() != month || day.Day() == 1 {
			month = day.Month()
			share = c.fair(day.Year(), month)
		}
		work -= share * c.weight(day.Weekday())
		if work <= daySlack {
			return day, nil
		}
		day = day.AddDate(0, 0, 1)
	}
	return time.Time{}, ErrNoWorkDays
}

// Span is how many days of the calendar lie from one day to another, both counted.
func Span(from, to time.Time) int {
	return int(math.Round(to.Sub(from).Hours()/24)) + 1
}

// weight is the share of a day of the week that is worked.
func (c Calendar) weight(d time.Weekday) float64 {
	fromMonday := (int(d) + 6) % 7
	return min(1, max(0, c.Week-float64(fromMonday)))
}

// fair is the share of a month's working days that weather leaves.
func (c Calendar) fair(year int, month time.Month) float64 {
	days := 0.0
	for day := time.Date(year, month, 1, 0, 0, 0, 0, time.UTC); day.Month() == month; day = day.AddDate(0, 0, 1) {
		days += c.weight(day.Weekday())
	}
	if days == 0 {
		return 0
	}
	return max(0, 1-c.Lost[month-1]/days)
}
