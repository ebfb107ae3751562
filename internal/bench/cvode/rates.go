//go:build sundials

package cvode

/*
#include <stdint.h>
#include <nvector/nvector_serial.h>
*/
import "C"

import (
	"runtime/cgo"
	"unsafe"
)

// cvodeRates is what CVODE calls; user points to the handle of the Go function.
//
//export cvodeRates
func cvodeRates(t C.realtype, y, dy C.N_Vector, user unsafe.Pointer) C.int {
	rhs := cgo.Handle(*(*C.uintptr_t)(user)).Value().(func(t float64, y, dy []float64))
	rhs(float64(t), values(y), values(dy))
	return 0
}
