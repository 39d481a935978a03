package workbook

import (
	"fmt"
	"io"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Numbers of paper sizes in xlsx (ECMA-376 part 1, pageSetup/@paperSize).
const (
	paperLetter = 1
	paperA4     = 9
)

// printing is what all sheets share on paper.
type printing struct {
	paper  int
	site   string // in the footer
	header string // at the head of each page, left
	dated  string // and right
}

// save writes the sheets to w; the first one is in view on opening. Nothing reaches w before the whole workbook is made.
func save(w io.Writer, sheets []*sheet, p printing, made excelize.DocProperties) error {
	f := excelize.NewFile()
	defer f.Close() //nolint:errcheck // closes temporary files only
	first := f.GetSheetName(0)
	for i, s := range sheets {
		if i == 0 {
			if err := f.SetSheetName(first, s.name); err != nil {
				return err
			}
			continue
		}
		if _, err := f.NewSheet(s.name); err != nil {
			return err
		}
	}
	if err := f.SetDocProps(&made); err != nil {
		return err
	}
	if err := f.SetAppProps(&excelize.AppProperties{Application: "damtally"}); err != nil {
		return err
	}
	looks, err := newStyles(f)
	if err != nil {
		return err
	}
	for _, s := range sheets {
		if err := s.save(f, looks, p); err != nil {
			return fmt.Errorf("sheet %s: %w", s.name, err)
		}
	}
	f.SetZipWriter(func(to io.Writer) excelize.ZipWriter { return newZip(to) })
	return f.Write(w)
}

// save writes one sheet. The library fixes the order: properties first, then the
// stream, then what stands around the rows, and at last the end of the stream.
func (s *sheet) save(f *excelize.File, looks *styles, p printing) error {
	yes, tall := true, rowHeight
	if err := f.SetSheetProps(s.name, &excelize.SheetPropsOptions{FitToPage: &yes, CustomHeight: &yes, DefaultRowHeight: &tall}); err != nil {
		return err
	}
	gridless := false
	if err := f.SetSheetView(s.name, 0, &excelize.ViewOptions{ShowGridLines: &gridless}); err != nil {
		return err
	}
	stream, err := f.NewStreamWriter(s.name)
	if err != nil {
		return err
	}
	widths := s.fitted(p.room(s.upright))
	if err := s.saveColumns(stream, widths); err != nil {
		return err
	}
	if err := s.saveFreeze(stream); err != nil {
		return err
	}
	for row := 1; row <= s.lastRow(); row++ {
		if err := s.saveRow(stream, looks, row, widths); err != nil {
			return err
		}
	}
	if err := s.saveMarks(f, looks); err != nil {
		return err
	}
	if err := s.savePrint(f, p, widths); err != nil {
		return err
	}
	for _, step := range []func(*excelize.File) error{s.saveNames, s.saveChoices, s.saveLimits, s.saveLinks, s.saveFilter, s.saveCharts} {
		if err := step(f); err != nil {
			return err
		}
	}
	return stream.Flush()
}

// saveColumns sets the widths; a column out of view keeps one for when it is shown.
func (s *sheet) saveColumns(stream *excelize.StreamWriter, widths []float64) error {
	for i := len(widths) - 1; i >= 0; i-- { // the library puts the last set first
		col, wide := i+1, widths[i]
		if s.hidden[col] {
			wide = s.width(col)
			if err := stream.SetColVisible(col, col, false); err != nil {
				return err
			}
		}
		if err := stream.SetColWidth(col, col, wide); err != nil {
			return err
		}
	}
	return nil
}

func (s *sheet) saveFreeze(stream *excelize.StreamWriter) error {
	rows, cols := s.freeze[0], s.freeze[1]
	if rows == 0 && cols == 0 {
		return nil
	}
	pane := "bottomRight"
	if cols == 0 {
		pane = "bottomLeft"
	}
	return stream.SetPanes(&excelize.Panes{
		Freeze: true, YSplit: rows, XSplit: cols,
		TopLeftCell: address(rows+1, cols+1), ActivePane: pane,
	})
}

func (s *sheet) saveRow(stream *excelize.StreamWriter, looks *styles, row int, widths []float64) error {
	var values []any
	for col := 1; col <= len(s.rows[row-1]); col++ {
		c := s.at(row, col)
		if c == nil {
			values = append(values, nil)
			continue
		}
		style, err := looks.of(c.look)
		if err != nil {
			return err
		}
		values = append(values, c.stream(style))
		c.content.write = nil // written; a long dam's formulas take much room
		if c.across > 1 {
			if err := stream.MergeCell(address(row, col), address(row, col+c.across-1)); err != nil {
				return err
			}
		}
	}
	return stream.SetRow(address(row, 1), values, excelize.RowOpts{Height: s.height(row, widths)})
}

// stream is the cell as the library's stream takes it.
func (c *cell) stream(style int) excelize.Cell {
	out := excelize.Cell{StyleID: style}
	v := c.content.val
	switch v.kind {
	case isNumber:
		out.Value = v.num
	case isText:
		out.Value = v.text
	case isTruth:
		out.Value = v.truth
	}
	if !c.content.plain {
		out.Formula = c.content.write(c.sheet)
		if v.kind == isBlank {
			out.Value = "" // the empty text, so that the stored value has its type
		}
	}
	return out
}

func (s *sheet) saveNames(f *excelize.File) error {
	for row := 1; row <= s.lastRow(); row++ {
		for col := 1; col <= s.lastCol; col++ {
			c := s.at(row, col)
			if c == nil || c.name == "" {
				continue
			}
			at := "'" + s.name + "'!$" + columnLetters(col) + "$" + itoa(row)
			if err := f.SetDefinedName(&excelize.DefinedName{Name: c.name, RefersTo: at}); err != nil {
				return err
			}
		}
	}
	return nil
}

// savePrint sets how the sheet goes on paper.
func (s *sheet) savePrint(f *excelize.File, p printing, widths []float64) error {
	r := p.room(s.upright)
	apart := s.splitAt(r, widths)
	if err := s.savePage(f, p, apart, s.onePage || s.nearlyFits(r, widths)); err != nil {
		return err
	}
	if apart > 0 {
		if err := f.InsertPageBreak(s.name, address(1, apart)); err != nil {
			return err
		}
	}
	for _, row := range s.pageStarts(r, widths) {
		if err := f.InsertPageBreak(s.name, address(row, 1)); err != nil {
			return err
		}
	}
	return s.savePrinted(f, apart, s.repeats(r, widths))
}

// savePage sets paper, margins, header and footer; a sheet parted before a column
// is two pages wide.
func (s *sheet) savePage(f *excelize.File, p printing, apart int, onePage bool) error {
	orientation, wide, tall := "landscape", 1, 0
	if apart > 0 {
		wide = 2
	}
	if onePage {
		tall = 1
	}
	if s.upright {
		orientation = "portrait"
	}
	if err := f.SetPageLayout(s.name, &excelize.PageLayoutOptions{
		Size: &p.paper, Orientation: &orientation, FitToWidth: &wide, FitToHeight: &tall,
	}); err != nil {
		return err
	}
	side, top, edge := marginSide, marginTop, marginEdge
	if err := f.SetPageMargins(s.name, &excelize.PageLayoutMarginsOptions{
		Left: &side, Right: &side, Top: &top, Bottom: &top, Header: &edge, Footer: &edge,
	}); err != nil {
		return err
	}
	scaled := false // of one size on all sheets
	return f.SetHeaderFooter(s.name, &excelize.HeaderFooterOptions{
		ScaleWithDoc: &scaled,
		OddHeader:    "&L&8" + p.header + "&R&8" + p.dated,
		OddFooter:    "&L" + p.site + "&C" + footerText(s.name) + "&RPage &P of &N",
	})
}

// savePrinted sets the area that is printed, and the headings that each page
// repeats.
func (s *sheet) savePrinted(f *excelize.File, apart int, repeats bool) error {
	quoted := "'" + s.name + "'!"
	area := quoted + "$A$1:$" + columnLetters(max(s.lastCol, 1)) + "$" + itoa(max(s.lastRow(), 1))
	if err := f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: area, Scope: s.name}); err != nil {
		return err
	}
	var titles []string
	if apart > 0 && s.freeze[1] > 0 { // the first columns say on the second page what the rows are
		titles = append(titles, quoted+"$A:$"+columnLetters(s.freeze[1]))
	}
	if repeats {
		titles = append(titles, quoted+"$"+itoa(s.heads[0])+":$"+itoa(s.heads[1]))
	}
	if len(titles) == 0 {
		return nil
	}
	return f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: strings.Join(titles, ","), Scope: s.name})
}
