/* Plan files: JSON, or a sheet of wishes. */
#include "core/text.h"
#include "core/wishsheet.h"
#include "sixturn/plan.h"
#include "sixturn/wishes.h"

#include <stdlib.h>

SxStatus sx_plan_parse(const char *text, size_t length, const char *file, const SxTeam *team,
                       SxPlan *plan, SxError *err) {
    return sx_is_sheet_name(file) ? sx_wishes_parse(text, length, file, team, plan, err)
                                  : sx_plan_parse_json(text, length, file, team, plan, err);
}

SxStatus sx_plan_read(const char *file, const SxTeam *team, SxPlan *plan, SxError *err) {
    char *text = NULL;
    size_t length = 0;
    SxStatus status = sx_text_read_file(file, &text, &length, err);
    if (status == SX_OK) {
        status = sx_plan_parse(text, length, file, team, plan, err);
    }
    free(text);
    return status;
}
