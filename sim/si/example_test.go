package si_test

import (
	"fmt"

	"kneepoint/sim/si"
)

func Example() {
	vacuum, err := si.ParseAs[si.Vacuum]("18.5 inHg")
	if err != nil {
		fmt.Println(err)
		return
	}
	ambient := si.Pressure(si.StandardAtmosphere)
	fmt.Println("vacuum ", vacuum)
	fmt.Println("chamber", si.FormatGas(vacuum.Below(ambient), si.SI), "absolute")
	fmt.Println("gauge  ", si.Format(si.DimVacuum, float64(vacuum), si.US))

	_, err = si.ParseAs[si.Length]("10 psi")
	fmt.Println(err)
	// Output:
	// vacuum  62.65 kPa
	// chamber 39 kPa absolute
	// gauge   18.5 inHg
	// "10 psi" is a pressure; want a length, e.g. "10 in" or "254 mm"
}
