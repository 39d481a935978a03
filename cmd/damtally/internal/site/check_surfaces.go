package site

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// surfaceFile reads a row of the table `surfaces`.
func (r *reading) surfaceFile(w *row) SurfaceFile {
	return SurfaceFile{
		Ref: w.ref, Name: w.text("name"), File: r.fileName(w, "file"), Use: w.text("use"),
		Pit: w.text("pit"), Date: w.text("date"), Format: w.text("format"),
		Unit: r.unitName(w, "unit"), ElevationUnit: r.unitName(w, "elevation unit"),
		ElevationShift: w.si("elevation shift"), ColumnOrder: w.text("column order"),
	}
}

// fileName reads the name of a file, which must lie in the site's folder.
func (r *reading) fileName(w *row, column string) string {
	file := strings.ReplaceAll(w.text(column), `\`, "/")
	if file == "" {
		return ""
	}
	clean := path.Clean(file)
	if path.IsAbs(clean) || clean == ".." || strings.HasPrefix(clean, "../") || len(clean) > 1 && clean[1] == ':' {
		r.wrong(w.ref, column, units.Quote(file)+" leads out of the site's folder", "put the file into the folder and name it from there")
		return ""
	}
	r.files[strings.ToLower(clean)] = true
	return clean
}

// unitName reads the name of a unit of length.
func (r *reading) unitName(w *row, column string) string {
	text := w.text(column)
	if text == "" {
		return ""
	}
	unit, ok := units.Lookup(text)
	if !ok || unit.Kind != units.Length {
		r.wrong(w.ref, column, units.Quote(text)+" is no unit of length", "write m, ft or ftUS")
		return ""
	}
	return unit.Name
}

// checkSurfaces checks the files of ground against each other.
func (r *reading) checkSurfaces() {
	files := r.site.Surfaces
	for i := range files {
		r.checkProgressSurface(&files[i])
		f := files[i]
		first := slices.IndexFunc(files[:i], func(g SurfaceFile) bool {
			return f.File != "" && g.File == f.File && g.Use == f.Use && key(g.Name) == key(f.Name)
		})
		if first >= 0 {
			r.wrong(f.Ref, "file", fmt.Sprintf("the same file stands in row %d already", files[first].Ref.Row), "keep one of the rows")
		}
	}
}

// existing reports whether ground is to be read from files.
func (r *reading) existing() bool { return len(r.site.ExistingGround()) > 0 }

// mayAlign reports whether a file of ground may bring the centreline: a LandXML
// file may hold an alignment.
func (r *reading) mayAlign() bool {
	return slices.ContainsFunc(r.site.ExistingGround(), SurfaceFile.MayAlign)
}

// MayAlign reports whether a file may bring an alignment.
func (f SurfaceFile) MayAlign() bool {
	ending := strings.ToLower(path.Ext(f.File))
	return key(f.Format) == "landxml" || f.Format == "" && (ending == ".xml" || ending == ".landxml")
}

// checkUnknownFiles reports the CSV files of the folder that are no tables and
// that no table names.
func (r *reading) checkUnknownFiles() {
	for _, name := range r.unknown {
		if !r.files[strings.ToLower(name)] {
			r.unknownTable(name, "there is no table of this file's name", "rename the file or take it out of the folder")
		}
	}
}
