/* The page with a team already in it: one HTML file for a phone. */
#ifndef SIXTURN_PAGE_H
#define SIXTURN_PAGE_H

#include "sixturn/api.h"
#include "sixturn/error.h"

#include <stddef.h>

SX_C_BEGIN

/* page: the text of sixturn.html; team: that of a team file, read before. *out is to be freed with
 * free(); NULL on failure. SX_BAD_INPUT if the text is no page of ours. */
SX_API SxStatus sx_page_with_team(const char *page, size_t page_length, const char *team,
                                  size_t team_length, char **out, size_t *length, SxError *err);

SX_C_END

#endif
