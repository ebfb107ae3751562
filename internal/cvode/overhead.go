//go:build sundials

package cvode

/*
#include <stdint.h>
#include <nvector/nvector_serial.h>

extern int cvodeRates(realtype t, N_Vector y, N_Vector dy, void *user);

static void callRates(int n, N_Vector y, void *user) {
	for (int i = 0; i < n; i++)
		cvodeRates(0, y, y, user);
}
*/
import "C"

import (
	"time"
	"unsafe"
)

// Overhead measures what a call of the right-hand side costs on its way from C to
// Go and back, as the mean over n calls of one that does nothing. A comparison of
// run times should not count it against CVODE.
func Overhead(n int) (time.Duration, error) {
	r, err := begin(func(float64, []float64, []float64) {}, 0, []float64{0}, 1, []float64{1})
	if err != nil {
		return 0, err
	}
	defer r.free()
	start := time.Now()
	C.callRates(C.int(n), r.y, unsafe.Pointer(r.user))
	return time.Since(start) / time.Duration(n), nil
}
