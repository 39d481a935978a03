package main

import (
	"fmt"
	"strings"
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

// clear takes the line away. Blanks serve every terminal.
func (p *progress) clear() {
	if p.width > 0 {
		fmt.Fprintf(p.w.err, "\r%s\r", strings.Repeat(" ", p.width))
		p.width = 0
	}
}
