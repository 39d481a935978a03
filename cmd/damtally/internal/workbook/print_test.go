package workbook

import (
	"encoding/xml"
	"slices"
	"strings"
	"testing"
)

// page is what a sheet's part says of widths and paper.
type page struct {
	Cols []struct {
		Min   int     `xml:"min,attr"`
		Width float64 `xml:"width,attr"`
	} `xml:"cols>col"`
	Setup struct {
		Paper       int    `xml:"paperSize,attr"`
		Orientation string `xml:"orientation,attr"`
		Wide        int    `xml:"fitToWidth,attr"`
	} `xml:"pageSetup"`
	Footer string `xml:"headerFooter>oddFooter"`
}

func TestPrintSetUp(t *testing.T) {
	for name, paper := range map[string]int{"us": paperLetter, "metric": paperA4} {
		all := parts(t, written(t, planned(t, variants()[name])))
		for sheet, part := range sheetParts(t, all) {
			var p page
			if err := xml.Unmarshal(all[part], &p); err != nil {
				t.Fatal(err)
			}
			want := "landscape"
			if slices.Contains([]string{"Notes and cautions", wordsSheet, "Cover", "Charts"}, sheet) {
				want = "portrait"
			}
			if p.Setup.Paper != paper || p.Setup.Orientation != want || p.Setup.Wide != 1 {
				t.Errorf("%s: %s: page set-up %+v", name, sheet, p.Setup)
			}
			if !strings.Contains(p.Footer, "Sample pond (invented)") || !strings.Contains(p.Footer, "Page &P of &N") {
				t.Errorf("%s: %s: footer %q", name, sheet, p.Footer)
			}
			for i, c := range p.Cols {
				if c.Min != i+1 || c.Width < narrowest {
					t.Errorf("%s: %s: column %d comes at place %d, %g wide", name, sheet, c.Min, i+1, c.Width)
				}
			}
		}
		book := string(all["xl/workbook.xml"])
		for _, heading := range []string{"'Sections'!$6:$7", "'Volumes'!$4:$4", "'Zone core'!$4:$4", "'By station'!$4:$4"} {
			if !strings.Contains(strings.ReplaceAll(book, "&#39;", "'"), heading) {
				t.Errorf("%s: headings %s are not repeated", name, heading)
			}
		}
		for _, defined := range []string{nameAllowance, nameBasis, nameCrestIs, nameReserve, nameReserveOn} {
			if !strings.Contains(book, `name="`+defined+`"`) {
				t.Errorf("%s: no name %s", name, defined)
			}
		}
	}
}
