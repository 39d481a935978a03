package xlsx

import "strings"

// Format is the class of a cell's number format: what the number is shown as.
type Format int

// The classes of number format.
const (
	Plain   Format = iota // a number
	Percent               // a share, stored as a fraction
	Day                   // a day, stored as days since the start of the calendar
	Clock                 // a time of day or a span of time, stored in days
)

// readFormats reads the class of each cell style.
func (b *Book) readFormats(part string) ([]Format, error) {
	var styles struct {
		Codes []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Cells []struct {
			ID int `xml:"numFmtId,attr"`
		} `xml:"cellXfs>xf"`
	}
	if err := b.decode(part, &styles); err != nil {
		return nil, err
	}
	custom := map[int]Format{}
	for _, c := range styles.Codes {
		custom[c.ID] = classify(c.Code)
	}
	formats := make([]Format, len(styles.Cells))
	for i, c := range styles.Cells {
		if f, ok := custom[c.ID]; ok {
			formats[i] = f
		} else {
			formats[i] = builtIn(c.ID)
		}
	}
	return formats, nil
}

// builtIn classes the formats that have a number but no code (ECMA-376 Part 1,
// 18.8.30, with the East Asian ones).
func builtIn(id int) Format {
	switch {
	case id == 9 || id == 10:
		return Percent
	case id >= 14 && id <= 17, id == 22, id >= 27 && id <= 31, id == 36, id >= 50 && id <= 54, id == 57, id == 58:
		return Day
	case id >= 18 && id <= 21, id >= 32 && id <= 35, id >= 45 && id <= 47, id == 55, id == 56:
		return Clock
	}
	return Plain
}

// classify classes a format code by the first of its sections. Text in quotes,
// escaped and padding characters, colours and locales say nothing of the class;
// [h], [mm] and [ss] are spans of time.
func classify(code string) Format {
	if strings.EqualFold(strings.TrimSpace(code), "general") {
		return Plain
	}
	var day, clock, month bool
	for i := 0; i < len(code); i++ {
		switch code[i] {
		case ';':
			i = len(code)
		case '"':
			i = skipTo(code, i+1, '"')
		case '\\', '_', '*':
			i++
		case '[':
			end := skipTo(code, i+1, ']')
			if inside := code[i+1 : end]; inside != "" && strings.Trim(strings.ToLower(inside), "hms") == "" {
				clock = true
			}
			i = end
		case '%':
			return Percent
		case 'y', 'Y', 'd', 'D':
			day = true
		case 'h', 'H', 's', 'S':
			clock = true
		case 'm', 'M':
			month = true
		}
	}
	switch {
	case day || month && !clock:
		return Day
	case clock:
		return Clock
	}
	return Plain
}

// skipTo returns the index of the next mark, or the length without one.
func skipTo(code string, from int, mark byte) int {
	if n := strings.IndexByte(code[from:], mark); n >= 0 {
		return from + n
	}
	return len(code)
}
