//go:build sundials

#include "stiff.h"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <stdlib.h>
#include <string.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <time.h>

struct solver {
	problem p;
	SUNContext context;
	void *memory;
	N_Vector y, atol, sample;
	SUNMatrix matrix;
	SUNLinearSolver linear;
};

static int rates(realtype t, N_Vector y, N_Vector dy, void *user) {
	problem *p = user;
	return p->rates(t, NV_DATA_S(y), NV_DATA_S(dy), p->user);
}

static int jacobian(realtype t, N_Vector y, N_Vector fy, SUNMatrix j, void *user, N_Vector a, N_Vector b, N_Vector c) {
	problem *p = user;
	(void)fy, (void)a, (void)b, (void)c;
	return p->jacobian(t, NV_DATA_S(y), SM_DATA_D(j), p->user);
}

solver *stiff_new(const problem *p, double rtol, const double *atol, int max_order) {
	solver *s = calloc(1, sizeof *s);
	if (!s) return NULL;
	s->p = *p;
	int n = p->size;
	if (SUNContext_Create(NULL, &s->context) != 0) goto fail;
	s->y = N_VNew_Serial(n, s->context);
	s->atol = N_VNew_Serial(n, s->context);
	s->sample = N_VNew_Serial(n, s->context);
	s->matrix = SUNDenseMatrix(n, n, s->context);
	s->memory = CVodeCreate(CV_BDF, s->context);
	if (!s->y || !s->atol || !s->sample || !s->matrix || !s->memory) goto fail;
	s->linear = SUNLinSol_Dense(s->y, s->matrix, s->context);
	if (!s->linear) goto fail;
	memcpy(NV_DATA_S(s->atol), atol, n * sizeof *atol);
	N_VConst(0, s->y);
	CVodeSetErrFile(s->memory, NULL);
	if (CVodeInit(s->memory, rates, 0, s->y) < 0 || CVodeSVtolerances(s->memory, rtol, s->atol) < 0 ||
	    CVodeSetUserData(s->memory, &s->p) < 0 || CVodeSetLinearSolver(s->memory, s->linear, s->matrix) < 0 ||
	    CVodeSetMaxNumSteps(s->memory, 100000000) < 0 || CVodeSetMaxOrd(s->memory, max_order) < 0)
		goto fail;
	if (p->jacobian && CVodeSetJacFn(s->memory, jacobian) < 0) goto fail;
	return s;
fail:
	stiff_free(s);
	return NULL;
}

void stiff_free(solver *s) {
	if (!s) return;
	if (s->memory) CVodeFree(&s->memory);
	if (s->linear) SUNLinSolFree(s->linear);
	if (s->matrix) SUNMatDestroy(s->matrix);
	if (s->y) N_VDestroy(s->y);
	if (s->atol) N_VDestroy(s->atol);
	if (s->sample) N_VDestroy(s->sample);
	if (s->context) SUNContext_Free(&s->context);
	free(s);
}

/* CVodeReInit sets the counters back. */
static void count(solver *s, work *w) {
	long steps = 0, errors = 0, newton = 0, rates = 0, differences = 0, jacobians = 0, setups = 0;
	CVodeGetNumSteps(s->memory, &steps);
	CVodeGetNumErrTestFails(s->memory, &errors);
	CVodeGetNumStepSolveFails(s->memory, &newton);
	CVodeGetNumRhsEvals(s->memory, &rates);
	CVodeGetNumLinRhsEvals(s->memory, &differences);
	CVodeGetNumJacEvals(s->memory, &jacobians);
	CVodeGetNumLinSolvSetups(s->memory, &setups);
	w->steps += steps;
	w->refused += errors + newton;
	w->rates += rates + differences;
	w->jacobians += jacobians;
	w->factorizations += setups;
}

int stiff_run(solver *s, double t0, const double *y0, double *end, int count_, const double *times, double *out, work *w) {
	size_t bytes = s->p.size * sizeof(double);
	double *y = NV_DATA_S(s->y), t = t0;
	memset(w, 0, sizeof *w);
	memcpy(y, y0, bytes);
	int next = 0, flag;
	for (int k = 0; k < s->p.stretches; k++) {
		double stop = s->p.ends[k];
		if (s->p.enter) s->p.enter(k, s->p.user);
		if ((flag = CVodeReInit(s->memory, t, s->y)) < 0 || (flag = CVodeSetStopTime(s->memory, stop)) < 0) return flag;
		while (next < count_ && times[next] <= t) memcpy(out + (size_t)next++ * s->p.size, y, bytes);
		if (next < count_ && times[next] <= stop) {
			/* Step by step towards the same stop, so that the steps are those of a run
			   without samples: the first one of a stretch depends on where it is asked to. */
			do {
				if ((flag = CVode(s->memory, stop, s->y, &t, CV_ONE_STEP)) < 0) return flag;
				for (; next < count_ && times[next] <= t; next++) {
					if ((flag = CVodeGetDky(s->memory, times[next], 0, s->sample)) < 0) return flag;
					memcpy(out + (size_t)next * s->p.size, NV_DATA_S(s->sample), bytes);
				}
			} while (t < stop);
		} else if ((flag = CVode(s->memory, stop, s->y, &t, CV_NORMAL)) < 0) return flag;
		t = stop;
		count(s, w);
	}
	for (; next < count_; next++) memcpy(out + (size_t)next * s->p.size, y, bytes);
	memcpy(end, y, bytes);
	return 0;
}

double cpu_seconds(void) {
	struct timespec now;
	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
	return now.tv_sec + 1e-9 * now.tv_nsec;
}
