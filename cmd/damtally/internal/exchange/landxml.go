package exchange

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"time"

	"github.com/damtally/damtally/geometry"
)

// linearUnits are the words of LandXML 1.2 for units of length, by name.
var linearUnits = map[string][2]string{
	"m": {"Metric", "meter"}, "mm": {"Metric", "millimeter"}, "cm": {"Metric", "centimeter"}, "km": {"Metric", "kilometer"},
	"ft": {"Imperial", "foot"}, "ftUS": {"Imperial", "USSurveyFoot"}, "in": {"Imperial", "inch"}, "mi": {"Imperial", "mile"},
}

// otherUnits are those of area, volume, temperature and pressure, which the schema
// asks for beside that of length.
var otherUnits = map[string]string{
	"Metric":   `areaUnit="squareMeter" volumeUnit="cubicMeter" temperatureUnit="celsius" pressureUnit="milliBars"`,
	"Imperial": `areaUnit="squareFoot" volumeUnit="cubicYard" temperatureUnit="fahrenheit" pressureUnit="inchHG"`,
}

// landXML is the neat dam's surface as LandXML 1.2 (landxml.org); why says in words
// what kept it from being drawn.
func (s *scribe) landXML() (content []byte, why string) {
	unit, ok := linearUnits[s.grid.Name]
	if !ok {
		return nil, "LandXML has no word for the unit " + s.grid.Name
	}
	points, faces, err := s.designSurface()
	if err != nil {
		return nil, err.Error()
	}
	var out bytes.Buffer
	out.WriteString(xml.Header)
	dated, about := s.dated()
	fmt.Fprintf(&out, `<LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" version="1.2" date=%q time="00:00:00">`+"\n", dated)
	fmt.Fprintf(&out, " <Units><%s linearUnit=%q %s/></Units>\n", unit[0], unit[1], otherUnits[unit[0]])
	fmt.Fprintf(&out, " <Project name=\"%s\" desc=\"The dam as drawn, from toe to toe, without settlement allowance. %s %s\"/>\n", escaped(s.r.Site.Settings.Name), s.gridNote(), about)
	fmt.Fprintf(&out, " <Application name=\"damtally\" version=\"%s\"/>\n", escaped(s.version))
	s.alignment(&out)
	out.WriteString(" <Surfaces><Surface name=\"design\" desc=\"crest and faces\"><Definition surfType=\"TIN\">\n  <Pnts>\n")
	for i, p := range points {
		x, y := s.place(p.At)
		fmt.Fprintf(&out, "   <P id=\"%d\">%s %s %s</P>\n", i+1, fixed(y, surfaceDecimals), fixed(x, surfaceDecimals), fixed(s.grid.FromSI(p.Elevation), surfaceDecimals))
	}
	out.WriteString("  </Pnts>\n  <Faces>\n")
	for _, f := range faces {
		out.WriteString("   <F>" + strconv.Itoa(int(f[0])+1) + " " + strconv.Itoa(int(f[1])+1) + " " + strconv.Itoa(int(f[2])+1) + "</F>\n")
	}
	out.WriteString("  </Faces>\n </Definition></Surface></Surfaces>\n</LandXML>\n")
	return out.Bytes(), ""
}

// dated is the day of the newest test or survey, and what it is in words: the file
// must not depend on when it was made. LandXML asks for a date where there is none.
func (s *scribe) dated() (day, about string) {
	see := func(date string) {
		if _, err := time.Parse(time.DateOnly, date); err == nil {
			day = max(day, date) // year-month-day sorts by itself
		}
	}
	for _, t := range s.r.Site.Density {
		see(t.Date)
	}
	for _, f := range s.r.Site.Surfaces {
		see(f.Date)
	}
	if day == "" {
		return "2000-01-01", "No data of the site is dated: the date of this file stands for none."
	}
	return day, "The date is that of the newest data."
}

// escaped is text fit for an attribute.
func escaped(text string) string {
	var out bytes.Buffer
	_ = xml.EscapeText(&out, []byte(text)) // a buffer takes all
	return out.String()
}

// designSurface is the neat dam as triangles between its sections.
func (s *scribe) designSurface() ([]geometry.GroundPoint, [][3]int32, error) {
	var b strip
	bends := s.r.Plan.Line.Bends()
	for _, row := range s.rows(bends) {
		b.add(row)
	}
	if len(b.faces) == 0 {
		return nil, nil, fmt.Errorf("no two sections of the dam follow each other")
	}
	if _, err := geometry.NewFaces(b.points, b.faces); err != nil {
		return nil, nil, fmt.Errorf("its triangles lie over one another where the dam bends sharply")
	}
	return b.points, b.faces, nil
}
