package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/damtally/damtally/cmd/damtally/internal/exchange"
	"github.com/damtally/damtally/cmd/damtally/internal/plan"
	"github.com/damtally/damtally/cmd/damtally/internal/site"
)

// exchangePieces makes the files of an exchange for a folder, which it makes if
// need be. undo takes that folder away again; it is never nil.
func (w *world) exchangePieces(r *plan.Result, folder string) (pieces []piece, undo func(), err error) {
	undo = func() {}
	files, left, err := exchange.Files(r, w.version)
	if err != nil {
		return nil, undo, err
	}
	for _, l := range left {
		say(w.err, "note: %s", l)
	}
	at := w.at(folder)
	if made := os.Mkdir(at, 0o777); made == nil {
		undo = func() { os.Remove(at) } // goes only while it is empty
	} else if !errors.Is(made, fs.ErrExist) {
		return nil, undo, cannotWrite(folder, made)
	}
	for _, f := range files {
		t, err := targetAt(w, filepath.Join(folder, f.Name))
		if err == nil {
			err = notAnInput(r.Site, t)
		}
		if err != nil {
			undo()
			return nil, func() {}, err
		}
		pieces = append(pieces, piece{t, f.Bytes})
	}
	return pieces, undo, nil
}

// notAnInput refuses an output that would take the place of a file that the site
// reads.
func notAnInput(s site.Site, t target) error {
	output, err := os.Stat(t.file)
	if err != nil {
		return nil // nothing stands there
	}
	folder := s.Path
	if info, err := os.Stat(folder); err == nil && !info.IsDir() {
		folder = filepath.Dir(folder)
	}
	for _, name := range inputFiles(s) {
		if input, err := os.Stat(filepath.Join(folder, filepath.FromSlash(name))); err == nil && os.SameFile(input, output) {
			return wrongUse("%s is a file that the site reads, and no input is ever written to; choose another folder", t.name)
		}
	}
	return nil
}

// inputFiles are the files that the tables of a site name.
func inputFiles(s site.Site) []string {
	var out []string
	for _, f := range s.Surfaces {
		out = append(out, f.File)
	}
	for _, p := range s.Pits {
		out = append(out, p.Boundary)
	}
	for _, c := range s.Cuts {
		out = append(out, c.Boundary)
	}
	for _, b := range s.Blankets {
		out = append(out, b.Boundary)
	}
	return out
}
