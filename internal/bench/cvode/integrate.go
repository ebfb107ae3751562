//go:build sundials

package cvode

/*
#cgo LDFLAGS: -lsundials_cvode -lsundials_nvecserial -lsundials_sunmatrixdense -lsundials_sunlinsoldense -lm
#include <stdint.h>
#include <stdlib.h>
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

extern int cvodeRates(realtype t, N_Vector y, N_Vector dy, void *user);
*/
import "C"

import (
	"errors"
	"fmt"
	"math"
	"runtime/cgo"
	"slices"
	"unsafe"
)

// maxSteps bounds the steps between two samples or breaks.
const maxSteps = 10_000_000

// Stats counts work, as CVODE counts it.
type Stats struct {
	Steps          int // steps accepted
	ErrorFailures  int // steps refused by the error test
	NewtonFailures int // steps refused because the iteration did not converge
	Rates          int // calls of the right-hand side, those for Jacobians included
	Jacobians      int
	Factorizations int
}

// Integrate solves y' = rhs(t, y) from y0 at t0 up to the last of breaks, and
// starts the method anew at each of the others: it never evaluates rhs beyond the
// end of the stretch it is in. The local error of state i is kept under
// rtol*|y| + atol[i].
//
// It returns the states at the times in sample, which must not decrease and lie
// between t0 and the last break; the end state is among them if its time is. A
// sample on a break, or past it by rounding only, is the state the stretch before
// it ends with. rhs must not keep or change y.
func Integrate(rhs func(t float64, y, dy []float64), t0 float64, y0, breaks []float64,
	rtol float64, atol, sample []float64) ([][]float64, Stats, error) {
	if err := check(t0, y0, breaks, atol, sample); err != nil {
		return nil, Stats{}, err
	}
	r, err := begin(rhs, t0, y0, rtol, atol)
	if err != nil {
		return nil, Stats{}, err
	}
	defer r.free()
	out := make([][]float64, 0, len(sample))
	from := t0
	for i, end := range breaks {
		if err := r.stopAt(end); err != nil {
			return out, r.stats(), err
		}
		at := from
		for len(sample) > 0 && sample[0] <= end {
			if sample[0] > at && !tooClose(from, sample[0]) {
				at = sample[0]
				if err := r.to(at); err != nil {
					return out, r.stats(), err
				}
			}
			out, sample = append(out, slices.Clone(r.state())), sample[1:]
		}
		if at < end {
			if err := r.to(end); err != nil {
				return out, r.stats(), err
			}
		}
		from = end
		if i+1 < len(breaks) {
			if err := r.restart(end); err != nil {
				return out, r.stats(), err
			}
		}
	}
	return out, r.stats(), nil
}

// tooClose tells whether CVODE refuses to begin at t for an output at out, because
// only rounding lies between them.
func tooClose(t, out float64) bool {
	const unit = 0x1p-52
	return out-t < 2*unit*max(math.Abs(t), math.Abs(out))
}

func check(t0 float64, y0, breaks, atol, sample []float64) error {
	switch {
	case len(y0) == 0:
		return errors.New("cvode: no states")
	case len(atol) != len(y0):
		return fmt.Errorf("cvode: %d absolute tolerances for %d states", len(atol), len(y0))
	case len(breaks) == 0:
		return errors.New("cvode: no break, so no end")
	case !slices.IsSorted(breaks) || !(breaks[0] > t0) || len(slices.Compact(slices.Clone(breaks))) != len(breaks):
		return errors.New("cvode: breaks do not increase from the start")
	case !slices.IsSorted(sample):
		return errors.New("cvode: samples do not increase")
	case len(sample) > 0 && (sample[0] < t0 || sample[len(sample)-1] > breaks[len(breaks)-1]):
		return errors.New("cvode: a sample is outside of the run")
	}
	return nil
}

// run owns what CVODE allocated.
type run struct {
	context  C.SUNContext
	memory   unsafe.Pointer
	y, atol  C.N_Vector
	matrix   C.SUNMatrix
	solver   C.SUNLinearSolver
	handle   cgo.Handle
	user     *C.uintptr_t // holds the handle, in C's memory
	size     int
	finished Stats // counters of the stretches before the last restart
}

func begin(rhs func(t float64, y, dy []float64), t0 float64, y0 []float64, rtol float64, atol []float64) (*run, error) {
	n := len(y0)
	r := &run{size: n}
	r.handle = cgo.NewHandle(rhs)
	r.user = (*C.uintptr_t)(C.malloc(C.sizeof_uintptr_t)) // C.malloc never returns nil
	*r.user = C.uintptr_t(r.handle)
	if C.SUNContext_Create(nil, &r.context) != 0 {
		r.free()
		return nil, errors.New("cvode: no context")
	}
	r.y = C.N_VNew_Serial(C.sunindextype(n), r.context)
	r.atol = C.N_VNew_Serial(C.sunindextype(n), r.context)
	r.matrix = C.SUNDenseMatrix(C.sunindextype(n), C.sunindextype(n), r.context)
	r.memory = C.CVodeCreate(C.CV_BDF, r.context)
	if r.y == nil || r.atol == nil || r.matrix == nil || r.memory == nil {
		r.free()
		return nil, errors.New("cvode: out of memory")
	}
	if r.solver = C.SUNLinSol_Dense(r.y, r.matrix, r.context); r.solver == nil {
		r.free()
		return nil, errors.New("cvode: out of memory")
	}
	copy(values(r.y), y0)
	copy(values(r.atol), atol)
	err := firstError(
		// Errors are returned; nothing is printed.
		func() C.int { return C.CVodeSetErrFile(r.memory, nil) },
		func() C.int {
			return C.CVodeInit(r.memory, C.CVRhsFn(C.cvodeRates), C.realtype(t0), r.y)
		},
		func() C.int { return C.CVodeSVtolerances(r.memory, C.realtype(rtol), r.atol) },
		func() C.int { return C.CVodeSetUserData(r.memory, unsafe.Pointer(r.user)) },
		func() C.int { return C.CVodeSetLinearSolver(r.memory, r.solver, r.matrix) },
		func() C.int { return C.CVodeSetMaxNumSteps(r.memory, maxSteps) },
	)
	if err != nil {
		r.free()
		return nil, err
	}
	return r, nil
}

func firstError(calls ...func() C.int) error {
	for _, call := range calls {
		if err := failure(call(), math.NaN()); err != nil {
			return err
		}
	}
	return nil
}

// failure makes an error of a negative flag.
func failure(flag C.int, t float64) error {
	if flag >= 0 {
		return nil
	}
	name := C.CVodeGetReturnFlagName(C.long(flag))
	defer C.free(unsafe.Pointer(name))
	if math.IsNaN(t) {
		return fmt.Errorf("cvode: %s while setting up", C.GoString(name))
	}
	return fmt.Errorf("cvode: %s at t = %.9g", C.GoString(name), t)
}

func (r *run) stopAt(end float64) error {
	return failure(C.CVodeSetStopTime(r.memory, C.realtype(end)), end)
}

// to carries the state on to a time not beyond the stop time.
func (r *run) to(t float64) error {
	reached := C.realtype(math.NaN())
	flag := C.CVode(r.memory, C.realtype(t), r.y, &reached, C.CV_NORMAL)
	return failure(flag, float64(reached))
}

// restart forgets the past of the method at the present state.
func (r *run) restart(t float64) error {
	r.finished = r.stats()
	return failure(C.CVodeReInit(r.memory, C.realtype(t), r.y), t)
}

func (r *run) state() []float64 { return values(r.y) }

func (r *run) stats() Stats {
	var steps, errorFails, newtonFails, rates, jacRates, jacobians, setups C.long
	C.CVodeGetNumSteps(r.memory, &steps)
	C.CVodeGetNumErrTestFails(r.memory, &errorFails)
	C.CVodeGetNumStepSolveFails(r.memory, &newtonFails)
	C.CVodeGetNumRhsEvals(r.memory, &rates)
	C.CVodeGetNumLinRhsEvals(r.memory, &jacRates)
	C.CVodeGetNumJacEvals(r.memory, &jacobians)
	C.CVodeGetNumLinSolvSetups(r.memory, &setups)
	f := r.finished
	return Stats{
		Steps:          f.Steps + int(steps),
		ErrorFailures:  f.ErrorFailures + int(errorFails),
		NewtonFailures: f.NewtonFailures + int(newtonFails),
		Rates:          f.Rates + int(rates) + int(jacRates),
		Jacobians:      f.Jacobians + int(jacobians),
		Factorizations: f.Factorizations + int(setups),
	}
}

// free gives back all that was allocated so far.
func (r *run) free() {
	if r.memory != nil {
		C.CVodeFree(&r.memory)
	}
	if r.solver != nil {
		C.SUNLinSolFree(r.solver)
	}
	if r.matrix != nil {
		C.SUNMatDestroy(r.matrix)
	}
	for _, v := range []C.N_Vector{r.y, r.atol} {
		if v != nil {
			C.N_VDestroy(v)
		}
	}
	if r.context != nil {
		C.SUNContext_Free(&r.context)
	}
	C.free(unsafe.Pointer(r.user))
	r.handle.Delete()
}

// values are the numbers of a serial vector, in C's memory. Reading the vector's
// content spares the call of N_VGetArrayPointer.
func values(v C.N_Vector) []float64 {
	content := (*C.struct__N_VectorContent_Serial)(v.content)
	return unsafe.Slice((*float64)(unsafe.Pointer(content.data)), int(content.length))
}
