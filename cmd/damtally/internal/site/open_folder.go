package site

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// openFolder lists the tables of a folder.
func (r *reading) openFolder(path string) ([]input, error) {
	root, err := os.OpenRoot(path)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	dir, err := root.Open(".")
	if err != nil {
		return nil, err
	}
	defer dir.Close()
	entries, err := dir.ReadDir(-1)
	if err != nil {
		return nil, err
	}
	slices.SortFunc(entries, func(a, b os.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	inputs := r.folderTables(path, entries)
	if len(inputs) == 0 {
		r.checkUnknownFiles()
	}
	if len(inputs) == 0 && len(r.found) == 0 {
		r.emptyFolder(path, entries)
	}
	return inputs, nil
}

// folderTables matches the CSV files of a folder to tables.
func (r *reading) folderTables(path string, entries []os.DirEntry) []input {
	var inputs []input
	for _, e := range entries {
		name, ext := e.Name(), filepath.Ext(e.Name())
		if strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~") {
			continue
		}
		stem := strings.TrimSuffix(name, ext)
		if !strings.EqualFold(ext, ".csv") {
			if _, ok := r.specs[headKey(stem)]; ok && !e.IsDir() {
				r.note("look", Ref{}, name+" is passed over, since tables are read from .csv files")
			}
			continue
		}
		spec, ok := r.matchTable(stem, "file")
		if !ok {
			r.unknown = append(r.unknown, name) // a table may name it as a file of ground
			continue
		}
		if slices.ContainsFunc(inputs, func(in input) bool { return in.spec == spec }) {
			r.wrong(Ref{Table: spec.Name}, "", "two files hold this table", "keep one")
			continue
		}
		inputs = append(inputs, input{spec, func() (source, error) { return r.openCSV(path, name, spec) }})
	}
	return inputs
}

// emptyFolder reports a folder without tables.
func (r *reading) emptyFolder(path string, entries []os.DirEntry) {
	what, mend := "the folder holds no tables", noTablesMend
	if len(entries) == 0 {
		what = "the folder is empty"
	}
	for _, e := range entries {
		if strings.EqualFold(filepath.Ext(e.Name()), ".xlsx") && !strings.HasPrefix(e.Name(), "~") {
			mend = "give the workbook in it instead: " + filepath.Join(path, e.Name())
			break
		}
	}
	r.wrong(Ref{Table: filepath.Base(path)}, "", what, mend)
}

// openCSV reads a CSV file of the site's folder into memory. The source is nil
// when the file is wrong, which is reported.
func (r *reading) openCSV(folder, name string, spec *tableSpec) (source, error) {
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	ref := Ref{Table: spec.Name}
	info, err := root.Stat(name)
	if err != nil {
		if link, lerr := root.Lstat(name); lerr == nil && link.Mode()&os.ModeSymlink != 0 {
			r.wrong(ref, "", "the file "+name+" is a link that leads out of the site's folder or nowhere", "put the file itself into the folder")
			return nil, nil
		}
		return nil, err
	}
	switch {
	case !info.Mode().IsRegular():
		r.wrong(ref, "", name+" is not a file", "put a CSV file there, or take it out")
		return nil, nil
	case info.Size() == 0:
		r.wrong(ref, "", "the file is empty", "write the column names in its first row, or take the file out")
		return nil, nil
	case info.Size() > maxCSV:
		r.wrong(ref, "", fmt.Sprintf("the file is larger than %d MB", maxCSV>>20), "thin out its rows")
		return nil, nil
	}
	f, err := root.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxCSV))
	if err != nil {
		return nil, err
	}
	return r.csvFrom(data, ref, spec)
}

// csvFrom makes a source of the bytes of a CSV file.
func (r *reading) csvFrom(data []byte, ref Ref, spec *tableSpec) (source, error) {
	text, old, err := decodeText(data)
	if err != nil {
		r.wrong(ref, "", "the file "+errNotText.Error(), "save it as CSV from your spreadsheet program")
		return nil, nil
	}
	if old {
		r.note("note", ref, "the file is not UTF-8 and is read as Windows-1252 text")
	}
	return &csvSource{text: text, separator: findSeparator(text, spec)}, nil
}
