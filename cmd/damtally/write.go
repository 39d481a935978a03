package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
)

// piece is a target with what goes into it.
type piece struct {
	target target
	bytes  []byte
}

// writeAll writes every piece to a new file beside its target, and only when
// all of them are safely on the disk puts them in place. On an error the
// targets are as they were and the new files are gone.
func writeAll(pieces []piece) error {
	interrupt, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	parts := make([]string, 0, len(pieces))
	defer func() {
		for _, part := range parts {
			os.Remove(part) // those put in place are no longer there
		}
	}()
	for _, p := range pieces {
		part, err := writePart(p)
		if part != "" {
			parts = append(parts, part)
		}
		if err != nil {
			return cannotWrite(p.target.name, err)
		}
	}
	if interrupt.Err() != nil {
		return errors.New("stopped; nothing was written")
	}
	for i, p := range pieces {
		if err := putInPlace(parts[i], p.target); err != nil {
			undo(pieces[:i])
			return cannotWrite(p.target.name, err)
		}
	}
	syncFolders(pieces)
	return nil
}

// syncFolders sees the new names onto the disk too, so that a power cut does not
// bring back the old files. Some systems do not do that for folders; the files
// are whole either way, so nothing is said then.
func syncFolders(pieces []piece) {
	var done []string
	for _, p := range pieces {
		folder := filepath.Dir(p.target.file)
		if slices.Contains(done, folder) {
			continue
		}
		done = append(done, folder)
		if f, err := os.Open(folder); err == nil {
			f.Sync()
			f.Close()
		}
	}
}

// mostParts is how many leftovers of stopped runs are stepped over in a folder.
const mostParts = 1000

// writePart writes a piece to a new file in its target's folder and sees it
// onto the disk. The path is "" when no file was made.
func writePart(p piece) (path string, err error) {
	var f *os.File
	for n := range mostParts {
		path = filepath.Join(filepath.Dir(p.target.file), fmt.Sprintf(".damtally-%d-%d.part", os.Getpid(), n))
		f, err = os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			break
		}
	}
	if err != nil {
		return "", err
	}
	_, err = f.Write(p.bytes)
	if err == nil && p.target.mode != 0 {
		err = f.Chmod(p.target.mode)
	}
	if err == nil {
		err = f.Sync()
	}
	return path, errors.Join(err, f.Close())
}

// putInPlace gives a finished file its name. A name that has to be free is
// first taken by an empty file, which fails when someone else was quicker.
func putInPlace(part string, t target) error {
	if t.free {
		f, err := os.OpenFile(t.file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err != nil {
			return err
		}
		f.Close()
	}
	err := os.Rename(part, t.file)
	if err != nil && t.free {
		os.Remove(t.file)
	}
	return err
}

// undo takes away files that went in place before a later one failed. A file
// that replaced an older one stays: it is whole, and the older one is gone.
func undo(placed []piece) {
	for _, p := range placed {
		if p.target.mode == 0 {
			os.Remove(p.target.file)
		}
	}
}
