package plan

import (
	"math"
	"slices"

	"github.com/damtally/damtally/borrow"
)

// lacking carries the certificates into the words of the site.
func (out *Allocation) lacking(a *borrow.Allocation, supplies []supply, demands []demand) {
	for _, s := range a.Short {
		short := ShortOf{From: math.NaN(), To: math.NaN(), Needed: s.Needed, Available: s.Available, Short: s.Short}
		for _, k := range s.Demands {
			d := &demands[k]
			short.Zones = append(short.Zones, d.Zone)
			short.Materials = append(short.Materials, d.materials...)
			if d.zone >= 0 {
				short.From, short.To = least(short.From, d.From), -least(-short.To, -d.To)
			}
		}
		for _, i := range s.Supplies {
			short.Sources = append(short.Sources, string(supplies[i].Kind)+" "+supplies[i].Name)
		}
		short.Zones, short.Materials, short.Sources = unique(short.Zones), unique(short.Materials), unique(short.Sources)
		if len(short.Sources) == 0 {
			short.Available, short.Short = 0, short.Needed // not the rounding to whole units
		}
		out.addShort(short)
	}
	for _, f := range a.Forced {
		forced := ForcedUse{Least: f.Least, Room: f.Room, Over: f.Over}
		for _, i := range f.Supplies {
			forced.Sources = append(forced.Sources, supplies[i].Name)
		}
		for _, k := range f.Demands {
			forced.Zones = append(forced.Zones, demands[k].Zone)
		}
		forced.Sources, forced.Zones = unique(forced.Sources), unique(forced.Zones)
		out.Forced = append(out.Forced, forced)
	}
}

// addShort adds a shortage. Soil that no source holds is short in each reach by
// itself; that is told once, over all the reaches.
func (out *Allocation) addShort(s ShortOf) {
	for i := range out.Short {
		k := &out.Short[i]
		if len(s.Sources)+len(k.Sources) == 0 && slices.Equal(s.Zones, k.Zones) && slices.Equal(s.Materials, k.Materials) {
			k.From, k.To = least(k.From, s.From), -least(-k.To, -s.To)
			k.Needed, k.Short = k.Needed+s.Needed, k.Short+s.Short
			return
		}
	}
	out.Short = append(out.Short, s)
}

// least is the lesser of two, where NaN stands for none.
func least(a, b float64) float64 {
	if math.IsNaN(a) || b < a {
		return b
	}
	return a
}
