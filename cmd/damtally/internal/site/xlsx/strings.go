package xlsx

import (
	"strconv"
	"strings"
)

// richText is a text in one piece or in runs; phonetic hints (rPh) are left out.
type richText struct {
	Text string `xml:"t"`
	Runs []struct {
		Text string `xml:"t"`
	} `xml:"r"`
}

func (t richText) String() string {
	if len(t.Runs) == 0 {
		return unescape(t.Text)
	}
	var b strings.Builder
	b.WriteString(t.Text)
	for _, r := range t.Runs {
		b.WriteString(r.Text)
	}
	return unescape(b.String())
}

// readStrings reads the table of shared texts.
func (b *Book) readStrings(part string) ([]string, error) {
	var table struct {
		Items []richText `xml:"si"`
	}
	if err := b.decode(part, &table); err != nil {
		return nil, err
	}
	texts := make([]string, len(table.Items))
	for i, item := range table.Items {
		texts[i] = item.String()
	}
	return texts, nil
}

// unescape undoes _xHHHH_, the way in which characters that XML cannot hold are
// written (ECMA-376 Part 1, 22.4.2.4).
func unescape(text string) string {
	if !strings.Contains(text, "_x") {
		return text
	}
	var b strings.Builder
	for i := 0; i < len(text); {
		if i+7 <= len(text) && text[i:i+2] == "_x" && text[i+6] == '_' {
			if code, err := strconv.ParseUint(text[i+2:i+6], 16, 16); err == nil {
				b.WriteRune(rune(code))
				i += 7
				continue
			}
		}
		b.WriteByte(text[i])
		i++
	}
	return b.String()
}
