package soil

import (
	"errors"
	"fmt"
	"math"
)

// Oversize is the coarse part of a soil that the laboratory screened out, or
// that a field test holds.
type Oversize struct {
	Share   float64 // of the dry mass, fraction in [0, 1)
	Gravity float64 // bulk specific gravity of the coarse grains, above 0
	// Water is the coarse grains' own water content, a fraction. Dry stone is 0.
	Water float64
}

// Limits of the oversize correction: the share of the dry mass that is coarse.
const (
	// OversizeIgnored is the share up to which no correction is made: 5 %
	// (AASHTO T 224 and ASTM D4718, as WAQTC's field procedure for T 224, 2012,
	// states it).
	OversizeIgnored = 0.05
	// OversizeLimitNo4 and OversizeLimitThreeQuarter are the shares up to which
	// the correction holds, for soil screened on the No. 4 (4.75 mm) and on the
	// 3/4 in. (19 mm) sieve (same source). Beyond them the stones hold each other
	// apart and the fines between them are no longer compacted as tested.
	OversizeLimitNo4          = 0.40
	OversizeLimitThreeQuarter = 0.30
)

// ErrOversize is wrapped by the error of a correction that cannot be made.
var ErrOversize = errors.New("the oversize correction cannot be made")

// check refuses what no soil has, and a share beyond the widest limit.
func (o Oversize) check() error {
	switch {
	case !(o.Share >= 0 && o.Share < 1):
		return fmt.Errorf("%w: the oversize share is %g; it must be from 0 to below 1", ErrOversize, o.Share)
	case o.Share > OversizeLimitNo4:
		return fmt.Errorf("%w: %.0f %% oversize is beyond the limit of %.0f %%; the laboratory must test the whole soil", ErrOversize, 100*o.Share, 100*OversizeLimitNo4)
	case !(o.Gravity > 0) || math.IsInf(o.Gravity, 1):
		return fmt.Errorf("%w: the oversize specific gravity is %g; it must be above 0", ErrOversize, o.Gravity)
	case !(o.Water >= 0) || math.IsInf(o.Water, 1):
		return fmt.Errorf("%w: the oversize water content is %g; it must be 0 or more", ErrOversize, o.Water)
	}
	return nil
}

// WholeDensity is the dry density, kg/m3, of the whole soil whose finer part has
// the dry density fine: 1 / (Pc / (Gs rw) + Pf / fine), ASTM D4718 and UFC
// 3-220-20 (2025) equation 3-6. The stones are taken to float in fines that are
// as dense as without them.
func (o Oversize) WholeDensity(fine float64) float64 {
	return 1 / (o.Share/(o.Gravity*WaterDensity) + (1-o.Share)/fine)
}

// FineDensity is the inverse of WholeDensity: the dry density of the finer part
// of a field test with stones in it. It is zero or below, or +Inf, when the
// stones alone are heavier than the whole.
func (o Oversize) FineDensity(whole float64) float64 {
	return (1 - o.Share) / (1/whole - o.Share/(o.Gravity*WaterDensity))
}

// WholeWater is the water content, a fraction, of the whole soil: Pf w + Pc wc,
// ASTM D4718 and UFC 3-220-20 (2025) equation 3-7.
func (o Oversize) WholeWater(fine float64) float64 {
	return (1-o.Share)*fine + o.Share*o.Water
}

// Correct moves a curve read on the finer part of a soil to the whole soil. A
// share of OversizeIgnored or less leaves the curve as it is. The error wraps
// ErrOversize.
func (o Oversize) Correct(c Curve) (Curve, error) {
	if err := o.check(); err != nil {
		return c, err
	}
	if o.Share <= OversizeIgnored {
		return c, nil
	}
	low, high := o.WholeDensity(c.MaxDry-c.DrySpread/2), o.WholeDensity(c.MaxDry+c.DrySpread/2)
	c.MaxDry, c.Optimum = o.WholeDensity(c.MaxDry), o.WholeWater(c.Optimum)
	c.DrySpread, c.WaterSpread = high-low, (1-o.Share)*c.WaterSpread
	return c, nil
}
