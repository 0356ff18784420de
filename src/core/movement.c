/* Runs: how long they take and which of them meet. */
#include "sixturn/movement.h"

#include <math.h>

/* See the header for what is from where. */
static const SxMovement usual = {.reaction = 0.20, .acceleration = 9.5, .top_speed = 6.0};
static const SxBallTimes usual_ball = {
    .serve = 1.14, .pass = 1.3, .set = 1.0, .quick = 0.3, .rise = 0.29, .lead = 0.5};

static const double sample = 0.01; /* seconds; two runners close in by 9 cm at most */
static const double fine = 1e-6;   /* seconds; the nearest moment is refined to this */
static const double grain = 1e-6;  /* metres; a tie with start or end is no crossing */
static const double golden = 0.618033988749895;

void sx_movement_default(SxMovement *movement) {
    *movement = usual;
}

void sx_ball_times_default(SxBallTimes *times) {
    *times = usual_ball;
}

/* Metres until the top speed is reached. */
static double build_up(const SxMovement *m) {
    return m->top_speed * m->top_speed / (2 * m->acceleration);
}

double sx_run_time(const SxMovement *m, double distance) {
    if (distance <= 0) {
        return 0;
    }
    if (distance <= build_up(m)) {
        return m->reaction + sqrt(2 * distance / m->acceleration);
    }
    return m->reaction + m->top_speed / m->acceleration + (distance - build_up(m)) / m->top_speed;
}

double sx_late(const SxMovement *m, SxSpot from, SxSpot to, double start, double due) {
    return fmax(start + sx_run_time(m, sx_distance(from, to)) - due, 0);
}

double sx_run_length(const SxMovement *m, double time) {
    double running = fmax(time - m->reaction, 0);
    if (running <= m->top_speed / m->acceleration) {
        return m->acceleration * running * running / 2;
    }
    return m->top_speed * running - build_up(m);
}

SxSpot sx_run_at(const SxMovement *m, SxSpot from, SxSpot to, double time) {
    double whole = sx_distance(from, to);
    double share = whole > 0 ? fmin(sx_run_length(m, time) / whole, 1) : 1;
    return (SxSpot){from.x + share * (to.x - from.x), from.y + share * (to.y - from.y)};
}

typedef struct {
    const SxMovement *movement;
    SxSpot from[2], to[2];
} Couple;

static double apart(const Couple *couple, double time) {
    return sx_distance(sx_run_at(couple->movement, couple->from[0], couple->to[0], time),
                       sx_run_at(couple->movement, couple->from[1], couple->to[1], time));
}

/* Golden section search for the nearest moment between two times. */
static double nearest_between(const Couple *couple, double early, double late) {
    while (late - early > fine) {
        double one = late - golden * (late - early), two = early + golden * (late - early);
        if (apart(couple, one) < apart(couple, two)) {
            late = two;
        } else {
            early = one;
        }
    }
    return (early + late) / 2;
}

static double nearest_moment(const Couple *couple, double end) {
    double best = 0, least = apart(couple, 0);
    int steps = (int)ceil(end / sample);
    for (int k = 1; k <= steps; k++) {
        double distance = apart(couple, k * sample);
        if (distance < least) {
            least = distance;
            best = k * sample;
        }
    }
    return nearest_between(couple, fmax(best - sample, 0), fmin(best + sample, end));
}

int sx_run_crossings(const SxMovement *movement, const SxSpot from[SX_SLOTS],
                     const SxSpot to[SX_SLOTS], double room, SxCrossing out[SX_MAX_CROSSINGS]) {
    int count = 0;
    for (int a = 0; a < SX_SLOTS; a++) {
        for (int b = a + 1; b < SX_SLOTS; b++) {
            Couple couple = {movement, {from[a], from[b]}, {to[a], to[b]}};
            double end = fmax(sx_run_time(movement, sx_distance(from[a], to[a])),
                              sx_run_time(movement, sx_distance(from[b], to[b])));
            double time = nearest_moment(&couple, end), distance = apart(&couple, time);
            double ends = fmin(apart(&couple, 0), apart(&couple, end));
            if (distance < room && distance < ends - grain) {
                out[count++] = (SxCrossing){a, b, time, distance};
            }
        }
    }
    return count;
}
