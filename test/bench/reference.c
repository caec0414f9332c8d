/*
 * The library's rated power of one operating state with equal sharing, in C: the yardstick of `npm run bench`.
 *
 * Same arithmetic, start, stopping rules and tolerances as lib/ladder (joint search only): both poles side by side,
 * flat arrays, nothing allocated in the loop. Reads one file that the benchmark writes (rack, convection tables,
 * scenarios) and prints, for each of several passes, the seconds; then writes power and sweeps of every scenario.
 *
 *   reference INPUT OUTPUT PASSES
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

typedef double pair __attribute__((vector_size(16)));
typedef long long bits __attribute__((vector_size(16)));

enum { ROOT_CELLS = 464, AIR_CELLS = 220, CELL = 16 };
static const double ROOT_MIN = 1.5, ROOTS_PER_UNIT = 32, AIR_MIN = 220, STEFAN_BOLTZMANN = 5.670374e-8;

static inline pair both(double x) { return (pair){x, x}; }
static inline pair pmax(pair a, pair b) { return (pair){fmax(a[0], b[0]), fmax(a[1], b[1])}; }
static inline pair pabs(pair a) { return (pair){fabs(a[0]), fabs(a[1])}; }

typedef struct {
  int count, *node;
  pair *resistance;
  double *thermalResistance, *heatShare, *edgeHeight, *current;
} contacts;

static int n, tableCount, anyAtEdge, activeCount;
static double pitch, setVoltage, radiant, barRise, barTemperature, contactTemperature, loadContactCurrent, lowestLoadVoltage;
static double filmFactor, areaFactor, heatRate, totalCurrent, x0, x1;
static double residualCurrent, residualVoltage, cByV, cByI, meanByV, meanByI;
static contacts loads, sources;
static pair *temperature, *contactHeat, *contactHeatSlope, *segmentOffset, *segmentSlope, *segmentConductance, *emissivity,
  *envelope, *heat, *heatSlope, *change, *rate, *inversePivot, *multiplier, *frozenPivot, *frozenMultiplier, *coarse,
  *spreadingHeat, *spreadingHeatSlope, *edgeLoadHeat, *edgeHeat, *hotSpotBound, *hotSpotOwnRate, *sheetOffset, *sheetSlope,
  *sheetThermal, *patchMean, *patchMiddle, *feltAtMost, *mutual, *nominalOffset, *nominalSlope, *nominalConductance, *joint,
  *nominalSheetOffset, *nominalSheetSlope, *nominalSheetThermal, *coarseVoltagePair;
static double *air, *airBase, *airSlope, *unitConductance, *unitRise, *segmentCurrent, *loopResistance, *contactVoltage,
  *edgeVoltage, *voltage, *edgeCurrent, *edgeHeightAt, *share, *weight, *maxCurrent, *maxPower, *coarseVoltage, *tables;
static int *feltFrom, *feltTo, *loadAt, *sourceAt, *tableOf;

static void *room(size_t bytes) {
  void *p = aligned_alloc(64, (bytes + 127) & ~(size_t)63);
  if (!p) { fputs("out of memory\n", stderr); exit(1); }
  memset(p, 0, (bytes + 127) & ~(size_t)63);
  return p;
}

static const double *cursor;
static double next(void) { return *cursor++; }
static void take(double *to, int count) { memcpy(to, cursor, sizeof(double) * count); cursor += count; }
static void takePairs(pair *to, int count) { memcpy(to, cursor, sizeof(pair) * count); cursor += 2 * count; }

static void makeContacts(contacts *c) {
  c->node = room(sizeof(int) * n);
  c->resistance = room(sizeof(pair) * n);
  c->thermalResistance = room(8 * n); c->heatShare = room(8 * n); c->edgeHeight = room(8 * n); c->current = room(8 * n);
}

static void readRack(void) {
  n = (int)next(); tableCount = (int)next();
  pitch = next(); setVoltage = next(); radiant = next(); barRise = next(); barTemperature = next();
  contactTemperature = next(); loadContactCurrent = next(); lowestLoadVoltage = next();
  pair **pairs[] = {&temperature, &contactHeat, &contactHeatSlope, &segmentOffset, &segmentSlope, &segmentConductance,
    &emissivity, &envelope, &heat, &heatSlope, &change, &rate, &inversePivot, &multiplier, &frozenPivot, &frozenMultiplier,
    &coarse, &spreadingHeat, &spreadingHeatSlope, &edgeLoadHeat, &edgeHeat, &hotSpotBound, &hotSpotOwnRate, &sheetOffset,
    &sheetSlope, &sheetThermal, &patchMean, &patchMiddle, &feltAtMost, &nominalOffset, &nominalSlope, &nominalConductance,
    &joint, &nominalSheetOffset, &nominalSheetSlope, &nominalSheetThermal, &coarseVoltagePair};
  for (size_t k = 0; k < sizeof pairs / sizeof *pairs; k++) *pairs[k] = room(sizeof(pair) * n);
  double **single[] = {&air, &airBase, &airSlope, &unitConductance, &unitRise, &segmentCurrent, &loopResistance,
    &contactVoltage, &edgeVoltage, &voltage, &edgeCurrent, &edgeHeightAt, &share, &weight, &maxCurrent, &maxPower,
    &coarseVoltage};
  for (size_t k = 0; k < sizeof single / sizeof *single; k++) *single[k] = room(8 * n);
  int **wholes[] = {&feltFrom, &feltTo, &loadAt, &sourceAt};
  for (size_t k = 0; k < sizeof wholes / sizeof *wholes; k++) *wholes[k] = room(sizeof(int) * n);
  tableOf = room(sizeof(int) * 2 * n);
  mutual = room(sizeof(pair) * n * n);
  makeContacts(&loads); makeContacts(&sources);
  takePairs(nominalOffset, n); takePairs(nominalSlope, n); takePairs(nominalConductance, n); takePairs(joint, n);
  takePairs(nominalSheetOffset, n); takePairs(nominalSheetSlope, n); takePairs(nominalSheetThermal, n);
  takePairs(envelope, n); takePairs(feltAtMost, n); takePairs(mutual, n * n);
  for (int i = 0; i < n; i++) feltFrom[i] = (int)next();
  for (int i = 0; i < n; i++) feltTo[i] = (int)next();
  for (int e = 0; e < 2 * n; e++) tableOf[e] = (int)next();
  size_t cells = (size_t)tableCount * AIR_CELLS * ROOT_CELLS * CELL;
  tables = room(8 * cells);
  memcpy(tables, cursor, 8 * cells); cursor += cells;
}

static void addContacts(contacts *c, int count) {
  c->count = count;
  for (int k = 0; k < count; k++) {
    int i = c->node[k] = (int)next();
    c->resistance[k][0] = next(); c->resistance[k][1] = next();
    c->thermalResistance[k] = next(); c->heatShare[k] = next();
    double h = c->edgeHeight[k] = next();
    edgeHeightAt[i] = h;
    if (h > 0) anyAtEdge = 1;
    c->current[k] = 0;
    if (c == &loads) { share[k] = next(); loadAt[i] = k; }
    else { weight[k] = next(); maxCurrent[k] = next(); maxPower[k] = next(); sourceAt[i] = k; }
  }
}

static void mount(void) {
  for (int i = 0; i < n; i++) { loadAt[i] = -1; sourceAt[i] = -1; edgeHeightAt[i] = 0; }
  anyAtEdge = 0; heatRate = 0;
  int loadCount = (int)next(), sourceCount = (int)next();
  areaFactor = next(); filmFactor = next();
  addContacts(&loads, loadCount); addContacts(&sources, sourceCount);
  activeCount = sourceCount;
  take(airBase, n); take(airSlope, n); take(unitConductance, n); take(unitRise, n);
  takePairs(emissivity, n); takePairs(patchMean, n); takePairs(patchMiddle, n);
  pair less = both(1 / areaFactor), more = both(areaFactor);
  for (int i = 0; i < n; i++) {
    segmentOffset[i] = less * nominalOffset[i] + joint[i];
    segmentSlope[i] = less * nominalSlope[i];
    segmentConductance[i] = more * nominalConductance[i];
    sheetOffset[i] = less * nominalSheetOffset[i];
    sheetSlope[i] = less * nominalSheetSlope[i];
    sheetThermal[i] = less * nominalSheetThermal[i];
    spreadingHeat[i] = spreadingHeatSlope[i] = edgeLoadHeat[i] = edgeHeat[i] = hotSpotBound[i] = hotSpotOwnRate[i] = both(0);
    edgeVoltage[i] = edgeCurrent[i] = 0;
  }
}

static int march(double power) {
  double part = 1.0 / activeCount, fed = x1, u = x0, uByV = 1, uByI = 0, c = 0, dcV = 0, dcI = 0, total = 0, mean = 0, mV = 0, mI = 0;
  for (int i = 0; i < n; i++) {
    voltage[i] = u;
    int k = sourceAt[i];
    if (k >= 0) {
      double w = weight[k], contact = sources.resistance[k][0] + sources.resistance[k][1];
      sources.current[k] = w * fed;
      c += w * fed; dcI += w;
      mean += part * (u + contactVoltage[i] + w * fed * contact);
      mV += part * uByV; mI += part * (uByI + w * contact);
    }
    int l = loadAt[i];
    if (l >= 0) {
      double p = power * share[l], contact = loads.resistance[l][0] + loads.resistance[l][1], at = u + contactVoltage[i];
      double discriminant = at * at - 4 * p * contact;
      if (!(at > 0 && discriminant > 0)) return 0;
      double root = sqrt(discriminant), current = 2 * p / (at + root), slope = current / root;
      loads.current[l] = current;
      total += current; c -= current;
      dcV += slope * uByV; dcI += slope * uByI;
    }
    if (i < n - 1) {
      double r = loopResistance[i];
      segmentCurrent[i] = c;
      u -= r * c; uByV -= r * dcV; uByI -= r * dcI;
    }
  }
  totalCurrent = total; residualCurrent = c; residualVoltage = mean - setVoltage;
  cByV = dcV; cByI = dcI; meanByV = mV; meanByI = mI;
  return isfinite(u) && isfinite(c);
}

static int solveCurrents(double power, double closure) {
  double tolerance = closure * setVoltage + 1e-15 * setVoltage;
  for (int iteration = 0; iteration < 40; iteration++) {
    if (!march(power)) return 0;
    if (fabs(residualCurrent) <= closure * totalCurrent && fabs(residualVoltage) <= tolerance) return 1;
    double determinant = cByV * meanByI - cByI * meanByV;
    if (!(determinant < 0)) return 0;
    x0 -= (meanByI * residualCurrent - cByI * residualVoltage) / determinant;
    x1 -= (cByV * residualVoltage - meanByV * residualCurrent) / determinant;
  }
  return 0;
}

static void addEdge(const contacts *c, double sign) {
  for (int k = 0; k < c->count; k++) {
    if (c->edgeHeight[k] == 0) continue;
    double a = c->current[k];
    edgeCurrent[c->node[k]] = sign * a;
    edgeLoadHeat[c->node[k]] = both(a * a * c->heatShare[k]) * c->resistance[k];
  }
}

static void addHeat(const contacts *c) {
  for (int k = 0; k < c->count; k++) {
    double a = c->current[k];
    contactHeat[c->node[k]] += both(a * a * c->heatShare[k]) * c->resistance[k];
  }
}

static void updateContacts(void) {
  if (anyAtEdge) {
    addEdge(&loads, -1); addEdge(&sources, 1);
    for (int i = 0; i < n; i++) {
      if (edgeHeightAt[i] == 0) continue;
      pair felt = both(0);
      for (int k = feltFrom[i]; k <= feltTo[i]; k++) felt += mutual[i * n + k] * both(edgeCurrent[k]);
      pair into = both(edgeCurrent[i]);
      felt += patchMean[i] * into;
      pair volts = felt * (sheetOffset[i] + sheetSlope[i] * temperature[i]), h = into * volts;
      edgeVoltage[i] = volts[0] + volts[1];
      spreadingHeat[i] = h;
      spreadingHeatSlope[i] = into * felt * sheetSlope[i];
      edgeLoadHeat[i] += h;
    }
  }
  memcpy(contactVoltage, edgeVoltage, 8 * n);
  memcpy(contactHeat, spreadingHeat, sizeof(pair) * n);
  memcpy(contactHeatSlope, spreadingHeatSlope, sizeof(pair) * n);
  addHeat(&loads); addHeat(&sources);
}

static inline pair cubic(pair a, pair b, pair c, pair d, pair x) { return a + x * (b + x * (c + x * d)); }

/* Convection of one entry alone, for the frozen start. */
static double convectionAt(int entry, double t, double here) {
  double place = (sqrt(t - here) - ROOT_MIN) * ROOTS_PER_UNIT, airPlace = here - AIR_MIN;
  int i = (int)place, j = (int)airPlace;
  const double *c = tables + ((size_t)tableOf[entry] * AIR_CELLS * ROOT_CELLS + (size_t)j * ROOT_CELLS + i) * CELL;
  double x = place - i, y = airPlace - j, p[4];
  for (int m = 0; m < 4; m++) p[m] = c[m] + y * (c[m + 4] + y * (c[m + 8] + y * c[m + 12]));
  return p[0] + x * (p[1] + x * (p[2] + x * p[3]));
}

static int assembleLoss(void) {
  for (int i = 0; i < n; i++) {
    double here = air[i], airPlace = here - AIR_MIN;
    pair t = temperature[i];
    pair root = {sqrt(t[0] - here), sqrt(t[1] - here)};
    pair place = (root - both(ROOT_MIN)) * both(ROOTS_PER_UNIT);
    if (!(place[0] >= 0 && place[0] < ROOT_CELLS && place[1] >= 0 && place[1] < ROOT_CELLS && airPlace >= 0 && airPlace < AIR_CELLS)) return 0;
    int j = (int)airPlace, s = (int)place[0], r = (int)place[1];
    pair y = both(airPlace - j);
    const pair *a = (const pair *)(tables + ((size_t)tableOf[2 * i] * AIR_CELLS * ROOT_CELLS + (size_t)j * ROOT_CELLS + s) * CELL);
    const pair *b = (const pair *)(tables + ((size_t)tableOf[2 * i + 1] * AIR_CELLS * ROOT_CELLS + (size_t)j * ROOT_CELLS + r) * CELL);
    pair a01 = cubic(a[0], a[2], a[4], a[6], y), a23 = cubic(a[1], a[3], a[5], a[7], y);
    pair b01 = cubic(b[0], b[2], b[4], b[6], y), b23 = cubic(b[1], b[3], b[5], b[7], y);
    pair p0 = __builtin_shuffle(a01, b01, (bits){0, 2}), p1 = __builtin_shuffle(a01, b01, (bits){1, 3});
    pair p2 = __builtin_shuffle(a23, b23, (bits){0, 2}), p3 = __builtin_shuffle(a23, b23, (bits){1, 3});
    pair x = place - (pair){s, r};
    pair convection = cubic(p0, p1, p2, p3, x);
    pair slope = (p1 + x * (p2 + p2 + both(3) * x * p3)) * both(0.5 * ROOTS_PER_UNIT) / root;
    pair black = emissivity[i] * both(STEFAN_BOLTZMANN) * envelope[i], square = t * t;
    double other = radiant > 0 ? radiant : here, otherSquare = other * other;
    heat[i] = both(filmFactor) * convection + black * (square * square - both(otherSquare * otherSquare));
    heatSlope[i] = both(filmFactor) * slope + both(4) * black * square * t;
  }
  return 1;
}

static int linearise(double power, double order) {
  pair hr = both(2 * order / power), metres = both(pitch), below = both(0), belowDiagonal = both(0), belowRate = both(0),
    coupling = both(0), inverse = both(0), forward = both(0), forwardRate = both(0);
  for (int i = 0; i < n; i++) {
    double g = unitConductance[i];
    pair t = temperature[i], contact = contactHeat[i], slope = both(g) + metres * heatSlope[i];
    pair residual = contact + both(g) * (both(air[i] + unitRise[i]) - t) - metres * heat[i] + below;
    pair diagonal = slope - contactHeatSlope[i] + belowDiagonal;
    pair source = hr * contact + slope * both(airSlope[i]) + belowRate;
    pair m = coupling * inverse, lower = coupling;
    if (i > 0) multiplier[i - 1] = m;
    if (i < n - 1) {
      pair halfSquare = both(0.5 * segmentCurrent[i] * segmentCurrent[i]), up = temperature[i + 1];
      pair joule = halfSquare * (segmentOffset[i] + segmentSlope[i] * (t + up)), jouleSlope = halfSquare * segmentSlope[i];
      pair along = segmentConductance[i], flow = along * (t - up);
      residual += joule - flow;
      below = joule + flow;
      belowDiagonal = along - jouleSlope;
      diagonal += belowDiagonal;
      belowRate = hr * joule;
      source += belowRate;
      coupling = along + jouleSlope;
    }
    pair pivot = diagonal - lower * m;
    if (!(pivot[0] > 0 && pivot[1] > 0)) return 0;
    inverse = both(1) / pivot;
    inversePivot[i] = inverse;
    forward = residual + m * forward;
    forwardRate = source + m * forwardRate;
    change[i] = forward;
    rate[i] = forwardRate;
  }
  pair x = both(0), r = both(0);
  for (int i = n - 1; i >= 0; i--) {
    x = change[i] * inversePivot[i] + (i < n - 1 ? multiplier[i] * x : both(0));
    r = rate[i] * inversePivot[i] + (i < n - 1 ? multiplier[i] * r : both(0));
    change[i] = x;
    rate[i] = r;
  }
  return 1;
}

static void updateEdgeHeat(double relativeRate) {
  if (!anyAtEdge) return;
  heatRate = relativeRate;
  pair largest = both(0);
  for (int i = 0; i < n; i++) {
    if (edgeHeightAt[i] == 0) continue;
    double g = unitConductance[i];
    pair slope = spreadingHeatSlope[i] - both(g), path = both(g) * (both(air[i] + unitRise[i]) - temperature[i]);
    pair h = edgeLoadHeat[i] + path + slope * change[i];
    edgeHeat[i] = h;
    largest = pmax(largest, h);
    hotSpotOwnRate[i] = sheetThermal[i] * patchMiddle[i] * (slope * rate[i] + both(g * airSlope[i]) - both(relativeRate) * path);
  }
  for (int i = 0; i < n; i++) {
    hotSpotBound[i] = sheetThermal[i] * (patchMiddle[i] * pmax(both(0), edgeHeat[i]) + feltAtMost[i] * largest);
  }
}

static double hotSpotAt(int i, int p) {
  if (!anyAtEdge) return 0;
  double felt = 0;
  for (int k = feltFrom[i]; k <= feltTo[i]; k++) felt += mutual[i * n + k][p] * edgeHeat[k][p];
  felt += patchMiddle[i][p] * edgeHeat[i][p];
  return felt > 0 ? felt * sheetThermal[i][p] : 0;
}

static double hotSpotStep(double best, int i, int p, double far, double slope) {
  double spot = hotSpotAt(i, p), hotRoom = far - spot;
  double hotSlope = slope + (spot > 0 ? heatRate * spot + hotSpotOwnRate[i][p] : 0);
  if (hotRoom < 0 && !(hotSlope > 0)) return NAN;
  return hotRoom < best * hotSlope ? hotRoom / hotSlope : best;
}

static inline int areFar(pair far, pair slope, int i, double best) {
  for (int p = 0; p < 2; p++) {
    double own = hotSpotOwnRate[i][p], bound = hotSpotBound[i][p], left = far[p] - bound;
    double flattest = slope[p] + (own < 0 ? own : 0), steepest = slope[p] + heatRate * bound + (own > 0 ? own : 0);
    if (!(left >= best * steepest && left >= best * flattest && (left >= 0 || flattest > 0))) return 0;
  }
  return 1;
}

static double barStep(double best, double most, double aboveAir) {
  int nearest = 0, pole = 0;
  double least = INFINITY;
  for (int i = 0; i < n; i++) {
    pair far = both(aboveAir * air[i]) - (temperature[i] + change[i]);
    for (int p = 0; p < 2; p++) if (far[p] < least) { least = far[p]; nearest = i; pole = p; }
  }
  double lowest = hotSpotStep(best, nearest, pole, most + least, rate[nearest][pole] - aboveAir * airSlope[nearest]);
  for (int i = 0; i < n; i++) {
    pair far = both(most + aboveAir * air[i]) - (temperature[i] + change[i]), slope = rate[i] - both(aboveAir * airSlope[i]);
    if (areFar(far, slope, i, lowest)) continue;
    for (int p = 0; p < 2; p++) {
      lowest = hotSpotStep(lowest, i, p, far[p], slope[p]);
      if (isnan(lowest)) return lowest;
    }
  }
  return lowest;
}

static double contactStep(double best, double perPower, const contacts *c) {
  double lowest = best;
  for (int k = 0; k < c->count; k++) {
    int i = c->node[k];
    pair drop = both(c->current[k] * c->current[k] * c->thermalResistance[k]) * c->resistance[k];
    pair far = both(contactTemperature) - (temperature[i] + change[i] + drop), slope = rate[i] + both(2 * perPower) * drop;
    if (areFar(far, slope, i, lowest)) continue;
    for (int p = 0; p < 2; p++) {
      lowest = hotSpotStep(lowest, i, p, far[p], slope[p]);
      if (isnan(lowest)) return lowest;
    }
  }
  return lowest;
}

static double linearisedStep(double power, double order) {
  double perPower = order / power, best = INFINITY;
  updateEdgeHeat(2 * perPower);
  if (isfinite(barRise)) best = barStep(best, barRise, 1);
  if (isfinite(barTemperature)) best = barStep(best, barTemperature, 0);
  if (isnan(best)) return best;
  if (isfinite(contactTemperature)) {
    best = contactStep(best, perPower, &loads);
    if (!isnan(best)) best = contactStep(best, perPower, &sources);
    if (isnan(best)) return best;
  }
  for (int k = 0; k < sources.count; k++) {
    double current = sources.current[k];
    if (current == 0) continue;
    if (maxCurrent[k] - current < best * perPower * current) best = (maxCurrent[k] - current) / (perPower * current);
    int i = sources.node[k];
    double delivered = current * (voltage[i] + edgeVoltage[i] + current * (sources.resistance[k][0] + sources.resistance[k][1]));
    if (maxPower[k] - delivered < best * perPower * delivered) best = (maxPower[k] - delivered) / (perPower * delivered);
  }
  for (int l = 0; l < loads.count; l++) {
    if (share[l] == 0) continue;
    double current = loads.current[l];
    if (loadContactCurrent - current < best * perPower * current) best = (loadContactCurrent - current) / (perPower * current);
    if (lowestLoadVoltage > 0) {
      int i = loads.node[l];
      double at = voltage[i] + edgeVoltage[i] - current * (loads.resistance[l][0] + loads.resistance[l][1]);
      double slope = perPower * (setVoltage - at);
      if (at - lowestLoadVoltage < best * slope) best = (at - lowestLoadVoltage) / slope;
    }
  }
  return best;
}

static void setAir(double power) { for (int i = 0; i < n; i++) air[i] = airBase[i] + airSlope[i] * power; }

static int freezeFilms(double reference) {
  for (int i = 0; i < n; i++) temperature[i] = both(air[i] + reference);
  pair coupling = both(0), inverse = both(0);
  pair perKelvin = both(0);
  for (int i = 0; i < n; i++) {
    /* The lowest slot of a section stands for all. */
    for (int p = 0; p < 2; p++) {
      if (i > 0 && tableOf[2 * i + p] == tableOf[2 * i - 2 + p]) continue;
      double t = temperature[i][p], here = air[i], black = emissivity[i][p] * STEFAN_BOLTZMANN * envelope[i][p];
      double lost = filmFactor * convectionAt(2 * i + p, t, here) + black * (t * t * t * t - here * here * here * here);
      perKelvin[p] = fmax(0, pitch * lost / reference);
    }
    pair m = coupling * inverse;
    if (i > 0) frozenMultiplier[i - 1] = m;
    pair pivot = perKelvin + both(unitConductance[i]) + (coupling - coupling * m);
    if (i < n - 1) { coupling = segmentConductance[i]; pivot += coupling; }
    if (!(pivot[0] > 0 && pivot[1] > 0)) return 0;
    inverse = both(1) / pivot;
    frozenPivot[i] = inverse;
  }
  return 1;
}

static void solveFrozen(void) {
  pair below = both(0), forward = both(0);
  for (int i = 0; i < n; i++) {
    pair source = contactHeat[i] + below;
    if (i < n - 1) {
      below = both(0.5 * segmentCurrent[i] * segmentCurrent[i]) * (segmentOffset[i] + segmentSlope[i] * (temperature[i] + temperature[i + 1]));
      source += below;
    }
    forward = i > 0 ? source + frozenMultiplier[i - 1] * forward : source;
    coarse[i] = forward;
  }
  pair x = both(0);
  for (int i = n - 1; i >= 0; i--) {
    x = coarse[i] * frozenPivot[i] + (i < n - 1 ? frozenMultiplier[i] * x : both(0));
    coarse[i] = x;
  }
}

/* Estimate of the rated power and start, as coarseStart.ts. */
static double coarseStart(void) {
  setAir(0);
  double far = barRise;
  far = fmin(far, barTemperature - air[0]);
  far = fmin(far, contactTemperature - air[0]);
  double reference = isfinite(far) ? fmin(300, fmax(1, far)) : 50;
  int has = freezeFilms(reference);
  double weights = 0, estimate = INFINITY, current = 0;
  for (int k = 0; k < sources.count; k++) weights += weight[k];
  for (int i = 0; i < n; i++) {
    int k = sourceAt[i], l = loadAt[i];
    if (k >= 0) {
      double part = weight[k] / weights;
      weight[k] = part * weights;
      sources.current[k] = part / setVoltage;
      current += part / setVoltage;
      estimate = fmin(estimate, fmin(maxCurrent[k] * setVoltage / part, maxPower[k] / part));
    }
    if (l >= 0) {
      loads.current[l] = share[l] / setVoltage;
      current -= share[l] / setVoltage;
      if (share[l] > 0) estimate = fmin(estimate, loadContactCurrent * setVoltage / share[l]);
    }
    if (i < n - 1) segmentCurrent[i] = current;
  }
  for (int i = 0; i < n; i++) temperature[i] = both(air[i] + reference);
  updateContacts();
  memcpy(coarseVoltage, edgeVoltage, 8 * n);
  if (has) solveFrozen(); else for (int i = 0; i < n; i++) coarse[i] = both(0);
  memcpy(edgeHeat, edgeLoadHeat, sizeof(pair) * n);
  double steepest = 0;
  for (int i = 0; i < n; i++) steepest = fmax(steepest, fmax(coarse[i][0], coarse[i][1]));
  double near = 0.9 * steepest;
  for (int i = 0; i < n; i++)
    for (int p = 0; p < 2; p++) if (coarse[i][p] >= near) steepest = fmax(steepest, coarse[i][p] + hotSpotAt(i, p));
  if (steepest > 0) estimate = fmin(estimate, sqrt(reference / steepest));
  for (int k = 0; k < sources.count; k++) weight[k] /= weights;
  return isfinite(estimate) && estimate > 0 ? estimate : 100 * setVoltage;
}

static double left(double step, double last) {
  if (!(last > 0)) return INFINITY;
  double ratio = fmin(0.99, fmax(0.02, step / last));
  return fmax(step * ratio / (1 - ratio), 3e-5 * last);
}

/* W, or −1 where the joint search does not close. */
static double ratedPower(int *sweeps) {
  double power = coarseStart();
  setAir(power);
  for (int i = 0; i < n; i++) {
    contactVoltage[i] = power * coarseVoltage[i];
    for (int p = 0; p < 2; p++) temperature[i][p] = air[i] + fmin(300, power * power * coarse[i][p]);
  }
  double solvedPower = 0, lastStep = NAN, lastLargest = NAN;
  for (int sweep = 0; sweep < 20; sweep++) {
    double closure = sweep > 0 ? fmin(1e-5, fmax(1e-10, 1e-6 * fabs(lastStep / power))) : 1e-5;
    (*sweeps)++;
    setAir(power);
    for (int i = 0; i < n - 1; i++) {
      pair r = segmentOffset[i] + segmentSlope[i] * (temperature[i] + temperature[i + 1]);
      loopResistance[i] = r[0] + r[1];
    }
    if (solvedPower > 0) x1 *= power / solvedPower;
    else { x0 = setVoltage; x1 = power / setVoltage; }
    if (!solveCurrents(power, closure)) return -1;
    solvedPower = power;
    updateContacts();
    double order = fmin(2, fmax(1, totalCurrent * setVoltage / power));
    if (!assembleLoss() || !linearise(power, order)) return -1;
    double wanted = linearisedStep(power, order);
    if (!isfinite(wanted)) return -1;
    double step = fmax(-0.5 * power, fmin(power, wanted));
    pair most = both(0);
    for (int i = 0; i < n; i++) {
      pair delta = change[i] + rate[i] * both(step);
      most = pmax(most, pabs(delta));
      temperature[i] += delta;
    }
    double largest = fmax(most[0], most[1]);
    if (!(largest < 200)) return -1;
    for (int i = 0; i < n; i++) contactVoltage[i] *= 1 + step / power;
    power += step;
    if (fabs(step) <= 1e-4 * power && largest <= 0.02 && left(fabs(step), fabs(lastStep)) <= 1e-7 * power
      && left(largest, lastLargest) <= 1e-5) return power;
    lastStep = step;
    lastLargest = largest;
  }
  return -1;
}

static double seconds(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

int main(int argc, char **argv) {
  if (argc != 4) { fputs("usage: reference INPUT OUTPUT PASSES\n", stderr); return 2; }
  FILE *in = fopen(argv[1], "rb");
  if (!in) { perror(argv[1]); return 1; }
  fseek(in, 0, SEEK_END);
  long size = ftell(in);
  rewind(in);
  double *all = room(size);
  if (fread(all, 1, size, in) != (size_t)size) { fputs("short read\n", stderr); return 1; }
  fclose(in);
  cursor = all;
  int scenarios = (int)next();
  readRack();
  const double *first = cursor;
  double *answers = room(16 * scenarios);
  for (int pass = 0; pass < atoi(argv[3]); pass++) {
    cursor = first;
    double started = seconds();
    for (int s = 0; s < scenarios; s++) {
      int sweeps = 0;
      mount();
      answers[2 * s] = ratedPower(&sweeps);
      answers[2 * s + 1] = sweeps;
    }
    printf("%.9f\n", seconds() - started);
  }
  FILE *out = fopen(argv[2], "wb");
  if (!out || fwrite(answers, 16, scenarios, out) != (size_t)scenarios) { perror(argv[2]); return 1; }
  return fclose(out) == 0 ? 0 : 1;
}
