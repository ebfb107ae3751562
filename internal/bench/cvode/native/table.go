//go:build sundials

package native

/*
#include <stdlib.h>
#include <string.h>
#include "stiff.h"
#include "table.h"

typedef struct { table rates, jacobian; } tables;

static int table_rates(double t, const double *y, double *dy, void *user) {
	table_eval(&((tables *)user)->rates, y, dy);
	return 0;
}

static int table_jacobian(double t, const double *y, double *columns, void *user) {
	table_eval(&((tables *)user)->jacobian, y, columns);
	return 0;
}

static void table_problem(problem *p, tables *t, double *end) {
	memset(p, 0, sizeof *p);
	p->size = t->rates.places; p->rates = table_rates; p->jacobian = table_jacobian;
	p->user = t; p->stretches = 1; p->ends = end;
}

static void many_evals(const table *t, int n, const double *y, double *out) {
	for (int i = 0; i < n; i++) table_eval(t, y, out);
}
*/
import "C"

import (
	"fmt"
	"unsafe"

	"kneepoint/internal/bench/classic"
)

// Tables are a system's rates and its Jacobian, dense by columns, in C's memory.
type Tables struct {
	tables *C.tables
	end    *C.double
}

// NewTables copies a system, to be run from t = 0 to end, to C, where its products and
// feeds lie as in Go.
func NewTables(rates, jacobian *classic.Table, end float64) (*Tables, error) {
	if unsafe.Sizeof(classic.Product{}) != uintptr(C.product_bytes()) || unsafe.Sizeof(classic.Feed{}) != uintptr(C.feed_bytes()) {
		return nil, fmt.Errorf("native: a product is %d bytes in Go and %d in C", unsafe.Sizeof(classic.Product{}), int(C.product_bytes()))
	}
	t := &Tables{(*C.tables)(C.calloc(1, C.sizeof_tables)), (*C.double)(C.calloc(1, C.sizeof_double))}
	*t.end = C.double(end)
	set(&t.tables.rates, rates)
	set(&t.tables.jacobian, jacobian)
	return t, nil
}

func set(to *C.table, from *classic.Table) {
	to.products, to.places = C.int(len(from.Products)), C.int(from.Places)
	to.product = (*C.product)(C.calloc(C.size_t(len(from.Products)+1), C.sizeof_product))
	to.feed = (*C.feed)(C.calloc(C.size_t(len(from.Feeds)+1), C.sizeof_feed))
	copy(unsafe.Slice((*classic.Product)(unsafe.Pointer(to.product)), len(from.Products)), from.Products)
	copy(unsafe.Slice((*classic.Feed)(unsafe.Pointer(to.feed)), len(from.Feeds)), from.Feeds)
}

// Rates evaluates the right-hand side in C.
func (t *Tables) Rates(y, dy []float64) { C.table_eval(&t.tables.rates, number(y), number(dy)) }

// RatesTime is the processor time of n calls at one state, in s.
func (t *Tables) RatesTime(n int, y []float64) float64 {
	dy := make([]float64, len(y))
	start := CPU()
	C.many_evals(&t.tables.rates, C.int(n), number(y), number(dy))
	return CPU() - start
}

// Jacobian evaluates it in C, by columns.
func (t *Tables) Jacobian(y, columns []float64) {
	C.table_eval(&t.tables.jacobian, number(y), number(columns))
}

// Solver sets CVODE up with the Jacobian.
func (t *Tables) Solver(rtol float64, atol []float64) (*Solver, error) {
	var p C.problem
	C.table_problem(&p, t.tables, t.end)
	return newSolver(&p, rtol, atol, 5)
}

// Free gives the memory back.
func (t *Tables) Free() {
	for _, b := range []*C.table{&t.tables.rates, &t.tables.jacobian} {
		C.free(unsafe.Pointer(b.product))
		C.free(unsafe.Pointer(b.feed))
	}
	C.free(unsafe.Pointer(t.tables))
	C.free(unsafe.Pointer(t.end))
}
