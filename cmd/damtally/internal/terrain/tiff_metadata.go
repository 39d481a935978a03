package terrain

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// band is what the text of tag 42112, an XML list of items, says of elevations.
type band struct {
	step, base float64
	stepped    bool // it names a step or a base
	unit       units.Unit
	odd        string // a unit that is not known, as written
}

// bandUnits are other spellings of the survey foot than a table's.
var bandUnits = map[string]string{"us survey foot": "ftUS", "us survey feet": "ftUS", "us-ft": "ftUS"}

// bandMetadata reads tag 42112. Text that is no such list says nothing.
func (t *tiff) bandMetadata(m *tiffImage) (band, error) {
	b := band{step: 1}
	text, err := t.text(m.tags, tagBandMetadata)
	if err != nil || text == "" {
		return b, nil // a list too long or of another kind is about other things
	}
	var list struct {
		Items []struct {
			Role   string `xml:"role,attr"`
			Sample string `xml:"sample,attr"`
			Value  string `xml:",chardata"`
		} `xml:"Item"`
	}
	if xml.NewDecoder(strings.NewReader(text)).Decode(&list) != nil {
		return b, nil
	}
	for _, item := range list.Items {
		if item.Sample != "" && item.Sample != "0" {
			continue
		}
		if !b.take(item.Role, strings.TrimSpace(item.Value)) {
			return b, t.fault(tagText(tagBandMetadata), fmt.Sprintf("the %s %s is no number", item.Role, units.Quote(item.Value)), "export it again")
		}
	}
	return b, nil
}

// take takes one item. It reports false when it should be a number and is none.
func (b *band) take(role, value string) bool {
	if role == "unittype" {
		if name := bandUnits[strings.ToLower(value)]; name != "" {
			value = name
		}
		if u, ok := units.Lookup(value); ok && u.Kind == units.Length {
			b.unit = u
		} else {
			b.odd = value
		}
		return true
	}
	if role != "scale" && role != "offset" {
		return true
	}
	v, err := strconv.ParseFloat(value, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || role == "scale" && v == 0 {
		return false
	}
	b.stepped = true
	if role == "scale" {
		b.step = v
	} else {
		b.base = v
	}
	return true
}

// steps is how samples become elevations, step x sample + base, where the tie and
// the metadata may each say so. Where both do they must agree.
func (t *tiff) steps(p tiePlace, b band) (step, base float64, err error) {
	switch {
	case math.IsNaN(p.step+p.base) || math.IsInf(p.step+p.base, 0):
		return 0, 0, t.fault(tagText(tagPixelScale), "its vertical step is not a number", "export it again")
	case !b.stepped:
		return p.step, p.base, nil
	case p.step == 1 && p.base == 0 || p.step == b.step && p.base == b.base:
		return b.step, b.base, nil
	}
	return 0, 0, t.fault(tagText(tagBandMetadata), fmt.Sprintf("it says that elevations are values times %v plus %v, the tie says times %v plus %v", b.step, b.base, p.step, p.base), "export it again with one of them")
}
