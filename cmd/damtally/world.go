package main

import (
	"io"
	"os"
	"path/filepath"

	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/report"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
	"github.com/damtally/damtally/cmd/damtally/internal/workbook"
	"github.com/damtally/damtally/earthwork"
	"github.com/inconshreveable/mousetrap"
	"golang.org/x/term"
)

// world is everything outside the program that a command touches, so that a
// test can put its own in place.
type world struct {
	in       io.Reader
	out, err io.Writer
	folder   string // that relative paths start from; "" is the process's own
	terminal bool   // err is a terminal: progress may be shown there
	clicked  bool   // started from an icon: the window closes when the program ends
	version  string
	engine   engine
}

// engine is the work itself.
type engine struct {
	read     func(path string) (site.Site, error)
	plan     func(s site.Site, reading func(file string, done, total int64)) (*plan.Result, error)
	crest    func(s site.Site, wish plan.Wish, reading func(file string, done, total int64)) (*plan.CrestFound, error)
	workbook func(io.Writer, *plan.Result, string) error
	// drawn is plan with the cross-sections at the stations that are asked for, m.
	drawn func(s site.Site, stations []float64, reading func(file string, done, total int64)) (*plan.Result, []earthwork.Section, error)

	reconcile      func(s site.Site, reading func(file string, done, total int64)) (*plan.Result, error)
	reconciliation func(io.Writer, *plan.Result, string) error // its workbook
	json           func(io.Writer, *plan.Result, string) error
}

// systemWorld is the real one.
func systemWorld() *world {
	return &world{
		in: os.Stdin, out: os.Stdout, err: os.Stderr,
		terminal: term.IsTerminal(int(os.Stderr.Fd())),
		clicked:  mousetrap.StartedByExplorer(),
		version:  ownVersion(),
		engine: engine{
			read: site.Read, plan: planSite, crest: crestOf, drawn: drawnSite,
			workbook: workbook.Write, json: report.Write,
			reconcile: reconcileSite, reconciliation: workbook.WriteReconciliation,
		},
	}
}

// planSite runs the whole plan of a site. reading is told how far the files of
// ground are read.
func planSite(s site.Site, reading func(file string, done, total int64)) (*plan.Result, error) {
	job, err := plan.PrepareWatched(s, reading)
	if err != nil {
		return nil, err
	}
	return job.Run(job.Design())
}

// drawnSite runs the plan of a site and cuts the dam at stations besides.
func drawnSite(s site.Site, stations []float64, reading func(file string, done, total int64)) (*plan.Result, []earthwork.Section, error) {
	job, err := plan.PrepareWatched(s, reading)
	if err != nil {
		return nil, nil, err
	}
	r, err := job.Run(job.Design())
	if err != nil {
		return nil, nil, err
	}
	sections, err := job.SectionsAt(job.Design(), stations)
	return r, sections, err
}

// reconcileSite sets what was hauled and surveyed on a site side by side.
func reconcileSite(s site.Site, reading func(file string, done, total int64)) (*plan.Result, error) {
	job, err := plan.PrepareWatched(s, reading)
	if err != nil {
		return nil, err
	}
	return job.Reconcile(job.Design())
}

// crestOf looks for the crest of a site that a wish asks for.
func crestOf(s site.Site, wish plan.Wish, reading func(file string, done, total int64)) (*plan.CrestFound, error) {
	job, err := plan.PrepareWatched(s, reading)
	if err != nil {
		return nil, err
	}
	return job.Crest(wish)
}

// at is the file that a path of the command line means.
func (w *world) at(path string) string {
	if w.folder == "" || filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(w.folder, path)
}
