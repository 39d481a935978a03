package site

import (
	"os"
	"path/filepath"
	"testing"
)

// fileSite is a small site whose ground stands in files.
func fileSite(rows string) tables {
	return surveySite().with(tables{
		"survey":   "",
		"surfaces": "name,file,use,format,unit,elevation unit,elevation shift (ft),column order,date\n" + rows,
	})
}

func TestSurfacesAreRead(t *testing.T) {
	dir := fileSite("scan,lidar\\a.las,existing,LAS all,ftUS,m,10,,2024-05-01\nnew,topo.csv,fill survey,,feet,,,p n e z d,2025-6-1\n").folder(t)
	must(t, os.WriteFile(filepath.Join(dir, "Topo.csv"), []byte("1,2,3,4,tree\n"), 0o600))
	s := read(t, dir)
	same(t, "surfaces", s.Surfaces, []SurfaceFile{
		{
			Name: "scan", File: "lidar/a.las", Use: "existing", Date: "2024-05-01",
			Format: "LAS all", Unit: "ftUS", ElevationUnit: "m", ElevationShift: 3.048,
		},
		{Name: "new", File: "topo.csv", Use: "fill survey", Unit: "ft", ColumnOrder: "p n e z d", Date: "2025-06-01"},
	}, butRefs, nearly)
	same(t, "existing", len(s.ExistingGround()), 1)
	same(t, "plan unit", s.PlanUnit, "ft")
}

func TestWrongSurfaces(t *testing.T) {
	checkWrong(t, []wrongCase{
		{"right", fileSite("a,a.tif,existing,,,,,,\n").but("profile"), nil},
		{"beside a survey", surveySite().with(tables{"surfaces": "name,file,use\na,a.tif,existing\n"}).but("profile"), nil},
		{"no ground, beside a profile", tables{"surfaces": "name,file,use,date\na,a.tif,fill survey,2026-05-01\n"}, nil},
		{
			"a centreline from a file", fileSite("a,a.xml,existing,,,,,,\nb,b.dat,existing,LandXML,,,,,\n").
				with(tables{"centreline": ""}).but("profile", "centreline"), nil,
		},
		{
			"a centreline from a file without a side", fileSite("a,a.xml,existing,,,,,,\n").
				with(tables{"site": "item,value\nname,x\n"}).but("profile", "centreline"),
			[]string{"site, upstream side: the setting is missing; add a row `upstream side` with left or right, the side of the water when looking up-station"},
		},
		{
			"no ground among them", fileSite("a,a.tif,fill survey,,,,,,2026-05-01\n").but("profile"),
			[]string{"surfaces: none of its files is the ground as it is; set `use` to existing for the ground under the dam"},
		},
		{
			"units, twice and ways out", fileSite("a,a.tif,existing,,acre,kg,,,\na,a.tif,existing,,,,,,\nb,/etc/b.tif,existing,,,,,,\n").but("profile"),
			[]string{
				`surfaces row 2, unit: "acre" is no unit of length; write m, ft or ftUS`,
				`surfaces row 2, elevation unit: "kg" is no unit of length; write m, ft or ftUS`,
				`surfaces row 3, file: the same file stands in row 2 already; keep one of the rows`,
				`surfaces row 4, file: "/etc/b.tif" leads out of the site's folder; put the file into the folder and name it from there`,
			},
		},
	})
}
