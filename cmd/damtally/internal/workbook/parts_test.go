package workbook

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// sheetOrder is the order of what may stand in a worksheet (ECMA-376 part 1,
// 18.3.1.99, CT_Worksheet). Programs ask to repair a file that has another.
var sheetOrder = []string{
	"sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr", "sheetProtection", "protectedRanges",
	"scenarios", "autoFilter", "sortState", "dataConsolidate", "customSheetViews", "mergeCells", "phoneticPr", "conditionalFormatting",
	"dataValidations", "hyperlinks", "printOptions", "pageMargins", "pageSetup", "headerFooter", "rowBreaks", "colBreaks",
	"customProperties", "cellWatches", "ignoredErrors", "smartTags", "drawing", "legacyDrawing", "tableParts", "extLst",
}

// axisOrder is the same for an axis of a chart (21.2.2.226, CT_ValAx, and 21.2.2.25,
// CT_CatAx).
var axisOrder = map[string][]string{
	"valAx": {"axId", "scaling", "delete", "axPos", "majorGridlines", "minorGridlines", "title", "numFmt", "majorTickMark", "minorTickMark", "tickLblPos", "spPr", "txPr", "crossAx", "crosses", "crossesAt", "crossBetween", "majorUnit", "minorUnit", "dispUnits", "extLst"},
	"catAx": {"axId", "scaling", "delete", "axPos", "majorGridlines", "minorGridlines", "title", "numFmt", "majorTickMark", "minorTickMark", "tickLblPos", "spPr", "txPr", "crossAx", "crosses", "crossesAt", "auto", "lblAlgn", "lblOffset", "tickLblSkip", "tickMarkSkip", "noMultiLvlLbl", "extLst"},
}

// children calls see with each element and the elements right below it, once in
// order of the file.
func children(t *testing.T, part string, content []byte, see func(name string, below []string)) {
	t.Helper()
	type open struct {
		name  string
		below []string
	}
	var stack []open
	for d := xml.NewDecoder(bytes.NewReader(content)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatalf("%s: %v", part, err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			if n := len(stack); n > 0 {
				stack[n-1].below = append(stack[n-1].below, e.Name.Local)
			}
			stack = append(stack, open{name: e.Name.Local})
		case xml.EndElement:
			last := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			see(last.name, last.below)
		}
	}
}

// inOrder checks that elements come in the order that the standard gives them.
func inOrder(t *testing.T, where string, below, order []string) {
	t.Helper()
	last := -1
	for _, name := range below {
		at := slices.Index(order, name)
		switch {
		case at < 0:
			t.Errorf("%s: <%s> has no place there", where, name)
		case at < last:
			t.Errorf("%s: <%s> comes too late", where, name)
		}
		last = max(last, at)
	}
}

// TestParts checks what programs look for before they ask to repair a file: every
// part is sound XML in the standard's order, every link leads to a part, every
// part has a type, and every place that is named exists.
func TestParts(t *testing.T) {
	for name, s := range map[string]func() []byte{
		"priced":  func() []byte { return written(t, planned(t, pricedSite())) },
		"layers":  func() []byte { return written(t, planned(t, layeredSite())) },
		"a demo":  func() []byte { return written(t, planned(t, readSite(t, "plain"))) },
		"no soil": func() []byte { return written(t, planned(t, variants()["compacted volumes alone"])) },
	} {
		all := parts(t, s())
		types := string(all["[Content_Types].xml"])
		for part, content := range all {
			children(t, name+": "+part, content, func(element string, below []string) {
				if order, ok := axisOrder[element]; ok {
					inOrder(t, name+": "+part+" "+element, below, order)
				}
				if element == "worksheet" {
					inOrder(t, name+": "+part, below, sheetOrder)
				}
			})
			if part != "[Content_Types].xml" && !strings.HasSuffix(part, ".rels") && !strings.Contains(types, `PartName="/`+part+`"`) {
				t.Errorf("%s: %s has no type", name, part)
			}
			if strings.HasSuffix(part, ".rels") {
				checkLinks(t, name, part, content, all)
			}
		}
		checkPlaces(t, name, all)
	}
}

// checkLinks checks that every target of a part of links is a part.
func checkLinks(t *testing.T, name, part string, content []byte, all map[string][]byte) {
	t.Helper()
	base := path.Dir(path.Dir(part))
	for _, m := range regexp.MustCompile(`Target="([^"]+)"`).FindAllStringSubmatch(string(content), -1) {
		target := strings.TrimPrefix(path.Join("/", base, m[1]), "/")
		if strings.HasPrefix(m[1], "/") {
			target = m[1][1:]
		}
		if all[target] == nil {
			t.Errorf("%s: %s leads to %s, which is not there", name, part, target)
		}
	}
}

// checkPlaces checks that charts, links and defined names point at sheets that
// there are, and that charts draw cells with figures.
func checkPlaces(t *testing.T, name string, all map[string][]byte) {
	t.Helper()
	sheets := sheetParts(t, all)
	place := regexp.MustCompile(`(?:'|&#39;)([^'&]+)(?:'|&#39;)!\$?([A-Z]+)\$?([0-9]+)`)
	for part, content := range all {
		if !strings.HasPrefix(part, "xl/charts/") && !strings.HasPrefix(part, "xl/worksheets/sheet") && part != "xl/workbook.xml" {
			continue
		}
		text := string(content)
		if strings.HasPrefix(part, "xl/worksheets/") {
			text = strings.Join(regexp.MustCompile(`<hyperlink [^>]*>`).FindAllString(text, -1), "\n")
		}
		for _, m := range place.FindAllStringSubmatch(text, -1) {
			if sheets[m[1]] == "" {
				t.Errorf("%s: %s points at the sheet %q, which is not there", name, part, m[1])
				continue
			}
			if cell := m[2] + m[3]; strings.HasPrefix(part, "xl/charts/") && !bytes.Contains(all[sheets[m[1]]], []byte(`r="`+cell+`"`)) {
				t.Errorf("%s: %s draws %s!%s, which is empty", name, part, m[1], cell)
			}
		}
	}
}
