package borrow

import (
	"math"
	"testing"

	"github.com/damtally/damtally/testdata/published"
)

// The mass haul tutorial of testdata/published/volume/mass_haul_ordinates.csv (a
// textbook exercise): cut feeds fill along a road. The least haul between the cuts and
// the fills is the area between the mass curve and its balance line, since soil that is
// spread evenly over a stretch and soil in its middle carry the curve past each joint
// alike. So the allocation must find that area, and leave the soil before the balance
// line, without being told of the line.
func TestLeastHaulIsTheAreaUnderTheMassCurve(t *testing.T) {
	result := map[string]float64{}
	for _, row := range published.Read(t, "volume/mass_haul_results.csv") {
		result[row["quantity"]] = row.Number(t, "computed")
	}
	start := result["balance_starts_at"]
	q := &Transport{}
	var from, to []float64 // middles of the cuts and of the fills
	cut := func(a, b, volume float64) {
		q.Supplies = append(q.Supplies, Supply{Kind: FromCut, Bank: volume, Shrink: 1, Place: -1})
		from = append(from, (a+b)/2)
	}
	last, ordinate := 0.0, 0.0
	for _, row := range published.Read(t, "volume/mass_haul_ordinates.csv") {
		at, dug, filled := row.Number(t, "chainage_m"), row.Number(t, "cut_m3"), row.Number(t, "fill_corrected_m3")
		ordinate += dug - filled
		published.Near(t, "ordinate", ordinate, row.Number(t, "published_cumulative_m3"), arithmetic)
		if dug > 0 {
			if last < start && start < at { // the balance line meets the curve within the stretch
				before := dug * (start - last) / (at - last)
				cut(last, start, before)
				cut(start, at, dug-before)
			} else {
				cut(last, at, dug)
			}
		}
		if filled > 0 {
			q.Demands = append(q.Demands, Demand{Compacted: filled})
			to = append(to, (last+at)/2)
		}
		last = at
	}
	for i, a := range from {
		for j, b := range to {
			q.Routes = append(q.Routes, Route{i, j, math.Abs(b - a)})
		}
	}
	a := must(t, q)
	// The file's figures are printed to ten digits.
	const printed = 1e-9
	published.Near(t, "haul, station metres", a.Cost()/100, result["total_haul"], printed*result["total_haul"])
	bank, early := 0.0, 0.0
	for _, f := range a.Flows {
		bank += f.Bank
		if from[q.Routes[f.Route].Supply] < start {
			early += f.Bank
		}
	}
	published.Near(t, "mean haul, m", a.Cost()/bank, result["average_haul"], printed*result["average_haul"])
	published.Near(t, "left over, m3", ordinate, result["balance_line"], arithmetic)
	published.Near(t, "hauled from before the balance line, m3", early, 0, printed*bank)
}

// Tabeaud dam, California, 1904 (testdata/published/soil/tabeaud-dam-1904.csv, read in
// Burr Bassell, Earth Dams): a dam of a thousand wagons' fill, fed from one pit at the
// shrink and swell that were seen, takes a thousand wagons of 3 loose yd3.
func TestTabeaudFromDamToWagons(t *testing.T) {
	seen := map[string]float64{}
	for _, row := range published.Read(t, "soil/tabeaud-dam-1904.csv") {
		seen[row["quantity"]] = row.Number(t, "value")
	}
	const wagons, yard = 1000, 0.764554857984 // of 0.9144 m cubed
	q := plain([]float64{math.Inf(1)}, []float64{wagons * seen["compacted volume per wagon"] * yard}, [][]float64{{1}})
	q.Supplies[0].Shrink = 1 - seen["compression on dam over earth at borrow pit"]/100
	a := must(t, q)
	loose := LooseFor(a.Flows[0].Bank, seen["swell bank to wagon"]/100)
	// The swell is given to a hundredth of a percent.
	published.Near(t, "wagons, not rounded up", loose/(seen["wagon capacity"]*yard), wagons, wagons*0.5e-4/1.4737)
	// 43 % smaller than in the wagon, as the source says it.
	published.Near(t, "compression over wagons", 100*(1-a.Flows[0].Compacted/loose), seen["compression on dam over earth in wagons"], 0.01)
}
