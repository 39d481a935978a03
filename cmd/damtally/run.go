package main

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"
	"unicode"

	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Exit codes; they are part of what scripts depend on.
const (
	exitDone   = 0
	exitSite   = 1 // the site has errors
	exitUse    = 2 // wrong use of the command
	exitFailed = 3 // a file or the machine failed
)

// usageError is wrong use of the command line.
type usageError struct{ text string }

func (e usageError) Error() string { return e.text }

// wrongUse makes a usageError.
func wrongUse(format string, a ...any) error { return usageError{fmt.Sprintf(format, a...)} }

// run carries out one command line and returns the exit code. Whatever goes
// wrong is told on w.err, one line each, with a last line that counts them.
func run(w *world, args []string) (code int) {
	defer func() {
		if fault := recover(); fault != nil {
			say(w.err, "damtally has a fault of its own, and stopped: %v", fault)
			fmt.Fprintf(w.err, "%s", debug.Stack())
			code = exitFailed
		}
		if w.clicked {
			waitForEnter(w)
		}
	}()
	out := &watchedWriter{to: w.out}
	within := *w
	within.out = out
	root := rootCommand(&within)
	root.SetArgs(args)
	err := root.Execute()
	if out.err != nil && (err == nil || errors.Is(err, out.err)) { // an answer that nobody got is none
		err = cannotWrite("the standard output", out.err)
	}
	return tell(w.err, err)
}

// watchedWriter passes on what is written and remembers the first failure, so
// that no line of text has to look after its own.
type watchedWriter struct {
	to  io.Writer
	err error
}

func (w *watchedWriter) Write(b []byte) (int, error) {
	n, err := w.to.Write(b)
	if w.err == nil {
		w.err = err
	}
	return n, err
}

// tell writes an error out for the user and returns its exit code.
func tell(to io.Writer, err error) int {
	var problems site.Problems
	var usage usageError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &problems):
		for _, p := range problems {
			say(to, "%s", p)
		}
		say(to, "%s in the site; nothing was written", count(len(problems), "error"))
		return exitSite
	case errors.As(err, &usage):
		say(to, "damtally: %s", usage.text)
		say(to, "1 error in the command; nothing was done. `damtally --help` shows how it goes")
		return exitUse
	default:
		say(to, "damtally: %v", err)
		say(to, "1 error")
		return exitFailed
	}
}

// say writes one line. What a user's file or the machine brought in may not
// break the line or steer the terminal.
func say(to io.Writer, format string, a ...any) {
	line := strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, fmt.Sprintf(format, a...))
	fmt.Fprintln(to, strings.TrimRight(line, " "))
}

// count is "1 error" or "3 errors" or "1,158 survey points".
func count(n int, of string) string {
	if n == 1 {
		return "1 " + of
	}
	return units.Number(float64(n), 0) + " " + of + "s"
}

// waitForEnter keeps the window open until the user has read it.
func waitForEnter(w *world) {
	fmt.Fprint(w.err, "\nPress Enter to close this window. ")
	var one [1]byte
	for one[0] != '\n' {
		if n, err := w.in.Read(one[:]); n == 0 || err != nil {
			return
		}
	}
}
