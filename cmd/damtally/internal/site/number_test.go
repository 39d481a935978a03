package site

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// nearly guards the last bits of a conversion between units.
var nearly = cmpopts.EquateApprox(1e-14, 0)

func TestNumbers(t *testing.T) {
	const either = ` can be read as 12450 or as 12.450; write it without the comma, or set ` + "`decimal mark`" + ` in the table site to . or ,`
	const comma = ` has a comma where the decimal mark is a point; write a point, or set ` + "`decimal mark`" + ` in the table site to ,`
	const point = ` has a point, but the site sets the decimal mark to a comma; write a comma before the decimals`
	const no = ` is not a number; write a plain number such as 12.5`
	for _, c := range []struct {
		text string
		mark byte
		want float64
		err  string
	}{
		{"12450", 0, 12450, ""},
		{"-12.5", 0, -12.5, ""},
		{"+3", 0, 3, ""},
		{".5", 0, .5, ""},
		{"1e3", 0, 1000, ""},
		{"1.5E-2", 0, 0.015, ""},
		{"−7", 0, -7, ""},
		{"1,234,567", 0, 1234567, ""},
		{"1,234.5", 0, 1234.5, ""},
		{"12 450", 0, 12450, ""},
		{"12\u00a0450.5", 0, 12450.5, ""},
		{"12'450", 0, 12450, ""},
		{"12,450", '.', 12450, ""},
		{"12,450", ',', 12.45, ""},
		{"12.450", ',', 12450, ""},
		{"12.450,75", ',', 12450.75, ""},
		{"612,35", ',', 612.35, ""},
		{"7", ',', 7, ""},
		{"1.234.567", ',', 1234567, ""},
		{"12,450", 0, 0, either},
		{"-12,450", 0, 0, ` can be read as -12450 or as -12.450` + either[len(` can be read as 12450 or as 12.450`):]},
		{"12,45", 0, 0, comma},
		{"0,450", 0, 0, comma},
		{"1.234,5", 0, 0, comma},
		{"1234,567", 0, 0, comma},
		{"612.35", ',', 0, point},
		{"12,34,567", 0, 0, no},
		{"12,45", '.', 0, no},
		{"1.2.3", 0, 0, no},
		{"12 45", 0, 0, no},
		{"NaN", 0, 0, no},
		{"Inf", 0, 0, no},
		{"-Infinity", 0, 0, no},
		{"0x1F", 0, 0, no},
		{"1_000", 0, 0, no},
		{"12a", 0, 0, no},
		{"l2", 0, 0, no},
		{"1e999", 0, 0, no},
		{"-", 0, 0, no},
		{"e5", 0, 0, no},
		{"--5", 0, 0, no},
		{"", 0, 0, no},
	} {
		got, f := parseNumber(c.text, c.mark)
		if c.err != "" {
			if f == nil || f.what+"; "+f.mend != strconv.Quote(c.text)+c.err {
				t.Errorf("%q (mark %q) = %v, %+v; want %s", c.text, c.mark, got, f, c.err)
			}
		} else if f != nil || got != c.want {
			t.Errorf("%q (mark %q) = %v, %+v; want %v", c.text, c.mark, got, f, c.want)
		}
	}
}

// TestNumberComesBack: a number written with separators is the same number.
func TestNumberComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(-1e12, 1e12).Draw(t, "thousandths")
		whole, part := n/1000, n%1000
		digits := strconv.FormatInt(max(whole, -whole), 10)
		for i := len(digits) - 3; i > 0; i -= 3 {
			digits = digits[:i] + "," + digits[i:]
		}
		text := digits + "." + strconv.Itoa(int(1000 + max(part, -part)))[1:]
		if n < 0 {
			text = "-" + text
		}
		want, _ := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64)
		got, f := parseNumber(text, 0)
		if f != nil || got != want {
			t.Fatalf("%s = %v, %+v", text, got, f)
		}
		europe := strings.NewReplacer(",", ".", ".", ",").Replace(text)
		if got, f := parseNumber(europe, ','); f != nil || got != want {
			t.Fatalf("%s = %v, %+v", europe, got, f)
		}
	})
}

func TestSlopes(t *testing.T) {
	const mend = "; write 3 for 3 across to 1 up"
	const clock = " is a clock time; the spreadsheet may have turned the slope into one; format the cell as a plain number and write "
	checkSlope := func(text string, want float64, err string) {
		t.Helper()
		got, f := parseSlope(text, 0)
		if f == nil {
			f = checkRange(got, text, units.Slope, Any, false)
		}
		if err != "" {
			if f == nil || f.what+"; "+f.mend != err {
				t.Errorf("%q = %v, %+v; want %s", text, got, f, err)
			}
		} else if f != nil || got != want {
			t.Errorf("%q = %v, %+v; want %v", text, got, f, want)
		}
	}
	checkSlope("3", 3, "")
	checkSlope("2.5", 2.5, "")
	checkSlope("3:1", 3, "")
	checkSlope("2.5 : 1", 2.5, "")
	checkSlope("3H:1V", 3, "")
	checkSlope("0.3", 0.3, "")
	checkSlope("1:3", 0, `"1:3" does not say how far across for 1 up`+mend)
	checkSlope("3:2", 0, `"3:2" does not say how far across for 1 up`+mend)
	checkSlope("a:1", 0, `"a:1" is not a slope`+mend)
	checkSlope("0.29", 0, "a slope of 0.29 across to 1 up is too steep"+mend)
	checkSlope("0", 0, "a slope of 0 must be above zero"+mend)
	checkSlope("-3", 0, "a slope of -3 must be above zero"+mend)
	checkSlope("3:01", 0, `"3:01"`+clock+"3 for 3 across to 1 up")
	checkSlope("03:01:00", 0, `"03:01:00"`+clock+"3 for 3 across to 1 up")
}

func TestWrongCells(t *testing.T) {
	checkWrong(t, []wrongCase{
		{
			"letter in a number",
			tables{"profile": "station (ft),elevation (ft)\n0,3O\n100,10\n200,30\n"},
			[]string{`profile row 2, elevation: "3O" is not a number; write a plain number such as 12.5`},
		},
		{
			"NaN and Inf",
			tables{"profile": "station (ft),elevation (ft)\n0,NaN\nInf,10\n200,30\n"},
			[]string{
				`profile row 2, elevation: "NaN" is not a number; write a plain number such as 12.5`,
				`profile row 3, station: "Inf" is not a number; write a plain number such as 12.5`,
			},
		},
		{
			"blank",
			tables{"profile": "station (ft),elevation (ft)\n0,\n100,10\n200,30\n"},
			[]string{`profile row 2, elevation: is blank; fill it in`},
		},
		{
			"unit in a cell",
			tables{"crest": "elevation (ft),width (ft)\n32,12 ft\n"},
			[]string{`crest row 2, width: "12 ft" carries a unit of its own, but the header says (ft); write the number alone`},
		},
		{
			"another unit in a cell",
			tables{"crest": "elevation (ft),width (ft)\n32,4 m\n"},
			[]string{`crest row 2, width: "4 m" carries a unit of its own, but the header says (ft); convert it to ft and write the number alone`},
		},
		{
			"negative width",
			tables{"crest": "elevation (ft),width (ft)\n32,-12\n"},
			[]string{`crest row 2, width: "-12" is not above zero; write a number above zero`},
		},
		{
			"zero width",
			tables{"crest": "elevation (ft),width (ft)\n32,0\n"},
			[]string{`crest row 2, width: "0" is not above zero; write a number above zero`},
		},
		{
			"far too large",
			tables{"crest": "elevation (km),width (ft)\n1e300,12\n"},
			[]string{`crest row 2, elevation: "1e300" is far too large; look at the number and at the header's unit`},
		},
		{
			"station with one digit after the plus",
			tables{"profile": "station (ft),elevation (ft)\n0+00,30\n1+5,10\n2+00,30\n"},
			[]string{`profile row 3, station: "1+5" can be read in two ways; write two digits after the plus in ft, such as 12+50 for 1250`},
		},
		{
			"station of feet in metres",
			tables{"profile": "station (m),elevation (m)\n0+00,30\n100,10\n200,30\n"},
			[]string{`profile row 2, station: "0+00" can be read in two ways; write three digits after the plus in m, such as 1+250 for 1250`},
		},
		{
			"unknown word",
			tables{"faces": "side,slope (h:v)\nupstraem,3\ndownstream,2.5\n"},
			[]string{`faces row 2, side: "upstraem" is not one of its words; did you mean "upstream"?`},
		},
		{
			"spreadsheet error left in a CSV",
			tables{"profile": "station (ft),elevation (ft)\n0,30\n#REF!,10\n200,30\n"},
			[]string{`profile row 3, station: holds the error #REF!; mend the formula or write the value`},
		},
		{
			"thousands or decimals",
			tables{"profile": "station (ft);elevation (ft)\n0;30\n100;12,450\n200;30\n"},
			[]string{`profile row 3, elevation: "12,450" can be read as 12450 or as 12.450; write it without the comma, or set ` + "`decimal mark`" + ` in the table site to . or ,`},
		},
		{
			"the wrong slopes",
			tables{"faces": "side,slope (h:v)\nupstream,1:3\ndownstream,0.25\n"},
			[]string{
				`faces row 2, slope: "1:3" does not say how far across for 1 up; write 3 for 3 across to 1 up`,
				`faces row 3, slope: a slope of 0.25 across to 1 up is too steep; write 3 for 3 across to 1 up`,
			},
		},
		{
			"a date written day first",
			tables{"density": "state,material,dry density (pcf),date\nbank,fill,95,5/31/2026\n"},
			[]string{`density row 2, date: "5/31/2026" is not a date; write year-month-day, such as 2026-05-31`},
		},
	})
}

func TestManyAlikeAreFolded(t *testing.T) {
	text := strings.Builder{}
	text.WriteString("station (ft),elevation (ft)\n")
	for i := range 100 {
		text.WriteString(strconv.Itoa(i) + ",x" + strconv.Itoa(i) + "\n")
	}
	got := lines(t, plainSite().with(tables{"profile": text.String()}).folder(t))
	same(t, "lines", len(got), mostAlike)
	same(t, "last", got[mostAlike-1], `profile row 21, elevation: "x19" is not a number (and 80 more rows like it); write a plain number such as 12.5`)
}

func FuzzNumber(f *testing.F) {
	for _, s := range []string{"12,450", "1.234,5", "12 450", "-1e9", "NaN", "3:1", "10 %", "$4.50", "25 ft", "1'000", "−5", "0x1p-2", "+-3"} {
		f.Add(s, byte('.'))
		f.Add(s, byte(','))
		f.Add(s, byte(0))
	}
	ft, _ := units.Lookup("ft")
	f.Fuzz(func(t *testing.T, text string, mark byte) {
		if mark != '.' && mark != ',' {
			mark = 0
		}
		text = trim(text)
		for _, kind := range []units.Kind{units.Length, units.Slope, units.Ratio, units.Money, units.Count, ""} {
			v, fault := parseMeasure(text, kind, ft, mark)
			if fault == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Fatalf("%q as %s = %v", text, kind, v)
			}
		}
		if v, fault := parseStation(text, ft, mark); fault == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Fatalf("%q as a station = %v", text, v)
		}
	})
}
