package site

import (
	"strings"
	"testing"
)

func TestWeatherDays(t *testing.T) {
	for _, c := range []struct {
		text string
		want [12]float64
		bad  string
	}{
		{"Jan 12, Feb 10", [12]float64{12, 10}, ""},
		{"sept. 4; December 20.5", [12]float64{8: 4, 11: 20.5}, ""},
		{"Jan 12, Jan 3", [12]float64{}, "stands twice"},
		{"Jan 40", [12]float64{}, "cannot lose"},
		{"Janu x", [12]float64{}, "no number"},
		{"Foo 3", [12]float64{}, "no month"},
		{"Jan", [12]float64{}, "no month with its days"},
		{"Feb NaN", [12]float64{}, "no number"},
	} {
		r := newReading()
		r.weatherDays(Ref{Table: "site", Row: 2}, c.text)
		switch {
		case c.bad == "" && (len(r.found) > 0 || !r.site.Settings.WeatherGiven || r.site.Settings.WeatherDays != c.want):
			t.Errorf("%q: %v, %v", c.text, r.site.Settings.WeatherDays, r.found)
		case c.bad != "" && (len(r.found) != 1 || !strings.Contains(r.found[0].What, c.bad)):
			t.Errorf("%q: %v, want one problem with %q", c.text, r.found, c.bad)
		}
	}
}
