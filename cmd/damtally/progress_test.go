package main

import (
	"bytes"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// A file that is read in less than a second is not spoken of; a longer one is, on
// a terminal only, a few times a second, and the line goes away.
func TestReadingIsToldAfterASecond(t *testing.T) {
	for _, terminal := range []bool{true, false} {
		synctest.Test(t, func(t *testing.T) {
			var out bytes.Buffer
			p := &progress{w: &world{err: &out, terminal: terminal}}
			told := p.reading()
			told("a.las", 1_000_000, 8_000_000)
			time.Sleep(patience / 2)
			told("a.las", 2_000_000, 8_000_000)
			if out.Len() > 0 {
				t.Errorf("told too soon: %q", out.String())
			}
			time.Sleep(patience)
			told("a.las", 4_000_000, 8_000_000)
			told("a.las", 4_100_000, 8_000_000)
			told("b.las", 5_000_000, 8_000_000) // another file, its second begins anew
			want := ""
			if terminal {
				want = "reading a.las: 50 % of 8 MB ..."
			}
			if out.String() != want {
				t.Errorf("told %q, want %q", out.String(), want)
			}
			p.clear()
			if terminal && !strings.HasSuffix(out.String(), "\r") {
				t.Errorf("the line stays: %q", out.String())
			}
		})
	}
}
