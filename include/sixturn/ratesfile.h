/* Measured rates as a file ("sixturn-rates-1"): what a fit writes, and what replaces the model's
 * rates by rotation. */
#ifndef SIXTURN_RATESFILE_H
#define SIXTURN_RATESFILE_H

#include "sixturn/api.h"
#include "sixturn/fit.h"
#include "sixturn/rally.h"

SX_C_BEGIN

/* The file's text, to be freed with free(); NULL when memory runs out. */
SX_API char *sx_rates_json(const char *team, const SxRallyLog *log, const SxFit *fit);

/* Our rates by rotation, as measured against the opponents of the log. */
typedef struct {
    double rate[SX_PHASES][SX_ROTATIONS]; /* 0 to 1, both excluded */
    int rallies;
} SxOwnRates;

/* Those of a fit, as its file holds them. */
SX_API void sx_rates_of_fit(const SxRallyLog *log, const SxFit *fit, SxOwnRates *rates);

SX_API SxStatus sx_rates_parse(const char *text, size_t length, const char *file, SxOwnRates *rates,
                               SxError *err);
SX_API SxStatus sx_rates_read(const char *file, SxOwnRates *rates, SxError *err);

/* Puts measured rates in the place of the model's. What the model says of this opponent against an
 * average one stays, as a shift of the log-odds: model holds the rates against this opponent,
 * average those against an average one. */
SX_API void sx_rates_override(const SxOwnRates *measured, const SxRates *average, SxRates *model);

SX_C_END

#endif
