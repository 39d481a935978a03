//go:build unix

package main

import (
	"os/signal"
	"syscall"
)

// ignoreFileSizeSignal makes a write beyond the file size limit fail as any
// other write does, so that the half-written file can be taken away.
func ignoreFileSizeSignal() { signal.Ignore(syscall.SIGXFSZ) }
