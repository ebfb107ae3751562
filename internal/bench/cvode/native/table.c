//go:build sundials

#include "table.h"

#include <string.h>

void table_eval(const table *t, const double *y, double *out) {
	memset(out, 0, t->places * sizeof *out);
	const feed *f = t->feed;
	for (int i = 0; i < t->products; i++) {
		const product *p = &t->product[i];
		double v = p->k;
		for (int j = 0; j < p->degree; j++) v *= y[p->factor[j]];
		for (const feed *end = f + p->feeds; f < end; f++) out[f->place] += f->factor * v;
	}
}

int product_bytes(void) { return sizeof(product); }
int feed_bytes(void) { return sizeof(feed); }
