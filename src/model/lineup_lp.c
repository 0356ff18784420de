/* Writes the lineup program to a file for other solvers.
 */
#include "core/numbers.h"
#include "model/lineup_model.h"
#include "sixturn/lineup.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

static bool ends_with(const char *text, const char *end) {
    size_t length = strlen(text);
    size_t tail = strlen(end);
    return length >= tail && strcmp(text + length - tail, end) == 0;
}

static void negate_objective(glp_prob *mip) {
    for (int j = 0; j <= glp_get_num_cols(mip); j++) {
        glp_set_obj_coef(mip, j, -glp_get_obj_coef(mip, j));
    }
    glp_set_obj_dir(mip, glp_get_obj_dir(mip) == GLP_MAX ? GLP_MIN : GLP_MAX);
}

/* Readers of MPS differ on how a maximum is marked, so there the negative score is minimised. */
static int write_as(glp_prob *mip, bool mps, const char *file) {
    SX_PLAIN_NUMBERS;
    if (!mps) {
        return glp_write_lp(mip, NULL, file);
    }
    negate_objective(mip);
    int failed = glp_write_mps(mip, GLP_MPS_FILE, NULL, file);
    negate_objective(mip);
    return failed;
}

/* The file beside the target into which it is written first; false if its name is too long. */
static bool part_of(const char *file, char part[SX_ERROR_FILE]) {
    return snprintf(part, SX_ERROR_FILE, "%s.part", file) < SX_ERROR_FILE;
}

static void remove_part(const char *file) {
    char part[SX_ERROR_FILE];
    if (part_of(file, part)) {
        remove(part);
    }
}

/* All or nothing: written beside the target, then renamed. */
static SxStatus write_program(glp_prob *mip, const char *file, SxError *err) {
    bool mps = ends_with(file, ".mps");
    if (!mps && !ends_with(file, ".lp")) {
        return sx_fail(err, SX_USAGE,
                       "cannot tell the model's format from '%s'; end it in .lp or .mps", file);
    }
    char part[SX_ERROR_FILE];
    errno = 0;
    if (part_of(file, part) && write_as(mip, mps, part) == 0 && rename(part, file) == 0) {
        return SX_OK;
    }
    const int reason = errno;
    const char *why = reason ? strerror(reason) : "the file's name is too long";
    remove_part(file);
    if (reason == ENOMEM) {
        return sx_out_of_memory(err);
    }
    snprintf(err->file, sizeof err->file, "%s", file);
    return sx_fail(err, SX_NO_WRITE, "cannot write the model: %s", why);
}

static SxStatus write_built(LineupModel *model, void *data, SxError *err) {
    const char *const *file = data;
    return write_program(model->mip, *file, err);
}

SxStatus sx_lineup_write_model(const SxProblem *problem, const char *file, SxError *err) {
    const SxStatus status = sx_lineup_model_run(problem, write_built, &file, err);
    if (sx_is_failure(status)) {
        remove_part(file); /* the solver may have left it half-way */
    }
    return status;
}
