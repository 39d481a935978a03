package units

import (
	"math"
	"testing"
)

func TestNumber(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{
		{0, 0, "0"},
		{999, 0, "999"},
		{1000, 0, "1,000"},
		{999.95, 1, "1,000.0"},
		{-1234567.891, 2, "-1,234,567.89"},
		{-123, 0, "-123"},
		{-0.04, 1, "0.0"},
		{math.Copysign(0, -1), 0, "0"},
		{1e15, 0, "1,000,000,000,000,000"},
		{math.NaN(), 0, "not known"},
		{math.Inf(-1), 2, "not known"},
	} {
		if got := Number(c.v, c.decimals); got != c.want {
			t.Errorf("Number(%v, %d) = %q, want %q", c.v, c.decimals, got, c.want)
		}
	}
}
