package diagnose

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

var normal = distuv.UnitNormal

// The normal distribution at even steps; between them straight lines are within
// 1e-6 of it, which is enough to sort outcomes into bins.
const (
	cdfMost  = 6.0
	cdfSteps = 200 // to a standard deviation
)

var cdfTable = func() []float64 {
	table := make([]float64, 2*cdfMost*cdfSteps+2)
	for i := range table {
		table[i] = normal.CDF(float64(i)/cdfSteps - cdfMost)
	}
	return table
}()

// quickCDF is the share of a normal distribution below z standard deviations.
func quickCDF(z float64) float64 {
	switch {
	case z <= -cdfMost:
		return 0
	case z >= cdfMost:
		return 1
	}
	at, part := math.Modf((z + cdfMost) * cdfSteps)
	low := cdfTable[int(at)]
	return low + part*(cdfTable[int(at)+1]-low)
}
