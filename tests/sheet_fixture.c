/* An invented team in a playing system, with its lineup set by hand. */
#include "sheet_fixture.h"

#include <criterion/criterion.h>
#include <glpk.h>
#include <stdio.h>
#include <string.h>

enum { PLAYERS = 9, LIBERO = 8, SPECIALIST = 7, SUBSTITUTE = 6 };

static const char *const names[NAME_SETS][PLAYERS] = {
    {"Ida Brook", "Mo Lind", "Ana Holt", "Eva Fenn", "Bo Carr", "Ana Vale", "Ula Reed", "Pia Wren",
     "Liv Moss"},
    {"Maximiliana-Theodora von Hohenwaldsteinburg", "Konstantina Papadimitropoulou-Karr",
     "Wilhelmine-Charlotte Oberstaufenberger", "Alexandrina Montgomery-Fotheringham",
     "Bartholomea Quackenbrueckenheimer", "Josephine-Antoinette de la Rochebrunelle",
     "Maximiliana-Theodora von Niederwald", "Wwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwwww Mmmmmmmmm",
     "Gwendolyn-Esmeralda Throckmortonshire"},
    {"Žofie Křížová", "Ελένη Παπαδάκη", "さくら 山本", "נועה לביא", "ليلى الحداد", "Åsa Öğünç",
     "Ngọc Ánh Đỗ", "Юлия Щербакова", "Mélanie D’Été"},
    {"<b>Ida</b> & Co", "Mo \"the wall\"", "Ana's <script>alert(1)</script>", "Eva\tTab\nLine",
     "Bo ]]>", "&amp;", "Ula\xff\xfe Reed", "  Pia  Wren  ", "\xe2\x80\xaeLiv\xe2\x80\xac Moss"},
};

static void make_team(SxTeam *team, NameSet set) {
    static const int numbers[PLAYERS] = {1, 4, 7, 8, 10, 12, 13, 21, 88};
    *team = (SxTeam){.name = "Harbour Lights", .player_count = PLAYERS};
    for (int p = 0; p < PLAYERS; p++) {
        SxPlayer *player = &team->players[p];
        snprintf(player->id, sizeof player->id, "p%d", p);
        snprintf(player->name, sizeof player->name, "%s", names[set][p]);
        player->number = numbers[p];
        player->available = true;
        for (int role = 0; role < SX_ROLE_COUNT; role++) {
            player->fitness[role] = 1;
        }
        for (int skill = 0; skill < SX_SKILL_COUNT; skill++) {
            player->skill[skill] = 4 + (p * 7 + skill * 3) % 6;
        }
    }
}

/* The libero stands in for the slot that plays middle and is in the back row. */
static int middle_in_back(const SxSystem *system, int rotation) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (sx_slot_row(s, rotation) == SX_BACK && system->duty[s][SX_FRONT].role == SX_MIDDLE) {
            return s;
        }
    }
    return -1;
}

/* The cheapest legal set of `passers`, or of fewer where the order has no room for so many. */
static const SxFormation *cheapest(const SheetFixture *fixture, int rotation, int passers) {
    const SxFormation *best = NULL;
    for (int mask = 0; mask < SX_MASKS; mask++) {
        const SxFormation *tried = sx_formation_at(fixture->table, rotation, mask,
                                                   sx_usual_sides(&fixture->system, rotation));
        if (tried && tried->feasible && __builtin_popcount(mask) == passers &&
            (!best || tried->cost < best->cost)) {
            best = tried;
        }
    }
    return best || passers == SX_MIN_PASSERS ? best : cheapest(fixture, rotation, passers - 1);
}

static void make_lineup(SheetFixture *fixture, int passers) {
    SxLineup *lineup = &fixture->lineup;
    *lineup = (SxLineup){.proof = SX_OPTIMAL, .start = 2, .libero_count = 1, .liberos = {LIBERO}};
    for (int s = 0; s < SX_SLOTS; s++) {
        lineup->order.front[s] = lineup->order.back[s] = s;
    }
    lineup->order.back[5] = SPECIALIST;
    for (int r = 0; r < SX_ROTATIONS; r++) {
        SxRotation *rotation = &lineup->rotation[r];
        rotation->weight = 1.0 / SX_ROTATIONS;
        rotation->libero_slot = middle_in_back(&fixture->system, r);
        rotation->libero = rotation->libero_slot < 0 ? -1 : LIBERO;
        rotation->receive = cheapest(fixture, r, passers);
        cr_assert_not_null(rotation->receive, "no formation in rotation %d", r + 1);
        rotation->passers = rotation->receive->passers;
        rotation->sides = rotation->receive->sides;
    }
    sx_lineup_score(&fixture->problem, lineup);
}

static void make_plan(SxPlan *plan) {
    *plan = (SxPlan){.passers = 1u << 2 | 1u << 3 | 1u << 4 | 1u << 5, .start = -1};
    for (int part = 0; part < SX_PARTS; part++) {
        plan->weight[part] = 1;
    }
    for (int r = 0; r < SX_ROTATIONS; r++) {
        plan->rotation_weight[r] = 1;
    }
}

/* Tables depend on the system alone, and tests draw the same ones again and again. */
static SxFormationTable *table_of(const SxSystem *system, unsigned sizes) {
    static SxFormationTable *built;
    static char id[SX_ID_SIZE];
    if (built && strcmp(id, system->id) == 0) {
        return built;
    }
    SxError err = {0};
    SxFormationOptions options;
    sx_formation_default(&options);
    sx_formation_table_free(built);
    glp_term_out(GLP_OFF);
    cr_assert_eq(sx_formation_table_build(system, sizes, false, &options, &built, &err), SX_OK,
                 "%s", err.message);
    snprintf(id, sizeof id, "%s", system->id);
    return built;
}

void sheet_fixture_make(SheetFixture *fixture, const char *system, NameSet set, int passers) {
    SxError err = {0};
    memset(fixture, 0, sizeof *fixture);
    make_team(&fixture->team, set);
    make_plan(&fixture->plan);
    cr_assert_eq(sx_rules_load("fivb-2024", &fixture->rules, &err), SX_OK, "%s", err.message);
    cr_assert_eq(sx_system_load(system, &fixture->system, &err), SX_OK, "%s", err.message);
    fixture->table = table_of(&fixture->system, fixture->plan.passers);
    fixture->problem = (SxProblem){.team = &fixture->team,
                                   .rules = &fixture->rules,
                                   .system = &fixture->system,
                                   .plan = &fixture->plan,
                                   .table = fixture->table};
    make_lineup(fixture, passers);
    SxFormationOptions options;
    sx_formation_default(&options);
    for (int r = 0; r < SX_ROTATIONS; r++) {
        cr_assert_eq(sx_formation_serve(&fixture->system, &fixture->rules, r, &options,
                                        &fixture->serve[r], &err),
                     SX_OK, "%s", err.message);
        fixture->odds.side_out[r] = 0.60 + 0.01 * r;
        fixture->odds.break_point[r] = 0.42 - 0.01 * r;
        fixture->odds.set_receiving[r] = 0.52;
        fixture->odds.set_serving[r] = 0.48;
    }
    fixture->odds.against = "an even opponent";
    sx_sheet_default(&fixture->sheet, &fixture->problem, &fixture->lineup);
    fixture->sheet.serve = fixture->serve;
    fixture->sheet.odds = &fixture->odds;
}

void sheet_fixture_add_thumb(SheetFixture *fixture) {
    static const SxConsidered exchange[] = {
        {SX_FOR_PAIR, 2, {0, 3}, {0, 3}, {SUBSTITUTE, SPECIALIST}},
        {SX_FOR_DEFENCE, 1, {1}, {1}, {SUBSTITUTE}},
        {SX_FOR_SERVE, 1, {4}, {4}, {SPECIALIST}}};
    enum { EXCHANGES = sizeof exchange / sizeof *exchange };
    fixture->advice = (SxAdvice){.count = EXCHANGES};
    memcpy(fixture->advice.exchange, exchange, sizeof exchange);
    fixture->thumb =
        (SxThumb){.count = 2 * EXCHANGES, .win = 0.546, .win_best = 0.552, .win_without = 0.531};
    for (int k = 0; k < fixture->thumb.count; k++) {
        fixture->thumb.rule[k] = (SxThumbRule){.exchange = k / 2,
                                               .make = k % 2 == 0,
                                               .ours = k,
                                               .phase = k % 3 ? SX_RECEIVE : SX_SERVE,
                                               .least_lead = k < 2 ? -8 : -SX_ANY_LEAD,
                                               .most_lead = k % 4 ? SX_ANY_LEAD : 6,
                                               .from_points = 5 * k};
    }
    fixture->sheet.thumb = &fixture->thumb;
    fixture->sheet.advice = &fixture->advice;
}
