//go:build sundials

package native

/*
#cgo CFLAGS: -O2
#cgo LDFLAGS: -lsundials_cvode -lsundials_nvecserial -lsundials_sunmatrixdense -lsundials_sunlinsoldense -lsundials_generic -lm
#include <stdlib.h>
#include <string.h>
#include "booster.h"
#include "stiff.h"
#include <sundials/sundials_version.h>

// A car on its way: CVODE's user data.
typedef struct { booster b; piece *pieces, *now; int count; } ride;

static void enter(int k, void *user) { ride *r = user; r->now = r->pieces + k; }

static int rates(double t, const double *y, double *dy, void *user) {
	ride *r = user;
	booster_rates(&r->b, r->now, t, y, dy);
	return 0;
}

static void set_problem(problem *p, ride *r, double *ends) {
	memset(p, 0, sizeof *p);
	p->size = r->b.size; p->rates = rates; p->enter = enter; p->user = r;
	p->stretches = r->count; p->ends = ends;
}

static void many_rates(ride *r, int n, double t, const double *y, double *dy) {
	for (int i = 0; i < n; i++) booster_rates(&r->b, r->now, t, y, dy);
}
*/
import "C"

import (
	"errors"
	"fmt"
	"unsafe"

	"kneepoint/sim"
)

// Car is a car's equations in C with the inputs of a run. Free gives its memory back.
type Car struct {
	ride *C.ride
	ends *C.double
}

// NewCar copies the numbers to C.
func NewCar(e sim.Equations, pieces []sim.Piece) (*Car, error) {
	if got, want := unsafe.Sizeof(e), uintptr(C.booster_bytes()); got != want {
		return nil, fmt.Errorf("native: the equations are %d bytes in Go and %d in C", got, want)
	}
	if got, want := unsafe.Sizeof(sim.Piece{}), uintptr(C.piece_bytes()); got != want || len(pieces) == 0 {
		return nil, fmt.Errorf("native: %d pieces of %d bytes in Go and %d in C", len(pieces), got, want)
	}
	c := &Car{ride: (*C.ride)(C.calloc(1, C.sizeof_ride))}
	c.ride.b = *(*C.booster)(unsafe.Pointer(&e))
	c.ride.count = C.int(len(pieces))
	c.ride.pieces = (*C.piece)(C.calloc(C.size_t(len(pieces)), C.sizeof_piece))
	c.ride.now = c.ride.pieces
	c.ends = (*C.double)(C.calloc(C.size_t(len(pieces)), C.sizeof_double))
	copy(unsafe.Slice((*sim.Piece)(unsafe.Pointer(c.ride.pieces)), len(pieces)), pieces)
	ends := unsafe.Slice((*float64)(c.ends), len(pieces))
	for i, p := range pieces {
		ends[i] = p.End
	}
	return c, nil
}

// Free gives the memory back.
func (c *Car) Free() {
	C.free(unsafe.Pointer(c.ride.pieces))
	C.free(unsafe.Pointer(c.ends))
	C.free(unsafe.Pointer(c.ride))
}

// Bytes are the equations and the pieces as C lays them out, for another program.
func (c *Car) Bytes() (equations, pieces []byte) {
	return C.GoBytes(unsafe.Pointer(&c.ride.b), C.sizeof_booster),
		C.GoBytes(unsafe.Pointer(c.ride.pieces), C.int(c.ride.count)*C.sizeof_piece)
}

// Rates evaluates the right-hand side in C with the inputs of a piece.
func (c *Car) Rates(piece int, t float64, y, dy []float64) { c.repeat(1, piece, t, y, dy) }

func (c *Car) repeat(n, piece int, t float64, y, dy []float64) {
	C.enter(C.int(piece), unsafe.Pointer(c.ride))
	C.many_rates(c.ride, C.int(n), C.double(t), number(y), number(dy))
}

// RatesTime is the processor time of n calls at one state, in s.
func (c *Car) RatesTime(n, piece int, t float64, y []float64) float64 {
	dy := make([]float64, len(y))
	start := CPU()
	c.repeat(n, piece, t, y, dy)
	return CPU() - start
}

// Seen writes the absolute front-chamber pressure, the front circuit's pressure and
// the hub's travel at a state.
func (c *Car) Seen(y []float64, seen *[3]float64) {
	C.booster_seen(&c.ride.b, number(y), (*C.double)(&seen[0]))
}

// Solver is CVODE set up for one problem.
type Solver struct {
	solver *C.solver
	size   int
}

// Solver sets CVODE up: BDF up to an order of at most 5, differences for the Jacobian.
func (c *Car) Solver(rtol float64, atol []float64, order int) (*Solver, error) {
	var p C.problem
	C.set_problem(&p, c.ride, c.ends)
	return newSolver(&p, rtol, atol, order)
}

func newSolver(p *C.problem, rtol float64, atol []float64, order int) (*Solver, error) {
	if len(atol) != int(p.size) {
		return nil, fmt.Errorf("native: %d absolute tolerances for %d states", len(atol), int(p.size))
	}
	s := C.stiff_new(p, C.double(rtol), number(atol), C.int(order))
	if s == nil {
		return nil, errors.New("native: CVODE could not be set up")
	}
	return &Solver{s, int(p.size)}, nil
}

// Free gives the memory back.
func (s *Solver) Free() { C.stiff_free(s.solver) }

// Work counts what a run took.
type Work struct{ Steps, Refused, Rates, Jacobians, Factorizations int }

// Run integrates from y0 at t = 0 to the end of the last stretch. It returns the state
// there and those at the times, which must increase.
func (s *Solver) Run(y0, times []float64) (end []float64, along [][]float64, w Work, err error) {
	end = make([]float64, s.size)
	flat := make([]float64, s.size*len(times))
	var got C.work
	flag := C.stiff_run(s.solver, 0, number(y0), number(end), C.int(len(times)), number(times), number(flat), &got)
	if flag < 0 {
		return nil, nil, w, fmt.Errorf("native: CVODE stopped with flag %d", int(flag))
	}
	for i := range times {
		along = append(along, flat[i*s.size:(i+1)*s.size])
	}
	w = Work{int(got.steps), int(got.refused), int(got.rates), int(got.jacobians), int(got.factorizations)}
	return end, along, w, nil
}

// Version names SUNDIALS.
func Version() string {
	var text [25]C.char
	if C.SUNDIALSGetVersion(&text[0], C.int(len(text))) != 0 {
		return "SUNDIALS"
	}
	return "SUNDIALS " + C.GoString(&text[0])
}

// CPU is the processor time the process has used, over all its threads, in s.
func CPU() float64 { return float64(C.cpu_seconds()) }

func number(v []float64) *C.double { return (*C.double)(unsafe.Pointer(unsafe.SliceData(v))) }
