package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// target is a file that is about to be written.
type target struct {
	name string      // as the user gave it, for messages
	file string      // where it goes; behind a link, where the link leads
	mode fs.FileMode // of the file that it replaces; 0 when there is none
	free bool        // the name must still be free when the file goes there
}

// targetAt looks at the place of a file before any work is done for it: its
// folder must be there, and what stands under the name must be a plain file
// that may be written and that no spreadsheet program holds open.
func targetAt(w *world, name string) (target, error) {
	t := target{name: name, file: w.at(name)}
	if err := checkFolder(name, t.file); err != nil {
		return t, err
	}
	info, err := os.Lstat(t.file)
	if errors.Is(err, fs.ErrNotExist) {
		return t, nil
	}
	if err == nil && info.Mode()&fs.ModeSymlink != 0 {
		if t.file, err = filepath.EvalSymlinks(t.file); err == nil {
			info, err = os.Lstat(t.file)
		}
	}
	switch {
	case err != nil:
		return t, cannotWrite(name, err)
	case info.IsDir():
		return t, fmt.Errorf("%s is a folder; give the name of a file in it, such as %s", name, filepath.Join(name, "plan.xlsx"))
	case !info.Mode().IsRegular():
		return t, fmt.Errorf("%s is not a plain file; choose another name", name)
	}
	t.mode = info.Mode().Perm()
	return t, checkNotOpen(t)
}

// checkFolder says what is wrong with the folder that a file is to go to.
func checkFolder(name, file string) error {
	folder := filepath.Dir(name)
	info, err := os.Stat(filepath.Dir(file))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s cannot be written: there is no folder %s; make it first, or choose another", name, folder)
	case errors.Is(err, syscall.ENOTDIR), err == nil && !info.IsDir():
		return fmt.Errorf("%s cannot be written: %s is a file, not a folder", name, folder)
	case err != nil:
		return cannotWrite(name, err)
	}
	return nil
}

// checkNotOpen finds out whether a file may be replaced: whether it can be
// opened for writing, and whether a spreadsheet program has put its lock file
// beside it, as those that do not lock the file itself do.
func checkNotOpen(t target) error {
	f, err := os.OpenFile(t.file, os.O_WRONLY, 0)
	if err != nil {
		return cannotWrite(t.name, err)
	}
	if err := f.Close(); err != nil {
		return cannotWrite(t.name, err)
	}
	folder, base := filepath.Split(t.file)
	for _, lock := range []string{".~lock." + base + "#", "~$" + base} {
		if _, err := os.Lstat(folder + lock); err == nil {
			return fmt.Errorf("%s is open in a spreadsheet program; close it there, or choose another name "+
				"(if it is open nowhere, delete the file %s beside it)", t.name, lock)
		}
	}
	return nil
}

// sharingViolation is what Windows answers when another program holds the file.
const sharingViolation = syscall.Errno(32)

// cannotWrite puts an error of the machine in plain words.
func cannotWrite(name string, err error) error {
	var path *fs.PathError
	var link *os.LinkError
	if errors.As(err, &path) {
		err = path.Err
	} else if errors.As(err, &link) {
		err = link.Err
	}
	why := err.Error()
	switch {
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		why = "the disk is full; make room, or choose another disk"
	case errors.Is(err, syscall.EFBIG):
		why = "the file would grow beyond what may be written here; choose another disk, or have the limit raised"
	case errors.Is(err, syscall.EROFS):
		why = "the disk is read-only; choose another"
	case filepath.Separator == '\\' && errors.Is(err, sharingViolation):
		why = "it is open in another program; close it there, or choose another name"
	case errors.Is(err, fs.ErrPermission):
		why = "it may not be written; choose another name or folder"
	case errors.Is(err, syscall.ENAMETOOLONG):
		why = "the name is too long; choose a shorter one"
	}
	return fmt.Errorf("%s cannot be written: %s", name, why)
}

// freeTarget is `NAME plan.xlsx` beside a site, or `NAME plan 2.xlsx` and so on
// when that is taken.
func freeTarget(w *world, site string) (target, error) { return freeTargetNamed(w, site, "plan") }

// freeTargetNamed is freeTarget with another word than plan.
func freeTargetNamed(w *world, site, word string) (target, error) {
	stem, err := stemOf(w, site)
	if err != nil {
		return target{}, err
	}
	for n := 1; ; n++ {
		name := stem + " " + word + workbookEnding
		if n > 1 {
			name = fmt.Sprintf("%s %s %d%s", stem, word, n, workbookEnding)
		}
		if _, err := os.Lstat(w.at(name)); err != nil {
			t, err := targetAt(w, name)
			t.free = true
			return t, err
		}
	}
}

// stemOf is a site's path without `.xlsx`, with a real name at its end even
// when the site was given as `.` or `..`.
func stemOf(w *world, site string) (string, error) {
	stem := filepath.Clean(site)
	if base := filepath.Base(stem); base == "." || base == ".." {
		whole, err := filepath.Abs(w.at(stem))
		if err != nil {
			return "", err
		}
		stem = whole
	}
	if strings.HasSuffix(stem, string(filepath.Separator)) { // the whole of a disk
		return stem + "site", nil
	}
	if isWorkbookName(stem) {
		stem = stem[:len(stem)-len(workbookEnding)]
	}
	return stem, nil
}

// workbookEnding is how the name of every workbook ends.
const workbookEnding = ".xlsx"

// isWorkbookName says whether a name ends in .xlsx, in whatever case.
func isWorkbookName(name string) bool {
	return strings.EqualFold(filepath.Ext(name), workbookEnding)
}
