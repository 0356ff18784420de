/* Any bytes as a rally log, an opponent, measured rates and a rally model: an error with a message,
 * or a result that the rest can work with. */
#include "sixturn/fit.h"
#include "sixturn/opponent.h"
#include "sixturn/ratesfile.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must_explain(SxStatus status, const SxError *err) {
    if (status != SX_OK && err->message[0] == '\0') {
        abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    const char *text = (const char *)data;
    const double even[SX_PHASES] = {0.5, 0.5};
    SxError err[5] = {{.status = SX_OK}};
    SxRallyLog log;
    SxOpponent opponent;
    SxOwnRates rates;
    SxRallyModel model;
    SxStatus status = sx_rally_log_parse(text, size, "fuzz.csv", &log, &err[0]);
    must_explain(status, &err[0]);
    if (status == SX_OK) {
        SxFit fit;
        if (sx_fit(&log, even, &fit, NULL) != SX_OK || !(fit.team[SX_SERVE].rate > 0)) {
            abort();
        }
    }
    must_explain(sx_opponent_parse(text, size, "fuzz.json", &opponent, &err[1]), &err[1]);
    must_explain(sx_opponent_parse(text, size, "fuzz.csv", &opponent, &err[4]), &err[4]);
    must_explain(sx_rates_parse(text, size, "fuzz.json", &rates, &err[2]), &err[2]);
    status = sx_rally_parse(text, size, "fuzz.json", &model, &err[3]);
    must_explain(status, &err[3]);
    if (status == SX_OK) {
        const SxSide average = sx_average_side();
        const double side_out = sx_side_out(&model, &average, &average);
        if (!(side_out > 0 && side_out < 1)) {
            abort();
        }
    }
    return 0;
}
