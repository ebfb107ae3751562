package leastsquares

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A Precision says how well the data fix the unknowns, by the singular values of the
// Jacobian. All is for residuals of the variance that the fit leaves.
type Precision struct {
	// Variance is the sum of squares over the degrees of freedom; near 1 where the
	// standard deviations of the data were right.
	Variance float64
	// Freedom is the number of data above the number of unknowns.
	Freedom int
	// Error is the standard error of each unknown, +Inf where nothing fixes it. Alone
	// is what it would be if all others were known.
	Error, Alone []float64
	// Correlation is that of the unknowns' errors; NaN where an error is infinite.
	Correlation *mat.SymDense
	// Directions are the principal directions in the space of the unknowns, as
	// columns, the worst fixed last; Along is the standard error along each.
	Directions *mat.Dense
	Along      []float64
}

// noise is the least singular value that is more than the rounding of the
// differences, as a share of the largest.
const noise = 1e-10

// rounding is the part of a direction that is none.
const rounding = 1e-12

// Precision works out how well the data fix the unknowns.
func (f *Fit) Precision() Precision {
	n, k := f.Jacobian.Dims()
	p := Precision{
		Freedom: n - k, Variance: math.NaN(), Error: make([]float64, k), Alone: make([]float64, k),
		Correlation: mat.NewSymDense(k, nil), Directions: mat.NewDense(k, k, nil), Along: make([]float64, k),
	}
	if n > k {
		p.Variance = f.Sum / float64(n-k)
	}
	deviation := math.Sqrt(p.Variance)
	var svd mat.SVD
	if !svd.Factorize(f.Jacobian, mat.SVDThin) {
		panic("leastsquares: the Jacobian holds no numbers")
	}
	values := svd.Values(nil)
	svd.VTo(p.Directions)
	for d, v := range values {
		p.Along[d] = deviation / v
		if v <= noise*values[0] {
			p.Along[d] = math.Inf(1)
		}
	}
	covariance := func(i, j int) float64 {
		sum := 0.0
		for d, along := range p.Along {
			w := p.Directions.At(i, d) * p.Directions.At(j, d)
			if math.IsInf(along, 1) && math.Abs(w) < rounding {
				continue // of a direction that has no part in them
			}
			sum += w * along * along
		}
		return sum
	}
	for j := range k {
		p.Error[j] = math.Sqrt(covariance(j, j))
		p.Alone[j] = deviation / mat.Norm(f.Jacobian.ColView(j), 2)
		for i := range j {
			p.Correlation.SetSym(i, j, covariance(i, j)/(p.Error[i]*p.Error[j]))
		}
		p.Correlation.SetSym(j, j, 1)
	}
	return p
}
