package workbook

import (
	"bytes"
	"io"
	"regexp"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/stablezip"
)

// newZip is a zip writer for a workbook that is the same to the byte.
func newZip(to io.Writer) *stablezip.Writer {
	z := stablezip.New(to)
	z.Adjust = tidy
	return z
}

// tidy mends what the library writes and other programs read wrongly.
func tidy(name string, content []byte) []byte {
	switch {
	case strings.HasPrefix(name, "xl/worksheets/"):
		// The stored value of a formula whose value is the empty text: the library
		// leaves it out, and some readers then take the cell for one that was never
		// worked out.
		content = bytes.Replace(content, noColumns, nil, 1) // the library writes an empty list
		return bytes.ReplaceAll(content, []byte("</f></c>"), []byte("</f><v></v></c>"))
	case strings.HasPrefix(name, "xl/charts/"):
		// An empty format of a title, which turns upright titles of axes flat.
		content = emptyTitle.ReplaceAll(content, []byte("</title>"))
		// What belongs to an axis of words alone (ECMA-376 part 1, 21.2.2.226).
		return wordAxis.ReplaceAll(content, []byte("</valAx>"))
	}
	return content
}

var noColumns = []byte("<colBreaks></colBreaks>")

var (
	emptyTitle = regexp.MustCompile(`<txPr><a:bodyPr[^>]*></a:bodyPr><a:p></a:p></txPr></title>`)
	wordAxis   = regexp.MustCompile(`<auto val="[01]"></auto><lblAlgn val="ctr"></lblAlgn><lblOffset val="100"></lblOffset><noMultiLvlLbl val="[01]"></noMultiLvlLbl></valAx>`)
)
