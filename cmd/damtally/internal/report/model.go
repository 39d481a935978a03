package report

import "encoding/json"

// schemaNumber rises when a key changes its name or its meaning.
const schemaNumber = 1

// document is the whole file.
type document struct {
	Schema        int             `json:"schema"`
	Version       string          `json:"version"`
	Seed          *uint64         `json:"seed,omitempty"`
	Site          siteInfo        `json:"site"`
	Notes         []note          `json:"notes"`
	Sections      []section       `json:"sections"`
	Volumes       volumes         `json:"volumes"`
	Conduits      []conduit       `json:"conduits,omitempty"`
	Cuts          []cut           `json:"cuts,omitempty"`
	Blankets      []blanket       `json:"blankets,omitempty"`
	Measured      *dugGround      `json:"measured,omitempty"`
	Materials     []material      `json:"materials,omitempty"`
	Tests         []test          `json:"tests,omitempty"`
	Lots          []lot           `json:"lots,omitempty"`
	Trials        []trial         `json:"trials,omitempty"`
	Pits          []pit           `json:"pits,omitempty"`
	Balance       []balance       `json:"balance,omitempty"`
	Allocation    []flow          `json:"allocation,omitempty"`
	Supply        *supply         `json:"supply,omitempty"`
	Excavated     []excavated     `json:"required_excavation,omitempty"`
	Haul          *haul           `json:"haul,omitempty"`
	Storage       []storage       `json:"storage,omitempty"`
	Pools         []pool          `json:"pools,omitempty"`
	LakeLimit     *lakeLimit      `json:"lake_limit,omitempty"`
	Lifts         []lift          `json:"lifts,omitempty"`
	LiftAllowance []liftAllowance `json:"lift_allowance,omitempty"`
	FillByLevel   []fillBelow     `json:"fill_by_elevation,omitempty"`
	Items         []item          `json:"items,omitempty"`
	Bid           *bid            `json:"bid,omitempty"`
	Unpaid        []unpaid        `json:"unpaid_work,omitempty"`
	Reconciled    *reconciliation `json:"reconciliation,omitempty"`
	Checks        []check         `json:"checks"`
}

type siteInfo struct {
	Name        string `json:"name"`
	OutputUnits string `json:"output_units"`
}

type note struct {
	Level  string `json:"level"`
	About  string `json:"about,omitempty"`
	Table  string `json:"table,omitempty"`
	Row    int    `json:"row,omitempty"`
	Text   string `json:"text"`
	Source string `json:"source,omitempty"`
}

type section struct {
	Station       number     `json:"station_m"`
	At            string     `json:"at"`
	Ground        number     `json:"ground_m"`
	Stripped      number     `json:"stripped_m"`
	Crest         number     `json:"crest_m"`
	CrestWidth    number     `json:"crest_width_m"`
	BuiltCrest    number     `json:"built_crest_m"`
	SettledCrest  number     `json:"settled_crest_m"`
	Area          number     `json:"area_m2"`
	Zones         []zoneArea `json:"zones"`
	Stripping     number     `json:"stripping_m2"`
	Trench        number     `json:"trench_m2"`
	Outside       number     `json:"outside_m2"`
	UpstreamToe   *number    `json:"upstream_toe_offset_m,omitempty"`
	DownstreamToe *number    `json:"downstream_toe_offset_m,omitempty"`
	Beyond        *number    `json:"beyond_hump_m2,omitempty"`
}

type zoneArea struct {
	Zone    string  `json:"zone"`
	Area    number  `json:"area_m2"`
	Trench  number  `json:"trench_m2"`
	Outside number  `json:"outside_m2"`
	Surface *number `json:"surface_m,omitempty"`
}

type volumes struct {
	Fill            number       `json:"fill_m3"`
	Trench          number       `json:"trench_m3"`
	Settlement      number       `json:"settlement_m3"`
	Outside         number       `json:"outside_m3"`
	Overbuild       number       `json:"overbuild_m3"`
	TotalCompacted  number       `json:"total_compacted_m3"`
	Stripping       number       `json:"stripping_m3"`
	Footprint       number       `json:"footprint_m2"`
	Prismoidal      number       `json:"prismoidal_m3"`
	CurveCorrection number       `json:"curve_correction_m3"`
	Options         options      `json:"settlement_options"`
	Accuracy        *accuracy    `json:"accuracy,omitempty"`
	Check           *surfaces    `json:"check,omitempty"`
	Reaches         []reach      `json:"reaches"`
	Zones           []zoneVolume `json:"zones"`
}

// surfaces is the check of the fill by the volume between surfaces.
type surfaces struct {
	SurfaceToSurface number `json:"surface_to_surface_m3"`
	Difference       number `json:"difference_pct"`
}

type options struct {
	Volume   number `json:"volume_m3"`
	Height   number `json:"height_m3"`
	ToesKept number `json:"toes_kept_m3"`
}

// accuracy says what the setting `section accuracy` gave.
type accuracy struct {
	Asked  number `json:"asked"`
	Added  int    `json:"sections_added"`
	Change number `json:"change_by_halving_m3"`
	NotMet int    `json:"reaches_not_met"`
}

type reach struct {
	From number `json:"from_m"`
	To   number `json:"to_m"`
	Fill number `json:"fill_m3"`
}

type zoneVolume struct {
	Zone            string `json:"zone"`
	Neat            number `json:"neat_m3"`
	Trench          number `json:"trench_m3"`
	Settlement      number `json:"settlement_m3"`
	Outside         number `json:"outside_m3"`
	Compacted       number `json:"compacted_m3"`
	Prismoidal      number `json:"prismoidal_m3"`
	CurveCorrection number `json:"curve_correction_m3"`
	// Surface is the area of a layer on a face, on the crest or on the ground.
	Surface *number `json:"surface_m2,omitempty"`
}

type material struct {
	Material         string         `json:"material"`
	Bought           bool           `json:"bought,omitempty"`
	MaxDryDensity    *number        `json:"max_dry_density_kg_m3,omitempty"`
	OptimumWater     *number        `json:"optimum_water_content,omitempty"`
	BankDryDensity   *number        `json:"bank_dry_density_kg_m3,omitempty"`
	LooseDryDensity  *number        `json:"loose_dry_density_kg_m3,omitempty"`
	FillDryDensity   *number        `json:"fill_dry_density_kg_m3,omitempty"`
	ShrinkFactor     *number        `json:"shrink_factor,omitempty"`
	ShrinkageOfBank  *number        `json:"shrinkage_share_of_bank,omitempty"`
	ShrinkageOfFill  *number        `json:"shrinkage_share_of_fill,omitempty"`
	Swell            *number        `json:"swell,omitempty"`
	LoadFactor       *number        `json:"load_factor,omitempty"`
	Loss             number         `json:"loss"`
	Basis            string         `json:"basis"`
	SwellBasis       string         `json:"swell_basis"`
	FillDensityBasis string         `json:"fill_density_basis"`
	Tests            counts         `json:"tests"`
	Compacted        number         `json:"compacted_m3"`
	Bank             *number        `json:"bank_m3,omitempty"`
	Loose            *number        `json:"loose_m3,omitempty"`
	DryMass          *number        `json:"dry_mass_kg,omitempty"`
	BoughtMass       *number        `json:"bought_mass_kg,omitempty"`
	Zones            []share        `json:"zones"`
	Blankets         []blanketShare `json:"blankets,omitempty"`

	spread
	WaterToAdd *number `json:"water_to_add_kg,omitempty"`
	Water      *water  `json:"water,omitempty"`
}

type counts struct {
	Bank  int `json:"bank"`
	Loose int `json:"loose"`
	Fill  int `json:"fill"`
}

type share struct {
	Zone      string `json:"zone"`
	Fraction  number `json:"fraction"`
	Compacted number `json:"compacted_m3"`
}

type test struct {
	ID         string   `json:"id"`
	Row        int      `json:"row"`
	State      string   `json:"state"`
	Material   string   `json:"material"`
	DryDensity number   `json:"dry_density_kg_m3"`
	Water      *number  `json:"water_content,omitempty"`
	Compaction *number  `json:"percent_compaction_pct,omitempty"`
	Pass       *bool    `json:"pass,omitempty"`
	Reasons    []string `json:"reasons"`

	FromOptimum  *number `json:"from_optimum,omitempty"`
	Saturation   *number `json:"saturation,omitempty"`
	AirVoids     *number `json:"air_voids,omitempty"`
	ComparedWith *number `json:"compared_with_kg_m3,omitempty"`
	RetestOf     string  `json:"retest_of,omitempty"`
	Replaced     bool    `json:"replaced,omitempty"`
}

type balance struct {
	Material     string   `json:"material"`
	Compacted    number   `json:"compacted_m3"`
	Needed       number   `json:"needed_bank_m3"`
	Available    number   `json:"available_bank_m3"`
	Ratio        number   `json:"ratio"`
	ReserveRatio number   `json:"reserve_ratio"`
	ReserveOn    string   `json:"reserve_on"`
	ReserveBase  number   `json:"reserve_base_m3"`
	Required     number   `json:"required_bank_m3"`
	Enough       *bool    `json:"enough"`
	Short        number   `json:"short_bank_m3"`
	Pits         []string `json:"pits"`
	Beside       []beside `json:"beside_pits,omitempty"`
	Chance       *number  `json:"chance_enough,omitempty"`
	ChanceFrom   string   `json:"chance_from,omitempty"`
}

type check struct {
	Key   string `json:"key"`
	What  string `json:"what"`
	Unit  string `json:"unit"`
	Ours  number `json:"ours"`
	Other number `json:"other"`
	Holds bool   `json:"holds"`
}

// number is a float64 that JSON can always carry: a value that is not a number
// or not finite is written as null, and minus zero as zero.
type number float64

// MarshalJSON implements json.Marshaler.
func (n number) MarshalJSON() ([]byte, error) {
	if !n.finite() {
		return []byte("null"), nil
	}
	if n == 0 {
		return []byte("0"), nil
	}
	return json.Marshal(float64(n))
}

// finite says whether n is an ordinary number.
func (n number) finite() bool { return n-n == 0 }
