package site

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/xuri/excelize/v2"
)

func TestTwins(t *testing.T) {
	ts := surveySite().with(tables{
		"site":      "item,value\nname,Twin\nupstream side,left\nsettlement allowance,10 %\ncrest is,built\nreserve ratio,1.25\nspillway elevation,30 ft\n",
		"trench":    "station (ft),bottom width (ft),side slope (h:v),depth (ft)\n0+50,8,1.5,4\n1+50,8,1.5:1,4\n",
		"materials": "material,loss (%),water content low (%)\nclay 1,5,-2\n2,10 %,-1 %\n",
		"zones":     "zone,kind,material,top below crest (ft),top width (ft),upstream slope,downstream slope\ncore,core,clay 1,2,10,1,1\nshell,shell,2,,,,\n",
		"density":   "state,material,id,date,wet density (pcf),water content (%),retest of\nfill,clay 1,1,2026-05-31,120,12.5,\nfill,2,2,2026-06-01,119,13,1\n",
		"pits":      "pit,material,depth (ft)\nA,2,10\n",
		"outlines":  "of,x (ft),y (ft)\nA,0,0\nA,10,0\nA,0,10\n",
		"prices":    "item,unit,unit price,quantity of\nfill,yd3,4.5,fill\n",
		"borings":   "hole,x (ft),y (ft),from (ft),to (ft),material\n1,0,0,0,5,2\n",
	})
	folder, book := read(t, ts.folder(t)), read(t, ts.book(t))
	same(t, "site", book, folder, butRefs)
	same(t, "tables", len(folder.Tables), 13)
	same(t, "cell", book.Trench[1].Ref.Cell("bottom width"), "B3")
	same(t, "cell of a CSV", folder.Trench[1].Ref.Cell("bottom width"), "")
}

func TestProblemsNameTheCell(t *testing.T) {
	ts := plainSite().with(tables{
		"site":  "item,value\nlongest edge,25\n",
		"crest": "width (ft),colour,elevation (ft)\nwide,1,32\n",
	})
	same(t, "problems", lines(t, ts.book(t)), []string{
		`site row 2 (B2), longest edge: "25" has no unit; write it with its unit, such as 25 ft; length takes m mm cm km ft ftUS in yd mi`,
		`crest row 1 (B1), colour: there is no such column in this table; the choices are: elevation, width, station`,
		`crest row 2 (A2), width: "wide" is not a number; write a plain number such as 12.5`,
	})
}

// plainBook is the plain site as a workbook that can be changed.
func plainBook(t *testing.T) *excelize.File {
	t.Helper()
	f, err := excelize.OpenFile(plainSite().book(t))
	must(t, err)
	must(t, second(f.NewSheet("Sheet1"))) // taken out by save
	return f
}

func style(t *testing.T, f *excelize.File, format string) int {
	t.Helper()
	id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
	must(t, err)
	return id
}

// setNumber writes a number shown in a format.
func setNumber(t *testing.T, f *excelize.File, sheet, address string, value float64, format string) {
	t.Helper()
	must(t, f.SetCellValue(sheet, address, value))
	must(t, f.SetCellStyle(sheet, address, address, style(t, f, format)))
}

func TestCellsAsTheyAreStored(t *testing.T) {
	f := plainBook(t)
	setNumber(t, f, "profile", "B2", 30.347, "0")    // shown as 30
	setNumber(t, f, "profile", "A3", 100, `0+00`)    // shown as 1+00
	must(t, f.SetCellStr("profile", "B3", "10.125")) // a number stored as text
	must(t, f.SetCellStr("profile", "A4", "2+00"))   //
	setNumber(t, f, "site", "B3", 0.1, "0%")         // shown as 10%
	must(t, f.SetCellStr("site", "A3", "settlement allowance"))
	must(t, f.SetSheetRow("site", "A4", &[]any{"crest is", "settled"}))
	must(t, second(f.NewSheet("materials")))
	must(t, f.SetSheetRow("materials", "A1", &[]any{"material", "loss (%)", "swell (-)"}))
	must(t, f.SetCellValue("materials", "A2", "fill"))
	setNumber(t, f, "materials", "B2", 0.05, "0.0%")
	setNumber(t, f, "materials", "C2", 0.25, "0%")
	s := read(t, save(t, f))
	same(t, "profile", s.Profile, []ProfilePoint{
		{Station: 0, Elevation: 30.347 * 0.3048}, {Station: 30.48, Elevation: 10.125 * 0.3048}, {Station: 60.96, Elevation: 30 * 0.3048},
	}, butRefs, nearly)
	same(t, "allowance", s.Settings.Allowance, Number{0.1, true})
	same(t, "loss", s.Materials[0].Loss, Number{0.05, true})
	same(t, "swell", s.Materials[0].Swell, Number{0.25, true})
}

func TestCellsThatLie(t *testing.T) {
	f := plainBook(t)
	setNumber(t, f, "faces", "B2", 3.0/24+1.0/24/60, "h:mm") // 3:1 typed into a plain cell
	setNumber(t, f, "faces", "B3", 2.5, "0%")
	setNumber(t, f, "profile", "B2", 45000, "yyyy-mm-dd")
	setNumber(t, f, "profile", "B3", 0.5, "[h]:mm:ss")
	must(t, f.SetCellBool("profile", "B4", true))
	setNumber(t, f, "site", "B2", 45000, "d mmm")
	same(t, "problems", lines(t, save(t, f)), []string{
		`site row 2 (B2), name: the spreadsheet turned it into a date; format the cell as text and write it again`,
		`profile row 2 (B2), elevation: is a date; format the cell as a plain number and write it again`,
		`profile row 3 (B3), elevation: is a clock time; format the cell as a plain number and write it again`,
		`profile row 4 (B4), elevation: holds the truth value TRUE; write the value as a number or a word`,
		`faces row 2 (B2), slope: 3:01 is a clock time; the spreadsheet may have turned the slope into one; format the cell as a plain number and write 3 for 3 across to 1 up`,
		`faces row 3 (B3), slope: is shown as a percentage; format the cell as a plain number and look at its value`,
	})
}

func TestFormulas(t *testing.T) {
	f := plainBook(t)
	must(t, f.DeleteSheet("crest"))
	must(t, second(f.NewSheet("crest")))
	w, err := f.NewStreamWriter("crest")
	must(t, err)
	must(t, w.SetRow("A1", []any{"elevation (ft)", "width (ft)"}))
	must(t, w.SetRow("A2", []any{excelize.Cell{Formula: "30+2", Value: 32.0}, excelize.Cell{Formula: `"12"`, Value: "12"}}))
	must(t, w.Flush())
	path := save(t, f)
	same(t, "crest", read(t, path).Crest[0], CrestPoint{Elevation: 32 * 0.3048, Width: 12 * 0.3048}, butRefs, nearly)

	f = plainBook(t)
	must(t, f.SetCellValue("crest", "A2", nil))
	must(t, f.SetCellFormula("crest", "A2", "30+2")) // without a value
	must(t, f.SetCellStr("crest", "B2", "x"))
	got := lines(t, save(t, f))
	same(t, "no value", got, []string{
		`crest row 2 (A2), elevation: holds a formula without a stored value; open the workbook in your spreadsheet program, save it and try again`,
		`crest row 2 (B2), width: "x" is not a number; write a plain number such as 12.5`,
	})
}

func TestDates(t *testing.T) {
	for _, from1904 := range []bool{false, true} {
		f := plainBook(t)
		must(t, f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &from1904}))
		must(t, second(f.NewSheet("density")))
		must(t, f.SetSheetRow("density", "A1", &[]any{"state", "material", "date", "dry density (pcf)"}))
		serial := 46173.0 // 2026-05-31 counted from 1900: 46,173 days (checked with Python's datetime)
		if from1904 {
			serial -= 1462
		}
		for i, address := range []string{"C2", "C3", "C4"} {
			must(t, f.SetSheetRow("density", "A"+address[1:], &[]any{"bank", "fill", nil, 95.0 + float64(i)}))
		}
		setNumber(t, f, "density", "C2", serial, "d/m/yy")
		setNumber(t, f, "density", "C3", serial+0.75, "yyyy\\-mm\\-dd hh:mm")
		must(t, f.SetCellStr("density", "C4", "2026/5/31"))
		s := read(t, save(t, f))
		for _, d := range s.Density {
			same(t, "date", d.Date, "2026-05-31")
		}
	}
}

func TestSheetsRowsAndTitles(t *testing.T) {
	f := plainBook(t)
	for _, name := range []string{"Read me", "More tables", "#old", "_lists", "Sheet2"} {
		must(t, second(f.NewSheet(name)))
		if name != "Sheet2" {
			must(t, f.SetCellStr(name, "A1", "words for people"))
		}
	}
	must(t, f.InsertRows("crest", 1, 2))
	must(t, f.SetCellStr("crest", "A1", "Crest of the dam"))
	must(t, f.MergeCell("crest", "A1", "D1"))
	must(t, f.SetCellStr("crest", "D4", "a remark"))
	must(t, f.SetRowVisible("profile", 3, false))
	must(t, f.SetSheetVisible("faces", false))
	must(t, f.SetSheetName("profile", " Pro file"))
	s := read(t, save(t, f))
	same(t, "crest", s.Crest[0].Ref.Cell("width"), "B4")
	same(t, "notes", noteTexts(s)[:5], []string{
		"look: faces: the sheet is hidden and read all the same",
		"note: : sheets passed over: Read me, More tables, #old, _lists, Sheet2",
		"look: profile: 1 row is hidden and read all the same: 3",
		"note: crest: what stands above the header is passed over",
		"look: crest: column D has no name, what stands in it is passed over",
	})
}

func TestMergedCells(t *testing.T) {
	f := plainBook(t)
	must(t, f.SetCellValue("profile", "B3", nil))
	must(t, f.MergeCell("profile", "B2", "B3"))
	must(t, f.SetCellValue("profile", "A4", nil))
	same(t, "problems", lines(t, save(t, f)), []string{
		"profile row 3 (B3), elevation: is part of merged cells, which hold a value for their first row only; unmerge them and fill in every row",
		"profile row 4 (A4), station: is blank; fill it in",
	})
}

func TestWrongSheets(t *testing.T) {
	f := plainBook(t)
	for _, name := range []string{"crst", "Crest ", "Budget"} {
		must(t, second(f.NewSheet(name)))
		must(t, f.SetCellStr(name, "A1", "x"))
	}
	must(t, f.DeleteSheet("profile"))
	same(t, "problems", lines(t, save(t, f)), []string{
		"the site has no ground; add one of the tables profile, shots, or survey with a centreline",
		"crest: two sheets hold this table; keep one, or begin the other's name with #",
		`Budget: there is no table of this sheet's name; rename the sheet, or begin its name with # to have it passed over; the tables are: site, centreline, profile, shots, survey, surfaces, crest, faces, trench, stripping, zones, conduits, cuts, blankets, outlines, materials, proctor, density, pits, borings, stockpiles, hauls, fleet, prices, loads`,
		`crst: there is no table of this sheet's name; did you mean "crest"? Else rename the sheet, or begin its name with # to have it passed over`,
	})
}

func TestFilesThatAreNoWorkbook(t *testing.T) {
	good, err := os.ReadFile(plainSite().book(t))
	must(t, err)
	const damaged = "the file is damaged; open it in your spreadsheet program, save it anew, or fetch a fresh copy"
	const no = "the file is not an xlsx workbook; give a workbook saved as .xlsx, or a folder of CSV files"
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"empty":     {nil, "the file is empty; give a workbook saved as .xlsx, or a folder of CSV files"},
		"text":      {[]byte("station,elevation\n0,1\n"), no},
		"half":      {good[:len(good)/2], damaged},
		"one short": {good[:len(good)-1], damaged},
		"first 100": {good[:100], damaged},
		"locked":    {append([]byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1}, good...), "the file has a password or is an old kind of workbook; open it in your spreadsheet program and save it as .xlsx without a password"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "pond.xlsx")
			write(t, path, c.data)
			same(t, "problems", lines(t, path), []string{"pond.xlsx: " + c.want})
		})
	}
}
