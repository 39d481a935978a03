package borrow

import "math"

// Road is a haul road, one way. Grade is rise over run in the direction of the
// loaded trip, below zero downhill; Rolling is the rolling resistance as a share
// of the weight.
type Road struct {
	Length         float64 // m
	Grade, Rolling float64
}

// EffectiveGrade is the grade that would resist as much as grade and rolling
// resistance do together, a fraction. On the way back the grade has the other sign.
//
// One percent of grade resists with 20 lb a ton of weight, which is one percent
// of it; rolling resistance of 80 lb a ton is 4 % (US Army FM 5-434, 2000). It
// takes the sine of a slope for its tangent, which on 15 % is 1.1 % too much.
func (r Road) EffectiveGrade(loaded bool) float64 {
	if loaded {
		return r.Rolling + r.Grade
	}
	return r.Rolling - r.Grade
}

// firmRoad and perMetre give RollingOn: 40 lb a ton and 30 lb a ton for each inch.
const (
	firmRoad = 40.0 / 2000
	perMetre = 30.0 / 2000 / 0.0254
)

// RollingOn is the rolling resistance, a share of the weight, of a road into which
// the tyres sink by the given depth, m: 40 lb a ton and 30 lb a ton for each inch
// (the rule of US Army FM 5-434, 2000).
func RollingOn(sink float64) float64 { return firmRoad + perMetre*sink }

// DriveShare is the part of an engine's power that reaches the ground. Handbooks
// give 0.80 to 0.85 (from memory); the lower figure is the safer one for a bid.
const DriveShare = 0.80

// gravity is standard gravity, m/s2.
const gravity = 9.80665

// SpeedLimit is the speed, m/s, that an engine of the given power, W, can hold with
// the given mass, kg, against an effective grade: power at the ground over the
// force of resistance, mass x gravity x grade. It is +Inf where nothing resists,
// as downhill: there the brakes, the road and the law set the limit.
func SpeedLimit(power, mass, effectiveGrade float64) float64 {
	if effectiveGrade <= 0 {
		return math.Inf(1)
	}
	return DriveShare * power / (mass * gravity * effectiveGrade)
}
