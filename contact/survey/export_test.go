package survey

// Chi2 is the least sum of squares of readings that are valid.
func (t TapeSurvey) Chi2() float64 { return newTapeProblem(&t).find().Best.Chi2 }
