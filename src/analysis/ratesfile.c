/* Measured rates as a file, and in the place of the model's. */
#include "sixturn/ratesfile.h"

#include "core/jsonread.h"
#include "core/jsonwrite.h"
#include "core/numbers.h"
#include "core/text.h"

#include <stdlib.h>
#include <string.h>

static const double LEAST_RATE = 1e-6; /* a measured rate is never certain */

static cJSON *measured_json(const SxMeasured *measured) {
    cJSON *item = cJSON_CreateObject();
    sx_put_number(item, "rate", measured->rate);
    sx_put_number(item, "low", measured->low);
    sx_put_number(item, "high", measured->high);
    sx_put_number(item, "won", measured->seen.won);
    sx_put_number(item, "played", measured->seen.played);
    return item;
}

char *sx_rates_json(const char *team, const SxRallyLog *log, const SxFit *fit) {
    static const char *const names[SX_PHASES] = {[SX_RECEIVE] = "receive", [SX_SERVE] = "serve"};
    cJSON *root = cJSON_CreateObject();
    sx_put_text(root, "format", "sixturn-rates-1");
    sx_put_text(root, "team", team);
    sx_put_number(root, "rallies", log->rallies);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        cJSON *list = sx_put_array(root, names[phase]);
        for (int r = 0; r < SX_ROTATIONS; r++) {
            sx_push(list, measured_json(&fit->rotation[phase][r]));
        }
    }
    return sx_put_print(root);
}

void sx_rates_of_fit(const SxRallyLog *log, const SxFit *fit, SxOwnRates *rates) {
    rates->rallies = log->rallies;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        for (int r = 0; r < SX_ROTATIONS; r++) {
            rates->rate[phase][r] = fit->rotation[phase][r].rate;
        }
    }
}

static void read_rate(const SxJsonAt *at, double *rate) {
    enum { RATE, LOW, HIGH, WON, PLAYED, FIELDS };
    static const char *const keys[FIELDS] = {"rate", "low", "high", "won", "played"};
    SxJsonAt member[FIELDS];
    double bound = 0;
    sx_json_members(at, keys, FIELDS, member);
    sx_json_number(&member[RATE], LEAST_RATE, 1 - LEAST_RATE, rate);
    for (int k = LOW; k <= HIGH; k++) {
        if (sx_json_given(&member[k])) {
            sx_json_number(&member[k], 0, 1, &bound);
        }
    }
    for (int k = WON; k <= PLAYED; k++) {
        if (sx_json_given(&member[k])) {
            sx_json_number(&member[k], 0, 1e9, &bound);
        }
    }
}

static void read_rates(const SxJsonAt *root, void *value, const void *context) {
    enum { FORMAT, TEAM, RALLIES, RECEIVE, SERVE, FIELDS };
    static const char *const keys[FIELDS] = {"format", "team", "rallies", "receive", "serve"};
    SxJsonAt at[FIELDS];
    char team[SX_NAME_SIZE];
    SxOwnRates *rates = value;
    (void)context;
    sx_json_members(root, keys, FIELDS, at);
    sx_json_text(&at[TEAM], team, sizeof team);
    sx_json_integer(&at[RALLIES], 0, 1000000000, &rates->rallies);
    for (int phase = 0; phase < SX_PHASES; phase++) {
        const SxJsonAt *list = &at[phase == SX_RECEIVE ? RECEIVE : SERVE];
        if (sx_json_array(list, SX_ROTATIONS, SX_ROTATIONS)) {
            for (SxJsonAt e = sx_json_first(list); e.item; sx_json_next(&e)) {
                read_rate(&e, &rates->rate[phase][e.index]);
            }
        }
    }
}

static const SxJsonKind rates_kind = {"sixturn-rates-1", sizeof(SxOwnRates), read_rates};

SxStatus sx_rates_parse(const char *text, size_t length, const char *file, SxOwnRates *rates,
                        SxError *err) {
    return sx_json_parse(&rates_kind, text, length, file, NULL, rates, err);
}

SxStatus sx_rates_read(const char *file, SxOwnRates *rates, SxError *err) {
    return sx_json_parse(&rates_kind, NULL, 0, file, NULL, rates, err);
}

/* The rate that lies as far from measured, on the log-odds scale, as model does from average. */
static double shifted(double measured, double average, double model) {
    const double odds =
        measured / (1 - measured) * (model / (1 - model)) / (average / (1 - average));
    return odds / (1 + odds);
}

void sx_rates_override(const SxOwnRates *measured, const SxRates *average, SxRates *model) {
    for (int i = 0; i < SX_ROTATIONS; i++) {
        for (int j = 0; j < SX_ROTATIONS; j++) {
            model->receive[i][j] = shifted(measured->rate[SX_RECEIVE][i], average->receive[i][j],
                                           model->receive[i][j]);
            model->serve[i][j] =
                shifted(measured->rate[SX_SERVE][i], average->serve[i][j], model->serve[i][j]);
        }
    }
}
