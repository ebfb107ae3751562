#ifndef STIFF_H
#define STIFF_H

/* CVODE driven from C, so that no call crosses into Go: BDF, Newton's iteration, a
   dense matrix, by differences or with a Jacobian given. */

/* A problem is y' = rates(t, y) in stretches; enter, if not null, is called with the
   number of a stretch before it begins. */
typedef struct {
	int size;
	int (*rates)(double t, const double *y, double *dy, void *user);
	/* jacobian writes df/dy by columns; null for differences. */
	int (*jacobian)(double t, const double *y, double *columns, void *user);
	void (*enter)(int stretch, void *user);
	void *user;
	int stretches;
	const double *ends;
} problem;

typedef struct { long steps, refused, rates, jacobians, factorizations; } work;

typedef struct solver solver;

/* stiff_new returns null if something cannot be set up. */
solver *stiff_new(const problem *p, double rtol, const double *atol, int max_order);
void stiff_free(solver *s);

/* stiff_run integrates from (t0, y0). It writes the state at the end to end, and the
   states at the increasing times to out, one after the other; there may be none. It
   returns CVODE's flag, negative for failure. */
int stiff_run(solver *s, double t0, const double *y0, double *end, int count, const double *times, double *out, work *w);

/* cpu_seconds is the processor time that the process has used, over all its threads. */
double cpu_seconds(void);

#endif
