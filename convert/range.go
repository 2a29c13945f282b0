package convert

import "example.com/fitgeom/internal/fault"

// ranges is what each measure may be, in its unit: far beyond any adult's bike, and where
// that leaves no small numbers, other units show. Common practice, no source.
var ranges = [measureCount][2]float64{
	SaddleHeight:                 {300, 1300},
	SaddleHeightSeatTube:         {300, 1300},
	SaddleHeightVertical:         {200, 1300},
	SaddleHeightNose:             {200, 1300},
	SaddleHeightGround:           {350, 1700},
	SaddleHeightPedal:            {350, 1550},
	SaddleSetback:                {-100, 900},
	SaddleSetbackNose:            {-500, 800},
	SaddleTilt:                   {-45, 45},
	SaddleLength:                 {150, 400},
	SaddleStation:                {20, 300},
	BarDropClamp:                 {-700, 800},
	BarDropTops:                  {-700, 800},
	BarDropHoods:                 {-700, 800},
	BarDropDrops:                 {-700, 800},
	BarDropGrips:                 {-700, 800},
	BarDropPads:                  {-700, 800},
	BarDropClampHighest:          {-700, 800},
	BarDropHoodsHighest:          {-700, 800},
	BarDropGripsHighest:          {-700, 800},
	ReachClamp:                   {150, 1500},
	ReachClampHorizontal:         {150, 1500},
	ReachHoods:                   {150, 1500},
	ReachHoodsHorizontal:         {150, 1500},
	ReachGrips:                   {150, 1500},
	ReachGripsHorizontal:         {150, 1500},
	ReachPadsHorizontal:          {100, 1500},
	ReachNoseClamp:               {150, 1500},
	ReachNoseClampHorizontal:     {150, 1500},
	ReachNoseHoods:               {150, 1500},
	ReachNoseHoodsHorizontal:     {150, 1500},
	ReachNoseGrips:               {150, 1500},
	ReachNoseGripsHorizontal:     {150, 1500},
	ReachNosePadsHorizontal:      {50, 1500},
	ReachNoseExtensionHorizontal: {150, 1500},
	BarStack:                     {100, 1500},
	BarReach:                     {100, 1300},
	TopsStack:                    {100, 1500},
	TopsReach:                    {100, 1300},
	HoodsStack:                   {100, 1500},
	HoodsReach:                   {100, 1300},
	DropsStack:                   {100, 1500},
	DropsReach:                   {100, 1300},
	GripStack:                    {100, 1500},
	GripReach:                    {50, 1300},
	PadStack:                     {100, 1500},
	PadReach:                     {100, 1300},
	ExtensionReach:               {100, 1700},
	ExtensionLength:              {50, 800},
	ExtensionRise:                {-300, 500},
	TopsWidth:                    {50, 600},
	HoodsWidth:                   {100, 900},
	DropsWidth:                   {100, 1000},
	GripsWidth:                   {100, 1200},
	PadsWidth:                    {30, 500},
	ExtensionsWidth:              {0, 500},
	CrankLength:                  {50, 250},
	QFactor:                      {60, 350},
	StanceWidth:                  {80, 500},
	FootHeight:                   {-20, 140},
	SaddleHeightSole:             {300, 1550},
	SaddleHeightRails:            {200, 1300},
	SeatHeightGround:             {350, 1700},
	SeatAngleEffective:           {40, 120},
	SaddleEndsAngle:              {-45, 45},
	ReachRearClamp:               {250, 1800},
	ReachRearClampHorizontal:     {250, 1800},
	GripDistance:                 {200, 1700},
	GripAngle:                    {20, 100},
	BarStackToReach:              {0.2, 10},
	HoodsWidthInside:             {50, 900},
	DropsWidthOutside:            {100, 1050},
	GripsWidthOutside:            {150, 1400},
	PadsWidthInside:              {-50, 450},
	PadsWidthOutside:             {60, 700},
	HoodTilt:                     {-60, 90},
	PadTilt:                      {-45, 60},
	ExtensionTilt:                {-45, 90},
	StanceAngle:                  {-45, 45},
	CleatSetback:                 {-60, 120},
}

// Range returns what the measure may be, in its unit, for [Sheet.Solve]: far beyond any
// adult's bike. Zero for an unknown number.
func (m Measure) Range() (lo, hi float64) {
	if !measureNames.Valid(m) {
		return 0, 0
	}
	return ranges[m][0], ranges[m][1]
}

// checkValue reports a number that the measure cannot have.
func (m Measure) checkValue(f *fault.List, path string, v float64) {
	lo, hi := m.Range()
	unit := measures[m].Unit
	value, _ := members(unit)
	if lo > 0 && unit == "mm" { // never small, so that other units show
		f.Length(path+"."+value, v, lo, hi)
	} else {
		f.Range(path+"."+value, v, lo, hi, unit)
	}
}
