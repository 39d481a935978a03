package main

import (
	"fmt"
	"strings"
	"time"
)

// progress is one line on a terminal that says what is going on, and goes away
// when it is done. Where there is no terminal it says nothing.
type progress struct {
	w     *world
	width int
}

// step replaces the line.
func (p *progress) step(text string) {
	if !p.w.terminal {
		return
	}
	p.clear()
	fmt.Fprint(p.w.err, text)
	p.width = len(text)
}

// Reading a file is told of once it takes longer than patience, and then every
// now and again.
const (
	patience = time.Second
	nowAgain = 200 * time.Millisecond
)

// reading returns what tells how far a file is read.
func (p *progress) reading() func(file string, done, total int64) {
	start, last, current := time.Now(), time.Time{}, ""
	return func(file string, done, total int64) {
		if file != current {
			start, current = time.Now(), file
		}
		if time.Since(start) < patience || time.Since(last) < nowAgain || total <= 0 {
			return
		}
		last = time.Now()
		p.step(fmt.Sprintf("reading %s: %d %% of %d MB ...", file, 100*done/total, total/1_000_000))
	}
}

// clear takes the line away. Blanks serve every terminal.
func (p *progress) clear() {
	if p.width > 0 {
		fmt.Fprintf(p.w.err, "\r%s\r", strings.Repeat(" ", p.width))
		p.width = 0
	}
}
