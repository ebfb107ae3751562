//go:build sundials

#include "booster.h"

#include <math.h>

/* max(0, z) with its corner rounded over +-w. */
static inline double ramp(double z, double w) {
	if (z <= -w) return 0;
	if (z >= w) return z;
	return (z + w) * (z + w) / (4 * w);
}

static inline double step(double u) {
	if (u <= 0) return 0;
	if (u >= 1) return 1;
	return u * u * (3 - 2 * u);
}

static inline double sign(double v, double w) { return v / sqrt(v * v + w * w); }

static inline double at(const line *l, double t) { return l->v0 + l->slope * (t - l->t0); }

static inline double contact(const booster *b, double z, double v) {
	if (z <= -b->contact_rounding) return 0;
	return b->contact_stiffness * ramp(z, b->contact_rounding) +
	       b->contact_damping * step(z / b->contact_fade) * v;
}

/* Mass flow of ISO 6358 with a laminar end, from 1 to 2. */
static inline double mass_flow(const booster *b, double c, double p1, double t1, double p2) {
	double k = c * p1 * b->reference_density * sqrt(b->reference_temperature / t1);
	double r = p2 / p1;
	if (r <= b->critical_ratio) return k;
	double u = (r - b->critical_ratio) / (1 - b->critical_ratio);
	double z = 1 - u * u;
	return k * (b->laminar_scale * z / sqrt(sqrt(z * z + b->laminar * b->laminar)));
}

static inline double opened(const booster *b, const seat *s, double lead) {
	double u = (lead - s->shut) / s->stroke;
	double c = (ramp(u, b->seat_rounding) - ramp(u - 1, b->seat_rounding)) * s->full;
	if (s->before == 0 || c == 0) return c;
	double q = c / s->before;
	return c * sqrt(1 / (1 + q * q));
}

static double solid(const booster *b, const circuit *c, double volume, double *slope) {
	if (c->round == 0) {
		*slope = c->stiff;
		return c->stiff * volume;
	}
	double z = volume - c->take_up, k = c->stiff - b->take_up_slope, w = c->round;
	*slope = b->take_up_slope + k * (z <= -w ? 0 : z >= w ? 1 : (z + w) / (2 * w));
	return b->take_up_slope * volume + k * ramp(z, w);
}

static double circuit_pressure(const booster *b, const circuit *c, double volume) {
	double slope;
	if (c->lost) return 0;
	if (c->air == 0) return solid(b, c, volume, &slope);
	/* The air takes its share of the volume; Newton between bounds. */
	solid(b, c, 0, &slope);
	double low = fmax(fmin(0, volume), -b->ambient / slope), high = fmax(0, volume), v = high;
	for (int i = 0; i < 60; i++) {
		double p = solid(b, c, v, &slope), absolute = p + b->ambient;
		double by_solid = 1 + c->air * b->ambient / (absolute * absolute) * slope;
		double miss = v + c->air * p / absolute - volume;
		if (miss > 0) high = v; else low = v;
		double next = v - miss / by_solid;
		if (!(next >= low && next <= high)) next = (low + high) / 2;
		if (fabs(next - v) <= 1e-13 * c->air) break;
		v = next;
	}
	return solid(b, c, v, &slope);
}

static inline double compressed(const booster *b, double p) {
	return b->cavitation + ramp(p - b->cavitation, b->cavitation_round);
}

static inline double bump(const booster *b, double z) {
	return b->contact_stiffness * ramp(z, b->bump_rounding);
}

static inline double space(const gas *g, double hub) {
	return g->moves ? g->volume + g->by_travel * hub : g->volume;
}

void booster_rates(const booster *b, const piece *in, double t, const double *y, double *dy) {
	double x = y[b->hub], v = y[b->hub_v], rod = y[b->rod], rod_v = y[b->rod_v];
	double lead = rod - x, rate = rod_v - v;

	/* Air: what each place has, and what flows. */
	double p[most_nodes], T[most_nodes], dm[most_nodes] = {0}, de[most_nodes] = {0};
	double throttle = 0;
	p[outside] = b->ambient;
	T[outside] = b->warm;
	if (b->manifold >= 0) {
		p[source] = y[b->manifold] * b->manifold_by_mass;
		T[source] = b->manifold_temperature;
		double n = at(&in->speed, t);
		throttle = at(&in->throttle, t);
		double charge = n * (b->charge_slope * p[source] - b->clearance) - b->overlap * b->idle_speed;
		dm[source] = -(b->flow_factor * ramp(charge, b->idle_speed * b->charge_rounding));
	} else {
		p[source] = at(&in->source, t);
		T[source] = b->warm;
	}
	for (int i = first_gas; i < b->nodes; i++) {
		const gas *g = &b->gases[i];
		double energy = y[g->energy];
		p[i] = (b->gamma - 1) * energy / space(g, x);
		T[i] = energy / (y[g->mass] * b->heat_at_volume);
		de[i] = g->walls * (b->warm - T[i]);
	}
	for (int i = 0; i < b->passages; i++) {
		const passage *w = &b->passage[i];
		int from = w->from, to = w->to;
		double c = w->area;
		switch (w->kind) {
		case air_seat: c = opened(b, &b->air, lead); break;
		case vacuum_seat: c = opened(b, &b->vacuum, lead); break;
		case check_valve: c *= step((p[from] - p[to] - b->check_cracks) / b->check_opens); break;
		case throttled: c = throttle; break;
		}
		if (c == 0) continue;
		if (p[from] < p[to]) { /* backwards */
			from = w->to;
			to = w->from;
		}
		double m = mass_flow(b, c, p[from], T[from], p[to]);
		double h = m * b->heat_at_pressure * T[from];
		dm[from] -= m;
		dm[to] += m;
		de[from] -= h;
		de[to] += h;
	}
	double pf = p[first_gas], pw = p[first_gas + 1];
	de[first_gas] += pf * b->area * v;
	de[first_gas + 1] -= pw * (b->area - b->tail) * v;
	for (int i = first_gas; i < b->nodes; i++) {
		dy[b->gases[i].mass] = dm[i];
		dy[b->gases[i].energy] = de[i];
	}
	if (b->manifold >= 0) dy[b->manifold] = dm[source];

	/* Hydraulics. */
	double v1 = y[b->front.volume], v2 = y[b->rear.volume];
	double piston = x - b->free_play;
	if (b->free_play != 0) piston = ramp(piston, b->piston_rounding);
	double half1, half2, push;
	if (b->floater < 0) {
		half1 = half2 = compressed(b, (b->bore_area * piston - v1 - v2) / b->master_compliance);
		push = half1 * b->bore_area + bump(b, piston - b->master_stroke) + b->master_spring + b->master_rate * piston;
	} else {
		double f = y[b->floater], half = b->master_compliance / 2;
		half1 = compressed(b, (b->bore_area * (piston - f) - v1) / half);
		half2 = compressed(b, (b->bore_area * f - v2) / half);
		double hit = bump(b, piston - f - b->master_stroke / 2);
		push = half1 * b->bore_area + hit + b->master_spring + b->master_rate * piston;
		dy[b->floater] = ((half1 - half2) * b->bore_area + hit - bump(b, f - b->master_stroke / 2) -
		                  b->floater_spring * (2 * f - piston)) / b->floater_drag;
	}
	dy[b->front.volume] = (half1 - circuit_pressure(b, &b->front, v1)) / b->line_resistance;
	dy[b->rear.volume] = (half2 - circuit_pressure(b, &b->rear, v2)) / b->line_resistance;

	/* Forces between hub, plunger and master cylinder. */
	double drag = sign(v, b->friction_speed);
	double load = push + (b->ambient - pf) * b->bore_area + b->master_friction * drag;
	double output = step((x - b->free_play) / b->engage_travel) * load;
	double disc = ramp((output - b->jump_in) / b->ratio + b->disc_rate * (lead - b->lead_at_lap), b->disc_rounding);
	double bond = b->cut_in + b->preload_rate * (lead - b->lead_at_rest) + b->lead_damping * rate +
	              contact(b, lead - b->lead_at_bottom, rate) - contact(b, b->lead_at_rest - lead, -rate);
	double diaphragm = (pw - pf) * b->area + (b->ambient - pw) * b->tail;
	double held = contact(b, -x, -v) - contact(b, x - b->hub_stroke, v) - b->hub_spring - b->hub_rate * x -
	              b->hub_friction * drag - b->hub_damping * v;
	dy[b->hub] = v;
	dy[b->hub_v] = (diaphragm + held - output + disc + bond) / b->hub_mass;

	double force = at(&in->pedal, t) + y[b->sought];
	dy[b->sought] = 0;
	dy[b->rod] = rod_v;
	dy[b->rod_v] = (force * b->input_ratio - b->rod_damping * rod_v - disc - bond) / b->rod_mass;
}

void booster_seen(const booster *b, const double *y, double seen[3]) {
	const gas *g = &b->gases[first_gas];
	seen[0] = (b->gamma - 1) * y[g->energy] / space(g, y[b->hub]);
	seen[1] = circuit_pressure(b, &b->front, y[b->front.volume]);
	seen[2] = y[b->hub];
}

int booster_bytes(void) { return sizeof(booster); }
int piece_bytes(void) { return sizeof(piece); }
