/* Other formations of one rotation, as text and as JSON. */
#include "sixturn/receivereport.h"

#include "core/jsonwrite.h"
#include "report/lines.h"
#include "report/matchday.h"
#include "sixturn/evaluate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { INDENT = 13 };             /* the width of the words before each list */
static const double long_way = 5; /* metres that are worth a word */
static const double told = 0.05;  /* of sets and of metres: what one decimal shows */

/* Those who stand there as planned, in a formation that may be another one. */
typedef struct {
    FILE *out;
    const SxProblem *problem;
    const SxLineup *lineup;
    const SxFormation *planned;
    const SxFormation *formation;
    int rotation;
} Scene;

static const SxPlayer *at_slot(const Scene *scene, int slot) {
    return &scene->problem->team
                ->players[sx_on_court(scene->lineup, scene->rotation, SX_RECEIVE, slot)];
}

static int shirt(const Scene *scene, int slot) {
    return at_slot(scene, slot)->number;
}

static bool is_front(const Scene *scene, int slot) {
    return sx_slot_row(slot, scene->rotation) == SX_FRONT;
}

static bool hits_away(const Scene *scene, int slot) {
    const int player = sx_slot_player(scene->lineup, scene->rotation, slot);
    return sx_is_front_hitter(scene->problem->system, scene->rotation, slot) &&
           sx_attacks_away(scene->problem, player, scene->rotation, slot, scene->formation->sides);
}

/* "from the left" of so many lanes */
static const char *lane_words(int lane, int of) {
    static const char *const words[SX_MAX_PASSERS + 1][SX_MAX_PASSERS] = {
        [2] = {"left", "right"},
        [3] = {"left", "centre", "right"},
        [4] = {"far left", "left", "right", "far right"},
        [5] = {"far left", "left", "centre", "right", "far right"},
    };
    return words[of][lane];
}

/* --- words --------------------------------------------------------------------------------------
 */

static void print_passers(const Scene *scene) {
    const SxFormation *f = scene->formation;
    const int passers = sx_count_members(f->passers);
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "  Passes   ");
    for (int lane = 0, count = 0; lane < passers; lane++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            if (f->passers >> s & 1 && f->lane[s] == lane) {
                sx_phrase_add(&phrase, "%s #%d %s", count++ ? "," : "", shirt(scene, s),
                              lane_words(lane, passers));
            }
        }
    }
    sx_lines_wrap_spaced(scene->out, phrase.text, INDENT);
}

static void print_setter(const Scene *scene, int hides_behind) {
    const int setter = scene->problem->system->setter_slot[scene->rotation];
    const SxFormation *f = scene->formation;
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "  Setter    #%d ", shirt(scene, setter));
    if (f->passers >> setter & 1) {
        sx_phrase_add(&phrase, "passes herself");
    } else if (is_front(scene, setter)) {
        sx_phrase_add(&phrase, "is in the front row, %.1f m from the net,", f->spot[setter].y);
    } else if (hides_behind >= 0) {
        sx_phrase_add(&phrase, "hides behind or beside #%d", shirt(scene, hides_behind));
    } else {
        sx_phrase_add(&phrase, "waits %.1f m from the left side line, %.1f m from the net,",
                      f->spot[setter].x, f->spot[setter].y);
    }
    sx_phrase_add(&phrase, " and runs %.1f m", f->run[setter]);
    sx_lines_wrap_spaced(scene->out, phrase.text, INDENT);
}

static void print_hitters(const Scene *scene) {
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "  Attack    ");
    sx_phrase_hitters(&phrase, scene->problem, scene->lineup, scene->rotation, scene->formation);
    sx_lines_wrap_spaced(scene->out, phrase.text, INDENT);
}

/* What it asks of whom, beside what is planned. */
static void add_asks(const Scene *scene, Phrase *phrase) {
    const SxFormation *f = scene->formation;
    const SxFormation *own = scene->planned;
    const unsigned more = f->passers & ~own->passers, fewer = own->passers & ~f->passers;
    const char *between = "";
    for (int s = 0; s < SX_SLOTS; s++) {
        if (more >> s & 1) {
            sx_phrase_add(phrase, "%s#%d passes", between, shirt(scene, s));
            between = ", ";
        }
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        if (fewer >> s & 1) {
            sx_phrase_add(phrase, "%s#%d does not pass", between, shirt(scene, s));
            between = ", ";
        }
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        const double further = f->run[s] - own->run[s];
        if (f->late[s] - own->late[s] >= told) {
            sx_phrase_add(phrase, "%s#%d runs %.1f m and comes %.1f s late", between,
                          shirt(scene, s), f->run[s], f->late[s]);
            between = ", ";
        } else if ((f->run[s] >= long_way && further >= told) || further >= SX_ELSEWHERE) {
            sx_phrase_add(phrase, "%s#%d runs %.1f m", between, shirt(scene, s), f->run[s]);
            between = ", ";
        }
    }
    if (phrase->used == 0) {
        sx_phrase_add(phrase, "nothing of anybody that the plan does not ask");
    }
}

static void print_words(const Scene *scene, int hides_behind) {
    Phrase asks = {.used = 0}, line = {.used = 0};
    print_passers(scene);
    print_setter(scene, hides_behind);
    print_hitters(scene);
    if (scene->formation != scene->planned) {
        add_asks(scene, &asks);
        sx_phrase_add(&line, "  Asks      %s", asks.text);
        sx_lines_wrap_spaced(scene->out, line.text, INDENT);
    }
}

static void print_price(FILE *out, const SxAlternative *item, int number, double run) {
    Phrase phrase = {.used = 0};
    sx_phrase_add(&phrase, "Choice %d: ", number);
    if (fabs(item->sets) < told) {
        sx_phrase_add(&phrase, "costs no sets");
    } else {
        sx_phrase_add(&phrase, "%s %.1f sets of 100", item->sets > 0 ? "costs" : "wins",
                      fabs(item->sets));
    }
    sx_phrase_add(&phrase, ", %+.1f m to move", item->run - run);
    sx_lines_wrap(out, 0, 4, phrase.text);
}

static void print_head(FILE *out, const SxProblem *problem, const SxAlternatives *others) {
    Phrase phrase = {.used = 0};
    sx_lines_line(out, "%s: what else to do in rotation %d when they serve; system %s\n",
                  problem->team->name, others->rotation + 1, problem->system->id);
    sx_phrase_add(&phrase,
                  "The order, the libero and the other rotations stay as planned. Looked at: %s"
                  "%d choices of who passes and who attacks from where; of each the cheapest "
                  "formations, proven.%s",
                  others->whole ? "all " : "", others->choices,
                  others->whole ? "" : " The time was up before all were looked at.");
    sx_lines_wrap(out, 0, 0, phrase.text);
}

static void print_kept(FILE *out, const SxAlternatives *others, int kept) {
    if (kept) {
        sx_lines_line(out, "\nKept in the plan: choice %d as the formation of rotation %d.", kept,
                      others->rotation + 1);
    } else if (others->count) {
        sx_lines_wrap(out, 0, 0,
                      "\nTo play one of them: --keep with its number writes it into the "
                      "plan, and plan says what it costs with the lineup planned anew.");
    }
}

char *sx_receive_text(const SxProblem *problem, const SxLineup *lineup,
                      const SxAlternatives *others, int kept) {
    Lines page;
    if (!sx_lines_open(&page)) {
        return NULL;
    }
    const int r = others->rotation;
    const SxFormation *planned = lineup->rotation[r].receive;
    Scene scene = {page.out, problem, lineup, planned, planned, r};
    print_head(page.out, problem, others);
    fprintf(page.out, "\nAs planned: wins %.1f of 100 sets, %.1f m to move\n",
            SX_SETS * others->win, others->run);
    print_words(&scene, others->hides_behind);
    sx_receive_court(page.out, problem, lineup, r, planned);
    for (int k = 0; k < others->count; k++) {
        const SxAlternative *item = &others->item[k];
        scene.formation = &item->formation;
        fputc('\n', page.out);
        print_price(page.out, item, k + 1, others->run);
        print_words(&scene, item->hides_behind);
        sx_receive_court(page.out, problem, lineup, r, &item->formation);
    }
    if (others->count == 0) {
        fputs("\nNothing else is possible.\n", page.out);
    }
    print_kept(page.out, others, kept);
    sx_lines_caution(page.out);
    return sx_lines_close(&page);
}

/* --- JSON ---------------------------------------------------------------------------------------
 */

static void put_spots(cJSON *item, const Scene *scene) {
    const SxFormation *f = scene->formation;
    cJSON *list = sx_put_array(item, "spots");
    for (int position = 1; position <= SX_POSITIONS; position++) {
        const int slot = sx_slot_at(position, scene->rotation);
        cJSON *spot = sx_push_object(list);
        sx_put_number(spot, "position", position);
        sx_put_text(spot, "player", at_slot(scene, slot)->id);
        sx_put_number(spot, "x", sx_json_metres(f->spot[slot].x));
        sx_put_number(spot, "y", sx_json_metres(f->spot[slot].y));
        sx_put_bool(spot, "passer", f->passers >> slot & 1);
        sx_put_number(spot, "run", f->run[slot]);
        sx_put_number(spot, "late", f->late[slot]);
        if (sx_is_front_hitter(scene->problem->system, scene->rotation, slot)) {
            sx_put_text(spot, "attacks_from", sx_lane_name(sx_side_lane(f->sides, position)));
            sx_put_bool(spot, "usual_side", !hits_away(scene, slot));
        }
    }
}

static void put_formation(cJSON *item, const Scene *scene) {
    const SxFormation *f = scene->formation;
    cJSON *passers = sx_put_array(item, "passers"); /* from left to right */
    for (int lane = 0; lane < SX_MAX_PASSERS; lane++) {
        for (int s = 0; s < SX_SLOTS; s++) {
            if (f->passers >> s & 1 && f->lane[s] == lane) {
                sx_push(passers, cJSON_CreateString(at_slot(scene, s)->id));
            }
        }
    }
    put_spots(item, scene);
    sx_put_number(item, "margin", f->margin);
    sx_put_number(item, "cost", f->cost);
}

static void put_hiding(cJSON *item, const Scene *scene, int hides_behind) {
    if (hides_behind >= 0) {
        sx_put_text(item, "setter_behind", at_slot(scene, hides_behind)->id);
    } else {
        sx_put_null(item, "setter_behind");
    }
}

static void put_choice(cJSON *list, const Scene *scene, const SxAlternative *choice, int number) {
    Phrase asks = {.used = 0};
    cJSON *item = sx_push_object(list);
    add_asks(scene, &asks);
    sx_put_number(item, "choice", number);
    sx_put_number(item, "sets", choice->sets);
    sx_put_number(item, "run", choice->run);
    put_hiding(item, scene, choice->hides_behind);
    sx_put_text(item, "asks", asks.text);
    put_formation(item, scene);
}

char *sx_receive_json(const SxProblem *problem, const SxLineup *lineup,
                      const SxAlternatives *others, int kept, const char *plan) {
    SX_PLAIN_NUMBERS;
    const int r = others->rotation;
    cJSON *root = cJSON_CreateObject();
    const SxFormation *planned = lineup->rotation[r].receive;
    Scene scene = {NULL, problem, lineup, planned, planned, r};
    sx_put_text(root, "format", "sixturn-receive-1");
    sx_put_text(root, "team", problem->team->name);
    sx_put_text(root, "system", problem->system->id);
    sx_put_number(root, "rotation", r + 1);
    sx_put_number(root, "looked_at", others->choices);
    sx_put_bool(root, "whole", others->whole);
    cJSON *own = sx_put_object(root, "planned");
    sx_put_number(own, "sets", SX_SETS * others->win);
    sx_put_number(own, "run", others->run);
    put_hiding(own, &scene, others->hides_behind);
    put_formation(own, &scene);
    cJSON *list = sx_put_array(root, "choices");
    for (int k = 0; k < others->count; k++) {
        scene.formation = &others->item[k].formation;
        put_choice(list, &scene, &others->item[k], k + 1);
    }
    if (kept) {
        sx_put_number(root, "kept", kept);
        sx_put(root, "plan", cJSON_Parse(plan));
    }
    return sx_put_print(root);
}
