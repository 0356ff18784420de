/* One formation on one half court, to scale: marks at their spots, runs, order lines, labels.
 *
 * Order of work: everything whose place is fixed by the formation first, then the texts, each in
 * the nearest room that is left. */
#include "draw/halfcourt.h"
#include "draw/place.h"
#include "draw/studio.h"
#include "draw/words.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>

const SxCourtStyle sx_court_page = {.half = 3.7,
                                    .number_size = 10,
                                    .name_size = 8.5,
                                    .note_size = 7.5,
                                    .name_limit = 27,
                                    .focus = -1};
const SxCourtStyle sx_court_screen = {
    .half = 3.3, .number_size = 9, .name_size = 8, .note_size = 7.5, .name_limit = 22, .focus = -1};
const SxCourtStyle sx_court_card = {
    .half = 2.5, .number_size = 7, .name_size = 7, .note_size = 7, .name_limit = 18, .focus = -1};

static const double standing = 0.30;  /* metres: a shorter run is not drawn */
static const double spot_dot = 0.7;   /* radius of the dot for a mark that had to step aside */
static const double close_by = 8;     /* cost of a place that leaves nothing to wish for */
static const double price_of_cut = 8; /* what a shorter name costs against a walk */
static const double least_name = 6;   /* millimetres left of a name at the least */
static const double thin = 0.2, medium = 0.35, thick = 0.6; /* strokes, millimetres */

typedef struct {
    const SxStudio *studio;
    SxPage *page;
    SxCourtStyle style;
    SxBox frame;    /* what the court drawing may use */
    SxPoint origin; /* of the court: left end of the centre line */
    double scale;
    int first; /* the court's first item on the page */
    int rotation;
    SxPhase phase;
    const SxFormation *formation;
    SxPoint spot[SX_SLOTS], mark[SX_SLOTS];
} Court;

static const char *phase_word(SxPhase phase) {
    return phase == SX_RECEIVE ? "receive" : "serve";
}

static const char *item_id(const Court *court, char *id, const char *part) {
    snprintf(id, SX_ITEM_ID, "r%d-%s-%s", court->rotation + 1, phase_word(court->phase), part);
    return id;
}

static const char *slot_id(const Court *court, char *id, int slot, const char *part) {
    snprintf(id, SX_ITEM_ID, "r%d-%s-s%d-%s", court->rotation + 1, phase_word(court->phase), slot,
             part);
    return id;
}

static void widen(SxCourtView *view, SxSpot spot, double air) {
    view->left = fmin(view->left, spot.x - air);
    view->right = fmax(view->right, spot.x + air);
    view->top = fmin(view->top, spot.y - air);
    view->bottom = fmax(view->bottom, spot.y + air);
}

SxCourtView sx_court_view(const SxSheet *sheet) {
    SxCourtView view = {-0.5, -0.3, SX_COURT_WIDTH + 0.5, SX_COURT_DEPTH + 0.5};
    for (int phase = 0; phase < SX_PHASES; phase++) {
        if ((phase == SX_RECEIVE && sheet->show == SX_SHOW_SERVE) ||
            (phase == SX_SERVE && sheet->show == SX_SHOW_RECEIVE)) {
            continue;
        }
        for (int r = 0; r < SX_ROTATIONS; r++) {
            const SxFormation *formation = sx_sheet_formation(sheet, r, phase);
            for (int s = 0; formation && s < SX_SLOTS; s++) {
                widen(&view, formation->spot[s], 0.65);
                widen(&view, sx_sheet_task(sheet, r, phase, s), 0.2);
                widen(&view, sx_sheet_base(sheet, r, s), 0.2);
            }
        }
    }
    return view;
}

double sx_court_scale(SxCourtView view, double width, double height) {
    return fmin(width / (view.right - view.left), height / (view.bottom - view.top));
}

static SxPoint at(const Court *court, SxSpot spot) {
    return (SxPoint){court->origin.x + spot.x * court->scale,
                     court->origin.y + spot.y * court->scale};
}

static void line(const Court *court, const char *part, SxSpot a, SxSpot b, SxStyle style) {
    char id[SX_ITEM_ID];
    sx_draw_line(court->page, item_id(court, id, part), at(court, a), at(court, b), style);
}

static void draw_floor(const Court *court) {
    char id[SX_ITEM_ID];
    const double w = SX_COURT_WIDTH, d = SX_COURT_DEPTH, over = 0.35;
    sx_draw_rect(court->page, item_id(court, id, "court"),
                 (SxBox){court->origin.x, court->origin.y, w * court->scale, d * court->scale},
                 (SxStyle){.fill = SX_INK_FLOOR, .ground = true});
    sx_draw_rect(
        court->page, item_id(court, id, "front-zone"),
        (SxBox){court->origin.x, court->origin.y, w * court->scale, SX_ATTACK_LINE * court->scale},
        (SxStyle){.fill = SX_INK_BAND, .ground = true});
    SxStyle edge = {.width = medium, .stroke = SX_INK_SOFT};
    line(court, "left", (SxSpot){0, 0}, (SxSpot){0, d}, edge);
    line(court, "right", (SxSpot){w, 0}, (SxSpot){w, d}, edge);
    line(court, "end", (SxSpot){0, d}, (SxSpot){w, d}, edge);
    line(court, "attack-line", (SxSpot){0, SX_ATTACK_LINE}, (SxSpot){w, SX_ATTACK_LINE}, edge);
    line(court, "net", (SxSpot){-over, 0}, (SxSpot){w + over, 0},
         (SxStyle){.width = 2 * thick, .stroke = SX_INK_DARK});
}

/* Where a ray from the middle of a mark of this half size leaves its box or circle. */
static double way_out(const Court *court, int slot, SxPoint to) {
    double dx = fabs(to.x - court->mark[slot].x), dy = fabs(to.y - court->mark[slot].y);
    double long_side = fmax(fmax(dx, dy), 1e-9);
    bool square = sx_sheet_passes(court->studio->sheet, court->rotation, court->phase, slot);
    return court->style.half * (square ? hypot(dx, dy) / long_side : 1);
}

static SxPoint toward(SxPoint from, SxPoint to, double step) {
    double length = fmax(hypot(to.x - from.x, to.y - from.y), 1e-9);
    return (SxPoint){from.x + (to.x - from.x) * step / length,
                     from.y + (to.y - from.y) * step / length};
}

/* True if the point keeps `air` millimetres from every mark but that of `owner`. */
static bool is_clear(const Court *court, SxPoint point, int owner, double air) {
    double reach = court->style.half + air;
    for (int s = 0; s < SX_SLOTS; s++) {
        if (s != owner && fabs(point.x - court->mark[s].x) < reach &&
            fabs(point.y - court->mark[s].y) < reach) {
            return false;
        }
    }
    return true;
}

/* An arrow's head must not vanish under a mark: its end is drawn back along the way. */
static SxPoint clear_end(const Court *court, int slot, SxPoint from, SxPoint end, double head,
                         double half_head) {
    double length = hypot(end.x - from.x, end.y - from.y);
    for (double keep = length; keep > head; keep -= 0.25) {
        SxPoint tip = toward(from, end, keep);
        SxPoint neck = toward(from, end, keep - head);
        if (is_clear(court, tip, -1, 0.3) && is_clear(court, neck, slot, half_head + 0.2)) {
            return tip;
        }
    }
    return from;
}

static void draw_arrow(const Court *court, int slot, const char *part, SxPoint from, SxPoint to,
                       bool first_run) {
    char id[SX_ITEM_ID], name[24];
    double head = first_run ? 2.6 : 2.0, half_head = first_run ? 1.0 : 0.75;
    to = clear_end(court, slot, from, to, head, half_head);
    double length = hypot(to.x - from.x, to.y - from.y);
    if (length < head + 0.3) {
        return;
    }
    SxPoint neck = toward(to, from, head);
    double across_x = -(to.y - from.y) / length * half_head;
    double across_y = (to.x - from.x) / length * half_head;
    const SxPoint corners[3] = {
        to, {neck.x + across_x, neck.y + across_y}, {neck.x - across_x, neck.y - across_y}};
    if (!is_clear(court, corners[1], -1, 0) || !is_clear(court, corners[2], -1, 0)) {
        return; /* too short to come clear of her own mark */
    }
    snprintf(name, sizeof name, "%s", part);
    sx_draw_line(court->page, slot_id(court, id, slot, name), from, neck,
                 (SxStyle){.width = first_run ? 0.5 : 0.25,
                           .stroke = first_run ? SX_INK_RUN : SX_INK_SOFT,
                           .dash = first_run ? SX_SOLID : SX_DASHED});
    snprintf(name, sizeof name, "%s-head", part);
    sx_draw_polygon(court->page, slot_id(court, id, slot, name), corners, 3,
                    (SxStyle){.width = 0.25,
                              .stroke = first_run ? SX_INK_RUN : SX_INK_SOFT,
                              .fill = first_run ? SX_INK_RUN : SX_INK_WHITE});
}

static bool is_focus(const Court *court, int slot) {
    return sx_on_court(court->studio->sheet->lineup, court->rotation, court->phase, slot) ==
           court->style.focus;
}

static bool has_moved(const Court *court, int slot) {
    return court->mark[slot].x != court->spot[slot].x || court->mark[slot].y != court->spot[slot].y;
}

/* A run begins where the player stands: at the edge of her mark, or of her dot. */
static SxPoint run_start(const Court *court, int slot, SxPoint to) {
    double out = has_moved(court, slot) ? spot_dot + 0.2 : way_out(court, slot, to);
    return toward(court->spot[slot], to, out);
}

static void draw_runs(const Court *court, int slot) {
    const SxSheet *sheet = court->studio->sheet;
    SxSpot spot = court->formation->spot[slot];
    SxSpot task = sx_sheet_task(sheet, court->rotation, court->phase, slot);
    SxSpot base = sx_sheet_base(sheet, court->rotation, slot);
    SxPoint task_at = at(court, task), base_at = at(court, base);
    bool runs = sx_distance(spot, task) > standing;
    if (runs) {
        draw_arrow(court, slot, "run", run_start(court, slot, task_at), task_at, true);
    }
    if (sx_distance(task, base) > standing && sx_distance(spot, base) > standing) {
        draw_arrow(court, slot, "base", runs ? task_at : run_start(court, slot, base_at), base_at,
                   false);
    }
}

static void draw_mark(Court *court, int slot) {
    char id[SX_ITEM_ID], number[12];
    const SxSheet *sheet = court->studio->sheet;
    SxPoint spot = court->spot[slot], middle = court->mark[slot];
    bool moved = has_moved(court, slot);
    if (moved) {
        sx_draw_line(court->page, slot_id(court, id, slot, "tie"),
                     toward(middle, spot, way_out(court, slot, spot)), spot,
                     (SxStyle){.width = medium, .stroke = SX_INK_DARK});
        sx_draw_circle(court->page, slot_id(court, id, slot, "spot"), spot, spot_dot,
                       (SxStyle){.fill = SX_INK_DARK});
    }
    bool passes = sx_sheet_passes(sheet, court->rotation, court->phase, slot);
    bool filled = court->style.focus < 0 ? passes : is_focus(court, slot);
    SxStyle style = {
        .width = thick, .stroke = SX_INK_DARK, .fill = filled ? SX_INK_DARK : SX_INK_WHITE};
    if (court->style.focus >= 0 && !filled) {
        style.width = medium;
    }
    double half = court->style.half;
    slot_id(court, id, slot, moved ? "mark" : "spot");
    int mark =
        passes ? sx_draw_rect(court->page, id,
                              (SxBox){middle.x - half, middle.y - half, 2 * half, 2 * half}, style)
               : sx_draw_circle(court->page, id, middle, half, style);
    int player = sx_on_court(sheet->lineup, court->rotation, court->phase, slot);
    snprintf(number, sizeof number, "%d", sheet->problem->team->players[player].number);
    double size = court->style.number_size;
    double height = sx_type_measure(court->studio->scene->type, number, size, true).height;
    int text = sx_draw_text(court->studio->scene, court->page, slot_id(court, id, slot, "number"),
                            middle.x, middle.y - height / 2, number,
                            (SxFont){.size = size,
                                     .bold = true,
                                     .ink = filled ? SX_INK_WHITE : SX_INK_DARK,
                                     .align = SX_ALIGN_CENTRE});
    court->page->items[text].inside = mark;
}

/* The thin line of an order relation, between the edges of the two marks. */
static void draw_order_line(const Court *court, int pair) {
    char id[SX_ITEM_ID], part[16];
    int low = sx_slot_at(sx_order_pairs[pair].low, court->rotation);
    int high = sx_slot_at(sx_order_pairs[pair].high, court->rotation);
    SxPoint a = court->mark[low], b = court->mark[high];
    snprintf(part, sizeof part, "order-%d", pair);
    sx_draw_line(court->page, item_id(court, id, part), toward(a, b, way_out(court, low, b)),
                 toward(b, a, way_out(court, high, a)),
                 (SxStyle){.width = 0.3, .stroke = SX_INK_DARK, .dash = SX_DOTTED});
}

static void draw_leader(const Court *court, const char *id, const SxPlacing *placing) {
    if (placing->leader) {
        sx_draw_line(court->page, id, placing->from, placing->to,
                     (SxStyle){.width = thin, .stroke = SX_INK_SOFT});
    }
}

/* Room for two lines, the upper one cut shorter and shorter while there is none close by. */
static SxPlacing place_name(const Court *court, int slot, const char *full, SxExtent below,
                            char **name, double *rise) {
    SxType *type = court->studio->scene->type;
    SxBox anchor =
        sx_box_grown((SxBox){court->mark[slot].x, court->mark[slot].y, 0, 0}, court->style.half);
    SxPlacing best = {.cost = INFINITY};
    double cut_price = 0;
    *name = NULL;
    for (double limit = court->style.name_limit; limit > least_name && best.cost > close_by;
         limit *= 0.7) {
        char *tried = sx_type_fit(type, full, court->style.name_size, true, limit);
        SxExtent top = sx_type_measure(type, tried, court->style.name_size, true);
        SxPlacing placing =
            sx_place_label(court->page, court->first, court->frame, anchor,
                           fmax(top.width, below.width), top.height + below.height, false);
        placing.cost += cut_price;
        if (placing.cost < best.cost) {
            best = placing;
            g_free(*name);
            *name = g_strdup(tried);
            *rise = top.height;
        }
        g_free(tried);
        cut_price += price_of_cut;
    }
    return best;
}

/* The name over "O, P": who stands here and what she is charged with. */
static void draw_name(const Court *court, int slot) {
    char id[SX_ITEM_ID], role[24], *name;
    const SxSheet *sheet = court->studio->sheet;
    SxScene *scene = court->studio->scene;
    int player = sx_on_court(sheet->lineup, court->rotation, court->phase, slot);
    SxRole kind = sx_sheet_role(sheet, court->rotation, court->phase, slot);
    bool passes = sx_sheet_passes(sheet, court->rotation, court->phase, slot);
    snprintf(role, sizeof role, passes ? "%c \xc2\xb7 P" : "%c", sx_role_letter(kind));
    SxExtent below = sx_type_measure(scene->type, role, court->style.note_size, false);
    double rise = 0;
    SxPlacing placing = place_name(court, slot, court->studio->name[player], below, &name, &rise);
    draw_leader(court, slot_id(court, id, slot, "leader"), &placing);
    double middle = placing.box.x + placing.box.w / 2;
    sx_draw_text(scene, court->page, slot_id(court, id, slot, "name"), middle, placing.box.y, name,
                 (SxFont){.size = court->style.name_size,
                          .bold = true,
                          .ink = SX_INK_DARK,
                          .align = SX_ALIGN_CENTRE});
    sx_draw_text(
        scene, court->page, slot_id(court, id, slot, "role"), middle, placing.box.y + rise, role,
        (SxFont){.size = court->style.note_size, .ink = SX_INK_DARK, .align = SX_ALIGN_CENTRE});
    g_free(name);
}

static bool is_shown(const Court *court, int pair) {
    return court->style.focus < 0 ||
           is_focus(court, sx_slot_at(sx_order_pairs[pair].low, court->rotation)) ||
           is_focus(court, sx_slot_at(sx_order_pairs[pair].high, court->rotation));
}

static void draw_order_note(const Court *court, int pair) {
    char id[SX_ITEM_ID], part[24], order[64], text[96];
    const SxSheet *sheet = court->studio->sheet;
    SxScene *scene = court->studio->scene;
    int low = sx_slot_at(sx_order_pairs[pair].low, court->rotation);
    int high = sx_slot_at(sx_order_pairs[pair].high, court->rotation);
    int listener =
        sx_sheet_order(sheet, court->rotation, court->phase, pair, -1, order, sizeof order);
    int player = sx_on_court(sheet->lineup, court->rotation, court->phase, listener);
    snprintf(text, sizeof text, "%d: %s", sheet->problem->team->players[player].number, order);
    SxFont font = {.size = court->style.note_size, .ink = SX_INK_DARK};
    SxExtent extent = sx_type_measure(scene->type, text, font.size, false);
    SxBox anchor = {(court->mark[low].x + court->mark[high].x) / 2,
                    (court->mark[low].y + court->mark[high].y) / 2, 0, 0};
    SxPlacing placing = sx_place_label(court->page, court->first, court->frame, anchor,
                                       extent.width, extent.height, true);
    snprintf(part, sizeof part, "order-%d-leader", pair);
    draw_leader(court, item_id(court, id, part), &placing);
    snprintf(part, sizeof part, "order-%d-note", pair);
    sx_draw_text(scene, court->page, item_id(court, id, part), placing.box.x, placing.box.y, text,
                 font);
}

/* Slots in the order in which their marks choose a place: the player of a card comes first. */
static void settling_order(const Court *court, int order[SX_SLOTS]) {
    int count = 0;
    for (int focus = 1; focus >= 0; focus--) {
        for (int s = 0; s < SX_SLOTS; s++) {
            if (is_focus(court, s) == (focus == 1)) {
                order[count++] = s;
            }
        }
    }
}

static void settle_marks(Court *court) {
    double clear = spot_dot + 0.3;
    int order[SX_SLOTS];
    settling_order(court, order);
    for (int s = 0; s < SX_SLOTS; s++) {
        court->spot[s] = at(court, court->formation->spot[s]);
    }
    for (int turn = 0; turn < SX_SLOTS; turn++) {
        SxPoint others[SX_SLOTS];
        int slot = order[turn], count = 0;
        for (int o = 0; o < SX_SLOTS; o++) {
            if (o != slot) {
                others[count++] = court->spot[o];
            }
        }
        /* A mark that is settled claims its whole place. */
        int before = court->page->count;
        for (int t = 0; t < turn; t++) {
            sx_draw_circle(court->page, NULL, court->mark[order[t]], court->style.half,
                           (SxStyle){0});
        }
        court->mark[slot] = sx_place_mark(court->page, before, court->frame, court->spot[slot],
                                          court->style.half, others, count, clear);
        court->page->count = before;
    }
}

double sx_court_draw(const SxStudio *studio, SxPage *page, SxBox box, SxCourtView view,
                     double scale, SxCourtStyle style, int rotation, SxPhase phase) {
    double width = (view.right - view.left) * scale, height = (view.bottom - view.top) * scale;
    SxBox frame = {box.x + (box.w - width) / 2, box.y, width, height};
    Court court = {.studio = studio,
                   .page = page,
                   .style = style,
                   .frame = frame,
                   .origin = {frame.x - view.left * scale, frame.y - view.top * scale},
                   .scale = scale,
                   .first = page->count,
                   .rotation = rotation,
                   .phase = phase,
                   .formation = sx_sheet_formation(studio->sheet, rotation, phase)};
    draw_floor(&court);
    if (!court.formation) {
        return box.y + height;
    }
    settle_marks(&court);
    for (int pair = 0; pair < SX_ORDER_PAIRS; pair++) {
        if (sx_sheet_binds(studio->sheet, rotation, phase, pair) && is_shown(&court, pair)) {
            draw_order_line(&court, pair);
        }
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        if (style.focus < 0 || is_focus(&court, s)) {
            draw_runs(&court, s);
        }
    }
    for (int s = 0; s < SX_SLOTS; s++) {
        draw_mark(&court, s);
    }
    for (int s = 0; s < SX_SLOTS && style.focus < 0; s++) {
        draw_name(&court, s);
    }
    for (int pair = 0; pair < SX_ORDER_PAIRS && style.focus < 0; pair++) {
        if (sx_sheet_binds(studio->sheet, rotation, phase, pair)) {
            draw_order_note(&court, pair);
        }
    }
    return box.y + height;
}
