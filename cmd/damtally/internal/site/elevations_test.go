package site

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// elevationNotes are the notes on elevations of a site of one changed table.
func elevationNotes(t *testing.T, ts tables) []string {
	t.Helper()
	var out []string
	for _, text := range noteTexts(read(t, ts.folder(t))) {
		if strings.Contains(text, "elevation of 0") || strings.Contains(text, "unlike its neighbours") {
			out = append(out, text)
		}
	}
	return out
}

// profileOf writes a profile with a point every 40 ft.
func profileOf(elevations ...float64) tables {
	text := "station (ft),elevation (ft)\n"
	for i, z := range elevations {
		text += fmt.Sprintf("%d,%g\n", 40*i, z)
	}
	return plainSite().with(tables{"profile": text, "crest": "elevation (ft),width (ft)\n125,12\n"})
}

func TestSlippedProfileElevations(t *testing.T) {
	zero := "look: profile row 6: row 6: an elevation of 0, where the ground lies near 107 ft; a blank may have become a zero"
	slipped := "look: profile row 6: row 6: an elevation unlike its neighbours', where the ground lies near %d ft; look for a slipped digit"
	for _, c := range []struct {
		name string
		site tables
		want string
	}{
		{"zero", profileOf(120, 112, 107, 101, 0, 102, 107, 113, 121), zero},
		{"far below", profileOf(120, 112, 107, 101, -500, 102, 107, 113, 121), fmt.Sprintf(slipped, 107)},
		{"a spike", profileOf(120, 112, 107, 101, 991, 102, 107, 113, 121), fmt.Sprintf(slipped, 112)},
		{"a spike of 45 degrees", profileOf(120, 112, 107, 101, 149, 102, 107, 113, 121), fmt.Sprintf(slipped, 112)},
		{"a valley", profileOf(120, 112, 107, 101, 100, 102, 107, 113, 121), ""},
		{"a creek in a plain", profileOf(100, 100, 100.1, 100, 88, 100, 100, 100.1, 100), ""},
		{"a gorge in a plain", profileOf(100, 100, 100.1, 100, 40, 41, 100, 100.1, 100, 100), ""},
		{"a cliff", profileOf(100, 100, 100, 20, 20, 20, 20, 20), ""},
		{"levels from the valley floor", profileOf(20, 12, 7, 1, 0, 2, 7, 13, 21), ""},
		{"on both sides of zero", profileOf(10, 2, -3, -9, 0, -8, -3, 3, 11), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			same(t, "notes", strings.Join(elevationNotes(t, c.site), "\n"), c.want)
		})
	}
}

// valleySurvey is a grid of 25 ft over a smooth invented valley, with some
// elevations replaced.
func valleySurvey(replaced map[int]float64) tables {
	text := "x (ft),y (ft),elevation (ft)\n"
	for i := range 900 {
		x, y := 25*float64(i%30), 25*float64(i/30)
		z := 822 + math.Abs(x-350)/8 + y/60
		if r, ok := replaced[i]; ok {
			z = r
		}
		text += fmt.Sprintf("%g,%g,%.2f\n", x, y, z)
	}
	return surveySite().with(tables{"survey": text, "profile": ""})
}

func TestSlippedSurveyElevations(t *testing.T) {
	near := ", where the ground lies near 851 ft; "
	zero := "look: survey row 402: row 402: an elevation of 0" + near + "a blank may have become a zero"
	spike := "look: survey row 302: row 302: an elevation unlike its neighbours'" + near + "look for a slipped digit"
	for _, c := range []struct {
		name     string
		replaced map[int]float64
		want     string
	}{
		{"as it is", nil, ""},
		{"zero", map[int]float64{400: 0}, zero},
		{"a spike", map[int]float64{300: 990}, spike},
		{"a digit lost", map[int]float64{300: 85.2}, spike},
		{"zero and a spike", map[int]float64{400: 0, 300: 990}, zero + "\n" + spike},
		{"two slipped digits", map[int]float64{300: 8510, 310: 8523}, strings.NewReplacer("row 302: an", "rows 302, 312: an", "851", "852").Replace(spike)},
		{"a knoll of four points", map[int]float64{300: 900, 301: 900, 330: 900, 331: 900}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			same(t, "notes", strings.Join(elevationNotes(t, valleySurvey(c.replaced)), "\n"), c.want)
		})
	}
}

func TestSlippedShot(t *testing.T) {
	text := "station (ft),offset (ft),elevation (ft)\n"
	for i := range 40 {
		z := 100 + float64(i/8)
		if i == 19 {
			z = 10.2
		}
		text += fmt.Sprintf("%d,%d,%g\n", 50*(i/8), 20*(i%8)-70, z)
	}
	s := plainSite().with(tables{"profile": "", "site": "item,value\nupstream side,left\n", "shots": text})
	want := "look: shots row 21: row 21: an elevation unlike its neighbours', where the ground lies near 102 ft; look for a slipped digit"
	same(t, "notes", strings.Join(elevationNotes(t, s), "\n"), want)
}

func BenchmarkCheckElevations(b *testing.B) {
	points := make([]SurveyPoint, 100_000)
	for i := range points {
		points[i] = SurveyPoint{Ref: Ref{Table: "survey", Row: i + 2}, At: [2]float64{float64(i % 1000), float64(i / 1000)}, Elevation: 250 + float64(i%977)/50}
	}
	r := newReading()
	r.site.Survey, r.tables["survey"] = points, &tableState{}
	for b.Loop() {
		r.checkElevations()
	}
}
