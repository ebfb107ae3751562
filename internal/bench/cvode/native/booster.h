#ifndef BOOSTER_H
#define BOOSTER_H

/* The booster model's right-hand side in C. Every number comes from the model that
   the program assembles; booster.go fills the struct, member by member. SI units. */

enum { most_nodes = 8, most_passages = 16 };

/* A straight line in time between two breaks. */
typedef struct { double t0, v0, slope; } line;

typedef struct { line pedal, source, speed, throttle; double end; } piece;

/* A node is a place that air comes from or goes to: 0 is the outside, 1 the source. */
enum { outside, source, first_gas };

typedef struct {
	int mass, energy, moves; /* places in y; moves: the hub changes the volume */
	double volume, by_travel, walls;
} gas;

enum kind { fixed, air_seat, vacuum_seat, check_valve, throttled };

typedef struct {
	int from, to, kind;
	double area; /* sonic conductance, fully open */
} passage;

typedef struct { double shut, stroke, full, before; } seat;

typedef struct { double take_up, stiff, round, air; int volume, lost; } circuit;

typedef struct {
	int size, sought, rod, rod_v, hub, hub_v, floater, manifold; /* places in y, -1 for none */

	double ambient, warm;
	double gas_constant, gamma, heat_at_volume, heat_at_pressure;
	double reference_density, reference_temperature, critical_ratio, laminar, laminar_scale;

	int nodes, passages;
	gas gases[most_nodes];
	passage passage[most_passages];
	seat air, vacuum;
	double seat_rounding, check_cracks, check_opens;

	double manifold_by_mass, manifold_temperature;
	double flow_factor, charge_slope, clearance, overlap, idle_speed, charge_rounding;

	circuit front, rear;
	double take_up_slope, line_resistance;

	double bore_area, master_stroke, master_spring, master_rate, free_play;
	double master_compliance, cavitation, cavitation_round, piston_rounding, engage_travel;
	double floater_drag, floater_spring, bump_rounding, master_friction;

	double contact_stiffness, contact_damping, contact_fade, contact_rounding;

	double area, tail, hub_mass, hub_damping, hub_spring, hub_rate, hub_friction, hub_stroke;
	double friction_speed;

	double rod_mass, rod_damping, input_ratio;
	double disc_rate, disc_rounding, preload_rate, lead_damping;
	double ratio, jump_in, cut_in, lead_at_rest, lead_at_lap, lead_at_bottom;
} booster;

/* booster_rates writes dy/dt at (t, y) for the inputs of one piece. */
void booster_rates(const booster *b, const piece *in, double t, const double *y, double *dy);

/* booster_seen writes the absolute front-chamber pressure, the front circuit's
   pressure and the hub's travel. */
void booster_seen(const booster *b, const double *y, double seen[3]);

/* sizes, for a caller that keeps the structs as bytes. */
int booster_bytes(void);
int piece_bytes(void);

#endif
