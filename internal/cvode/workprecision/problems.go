//go:build sundials

package main

// The classic stiff problems: Hairer and Wanner, Solving Ordinary Differential Equations
// II, section IV.10, and the Test Set for IVP Solvers (F. Mazzia, C. Magherini, release
// 2.4). Equations and end values are from memory; every end value is checked by tight
// runs of both solvers, and how far these agree stands in the result.
func classics() []*classic {
	return []*classic{robertson(), hires(), vanDerPol(), oregonator(), e5(), pollution()}
}

func robertson() *classic {
	return &classic{
		name: "Robertson, to 1e11", size: 3, y0: map[int]float64{0: 1}, end: 1e11,
		terms: []term{
			{0.04, []int{0}, map[int]float64{0: -1, 1: 1}},
			{3e7, []int{1, 1}, map[int]float64{1: -1, 2: 1}},
			{1e4, []int{1, 2}, map[int]float64{0: 1, 1: -1}},
		},
		scale: []float64{1e-9, 1e-14, 1e-9},
		want:  []float64{0.2083340149701255e-7, 0.8333360770334713e-13, 0.9999999791665050},
	}
}

func hires() *classic {
	return &classic{
		name: "HIRES", size: 8, y0: map[int]float64{0: 1, 7: 0.0057}, end: 321.8122,
		terms: []term{
			{1.71, []int{0}, map[int]float64{0: -1, 1: 1}},
			{0.43, []int{1}, map[int]float64{0: 1, 1: -1}},
			{8.32, []int{1}, map[int]float64{1: -1, 3: 1}},
			{8.32, []int{2}, map[int]float64{0: 1, 2: -1}},
			{1.71, []int{2}, map[int]float64{2: -1, 3: 1}},
			{0.43, []int{3}, map[int]float64{2: 1, 3: -1}},
			{0.69, []int{3}, map[int]float64{3: -1, 5: 1}},
			{0.035, []int{4}, map[int]float64{2: 1, 4: -1}},
			{1.71, []int{4}, map[int]float64{4: -1, 5: 1}},
			{0.43, []int{5}, map[int]float64{4: 1, 5: -1}},
			{0.43, []int{6}, map[int]float64{4: 1, 6: -1, 7: 1}},
			{0.69, []int{6}, map[int]float64{5: 1, 6: -1, 7: 1}},
			{0.69, []int{6}, map[int]float64{6: -1, 7: 1}},
			{280, []int{5, 7}, map[int]float64{5: -1, 6: 1, 7: -1}},
			{0.0007, nil, map[int]float64{0: 1}},
		},
		scale: even(8, 1e-4),
		want: []float64{
			0.7371312573325668e-3, 0.1442485726316185e-3, 0.5888729740967575e-4, 0.1175651343283149e-2,
			0.2386356198831331e-2, 0.6238968252742796e-2, 0.2849998395185769e-2, 0.2850001604814231e-2,
		},
	}
}

func vanDerPol() *classic {
	const eps = 1e-6
	return &classic{
		name: "Van der Pol, eps 1e-6", size: 2, y0: map[int]float64{0: 2}, end: 2,
		terms: []term{
			{1, []int{1}, map[int]float64{0: 1, 1: 1 / eps}},
			{1 / eps, []int{0, 0, 1}, map[int]float64{1: -1}},
			{1 / eps, []int{0}, map[int]float64{1: -1}},
		},
		scale: even(2, 1),
		want:  []float64{1.706167732170483, -0.8928097010247975},
	}
}

func oregonator() *classic {
	const s, q, w = 77.27, 8.375e-6, 0.161
	return &classic{
		name: "Oregonator", size: 3, y0: map[int]float64{0: 1, 1: 2, 2: 3}, end: 360,
		terms: []term{
			{1, []int{1}, map[int]float64{0: s, 1: -1 / s}},
			{1, []int{0}, map[int]float64{0: s, 2: w}},
			{s * q, []int{0, 0}, map[int]float64{0: -1}},
			{1, []int{0, 1}, map[int]float64{0: -s, 1: -1 / s}},
			{1, []int{2}, map[int]float64{1: 1 / s, 2: -w}},
		},
		scale: even(3, 1e-2),
		want:  []float64{1.000814870318523, 1228.178521549917, 132.0554942846706},
	}
}

// e5 leaves the second species out, which is the sum of the two after it.
func e5() *classic {
	const a, b, m, c = 7.89e-10, 1.1e7, 1e6, 1.13e3
	return &classic{
		name: "E5, to 1e13", size: 3, y0: map[int]float64{0: 1.76e-3}, end: 1e13,
		terms: []term{
			{a, []int{0}, map[int]float64{0: -1, 1: 1}},
			{b, []int{0, 1}, map[int]float64{0: -1, 1: -1, 2: 1}},
			{m * c, []int{1, 1}, map[int]float64{1: -1}},
			{m * c, []int{2, 1}, map[int]float64{1: -1}},
			{c, []int{2}, map[int]float64{1: 1, 2: -1}},
		},
		scale: even(3, 1e-24),
	}
}

func pollution() *classic {
	c := &classic{
		name: "Pollution", size: 20, end: 60,
		y0:    map[int]float64{1: 0.2, 3: 0.04, 6: 0.1, 7: 0.3, 8: 0.01, 16: 0.007},
		scale: even(20, 1e-6),
		want: []float64{
			0.5646255480022769e-1, 0.1342484130422339, 0.4139734331099427e-8, 0.5523140207484359e-2,
			0.2018977262302196e-6, 0.1464541863493966e-6, 0.7784249118997964e-1, 0.3245075353396018,
			0.7494013383880406e-2, 0.1622293157301561e-7, 0.1135863833257075e-7, 0.2230505975721359e-2,
			0.2087162882798630e-3, 0.1396921016840158e-4, 0.8964884856898295e-2, 0.4352846369330103e-17,
			0.6899219696263405e-2, 0.1007803037365946e-3, 0.1772146513969984e-5, 0.5682943292316392e-4,
		},
	}
	// Rate constant, what reacts, what comes of it; species are numbered from 1.
	for _, r := range []struct {
		k        float64
		from, to []int
	}{
		{0.35, []int{1}, []int{2, 3}},
		{26.6, []int{2, 4}, []int{1}},
		{1.23e4, []int{5, 2}, []int{6, 1}},
		{8.6e-4, []int{7}, []int{5, 5, 8}},
		{8.2e-4, []int{7}, []int{8}},
		{1.5e4, []int{7, 6}, []int{5, 8}},
		{1.3e-4, []int{9}, []int{5, 8, 10}},
		{2.4e4, []int{9, 6}, []int{11}},
		{1.65e4, []int{11, 2}, []int{1, 10, 12}},
		{9e3, []int{11, 1}, []int{13}},
		{0.022, []int{13}, []int{11, 1}},
		{1.2e4, []int{10, 2}, []int{14, 1}},
		{1.88, []int{14}, []int{5, 7}},
		{1.63e4, []int{1, 6}, []int{15}},
		{4.8e6, []int{3}, []int{4}},
		{3.5e-4, []int{4}, []int{16}},
		{0.0175, []int{4}, []int{3}},
		{1e8, []int{16}, []int{6, 6}},
		{4.44e11, []int{16}, []int{3}},
		{1.24e3, []int{17, 6}, []int{5, 18}},
		{2.1, []int{19}, []int{2}},
		{5.78, []int{19}, []int{1, 3}},
		{0.0474, []int{1, 4}, []int{19}},
		{1.78e3, []int{19, 1}, []int{20}},
		{3.12, []int{20}, []int{1, 19}},
	} {
		t := term{k: r.k, into: map[int]float64{}}
		for _, s := range r.from {
			t.factors = append(t.factors, s-1)
			t.into[s-1]--
		}
		for _, s := range r.to {
			t.into[s-1]++
		}
		c.terms = append(c.terms, t)
	}
	return c
}

func even(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}
