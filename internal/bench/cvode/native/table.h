#ifndef TABLE_H
#define TABLE_H

/* A system whose rates and Jacobian are sums of products of states, as table.go lays
   it out: the same numbers in the same order as in Go. */

typedef struct { double k; int degree, factor[3], feeds; } product;
typedef struct { double factor; long place; } feed;
typedef struct { int products, places; product *product; feed *feed; } table;

void table_eval(const table *t, const double *y, double *out);

int product_bytes(void);
int feed_bytes(void);

#endif
