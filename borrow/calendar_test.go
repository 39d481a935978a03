package borrow

import (
	"errors"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func day(t testing.TB, text string) time.Time {
	t.Helper()
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Days counted on a wall calendar: 1 June 2026 is a Monday.
func TestFinish(t *testing.T) {
	noRain := [12]float64{}
	june := noRain
	june[5] = 11 // of the 22 Mondays to Fridays of June 2026
	for _, c := range []struct {
		name  string
		start string
		work  float64
		week  float64
		lost  [12]float64
		want  string
	}{
		{"one day", "2026-06-01", 1, 5, noRain, "2026-06-01"},
		{"half a day", "2026-06-01", 0.5, 5, noRain, "2026-06-01"},
		{"a week", "2026-06-01", 5, 5, noRain, "2026-06-05"},
		{"over the weekend", "2026-06-01", 6, 5, noRain, "2026-06-08"},
		{"Saturdays too", "2026-06-01", 6, 6, noRain, "2026-06-06"},
		{"half Saturdays", "2026-06-01", 11, 5.5, noRain, "2026-06-13"},
		{"starts on a Sunday", "2026-05-31", 1, 5, noRain, "2026-06-01"},
		{"every day, over new year", "2026-12-30", 5, 7, noRain, "2027-01-03"},
		{"rain takes every other day", "2026-06-01", 5, 5, june, "2026-06-12"},
		{"rain ends with the month", "2026-06-29", 3, 5, june, "2026-07-02"},
	} {
		got, err := Calendar{c.week, c.lost}.Finish(day(t, c.start), c.work)
		if err != nil || got.Format(time.DateOnly) != c.want {
			t.Errorf("%s: %v, %v; want %s", c.name, got, err, c.want)
		}
	}
	if n := Span(day(t, "2026-06-01"), day(t, "2026-06-12")); n != 12 {
		t.Errorf("%d days", n)
	}
}

func TestFinishNever(t *testing.T) {
	var all [12]float64
	for i := range all {
		all[i] = 31
	}
	if _, err := (Calendar{5, all}).Finish(day(t, "2026-06-01"), 1); !errors.Is(err, ErrNoWorkDays) {
		t.Errorf("%v", err)
	}
}

// More work, a shorter week or more rain never end a job sooner.
func TestFinishProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Calendar{Week: rapid.Float64Range(0.5, 7).Draw(t, "week")}
		for i := range c.Lost {
			c.Lost[i] = rapid.Float64Range(0, 8).Draw(t, "lost")
		}
		start := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 700).Draw(t, "start"))
		work := rapid.Float64Range(0.1, 60).Draw(t, "work")
		end, err := c.Finish(start, work)
		if err != nil {
			return
		}
		more, err := c.Finish(start, work+1)
		if err == nil && more.Before(end) {
			t.Fatalf("%v, then %v for a day more", end, more)
		}
		wetter := c
		wetter.Lost[int(start.Month())-1]++
		if then, err := wetter.Finish(start, work); err == nil && then.Before(end) {
			t.Fatalf("%v, then %v with more rain", end, then)
		}
		shorter := c
		shorter.Week = min(c.Week, 5)
		shorter.Lost = [12]float64{}
		if then, err := (Calendar{Week: c.Week}).Finish(start, work); err == nil && then.After(end) {
			t.Fatalf("%v with rain, %v without", end, then)
		}
		if float64(Span(start, end)) < work-1 {
			t.Fatalf("%g days of work in %d days", work, Span(start, end))
		}
	})
}
