package site

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/site/xlsx"
	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// Read reads a site: a folder of CSV files or one xlsx workbook. All that is
// wrong with the tables comes back at once as Problems; when the file system
// fails, the error wraps the one it gave. With an error the Site is empty.
// Nothing is written, and no file outside the site is opened.
func Read(path string) (Site, error) {
	info, err := os.Stat(path)
	if err != nil {
		return Site{}, err
	}
	r := newReading()
	r.site.Path = path
	var inputs []input
	if info.IsDir() {
		inputs, err = r.openFolder(path)
	} else {
		inputs, err = r.openBook(path, info)
	}
	if err != nil {
		return Site{}, err
	}
	if len(r.found) == 0 || len(inputs) > 0 {
		if err := r.readAll(inputs); err != nil {
			return Site{}, err
		}
	}
	if ps := r.problems(); len(ps) > 0 {
		return Site{}, ps
	}
	return r.site, nil
}

// input is a table found in the site. Its source is opened when it is read.
type input struct {
	spec *tableSpec
	open func() (source, error)
}

// readAll reads the tables in the order of the data model, `site` first since
// it holds the decimal mark, and checks what they say together.
func (r *reading) readAll(inputs []input) error {
	slices.SortFunc(inputs, func(a, b input) int { return a.spec.order - b.spec.order })
	for _, in := range inputs {
		from, err := in.open()
		if err != nil {
			return err
		}
		if from == nil { // what is wrong with it is reported
			r.tables[in.spec.Name] = &tableState{}
			continue
		}
		if in.spec.Name == "survey" { // the one table that may be long
			r.site.Survey = make([]SurveyPoint, 0, from.size())
		}
		if err := r.readTable(in.spec, from, r.builder(in.spec.Name)); err != nil {
			if !r.damage(in.spec.Name, err) {
				return err
			}
			continue
		}
		if in.spec.Name == "site" {
			r.applySettings(from)
		}
		r.site.Tables = append(r.site.Tables, TableCount{in.spec.Name, r.tables[in.spec.Name].rows})
	}
	r.finishSettings()
	r.check()
	r.noteUnused()
	return nil
}

// damage turns an error of a workbook's content into a problem of a table (or
// of the whole file with ""). False means that it is an error of the machine.
func (r *reading) damage(table string, err error) bool {
	for _, known := range []struct {
		err  error
		mend string
	}{
		{xlsx.ErrNotWorkbook, "give a workbook saved as .xlsx, or a folder of CSV files"},
		{xlsx.ErrLocked, "open it in your spreadsheet program and save it as .xlsx without a password"},
		{xlsx.ErrDamaged, "open it in your spreadsheet program, save it anew, or fetch a fresh copy"},
		{xlsx.ErrTooBig, "take out what the job does not need, or give large tables as a folder of CSV files"},
	} {
		if errors.Is(err, known.err) {
			r.wrong(Ref{Table: table}, "", "the file "+known.err.Error(), known.mend)
			return true
		}
	}
	return false
}

// openBook lists the tables of a workbook.
func (r *reading) openBook(path string, info os.FileInfo) ([]input, error) {
	r.book = true
	name := filepath.Base(path)
	if strings.EqualFold(filepath.Ext(path), ".csv") {
		r.wrong(Ref{Table: name}, "", "one CSV file is not a site", "give the folder that it lies in, or one xlsx workbook")
		return nil, nil
	}
	if !info.Mode().IsRegular() {
		r.wrong(Ref{Table: name}, "", "is neither a folder nor a file", "give a folder of CSV files or one xlsx workbook")
		return nil, nil
	}
	if info.Size() == 0 {
		r.wrong(Ref{Table: name}, "", "the file is empty", "give a workbook saved as .xlsx, or a folder of CSV files")
		return nil, nil
	}
	if info.Size() > xlsx.MaxFile {
		r.damage(name, xlsx.ErrTooBig)
		return nil, nil
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	book, err := xlsx.Open(data)
	if err != nil {
		if r.damage(name, err) {
			return nil, nil
		}
		return nil, fmt.Errorf("read %s: %w", path, err)
	}
	return r.bookTables(name, book), nil
}

// bookTables matches the sheets of a workbook to tables.
func (r *reading) bookTables(file string, book *xlsx.Book) []input {
	var inputs []input
	var passed []string
	for _, sheet := range book.Sheets {
		spec, ok := r.matchTable(sheet.Name, "sheet")
		if !ok {
			if explains(sheet.Name) || r.emptySheet(sheet) {
				passed = append(passed, tidy(sheet.Name))
			} else {
				r.unknownTable(sheet.Name, "there is no table of this sheet's name", "rename the sheet, or begin its name with # to have it passed over")
			}
			continue
		}
		if slices.ContainsFunc(inputs, func(in input) bool { return in.spec == spec }) {
			r.wrong(Ref{Table: spec.Name}, "", "two sheets hold this table", "keep one, or begin the other's name with #")
			continue
		}
		if sheet.Hidden {
			r.note("look", Ref{Table: spec.Name}, "the sheet is hidden and read all the same")
		}
		inputs = append(inputs, input{spec, func() (source, error) { return &sheetSource{book: book, sheet: sheet}, nil }})
	}
	if len(passed) > 0 {
		r.note("note", Ref{}, "sheets passed over: "+strings.Join(passed, ", "))
	}
	if len(inputs) == 0 && len(r.found) == 0 {
		r.wrong(Ref{Table: file}, "", "the workbook holds no tables", noTablesMend)
	}
	return inputs
}

const noTablesMend = "`damtally new` writes a site to start from"

// explains reports whether a sheet is there for people, not for its table.
func explains(name string) bool {
	switch headKey(name) {
	case "readme", "moretables":
		return true
	}
	return strings.HasPrefix(name, "#") || strings.HasPrefix(name, "_")
}

// emptySheet reports whether a sheet holds nothing, like those that a
// spreadsheet program puts into every new workbook.
func (r *reading) emptySheet(sheet *xlsx.Sheet) bool {
	empty := true
	_, err := sheet.Rows(func(xlsx.Row) bool { empty = false; return false })
	return empty && err == nil
}

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
			r.unknownTable(name, "there is no table of this file's name", "rename the file or take it out of the folder")
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

// matchTable finds the table that a file or sheet is named for; a synonym is noted.
func (r *reading) matchTable(name, what string) (*tableSpec, bool) {
	if spec, ok := r.specs[headKey(name)]; ok {
		return spec, true
	}
	if ours, ok := translate(name); ok {
		if spec, ok := r.specs[headKey(ours)]; ok {
			r.note("note", Ref{Table: spec.Name}, "the "+what+" "+units.Quote(name)+" is read as the table "+spec.Name)
			return spec, true
		}
	}
	return nil, false
}

func (r *reading) unknownTable(name, what, mend string) {
	var names []string
	for _, t := range Schema() {
		names = append(names, t.Name)
	}
	if near := nearest(strings.TrimSuffix(name, filepath.Ext(name)), names); near != "" {
		mend = `did you mean "` + near + `"? Else ` + mend
	} else {
		mend += "; the tables are: " + strings.Join(names, ", ")
	}
	r.wrong(Ref{Table: tidy(name)}, "", what, mend)
}

// noteUnused notes what was read and checked but is not used by this version.
func (r *reading) noteUnused() {
	const text = "read but not yet used by this version: "
	for _, t := range Schema() {
		if t.Later && r.has(t.Name) {
			r.note("look", Ref{Table: t.Name}, text+"the table "+t.Name)
		}
		for _, c := range t.Columns {
			if r.used[unused{t.Name, c.Name}] {
				r.note("look", Ref{Table: t.Name}, text+"the column "+c.Name)
			}
		}
	}
	for _, item := range Items() {
		if r.used[unused{"site", item.Name}] {
			r.note("look", r.site.Settings.ItemRows[item.Name], text+"the setting "+item.Name)
		}
	}
}
