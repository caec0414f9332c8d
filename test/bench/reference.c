/*
 * Rated powers in C with the arithmetic of lib/ladder: one operating state (all power shelves in service), equal
 * sharing. A yardstick for the library's speed and a second implementation to hold its results against.
 *
 *   reference INPUT OUTPUT
 *
 * INPUT is what packInput.mjs writes: doubles in native order. OUTPUT holds five doubles per scenario: rated power, W
 * (not a number where the joint search does not close), sweeps, limit, node, pole. Then each line on standard input,
 * `PASSES STAGE EXTRA`, is answered by one line with the seconds of each pass over all scenarios, in which one stage
 * runs EXTRA times more than it must: the difference is what the stage takes.
 *
 * SI, kelvin. A `pair` holds both poles' values of one slot or of the segment above it.
 */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

typedef double pair __attribute__((vector_size(16)));

enum { MOUNTING, START, CURRENTS, FILMS, NEWTON, CONTACTS, HOT_SPOTS, STAGES };
enum { BAR_RISE, BAR_TEMPERATURE, CONTACT_TEMPERATURE, SOURCE_CURRENT, SOURCE_POWER, LOAD_CURRENT, LOAD_VOLTAGE };
enum { BOTH_POLES = 2, JOINT_SWEEPS = 20, NEWTON_STEPS = 40, MOST_PATCHES = 16, CELL = 16 };

/* The constants of ratedPower.ts, coarseStart.ts, ladder.ts and radiation.ts. */
static const double SMALL_POWER = 1e-4, SMALL_TEMPERATURE = 0.02;
static const double LEFT_POWER = 1e-7, LEFT_TEMPERATURE = 1e-5;
static const double LEAST_RATIO = 0.02, MEMORY = 3e-5;
static const double FIRST_CLOSURE = 1e-5, FINE_CLOSURE = 1e-10;
static const double LARGEST_STEP = 200, HIGHEST_TEMPERATURE = 1273.15;
static const double NO_LIMIT_RISE = 50, HIGHEST_START = 300;
static const double PI = 3.14159265358979323846;
static const double SIGMA = 5.670374e-8;

/* One stage repeated: the barrier keeps the compiler from seeing that nothing changes. */
static int extra[STAGES];
static inline void barrier(void) { __asm__ volatile("" ::: "memory"); }
#define REPEATED(stage) for (int turn = 0; turn <= extra[stage]; turn++, barrier())

struct table {
  double root_from, roots_per_unit, air_from, per_air;
  int root_cells, air_cells;
  const double *cells;
};

struct run {
  const struct table *table;
  double envelope;
  int pole, slot, count;
};

struct unit {
  double kind, bottom_slot, height_slots, contact_slot, power, r0, r1, thermal_resistance, heat_share, edge_height;
  double heat_conductance, heat_rise, sharing_weight, max_current, max_power;
};

struct scenario {
  double contact_factor, film_factor, emissivity, area_factor, inlet;
  int units;
  const struct unit *unit;
};

struct contacts {
  int count;
  int *node;
  pair *resistance;
  double *thermal_resistance, *heat_share, *edge_height, *current;
};

struct spreading {
  const double *mutual, *felt_at_most, *depth;
  int *from, *to;
  double *mean, *middle;
  int patches;
  struct { double height, depth, mean, middle; } patch[MOST_PATCHES];
};

struct rack {
  int slots, runs;
  double pitch, set_voltage, radiant, inlet, exhaust_rise;
  double bar_rise, bar_temperature, contact_temperature, load_contact_current, lowest_load_voltage;
  const double *profile;
  const pair *conductor_offset, *conductor_slope, *joint, *conductance, *emissivity;
  const pair *sheet_offset, *sheet_slope, *sheet_thermal;
  int alike;
  struct run *run;
  /* [slot x pole] */
  const struct table **table_at;
};

/* Everything a rating works on; allocated once. */
struct ladder {
  const struct rack *rack;
  struct contacts loads, sources;
  double *share, *sharing_weight, *max_current, *max_power, *weight;
  unsigned char *active;
  int active_count;
  int *load_at, *source_at;
  double *air_base, *air_slope, *air, *unit_conductance, *unit_rise;
  double film_factor;
  /* currents */
  double x0, x1, solved_power, total_current;
  double *segment_current, *voltage, *loop_resistance, *contact_voltage, *by_u, *by_i, *load_slope;
  /* temperatures */
  pair *temperature, *contact_heat, *contact_heat_slope, *segment_offset, *segment_slope, *conductance, *emissivity;
  pair *envelope, *heat, *heat_slope, *air_pull, *change, *rate, *multiplier, *frozen_pivot, *frozen_multiplier;
  /* contacts at the front edge */
  struct spreading pole[2];
  int any_edge;
  double edge_heat_rate, bound_at_most, own_at_most, felt_thermal, air_slope_at_most, load_spot, source_spot;
  double hottest_next, fastest_rate, lowest_voltage, voltage_shift;
  pair largest_heat;
  double *edge_current, *edge_height, *own_spreading, *edge_voltage, *edge_heat0, *edge_heat1;
  pair *spread_heat, *spread_heat_slope, *load_heat, *own_part;
  pair *sheet_offset, *sheet_slope, *sheet_thermal;
  /* start */
  double reference, estimate;
  double *unit_current, *start_voltage;
  pair *start_rise;
  /* result */
  int sweeps, limit, node, pole_index;
};

static void *zeroed(size_t bytes) {
  void *p = NULL;
  if (posix_memalign(&p, 64, bytes > 0 ? bytes : 64) != 0) {
    fprintf(stderr, "out of memory\n");
    exit(2);
  }
  memset(p, 0, bytes);
  return p;
}

static double max2(double a, double b) { return a > b ? a : b; }
static pair larger(pair a, pair b) { return (pair){max2(a[0], b[0]), max2(a[1], b[1])}; }
static double min2(double a, double b) { return a < b ? a : b; }

/* ---- mounting ---- */

static void add_contact(struct contacts *c, const struct unit *u, double factor) {
  const int k = c->count++;
  c->node[k] = (int)u->contact_slot - 1;
  c->resistance[k] = (pair){u->r0 * factor, u->r1 * factor};
  c->thermal_resistance[k] = u->thermal_resistance;
  c->heat_share[k] = u->heat_share;
  c->edge_height[k] = u->edge_height;
}

/* K/A^2 of the warmer spot of a contact. */
static double spot_of(const struct contacts *c, int k) {
  return c->thermal_resistance[k] * max2(c->resistance[k][0], c->resistance[k][1]);
}

static void mount_patches(struct spreading *s, const double *height, int n) {
  for (int i = 0; i < n; i++) {
    s->mean[i] = 0;
    s->middle[i] = 0;
    if (height[i] == 0) continue;
    const double depth = s->depth[i];
    int k = 0;
    while (k < s->patches && !(s->patch[k].height == height[i] && s->patch[k].depth == depth)) k++;
    if (k == s->patches) {
      if (k == MOST_PATCHES) k = --s->patches;
      const double q = PI * min2(1, height[i] / depth), square = q * q;
      s->patch[k].height = height[i];
      s->patch[k].depth = depth;
      s->patch[k].mean = (-0.5 * log(square) + 1.5 - square / 144 + square * square / 43200
        - square * square * square / 5080320) / PI;
      s->patch[k].middle = (-0.5 * log(square / 4) + 1 - square / 288 + square * square / 230400
        - square * square * square / 81285120) / PI;
      s->patches++;
    }
    s->mean[i] = s->patch[k].mean;
    s->middle[i] = s->patch[k].middle;
  }
}

static int mount(struct ladder *L, const struct scenario *s) {
  const struct rack *R = L->rack;
  const int n = R->slots;
  L->loads.count = 0;
  L->sources.count = 0;
  memset(L->load_at, -1, n * sizeof(int));
  memset(L->source_at, -1, n * sizeof(int));
  memset(L->air_slope, 0, n * sizeof(double));
  memset(L->unit_conductance, 0, n * sizeof(double));
  memset(L->unit_rise, 0, n * sizeof(double));
  memset(L->edge_height, 0, n * sizeof(double));
  const double inlet = isnan(s->inlet) ? R->inlet : s->inlet;
  for (int i = 0; i < n; i++) L->air_base[i] = inlet + R->profile[i];
  L->air_slope_at_most = L->load_spot = L->source_spot = L->felt_thermal = 0;
  L->bound_at_most = L->own_at_most = L->voltage_shift = 0;
  double total = 0;
  for (int j = 0; j < s->units; j++) if (s->unit[j].kind == 0) total += s->unit[j].power;
  L->any_edge = 0;
  L->active_count = 0;
  double weights = 0;
  for (int j = 0; j < s->units; j++) {
    const struct unit *u = &s->unit[j];
    const int node = (int)u->contact_slot - 1, bottom = (int)u->bottom_slot, top = bottom + (int)u->height_slots - 1;
    if (bottom < 1 || top > n || node < 0 || node >= n || L->load_at[node] >= 0 || L->source_at[node] >= 0) return 0;
    if (u->kind == 0) {
      const int l = L->loads.count;
      add_contact(&L->loads, u, s->contact_factor);
      L->load_at[node] = l;
      L->share[l] = u->power / total;
      const double per_slot = (R->exhaust_rise * L->share[l]) / u->height_slots;
      for (int k = bottom - 1; k < top; k++) L->air_slope[k] = per_slot;
      L->air_slope_at_most = max2(L->air_slope_at_most, fabs(per_slot));
      L->load_spot = max2(L->load_spot, spot_of(&L->loads, l));
    } else {
      const int k = L->sources.count;
      add_contact(&L->sources, u, s->contact_factor);
      L->source_at[node] = k;
      L->source_spot = max2(L->source_spot, spot_of(&L->sources, k));
      L->sharing_weight[k] = u->sharing_weight;
      L->max_current[k] = u->max_current;
      L->max_power[k] = u->max_power;
      L->active[k] = u->kind == 1;
      L->sources.current[k] = 0;
      if (L->active[k]) {
        weights += u->sharing_weight;
        L->active_count++;
      }
    }
    L->unit_conductance[node] = u->heat_conductance;
    L->unit_rise[node] = u->heat_rise;
    L->edge_height[node] = u->edge_height;
    if (u->edge_height > 0) L->any_edge = 1;
  }
  if (!(total > 0) || L->active_count == 0) return 0;
  for (int k = 0; k < L->sources.count; k++) L->weight[k] = L->active[k] ? L->sharing_weight[k] / weights : 0;
  L->film_factor = s->film_factor;
  const double area = s->area_factor, per_area = 1 / area;
  for (int i = 0; i < n - 1; i++) {
    L->segment_offset[i] = R->conductor_offset[i] / area + R->joint[i];
    L->segment_slope[i] = R->conductor_slope[i] / area;
    L->conductance[i] = R->conductance[i] * area;
  }
  const int own = isnan(s->emissivity);
  for (int i = 0; i < n; i++) {
    L->emissivity[i] = own ? R->emissivity[i] : (pair){s->emissivity, s->emissivity};
    L->sheet_offset[i] = per_area * R->sheet_offset[i];
    L->sheet_slope[i] = per_area * R->sheet_slope[i];
    L->sheet_thermal[i] = per_area * R->sheet_thermal[i];
    for (int p = 0; p < 2; p++) L->felt_thermal = max2(L->felt_thermal, L->sheet_thermal[i][p] * L->pole[p].felt_at_most[i]);
  }
  mount_patches(&L->pole[0], L->edge_height, n);
  mount_patches(&L->pole[1], L->edge_height, n);
  memset(L->edge_voltage, 0, n * sizeof(double));
  memset(L->own_spreading, 0, n * sizeof(double));
  memset(L->contact_voltage, 0, n * sizeof(double));
  memset(L->edge_current, 0, n * sizeof(double));
  memset(L->edge_heat0, 0, n * sizeof(double));
  memset(L->edge_heat1, 0, n * sizeof(double));
  memset(L->spread_heat, 0, n * sizeof(pair));
  memset(L->spread_heat_slope, 0, n * sizeof(pair));
  memset(L->load_heat, 0, n * sizeof(pair));
  memset(L->own_part, 0, n * sizeof(pair));
  L->edge_heat_rate = 0;
  L->solved_power = 0;
  return 1;
}

/* ---- contacts at the front edge ---- */

static double felt(const struct spreading *s, int j, int n, const double *restrict x) {
  const double *restrict row = s->mutual + (size_t)j * n;
  const int last = s->to[j];
  int k = s->from[j];
  double even = 0, odd = 0;
  for (; k < last; k += 2) {
    even += row[k] * x[k];
    odd += row[k + 1] * x[k + 1];
  }
  return k == last ? even + odd + row[k] * x[k] : even + odd;
}

static void add_edge(struct ladder *L, const struct contacts *c, double sign) {
  for (int k = 0; k < c->count; k++) {
    if (c->edge_height[k] == 0) continue;
    const double amperes = c->current[k], square = amperes * amperes * c->heat_share[k];
    L->edge_current[c->node[k]] = sign * amperes;
    L->load_heat[c->node[k]] = square * c->resistance[k];
  }
}

static void update_contacts(struct ladder *L) {
  const int n = L->rack->slots;
  double shift = 0;
  if (L->any_edge) {
    add_edge(L, &L->sources, 1);
    add_edge(L, &L->loads, -1);
    const int alike = L->rack->alike;
    for (int i = 0; i < n; i++) {
      if (L->edge_height[i] == 0) continue;
      const double into = L->edge_current[i];
      const double o0 = felt(&L->pole[0], i, n, L->edge_current);
      const double o1 = alike ? o0 : felt(&L->pole[1], i, n, L->edge_current);
      const pair others = {o0, o1}, own = {L->pole[0].mean[i], L->pole[1].mean[i]};
      const pair f = others + own * into, ohms = L->sheet_offset[i] + L->sheet_slope[i] * L->temperature[i];
      const pair volts = f * ohms, by_others = others * ohms;
      const double felt_volts = by_others[0] + by_others[1];
      shift = max2(shift, fabs(felt_volts - L->contact_voltage[i]));
      L->edge_voltage[i] = volts[0] + volts[1];
      L->contact_voltage[i] = felt_volts;
      L->spread_heat[i] = into * volts;
      L->spread_heat_slope[i] = into * f * L->sheet_slope[i];
      L->load_heat[i] += L->spread_heat[i];
    }
  }
  L->voltage_shift = shift;
  memcpy(L->contact_heat, L->spread_heat, n * sizeof(pair));
  memcpy(L->contact_heat_slope, L->spread_heat_slope, n * sizeof(pair));
  const struct contacts *both[2] = {&L->loads, &L->sources};
  for (int b = 0; b < 2; b++) {
    const struct contacts *c = both[b];
    for (int k = 0; k < c->count; k++) {
      L->contact_heat[c->node[k]] += (c->current[k] * c->current[k] * c->heat_share[k]) * c->resistance[k];
    }
  }
}

/* Heats at the front edge, with bounds of the hot spots that they make and of their rates. */
static void update_edge_heat(struct ladder *L, double heat_rate) {
  if (!L->any_edge) return;
  const int n = L->rack->slots;
  L->edge_heat_rate = heat_rate;
  pair largest = {0, 0};
  double highest = 0, fastest = 0;
  for (int k = 0; k < n; k++) {
    if (L->edge_height[k] == 0) continue;
    const double g = L->unit_conductance[k], end = L->air[k] + L->unit_rise[k];
    const pair slope = L->spread_heat_slope[k] - g;
    const pair path = g * (end - L->temperature[k]);
    const pair heat = L->load_heat[k] + path + slope * L->change[k];
    const pair middle = {L->pole[0].middle[k], L->pole[1].middle[k]};
    L->edge_heat0[k] = heat[0];
    L->edge_heat1[k] = heat[1];
    largest = (pair){max2(largest[0], heat[0]), max2(largest[1], heat[1])};
    const pair thermal = L->sheet_thermal[k];
    const pair own_heat = thermal * middle * heat;
    const pair own = thermal * (middle * (slope * L->rate[k] + g * L->air_slope[k] - heat_rate * path));
    L->own_part[k] = own;
    highest = max2(highest, max2(own_heat[0], own_heat[1]));
    fastest = max2(fastest, max2(fabs(own[0]), fabs(own[1])));
  }
  L->largest_heat = largest;
  L->bound_at_most = highest + L->felt_thermal * max2(largest[0], largest[1]);
  L->own_at_most = fastest;
}

static pair hot_spot_bound(const struct ladder *L, int i) {
  if (!L->any_edge) return (pair){0, 0};
  const pair own = {L->pole[0].middle[i] * max2(0, L->edge_heat0[i]), L->pole[1].middle[i] * max2(0, L->edge_heat1[i])};
  const pair felt = {L->pole[0].felt_at_most[i], L->pole[1].felt_at_most[i]};
  return L->sheet_thermal[i] * (own + felt * L->largest_heat);
}

static double hot_spot(const struct ladder *L, int i, int p) {
  if (!L->any_edge) return 0;
  const double *heat = p ? L->edge_heat1 : L->edge_heat0;
  const struct spreading *s = &L->pole[p];
  const double all = felt(s, i, L->rack->slots, heat) + s->middle[i] * heat[i];
  return all > 0 ? all * L->sheet_thermal[i][p] : 0;
}

/* ---- currents ---- */

/* Closures no finer than this are believed of a Newton step; what it leaves, as a multiple of the square of what it closes. */
static const double COARSEST_PROVEN = 1e-10, LEFT_BY_STEP = 10;

struct closing { double c, mean, c_u, c_i, mean_u, mean_i; int steep; };

static int march(struct ladder *L, double power, struct closing *out) {
  const int n = L->rack->slots;
  const double *restrict contact_voltage = L->contact_voltage, *restrict loop = L->loop_resistance;
  const double *restrict own = L->own_spreading;
  const double *restrict share = L->share, *restrict weight = L->weight;
  const int *restrict load_at = L->load_at, *restrict source_at = L->source_at;
  const pair *restrict load_r = L->loads.resistance, *restrict source_r = L->sources.resistance;
  double *restrict voltage = L->voltage, *restrict segment = L->segment_current;
  double *restrict load_current = L->loads.current, *restrict source_current = L->sources.current;
  double *restrict by_u = L->by_u, *restrict by_i = L->by_i, *restrict load_slope = L->load_slope;
  const double part = 1.0 / L->active_count, fed = L->x1;
  double u = L->x0, u_u = 1, u_i = 0, c = 0, c_u = 0, c_i = 0, total = 0, mean = 0, mean_u = 0, mean_i = 0, straight = 0,
    lowest = 2 * L->rack->set_voltage;
  for (int i = 0; i < n; i++) {
    voltage[i] = u;
    by_u[i] = u_u;
    by_i[i] = u_i;
    const int k = source_at[i];
    if (k >= 0 && L->active[k]) {
      const double w = weight[k], contact = source_r[k][0] + source_r[k][1] + own[i];
      source_current[k] = w * fed;
      c += w * fed;
      c_i += w;
      mean += part * (u + contact_voltage[i] + w * fed * contact);
      mean_u += part * u_u;
      mean_i += part * (u_i + w * contact);
    }
    const int l = load_at[i];
    if (l >= 0) {
      const double p = power * share[l], contact = load_r[l][0] + load_r[l][1] + own[i];
      const double at = u + contact_voltage[i], discriminant = at * at - 4 * p * contact;
      if (!(at > 0 && discriminant > 0)) return 0;
      const double root = sqrt(discriminant), current = (2 * p) / (at + root);
      load_current[l] = current;
      straight = min2(straight, root - 0.7 * at);
      lowest = min2(lowest, at + root);
      total += current;
      c -= current;
      const double slope = current / root;
      load_slope[l] = slope;
      c_u += slope * u_u;
      c_i += slope * u_i;
    }
    if (i < n - 1) {
      segment[i] = c;
      const double r = loop[i];
      u -= r * c;
      u_u -= r * c_u;
      u_i -= r * c_i;
    }
  }
  L->total_current = total;
  L->lowest_voltage = 0.5 * lowest;
  *out = (struct closing){c, mean - L->rack->set_voltage, c_u, c_i, mean_u, mean_i, straight < 0};
  return isfinite(u) && isfinite(c);
}

/* Voltages and currents of the last march moved by a Newton step, to first order. */
static void follow_step(struct ladder *L, double volts, double amperes) {
  const int n = L->rack->slots;
  const double *restrict by_u = L->by_u, *restrict by_i = L->by_i, *restrict slope = L->load_slope;
  const double *restrict weight = L->weight;
  const int *restrict load_at = L->load_at, *restrict source_at = L->source_at;
  double *restrict voltage = L->voltage, *restrict segment = L->segment_current;
  double *restrict load_current = L->loads.current, *restrict source_current = L->sources.current;
  const double fed = L->x1;
  double c = 0, total = 0;
  for (int i = 0; i < n; i++) {
    const double moved = by_u[i] * volts + by_i[i] * amperes;
    voltage[i] -= moved;
    const int k = source_at[i];
    if (k >= 0 && L->active[k]) {
      source_current[k] = weight[k] * fed;
      c += weight[k] * fed;
    }
    const int l = load_at[i];
    if (l >= 0) {
      const double current = load_current[l] + slope[l] * moved;
      load_current[l] = current;
      total += current;
      c -= current;
    }
    if (i < n - 1) segment[i] = c;
  }
  L->total_current = total;
}

static int solve_currents(struct ladder *L, double power, double closure) {
  const double set = L->rack->set_voltage;
  if (L->solved_power > 0) {
    L->x1 *= power / L->solved_power;
  } else {
    L->x0 = set;
    L->x1 = power / set;
  }
  const double tolerance = closure * set + 1e-15 * set;
  for (int step = 0; step < NEWTON_STEPS; step++) {
    struct closing r;
    if (!march(L, power, &r)) return 0;
    if (fabs(r.c) <= closure * L->total_current && fabs(r.mean) <= tolerance) {
      L->solved_power = power;
      return 1;
    }
    const double determinant = r.c_u * r.mean_i - r.c_i * r.mean_u;
    if (!(determinant < 0)) return 0;
    const double volts = (r.mean_i * r.c - r.c_i * r.mean) / determinant;
    const double amperes = (r.c_u * r.mean - r.mean_u * r.c) / determinant;
    L->x0 -= volts;
    L->x1 -= amperes;
    const double open = max2(fabs(r.c) / L->total_current, fabs(r.mean) / set);
    if (closure >= COARSEST_PROVEN && !r.steep && LEFT_BY_STEP * open * open <= closure) {
      follow_step(L, volts, amperes);
      L->solved_power = power;
      return 1;
    }
  }
  return 0;
}

static double current_order(const struct ladder *L, double power) {
  return min2(2, max2(1, (L->total_current * L->rack->set_voltage) / power));
}

static double source_voltage(const struct ladder *L, int k) {
  const pair r = L->sources.resistance[k];
  const int i = L->sources.node[k];
  return L->voltage[i] + L->edge_voltage[i] + L->sources.current[k] * (r[0] + r[1]);
}

static double load_voltage(const struct ladder *L, int l) {
  const pair r = L->loads.resistance[l];
  const int i = L->loads.node[l];
  return L->voltage[i] + L->edge_voltage[i] - L->loads.current[l] * (r[0] + r[1]);
}

/* ---- temperatures ---- */

/* 0 where a rise or an air temperature is outside the table: this program knows no film laws. */
static int convection(const struct ladder *L, const struct run *run, int slot, int count) {
  const struct table *t = run->table;
  const double *restrict cells = t->cells, *restrict air = L->air;
  const double *restrict temperature = (const double *)L->temperature;
  double *restrict heat = (double *)L->heat, *restrict slope = (double *)L->heat_slope;
  const double per_unit = t->roots_per_unit;
  for (int s = slot, e = 2 * slot + run->pole; s < slot + count; s++, e += 2) {
    const double air_place = (air[s] - t->air_from) * t->per_air;
    const double root = sqrt(temperature[e] - air[s]);
    const double place = (root - t->root_from) * per_unit;
    if (!(place >= 0 && place < t->root_cells && air_place >= 0 && air_place < t->air_cells)) return 0;
    const int i = (int)place, j = (int)air_place;
    const double x = place - i, y = air_place - j;
    const double *restrict c = cells + (size_t)(j * t->root_cells + i) * CELL;
    const double p0 = c[0] + y * (c[4] + y * (c[8] + y * c[12]));
    const double p1 = c[1] + y * (c[5] + y * (c[9] + y * c[13]));
    const double p2 = c[2] + y * (c[6] + y * (c[10] + y * c[14]));
    const double p3 = c[3] + y * (c[7] + y * (c[11] + y * c[15]));
    heat[e] = p0 + x * (p1 + x * (p2 + x * p3));
    slope[e] = ((p1 + x * (2 * p2 + 3 * x * p3)) * (0.5 * per_unit)) / root;
  }
  return 1;
}

static inline pair cubic(pair a, pair b, pair c, pair d, pair x) { return (a + x * b) + (x * x) * (c + x * d); }

/* Both poles of a slot at once. 0 as above. */
static int assemble_loss(struct ladder *L) {
  const struct rack *R = L->rack;
  const pair *restrict temperature = L->temperature, *restrict emissivity = L->emissivity;
  const pair *restrict envelope = L->envelope;
  pair *restrict heat = L->heat, *restrict slope = L->heat_slope;
  for (int i = 0; i < R->slots; i++) {
    const struct table *t0 = R->table_at[2 * i], *t1 = R->table_at[2 * i + 1];
    const double here = L->air[i], air_place = (here - t0->air_from) * t0->per_air;
    const pair t = temperature[i], root = {sqrt(t[0] - here), sqrt(t[1] - here)};
    const pair place = (root - t0->root_from) * t0->roots_per_unit;
    if (!(place[0] >= 0 && place[0] < t0->root_cells && place[1] >= 0 && place[1] < t0->root_cells
      && air_place >= 0 && air_place < t0->air_cells)) return 0;
    const int j = (int)air_place, k0 = (int)place[0], k1 = (int)place[1];
    const double place_in_air = air_place - j;
    const pair y = {place_in_air, place_in_air}, x = place - (pair){k0, k1};
    const pair *restrict a = (const pair *)(t0->cells + (size_t)(j * t0->root_cells + k0) * CELL);
    const pair *restrict b = (const pair *)(t1->cells + (size_t)(j * t1->root_cells + k1) * CELL);
    const pair a01 = cubic(a[0], a[2], a[4], a[6], y), a23 = cubic(a[1], a[3], a[5], a[7], y);
    const pair b01 = cubic(b[0], b[2], b[4], b[6], y), b23 = cubic(b[1], b[3], b[5], b[7], y);
    const pair p0 = {a01[0], b01[0]}, p1 = {a01[1], b01[1]}, p2 = {a23[0], b23[0]}, p3 = {a23[1], b23[1]};
    const double other = R->radiant > 0 ? R->radiant : here, other2 = other * other;
    const pair black = emissivity[i] * SIGMA * envelope[i], square = t * t;
    const pair along = (p1 + x * (2 * p2 + 3 * x * p3)) * (0.5 * t0->roots_per_unit) / root;
    heat[i] = L->film_factor * cubic(p0, p1, p2, p3, x) + black * (square * square - other2 * other2);
    slope[i] = L->film_factor * along + 4 * black * square * t;
    L->air_pull[i] = L->film_factor * along + (R->radiant > 0 ? 0 : 4 * other2 * other) * black;
  }
  return 1;
}

static void back_substitute(int n, const pair *restrict inverse, const pair *restrict multiplier, pair *restrict x) {
  pair above = x[n - 1] * inverse[n - 1];
  x[n - 1] = above;
  for (int i = n - 2; i >= 0; i--) {
    above = x[i] * inverse[i] + multiplier[i] * above;
    x[i] = above;
  }
}

/* What an elimination that comes from one end of the bar carries from slot to slot. */
struct end {
  pair flow, diagonal, joule, coupling, multiplier, forward, forward_rate;
};

static inline pair loss_slope(const struct ladder *L, int i) {
  return L->rack->pitch * L->heat_slope[i] + L->unit_conductance[i];
}

/* W/K by which a slot gains where the air beside it is warmer. */
static inline pair air_slope_gain(const struct ladder *L, int i) {
  return (L->rack->pitch * L->air_pull[i] + L->unit_conductance[i]) * L->air_slope[i];
}

static inline pair heat_in(const struct ladder *L, int i) {
  const double g = L->unit_conductance[i];
  return L->contact_heat[i] + g * (L->air[i] + L->unit_rise[i]) - g * L->temperature[i] - L->rack->pitch * L->heat[i];
}

/* Eliminates slot i; segment s leads from there to slot `to`. */
static inline pair eliminate_slot(struct ladder *L, int i, int s, int to, double heat_rate, struct end *e) {
  const double half_square = 0.5 * L->segment_current[s] * L->segment_current[s];
  const pair t = L->temperature[i], next = L->temperature[to], along = L->conductance[s], slope = loss_slope(L, i);
  const pair joule = half_square * (L->segment_offset[s] + L->segment_slope[s] * (t + next));
  const pair joule_slope = half_square * L->segment_slope[s], flow = along * (t - next), diagonal = along - joule_slope;
  const pair pivot = slope - L->contact_heat_slope[i] + e->diagonal + diagonal - e->coupling * e->multiplier;
  const pair inverse = 1.0 / pivot;
  const pair residual = heat_in(L, i) + e->flow + joule - flow;
  const pair source = heat_rate * L->contact_heat[i] + air_slope_gain(L, i) + heat_rate * (e->joule + joule);
  e->forward = residual + e->multiplier * e->forward;
  e->forward_rate = source + e->multiplier * e->forward_rate;
  e->flow = joule + flow;
  e->diagonal = diagonal;
  e->joule = joule;
  e->coupling = along + joule_slope;
  e->multiplier = e->coupling * inverse;
  L->multiplier[s] = e->multiplier;
  L->change[i] = e->forward * inverse;
  L->rate[i] = e->forward_rate * inverse;
  return pivot;
}

/* From both ends of the bar at once, so that neither waits for the other's divisions. */
static int linearise(struct ladder *L, double power, double order) {
  const int n = L->rack->slots, last = n - 1, middle = n / 2;
  int inside = 1;
  REPEATED(FILMS) inside = assemble_loss(L);
  if (!inside) return 0;
  const double heat_rate = (2 * order) / power;
  struct end below, above;
  memset(&below, 0, sizeof below);
  memset(&above, 0, sizeof above);
  int positive = 1;
  for (int i = 0; i < middle; i++) {
    const pair pivot = eliminate_slot(L, i, i, i + 1, heat_rate, &below);
    positive &= (pivot[0] > 0) & (pivot[1] > 0);
    const int j = last - i;
    if (j == middle) break;
    const pair other = eliminate_slot(L, j, j - 1, j - 1, heat_rate, &above);
    positive &= (other[0] > 0) & (other[1] > 0);
  }
  const pair slope = loss_slope(L, middle);
  const pair pivot = slope - L->contact_heat_slope[middle] + below.diagonal + above.diagonal
    - below.coupling * below.multiplier - above.coupling * above.multiplier;
  positive &= (pivot[0] > 0) & (pivot[1] > 0);
  if (!positive) return 0;
  const pair source = heat_rate * L->contact_heat[middle] + air_slope_gain(L, middle) + heat_rate * (below.joule + above.joule);
  pair up = (heat_in(L, middle) + below.flow + above.flow + below.multiplier * below.forward + above.multiplier * above.forward) / pivot;
  pair up_rate = (source + below.multiplier * below.forward_rate + above.multiplier * above.forward_rate) / pivot;
  pair down = up, down_rate = up_rate;
  L->change[middle] = up;
  L->rate[middle] = up_rate;
  pair hottest = L->temperature[middle] + up, fastest = larger(up_rate, -up_rate);
  for (int i = middle - 1; i >= 0; i--) {
    down = L->change[i] += L->multiplier[i] * down;
    down_rate = L->rate[i] += L->multiplier[i] * down_rate;
    hottest = larger(hottest, L->temperature[i] + down);
    fastest = larger(fastest, larger(down_rate, -down_rate));
    const int j = last - i;
    if (j == middle) continue;
    up = L->change[j] += L->multiplier[j - 1] * up;
    up_rate = L->rate[j] += L->multiplier[j - 1] * up_rate;
    hottest = larger(hottest, L->temperature[j] + up);
    fastest = larger(fastest, larger(up_rate, -up_rate));
  }
  L->hottest_next = max2(hottest[0], hottest[1]);
  L->fastest_rate = max2(fastest[0], fastest[1]);
  return 1;
}

/* ---- start with frozen films ---- */

static void set_air(struct ladder *L, double power) {
  for (int i = 0; i < L->rack->slots; i++) L->air[i] = L->air_base[i] + L->air_slope[i] * power;
}

static int freeze_films(struct ladder *L) {
  const struct rack *R = L->rack;
  const int n = R->slots;
  const double room = min2(R->bar_rise, min2(R->bar_temperature - L->air[0], R->contact_temperature - L->air[0]));
  L->reference = isfinite(room) ? min2(HIGHEST_START, max2(1, room)) : NO_LIMIT_RISE;
  for (int i = 0; i < n; i++) L->temperature[i] = (pair){0, 0} + (L->air[i] + L->reference);
  double *heat = (double *)L->heat;
  for (int r = 0; r < R->runs; r++) {
    const struct run *run = &R->run[r];
    if (!convection(L, run, run->slot, 1)) return 0;
    const double t = L->temperature[run->slot][run->pole], air = L->air[run->slot];
    const double radiated = L->emissivity[run->slot][run->pole] * SIGMA * run->envelope
      * (t * t * t * t - air * air * air * air);
    const double per_kelvin =
      max2(0, (R->pitch * (L->film_factor * heat[2 * run->slot + run->pole] + radiated)) / L->reference);
    for (int i = run->slot; i < run->slot + run->count; i++) heat[2 * i + run->pole] = per_kelvin;
  }
  pair coupling = {0, 0}, inverse = {0, 0};
  for (int i = 0; i < n; i++) {
    const pair m = coupling * inverse;
    if (i > 0) L->frozen_multiplier[i - 1] = m;
    pair pivot = L->heat[i] + L->unit_conductance[i] + coupling - coupling * m;
    if (i < n - 1) {
      coupling = L->conductance[i];
      pivot += coupling;
    }
    if (!(pivot[0] > 0 && pivot[1] > 0)) return 0;
    inverse = 1.0 / pivot;
    L->frozen_pivot[i] = inverse;
  }
  return 1;
}

static int coarse_start(struct ladder *L) {
  const struct rack *R = L->rack;
  const int n = R->slots;
  const double set = R->set_voltage;
  set_air(L, 0);
  if (!freeze_films(L)) return 0;
  double estimate = INFINITY, current = 0;
  for (int i = 0; i < n; i++) {
    const int k = L->source_at[i];
    if (k >= 0) {
      const double part = L->weight[k];
      L->sources.current[k] = part / set;
      if (part > 0) {
        current += part / set;
        estimate = min2(estimate, min2((L->max_current[k] * set) / part, L->max_power[k] / part));
      }
    }
    const int l = L->load_at[i];
    if (l >= 0) {
      L->loads.current[l] = L->share[l] / set;
      current -= L->share[l] / set;
      if (L->share[l] > 0) estimate = min2(estimate, (R->load_contact_current * set) / L->share[l]);
    }
    if (i < n - 1) L->unit_current[i] = current;
  }
  for (int i = 0; i < n; i++) L->temperature[i] = (pair){0, 0} + (L->air[i] + L->reference);
  update_contacts(L);
  memcpy(L->start_voltage, L->contact_voltage, n * sizeof(double));
  pair below = {0, 0}, forward = {0, 0};
  for (int i = 0; i < n; i++) {
    pair source = L->contact_heat[i] + below;
    if (i < n - 1) {
      const double half_square = 0.5 * L->unit_current[i] * L->unit_current[i];
      below = half_square * (L->segment_offset[i] + L->segment_slope[i] * (L->temperature[i] + L->temperature[i + 1]));
      source += below;
    }
    forward = i > 0 ? source + L->frozen_multiplier[i - 1] * forward : source;
    L->start_rise[i] = forward;
  }
  back_substitute(n, L->frozen_pivot, L->frozen_multiplier, L->start_rise);
  if (L->any_edge) {
    for (int i = 0; i < n; i++) {
      L->edge_heat0[i] = L->load_heat[i][0];
      L->edge_heat1[i] = L->load_heat[i][1];
    }
  }
  double steepest = 0;
  for (int i = 0; i < n; i++) steepest = max2(steepest, max2(L->start_rise[i][0], L->start_rise[i][1]));
  const double near = 0.9 * steepest;
  for (int i = 0; i < n; i++) {
    for (int p = 0; p < 2; p++) {
      const double rise = L->start_rise[i][p];
      if (rise >= near) steepest = max2(steepest, rise + hot_spot(L, i, p));
    }
  }
  if (steepest > 0) estimate = min2(estimate, sqrt(L->reference / steepest));
  L->estimate = isfinite(estimate) && estimate > 0 ? estimate : 100 * set;
  return 1;
}

static void begin(struct ladder *L, double power) {
  set_air(L, power);
  const double square = power * power;
  for (int i = 0; i < L->rack->slots; i++) {
    L->contact_voltage[i] = power * L->start_voltage[i];
    const pair rise = square * L->start_rise[i];
    L->temperature[i] = L->air[i] + (pair){min2(HIGHEST_START, rise[0]), min2(HIGHEST_START, rise[1])};
  }
}

/* ---- search ---- */

static void name(struct ladder *L, int limit, int node, int pole) {
  L->limit = limit;
  L->node = node;
  L->pole_index = pole;
}

/* K: where two entries are as near to a limit as this, the first is named. */
static const double ALIKE = 1e-10;

static double hot_spot_step(struct ladder *L, double best, int i, int p, double room, double slope, int limit) {
  const double hot = hot_spot(L, i, p);
  const double hot_room = room - hot;
  const double hot_slope = slope + (hot > 0 ? L->edge_heat_rate * hot + L->own_part[i][p] : 0);
  if (hot_room < 0 && !(hot_slope > 0)) return NAN;
  if (!(hot_room < best * hot_slope - ALIKE)) return best;
  name(L, limit, i, p);
  return hot_room / hot_slope;
}

/* K: a limit farther than this is met by no hottest point before a power change of `best`. */
static double reach_of(const struct ladder *L, double best, double fastest) {
  return L->bound_at_most + fabs(best) * (fastest + L->edge_heat_rate * L->bound_at_most + L->own_at_most);
}

static double bar_step(struct ladder *L, double best, double limit, int which) {
  const int n = L->rack->slots;
  const double above_air = which == BAR_RISE ? 1 : 0;
  int nearest = 0, nearest_pole = 0;
  double least = INFINITY;
  for (int i = 0; i < n; i++) {
    const pair room = above_air * L->air[i] - L->temperature[i] - L->change[i];
    for (int p = 0; p < 2; p++) {
      if (room[p] < least) {
        least = room[p];
        nearest = i;
        nearest_pole = p;
      }
    }
  }
  double lowest = hot_spot_step(L, best, nearest, nearest_pole, limit + least,
    L->rate[nearest][nearest_pole] - above_air * L->air_slope[nearest], which);
  const double heat_rate = L->edge_heat_rate, fastest = L->fastest_rate + above_air * L->air_slope_at_most;
  double reach = reach_of(L, lowest, fastest);
  for (int i = 0; i < n; i++) {
    const pair rooms = limit + above_air * L->air[i] - L->temperature[i] - L->change[i];
    if (rooms[0] >= reach && rooms[1] >= reach) continue;
    const pair slopes = L->rate[i] - above_air * L->air_slope[i];
    const pair bounds = hot_spot_bound(L, i), owns = L->own_part[i];
    for (int p = 0; p < 2; p++) {
      const double slope = slopes[p], bound = bounds[p], own = owns[p];
      const double flattest = own < 0 ? slope + own : slope;
      const double steepest = slope + heat_rate * bound + (own > 0 ? own : 0);
      const double left = rooms[p] - bound;
      if (left >= lowest * steepest && left >= lowest * flattest && (left >= 0 || flattest > 0)) continue;
      lowest = hot_spot_step(L, lowest, i, p, rooms[p], slope, which);
      if (isnan(lowest)) return lowest;
    }
    reach = reach_of(L, lowest, fastest);
  }
  return lowest;
}

static double linearised_step(struct ladder *L, double power) {
  const struct rack *R = L->rack;
  const double per_power = current_order(L, power) / power;
  update_edge_heat(L, 2 * per_power);
  double best = INFINITY;
  if (isfinite(R->bar_rise)) best = bar_step(L, best, R->bar_rise, BAR_RISE);
  if (isfinite(R->bar_temperature)) best = bar_step(L, best, R->bar_temperature, BAR_TEMPERATURE);
  if (isnan(best)) return best;
  if (isfinite(R->contact_temperature)) {
    const struct contacts *both[2] = {&L->loads, &L->sources};
    for (int b = 0; b < 2; b++) {
      const struct contacts *c = both[b];
      double most = 0;
      for (int k = 0; k < c->count; k++) most = max2(most, fabs(c->current[k]));
      const double spot = (b ? L->source_spot : L->load_spot) * most * most;
      if (R->contact_temperature - L->hottest_next - spot >= reach_of(L, best, L->fastest_rate + 2 * per_power * spot)) continue;
      for (int k = 0; k < c->count; k++) {
        const int i = c->node[k];
        const pair step = (c->current[k] * c->current[k] * c->thermal_resistance[k]) * c->resistance[k];
        const pair rooms = R->contact_temperature - L->temperature[i] - L->change[i] - step;
        const pair slopes = L->rate[i] + 2 * per_power * step;
        for (int p = 0; p < 2; p++) {
          const double room = rooms[p], slope = slopes[p];
          if (room - hot_spot_bound(L, i)[p] >= 0 && best <= 0 && slope + L->own_part[i][p] >= 0 && slope >= 0) continue;
          best = hot_spot_step(L, best, i, p, room, slope, CONTACT_TEMPERATURE);
          if (isnan(best)) return best;
        }
      }
    }
  }
  for (int k = 0; k < L->sources.count; k++) {
    const double current = L->sources.current[k];
    if (current == 0) continue;
    const double slope = per_power * current;
    if (L->max_current[k] - current < best * slope) {
      best = (L->max_current[k] - current) / slope;
      name(L, SOURCE_CURRENT, L->sources.node[k], BOTH_POLES);
    }
    const double delivered = current * source_voltage(L, k);
    if (L->max_power[k] - delivered < best * per_power * delivered) {
      best = (L->max_power[k] - delivered) / (per_power * delivered);
      name(L, SOURCE_POWER, L->sources.node[k], BOTH_POLES);
    }
  }
  const double moves = fabs(best) * per_power, low = L->lowest_voltage - 0.01 * R->set_voltage - L->voltage_shift;
  const int keeps = R->lowest_load_voltage == 0
    || (moves <= 1 && low - R->lowest_load_voltage >= moves * fabs(R->set_voltage - low));
  const int looked_at = isfinite(R->load_contact_current) || !keeps ? L->loads.count : 0;
  for (int l = 0; l < looked_at; l++) {
    if (L->share[l] == 0) continue;
    const double current = L->loads.current[l];
    if (R->load_contact_current - current < best * per_power * current) {
      best = (R->load_contact_current - current) / (per_power * current);
      name(L, LOAD_CURRENT, L->loads.node[l], BOTH_POLES);
    }
    if (R->lowest_load_voltage > 0) {
      const double voltage = load_voltage(L, l), slope = per_power * (R->set_voltage - voltage);
      if (voltage - R->lowest_load_voltage < best * slope) {
        best = (voltage - R->lowest_load_voltage) / slope;
        name(L, LOAD_VOLTAGE, L->loads.node[l], BOTH_POLES);
      }
    }
  }
  return best;
}

static double remainder_of(double step, double last) {
  if (!(last > 0)) return INFINITY;
  const double ratio = min2(0.99, max2(LEAST_RATIO, step / last));
  return max2((step * ratio) / (1 - ratio), MEMORY * last);
}

static int sweep(struct ladder *L, double power, double closure) {
  const int n = L->rack->slots;
  L->sweeps++;
  set_air(L, power);
  for (int i = 0; i < n - 1; i++) {
    const pair r = L->segment_offset[i] + L->segment_slope[i] * (L->temperature[i] + L->temperature[i + 1]);
    L->loop_resistance[i] = r[0] + r[1];
  }
  for (int i = 0; L->any_edge && i < n; i++) {
    if (L->edge_height[i] == 0) continue;
    const pair own = {L->pole[0].mean[i], L->pole[1].mean[i]};
    const pair ohms = own * (L->sheet_offset[i] + L->sheet_slope[i] * L->temperature[i]);
    L->own_spreading[i] = ohms[0] + ohms[1];
  }
  const double x0 = L->x0, x1 = L->x1, solved = L->solved_power;
  int fed = 0;
  REPEATED(CURRENTS) {
    L->x0 = x0;
    L->x1 = x1;
    L->solved_power = solved;
    fed = solve_currents(L, power, closure);
  }
  if (!fed) return 0;
  REPEATED(CONTACTS) update_contacts(L);
  const double order = current_order(L, power);
  int steady = 0;
  REPEATED(NEWTON) steady = linearise(L, power, order);
  return steady;
}

static double joint(struct ladder *L) {
  const int n = L->rack->slots;
  double power = L->estimate, last_step = NAN, last_largest = NAN;
  begin(L, power);
  for (int s = 0; s < JOINT_SWEEPS; s++) {
    const double closure = s == 0 ? FIRST_CLOSURE
      : min2(FIRST_CLOSURE, max2(FINE_CLOSURE, 1e-6 * fabs(last_step / power)));
    if (!sweep(L, power, closure)) return NAN;
    double wanted = 0;
    REPEATED(HOT_SPOTS) wanted = linearised_step(L, power);
    if (!isfinite(wanted)) return NAN;
    const double step = max2(-0.5 * power, min2(power, wanted));
    double largest = 0;
    for (int i = 0; i < n; i++) {
      const pair delta = L->change[i] + L->rate[i] * step;
      largest = max2(largest, max2(fabs(delta[0]), fabs(delta[1])));
      L->temperature[i] += delta;
    }
    if (!(largest < LARGEST_STEP)) return NAN;
    const double factor = 1 + step / power;
    for (int i = 0; i < n; i++) L->contact_voltage[i] *= factor;
    power += step;
    if (fabs(step) <= SMALL_POWER * power && largest <= SMALL_TEMPERATURE
      && remainder_of(fabs(step), fabs(last_step)) <= LEFT_POWER * power
      && remainder_of(largest, last_largest) <= LEFT_TEMPERATURE) {
      for (int i = 0; i < n; i++) {
        if (!(L->temperature[i][0] <= HIGHEST_TEMPERATURE && L->temperature[i][1] <= HIGHEST_TEMPERATURE)) return NAN;
      }
      return power;
    }
    last_step = step;
    last_largest = largest;
  }
  return NAN;
}

/* Whether units, surroundings or air may break a limit by themselves: the library then looks closer. */
static int warm_unloaded(const struct ladder *L) {
  const struct rack *R = L->rack;
  double coldest = INFINITY, warmest = R->radiant;
  for (int i = 0; i < R->slots; i++) {
    coldest = min2(coldest, L->air_base[i]);
    warmest = max2(warmest, L->air_base[i] + (L->unit_conductance[i] > 0 ? max2(0, L->unit_rise[i]) : 0));
  }
  return !(warmest - coldest < R->bar_rise && warmest < R->bar_temperature && warmest < R->contact_temperature);
}

static double rate(struct ladder *L, const struct scenario *s) {
  L->sweeps = 0;
  int fit = 0;
  REPEATED(MOUNTING) fit = mount(L, s);
  if (!fit || warm_unloaded(L)) return NAN;
  int started = 0;
  REPEATED(START) started = coarse_start(L);
  return started ? joint(L) : NAN;
}

/* ---- input ---- */

static const double *place, *end;

static const double *take(size_t count) {
  const double *from = place;
  if (place + count > end) {
    fprintf(stderr, "input ends early: %zu more numbers wanted, %td left\n", count, end - place);
    exit(2);
  }
  place += count;
  return from;
}

static double number(void) { return *take(1); }

static pair *pairs(int count) {
  pair *p = zeroed(count * sizeof(pair));
  memcpy(p, take(2 * (size_t)count), count * sizeof(pair));
  return p;
}

static int *whole_numbers(int count) {
  const double *from = take(count);
  int *p = zeroed(count * sizeof(int));
  for (int i = 0; i < count; i++) p[i] = (int)from[i];
  return p;
}

static void read_file(const char *path) {
  FILE *file = fopen(path, "rb");
  if (file == NULL || fseek(file, 0, SEEK_END) != 0) {
    fprintf(stderr, "input cannot be read\n");
    exit(2);
  }
  const long bytes = ftell(file);
  rewind(file);
  double *all = zeroed(bytes);
  if (bytes % sizeof(double) != 0 || fread(all, 1, bytes, file) != (size_t)bytes) {
    fprintf(stderr, "input of %ld bytes cannot be read as doubles\n", bytes);
    exit(2);
  }
  fclose(file);
  place = all;
  end = all + bytes / sizeof(double);
}

static void read_rack(struct rack *R, struct spreading pole[2]) {
  const int n = R->slots = (int)number();
  R->pitch = number();
  R->set_voltage = number();
  R->radiant = number();
  R->inlet = number();
  R->exhaust_rise = number();
  R->bar_rise = number();
  R->bar_temperature = number();
  R->contact_temperature = number();
  R->load_contact_current = number();
  R->lowest_load_voltage = number();
  R->profile = take(n);
  R->conductor_offset = pairs(n);
  R->conductor_slope = pairs(n);
  R->joint = pairs(n);
  R->conductance = pairs(n);
  R->emissivity = pairs(n);
  R->sheet_offset = pairs(n);
  R->sheet_slope = pairs(n);
  R->sheet_thermal = pairs(n);
  R->alike = (int)number();
  for (int p = 0; p < 2; p++) {
    pole[p].depth = take(n);
    pole[p].mutual = take((size_t)n * n);
    pole[p].felt_at_most = take(n);
    pole[p].from = whole_numbers(n);
    pole[p].to = whole_numbers(n);
    pole[p].mean = zeroed(n * sizeof(double));
    pole[p].middle = zeroed(n * sizeof(double));
    pole[p].patches = 0;
  }
  const int tables = (int)number();
  struct table *table = zeroed(tables * sizeof(struct table));
  for (int t = 0; t < tables; t++) {
    table[t].root_from = number();
    table[t].roots_per_unit = number();
    table[t].root_cells = (int)number();
    table[t].air_from = number();
    table[t].per_air = 1 / number();
    table[t].air_cells = (int)number();
    const size_t count = (size_t)table[t].root_cells * table[t].air_cells * CELL;
    /* Aligned, as two coefficients are read at a time. */
    double *cells = zeroed(count * sizeof(double));
    memcpy(cells, take(count), count * sizeof(double));
    table[t].cells = cells;
  }
  R->runs = (int)number();
  R->run = zeroed(R->runs * sizeof(struct run));
  for (int r = 0; r < R->runs; r++) {
    R->run[r].table = &table[(int)number()];
    R->run[r].envelope = number();
    R->run[r].pole = (int)number();
    R->run[r].slot = (int)number();
    R->run[r].count = (int)number();
  }
  R->table_at = zeroed(2 * n * sizeof(struct table *));
  for (int r = 0; r < R->runs; r++) {
    for (int i = R->run[r].slot; i < R->run[r].slot + R->run[r].count; i++) R->table_at[2 * i + R->run[r].pole] = R->run[r].table;
  }
}

static struct contacts no_contacts(int n) {
  return (struct contacts){0, zeroed(n * sizeof(int)), zeroed(n * sizeof(pair)), zeroed(n * sizeof(double)),
    zeroed(n * sizeof(double)), zeroed(n * sizeof(double)), zeroed(n * sizeof(double))};
}

static void allocate(struct ladder *L, const struct rack *R) {
  const int n = R->slots;
  L->rack = R;
  L->loads = no_contacts(n);
  L->sources = no_contacts(n);
  double **numbers[] = {
    &L->share, &L->sharing_weight, &L->max_current, &L->max_power, &L->weight, &L->air_base, &L->air_slope, &L->air,
    &L->unit_conductance, &L->unit_rise, &L->segment_current, &L->voltage, &L->loop_resistance, &L->contact_voltage, &L->by_u, &L->by_i, &L->load_slope,
    &L->edge_current, &L->edge_height, &L->own_spreading, &L->edge_voltage, &L->edge_heat0, &L->edge_heat1, &L->unit_current,
    &L->start_voltage,
  };
  for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) *numbers[i] = zeroed(n * sizeof(double));
  pair **both[] = {
    &L->temperature, &L->contact_heat, &L->contact_heat_slope, &L->segment_offset, &L->segment_slope, &L->conductance,
    &L->emissivity, &L->envelope, &L->heat, &L->heat_slope, &L->air_pull, &L->change, &L->rate, &L->multiplier,
    &L->frozen_pivot, &L->frozen_multiplier, &L->spread_heat, &L->spread_heat_slope, &L->load_heat,
    &L->own_part, &L->sheet_offset, &L->sheet_slope, &L->sheet_thermal, &L->start_rise,
  };
  for (size_t i = 0; i < sizeof both / sizeof *both; i++) *both[i] = zeroed(n * sizeof(pair));
  L->active = zeroed(n);
  L->load_at = zeroed(n * sizeof(int));
  L->source_at = zeroed(n * sizeof(int));
  for (int r = 0; r < R->runs; r++) {
    const struct run *run = &R->run[r];
    for (int i = run->slot; i < run->slot + run->count; i++) L->envelope[i][run->pole] = run->envelope;
  }
}

static double seconds(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

int main(int count, char **words) {
  if (count != 3) {
    fprintf(stderr, "usage: reference INPUT OUTPUT\n");
    return 2;
  }
  static struct ladder L;
  static struct rack R;
  read_file(words[1]);
  read_rack(&R, L.pole);
  const int scenarios = (int)number();
  struct scenario *all = zeroed(scenarios * sizeof(struct scenario));
  for (int i = 0; i < scenarios; i++) {
    const double *head = take(6);
    all[i] = (struct scenario){head[0], head[1], head[2], head[3], head[4], (int)head[5], NULL};
    all[i].unit = (const struct unit *)take(all[i].units * (sizeof(struct unit) / sizeof(double)));
  }
  allocate(&L, &R);
  FILE *output = fopen(words[2], "wb");
  if (output == NULL) {
    fprintf(stderr, "output cannot be written\n");
    return 2;
  }
  for (int i = 0; i < scenarios; i++) {
    const double power = rate(&L, &all[i]);
    const double row[5] = {power, L.sweeps, L.limit, L.node, L.pole_index};
    if (fwrite(row, sizeof row, 1, output) != 1) return 2;
  }
  fclose(output);
  printf("ready\n");
  fflush(stdout);
  int passes, stage, more;
  while (scanf("%d %d %d", &passes, &stage, &more) == 3) {
    if (stage >= 0 && stage < STAGES) extra[stage] = more;
    double sum = 0;
    for (int pass = 0; pass < passes; pass++) {
      const double started = seconds();
      for (int i = 0; i < scenarios; i++) sum += rate(&L, &all[i]);
      printf("%.9f ", seconds() - started);
    }
    /* Written so that the work cannot be left out. */
    printf("%g\n", sum);
    fflush(stdout);
    memset(extra, 0, sizeof extra);
  }
  return 0;
}
