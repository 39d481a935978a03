package workbook

import (
	"maps"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// limit is what may be typed into cells of one kind.
type limit struct {
	least, most float64
	whole       bool
	words       string
}

// limitOf says what a cell to change takes, by how it is shown. The bounds are
// wide: they stop slips such as 95 for 95 %, not unusual soil.
func limitOf(format string) limit {
	const huge = 1e12
	switch format {
	case formatShare:
		return limit{-1, 5, false, "Type a share such as 5% or 0.05."}
	case formatPoints:
		return limit{-1, 1, false, "Type points of water content such as -2% or -0.02."}
	case formatFactor:
		return limit{0, 10, false, "Type a factor such as 0.9, between 0 and 10."}
	case formatShort, formatGravity:
		return limit{0, 1e6, false, "Type a plain number of 0 or more, without a unit."}
	case formatCount:
		return limit{0, 1e6, true, "Type a whole number of 0 or more."}
	case formatPcf, formatWhole:
		return limit{0, 1e5, false, "Type a density above 0, in the unit of the heading."}
	}
	return limit{-huge, huge, false, "Type a plain number, without a unit."}
}

// saveChoices writes the drop-down lists.
func (s *sheet) saveChoices(f *excelize.File) error {
	for _, c := range s.choices {
		list := excelize.NewDataValidation(true)
		list.Sqref = c.at
		if err := list.SetDropList(c.words); err != nil {
			return err
		}
		if err := f.AddDataValidation(s.name, list); err != nil {
			return err
		}
	}
	return nil
}

// saveLimits writes what may be typed into the cells to change that hold
// numbers, one rule for each way of showing them.
func (s *sheet) saveLimits(f *excelize.File) error {
	places := s.byFormat(func(c *cell) bool { return c.look.role == roleInput && c.content.plain })
	for _, format := range slices.Sorted(maps.Keys(places)) {
		if err := s.saveLimit(f, limitOf(format), places[format]); err != nil {
			return err
		}
	}
	return nil
}

// byFormat gathers the cells with a number format that are wanted, as blocks down
// the columns.
func (s *sheet) byFormat(wanted func(*cell) bool) map[string][]string {
	format := func(row, col int) string {
		if c := s.at(row, col); c != nil && c.look.format != "" && wanted(c) {
			return c.look.format
		}
		return ""
	}
	out := map[string][]string{}
	for col := 1; col <= s.lastCol; col++ {
		for row := 1; row <= s.lastRow(); row++ {
			shown, from := format(row, col), row
			if shown == "" {
				continue
			}
			for format(row+1, col) == shown {
				row++
			}
			out[shown] = append(out[shown], address(from, col)+":"+address(row, col))
		}
	}
	return out
}

func (s *sheet) saveLimit(f *excelize.File, l limit, places []string) error {
	rule := excelize.NewDataValidation(true)
	rule.Sqref = strings.Join(places, " ")
	kind := excelize.DataValidationTypeDecimal
	if l.whole {
		kind = excelize.DataValidationTypeWhole
	}
	if err := rule.SetRange(l.least, l.most, kind, excelize.DataValidationOperatorBetween); err != nil {
		return err
	}
	rule.SetError(excelize.DataValidationErrorStyleStop, "This does not fit here", l.words)
	return f.AddDataValidation(s.name, rule)
}

// saveLinks writes the links to other sheets.
func (s *sheet) saveLinks(f *excelize.File) error {
	for _, l := range s.links {
		tip := "Go to the sheet " + l.to
		to := "'" + strings.ReplaceAll(l.to, "'", "''") + "'!A1"
		if err := f.SetCellHyperLink(s.name, address(l.from.row, l.from.col), to, "Location", excelize.HyperlinkOpts{Tooltip: &tip}); err != nil {
			return err
		}
	}
	return nil
}

// saveFilter writes the filter of the sheet's main table.
func (s *sheet) saveFilter(f *excelize.File) error {
	head, last := s.filters[0], s.filters[1]
	if head == 0 || last <= head {
		return nil
	}
	from, to := 0, 0
	for col := 1; col <= s.lastCol; col++ {
		if c := s.at(head, col); c != nil && c.look.role == roleHead {
			if from == 0 {
				from = col
			}
			to = col
		}
	}
	return f.AutoFilter(s.name, address(head, from)+":"+address(last, to), nil)
}
