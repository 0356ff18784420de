/* How long the drawings take beyond the plan itself: the whole PDF of a demo team, a card, and the
 * report page. The aim is 0.4 s for the PDF, fonts included: the first run of a program pays for
 * finding them. */
#include "sixturn/plan.h"
#include "sixturn/report.h"
#include "sixturn/sheet.h"

#include <glpk.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static const double aim = 0.4; /* seconds */

static double seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static bool check(SxStatus status, const SxError *err) {
    if (status != SX_OK) {
        fprintf(stderr, "%s\n", err->message);
    }
    return status == SX_OK;
}

static double time_of(const SxSheet *sheet, SxSheetFile kind) {
    char *bytes;
    size_t size;
    SxError err = {0};
    double start = seconds();
    if (!check(sx_sheet_render(sheet, kind, &bytes, &size, &err), &err)) {
        exit(SX_INTERNAL);
    }
    free(bytes);
    return seconds() - start;
}

static double time_of_report(const SxSheet *sheet) {
    SxHtml report = {.sheet = *sheet};
    char *bytes;
    size_t size;
    SxError err = {0};
    double start = seconds();
    if (!check(sx_html_render(&report, &bytes, &size, &err), &err)) {
        exit(SX_INTERNAL);
    }
    free(bytes);
    return seconds() - start;
}

int main(int argc, char **argv) {
    static SxTeam team;
    static SxRules rules;
    static SxSystem system;
    static SxPlan plan;
    static SxLineup lineup;
    static SxServeFormations serve;
    SxFormationTable *table = NULL;
    SxError err = {0};
    glp_term_out(GLP_OFF);
    sx_plan_default(&plan);
    if (!check(sx_team_read(argc > 1 ? argv[1] : "datasets/club-16.json", &team, &err), &err) ||
        !check(sx_rules_load("fivb-2024", &rules, &err), &err) ||
        !check(sx_system_load("5-1-outside", &system, &err), &err) ||
        !check(sx_formation_table_build(&system, plan.passers, false, NULL, &table, &err), &err)) {
        return SX_INTERNAL;
    }
    SxProblem problem = {&team, &rules, &system, &plan, table, NULL, NULL};
    if (!check(sx_lineup_solve(&problem, NULL, &lineup, &err), &err) ||
        !check(sx_serve_formations(&problem, NULL, &serve, &err), &err)) {
        return SX_INTERNAL;
    }
    SxSheet sheet;
    sx_sheet_default(&sheet, &problem, &lineup);
    sheet.serve = serve.at;
    double first = time_of(&sheet, SX_FILE_PDF);
    printf("PDF, first      %6.3f s (aim %.1f s)\n", first, aim);
    printf("PDF, again      %6.3f s\n", time_of(&sheet, SX_FILE_PDF));
    printf("SVG             %6.3f s\n", time_of(&sheet, SX_FILE_SVG));
    printf("PNG             %6.3f s\n", time_of(&sheet, SX_FILE_PNG));
    printf("report          %6.3f s\n", time_of_report(&sheet));
    sheet.player = lineup.order.front[0];
    printf("card, PDF       %6.3f s\n", time_of(&sheet, SX_FILE_PDF));
    sx_formation_table_free(table);
    glp_free_env();
    return first <= aim ? SX_OK : SX_NO;
}
