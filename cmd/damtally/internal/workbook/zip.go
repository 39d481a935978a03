package workbook

import (
	"bytes"
	"io"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/stablezip"
)

// newZip is a zip writer for a workbook that is the same to the byte.
func newZip(to io.Writer) *stablezip.Writer {
	z := stablezip.New(to)
	z.Adjust = storeEmpty
	return z
}

// storeEmpty gives a stored value to formulas whose value is the empty text: the
// library leaves it out, and some readers then take the cell for one that was
// never worked out.
func storeEmpty(name string, content []byte) []byte {
	if !strings.HasPrefix(name, "xl/worksheets/") {
		return content
	}
	return bytes.ReplaceAll(content, []byte("</f></c>"), []byte("</f><v></v></c>"))
}
