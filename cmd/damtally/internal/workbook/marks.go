package workbook

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// mark is a colour that a cell takes while it holds a certain text, or is below zero.
type mark struct {
	area  string
	text  string // "" = a number below zero
	good  bool
	any   bool    // whatever the cell shows, but not while it is empty
	head  bool    // text is what the cell's words begin with
	below float64 // a number below this: less is rounding
}

// watch marks a cell green while it holds the one text and red while it holds
// the other.
func (s *sheet) watch(c *cell, good, bad string) {
	at := address(c.row, c.col)
	s.marks = append(s.marks, mark{area: at, text: good, good: true}, mark{area: at, text: bad})
}

// watchStart is watch by the words that the cell's text begins with.
func (s *sheet) watchStart(c *cell, good, bad string) {
	at := address(c.row, c.col)
	s.marks = append(s.marks, mark{area: at, text: good, good: true, head: true}, mark{area: at, text: bad, head: true})
}

// watchShown marks a cell red while it shows anything.
func (s *sheet) watchShown(c *cell) {
	s.marks = append(s.marks, mark{area: address(c.row, c.col), any: true})
}

// watchNegative marks a cell red while it shows a number below zero.
func (s *sheet) watchNegative(c *cell) {
	_, below, _ := unsigned(c.look.format)
	s.marks = append(s.marks, mark{area: address(c.row, c.col), below: below})
}

// saveMarks writes the colours, and takes the sign from figures that would read
// "-0".
func (s *sheet) saveMarks(f *excelize.File, looks *styles) error {
	for _, m := range s.marks {
		if err := f.SetConditionalFormat(s.name, m.area, []excelize.ConditionalFormatOptions{m.rule(looks)}); err != nil {
			return err
		}
	}
	places := s.byFormat(func(c *cell) bool { return c.content.val.kind == isNumber || !c.content.plain })
	for _, format := range slices.Sorted(maps.Keys(places)) {
		shown, above, ok := unsigned(format)
		if !ok {
			continue
		}
		style, err := looks.shown(shown)
		if err != nil {
			return err
		}
		rule := excelize.ConditionalFormatOptions{
			Type: "cell", Criteria: "between", MinValue: strconv.FormatFloat(above, 'f', -1, 64), MaxValue: "0", Format: &style,
		}
		if err := f.SetConditionalFormat(s.name, strings.Join(places[format], " "), []excelize.ConditionalFormatOptions{rule}); err != nil {
			return err
		}
	}
	return nil
}

func (m mark) rule(looks *styles) excelize.ConditionalFormatOptions {
	format := looks.bad
	if m.good {
		format = looks.good
	}
	rule := excelize.ConditionalFormatOptions{Type: "cell", Format: &format, Criteria: "<", Value: strconv.FormatFloat(m.below, 'f', -1, 64)}
	switch {
	case m.any:
		rule.Criteria, rule.Value = "!=", `""`
	case m.head:
		rule = excelize.ConditionalFormatOptions{Type: "formula", Format: &format, Criteria: "LEFT(" + m.area + "," + itoa(len(m.text)) + `)="` + m.text + `"`}
	case m.text != "":
		rule.Criteria, rule.Value = "==", `"`+m.text+`"`
	}
	return rule
}
