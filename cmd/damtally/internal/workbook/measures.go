package workbook

import (
	"math"
	"strings"

	"github.com/damtally/damtally/cmd/damtally/internal/units"
)

// measures is the system of units that the workbook is written in: SI to shown
// figures, the factors that formulas need, headings and number formats.
type measures struct {
	units.System

	// perVolume is how many units of area times length make one of volume: 27
	// in US units, 1 in metric.
	perVolume float64
	// perBulk is how many units of density times area times length make one of
	// mass by the truck: 2,000 (lb in a ton), 1,000 (kg in a metric ton).
	perBulk float64
	// perLand is how many units of area make one of land: 43,560 or 10,000.
	perLand float64

	money string // the currency's sign
}

// newMeasures works out the factors. They are whole numbers by the definition of
// the units (NIST SP 811, Appendix B); rounding takes away the last bit that
// division leaves.
func newMeasures(system units.System, currency string) measures {
	cubic := system.Area.SI * system.Length.SI
	return measures{
		System:    system,
		perVolume: math.Round(system.Volume.SI / cubic),
		perBulk:   math.Round(system.Bulk.SI / (system.Density.SI * cubic)),
		perLand:   math.Round(system.LandArea.SI / system.Area.SI),
		money:     clip(clean(currency), 12),
	}
}

// volume is an area times a length in the unit of volume.
func (m measures) volume(areaLength expr) expr {
	if m.perVolume == 1 {
		return areaLength
	}
	return div(areaLength, number(m.perVolume))
}

// between is the volume between two areas by average end area, the trade's pay
// method: L (A1 + A2) / 2.
func (m measures) between(length, a1, a2 expr) expr {
	return m.volume(div(mul(length, add(a1, a2)), number(2)))
}

// prismoid is the volume between two areas with a middle area:
// L (A1 + 4 Am + A2) / 6, the prismoidal formula.
func (m measures) prismoid(length, a1, middle, a2 expr) expr {
	sum := add(add(a1, mul(number(4), middle)), a2)
	return m.volume(div(mul(length, sum), number(6)))
}

// tons is the mass of solids in a volume of a dry density, by the truck.
func (m measures) tons(volume, density expr) expr {
	if m.perVolume != 1 {
		volume = mul(volume, number(m.perVolume))
	}
	return div(mul(volume, density), number(m.perBulk))
}

// land is an area as land is measured.
func (m measures) land(area expr) expr { return div(area, number(m.perLand)) }

// depth is a volume over an area, a length.
func (m measures) depth(volume, area expr) expr {
	if m.perVolume != 1 {
		volume = mul(volume, number(m.perVolume))
	}
	return div(volume, area)
}

// Figures in SI as they are shown.
func (m measures) lengthOf(si float64) expr  { return number(m.Length.FromSI(si)) }
func (m measures) areaOf(si float64) expr    { return number(m.Area.FromSI(si)) }
func (m measures) volumeOf(si float64) expr  { return number(m.Volume.FromSI(si)) }
func (m measures) densityOf(si float64) expr { return number(m.Density.FromSI(si)) }
func (m measures) bulkOf(si float64) expr    { return number(m.Bulk.FromSI(si)) }

// vol names a volume with its state: "bank yd3".
func (m measures) vol(state string) string { return state + " " + m.Volume.Name }

// in puts a unit behind a heading.
func in(words string, unit units.Unit) string { return words + " (" + unit.Name + ")" }

// Number formats. A figure below zero is red as well as signed.
const (
	formatVolume = "#,##0;[Red]-#,##0"
	formatTons   = formatVolume
	formatArea   = "#,##0.0;[Red]-#,##0.0"
	formatLength = "#,##0.00;[Red]-#,##0.00"
	formatOffset = "#,##0.00;-#,##0.00" // below zero is a side, not a fault
	formatShort  = "0.00;[Red]-0.00"    // heights, widths, slopes
	formatFactor = "0.000;[Red]-0.000"  // shrink factors
	formatShare  = "0.0%;[Red]-0.0%"    // shares
	formatPoints = "0.0%;-0.0%"         // below zero is dry of optimum, or less
	// A chance is never shown as certain. The bounds are where whole percents round to
	// 100 and to 0, as in the notes.
	formatChance  = `[>=0.995]"over 99%";[<0.005]"under 1%";0%`
	formatLand    = formatLength
	formatMoney   = formatLength
	formatCount   = "0"
	formatGravity = "0.00"
	formatPcf     = "0.0"
	formatWhole   = "#,##0"
	formatDate    = "yyyy-mm-dd"
)

// unsigned is a number format without the sign of figures below zero, and the
// figure above which it would show nothing but zeros: what keeps rounding from
// reading "-0". It reports false for formats that never show a sign.
func unsigned(format string) (shown string, above float64, ok bool) {
	plain, below, found := strings.Cut(format, ";")
	if !found || !strings.Contains(below, "-") {
		return "", 0, false
	}
	above = -0.5 * math.Pow(10, -float64(decimalsOf(format)))
	if strings.Contains(format, "%") {
		above /= 100
	}
	return plain + ";" + plain, above, true
}

// density is the number format of densities: tenths of a pcf, whole kg/m3.
func (m measures) density() string {
	if m.Density.Name == "pcf" {
		return formatPcf
	}
	return formatWhole
}

// decimalsOf is how many decimals a number format shows.
func decimalsOf(format string) int {
	first, _, _ := strings.Cut(format, ";")
	_, decimals, point := strings.Cut(strings.TrimSuffix(first, "%"), ".")
	if !point {
		return 0
	}
	return len(decimals)
}
