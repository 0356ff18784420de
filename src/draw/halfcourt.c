/* One formation on one half court, to scale: marks, runs, order lines. Names and orders in words
 * stand beside the court, where no label can seem to be somebody's place. */
#include "draw/halfcourt.h"
#include "core/spread.h"
#include "draw/studio.h"
#include "draw/words.h"

#include <glib.h>
#include <math.h>
#include <stdio.h>

const SxCourtStyle sx_court_screen = {
    .number_size = 12, .pad = 0.9, .pen = 1, .orders = true, .focus = -1};
const SxCourtStyle sx_court_card = {
    .number_size = 7, .pad = 0.45, .pen = 0.8, .orders = true, .focus = -1};

SxCourtStyle sx_court_wall(SxType *type, double figure_height) {
    const double try_size = 100, spare = 1.03; /* flat figures are lower than round ones */
    return (SxCourtStyle){.number_size = try_size * spare * figure_height /
                                         sx_type_figure_height(type, try_size, true),
                          .pad = 1.6,
                          .tight = true,
                          .pen = 2.2,
                          .focus = -1};
}

const SxStyle sx_court_run_style[SX_RUN_KINDS] = {
    [SX_RUN_AT_HIT] = {.width = 0.55, .stroke = SX_INK_RUN, .fill = SX_INK_RUN, .dash = SX_SOLID},
    [SX_RUN_PASSED] = {.width = 0.55,
                       .stroke = SX_INK_RUN,
                       .fill = SX_INK_WHITE,
                       .dash = SX_DASHED},
    [SX_RUN_BASE] = {.width = 0.4, .stroke = SX_INK_SOFT, .fill = SX_INK_SOFT, .dash = SX_DOTTED}};

static const double standing = 0.30; /* metres: a shorter run is not drawn */
static const double seen = 0.12;     /* metres on the drawing between two who are ordered */
static const double medium = 0.35, thick = 0.6;               /* strokes, millimetres */
static const double arrow_head = 2.4, half_arrow_head = 0.95; /* millimetres */
static const double mark_air = 0.6;                           /* millimetres between two marks */

typedef struct {
    const SxStudio *studio;
    SxPage *page;
    SxCourtStyle style;
    SxBox room;     /* what marks may lean over the edges of the court into */
    SxPoint origin; /* of the court: left end of the centre line */
    double scale;
    int rotation;
    SxPhase phase;
    const SxFormation *formation;
    SxPoint mark[SX_SLOTS]; /* centres */
    double half_w[SX_SLOTS], half_h[SX_SLOTS];
    double figures; /* height of the numbers, millimetres */
} Court;

static const char *phase_word(SxPhase phase) {
    return phase == SX_RECEIVE ? "receive" : "serve";
}

/* Courts of several cards are in one drawing: there a player's ids begin with her. */
static const char *item_id(const Court *court, char *id, const char *part) {
    char whose[12] = "";
    if (court->studio->sheet->player == SX_EVERY_CARD) {
        snprintf(whose, sizeof whose, "p%d-", court->style.focus);
    }
    snprintf(id, SX_ITEM_ID, "%sr%d-%s-%s", whose, court->rotation + 1, phase_word(court->phase),
             part);
    return id;
}

static const char *slot_id(const Court *court, char *id, int slot, const char *part) {
    char whole[24];
    snprintf(whole, sizeof whole, "s%d-%s", slot, part);
    return item_id(court, id, whole);
}

static void widen(SxCourtView *view, SxSpot spot, double air) {
    view->left = fmin(view->left, spot.x - air);
    view->right = fmax(view->right, spot.x + air);
    view->top = fmin(view->top, spot.y - air);
    view->bottom = fmax(view->bottom, spot.y + air);
}

static const SxCourtView bare_court = {-0.5, -0.3, SX_COURT_WIDTH + 0.5, SX_COURT_DEPTH + 0.5};

static SxCourtView widened(SxCourtView view, const SxSheet *sheet, SxPhase phase) {
    for (int r = 0; r < SX_ROTATIONS; r++) {
        const SxFormation *formation = sx_sheet_formation(sheet, r, phase);
        for (int s = 0; formation && s < SX_SLOTS; s++) {
            widen(&view, formation->spot[s], 0.5);
            widen(&view, sx_sheet_task(sheet, r, phase, s), 0.2);
            widen(&view, sx_sheet_base(sheet, r, s), 0.2);
        }
    }
    return view;
}

SxCourtView sx_court_phase_view(const SxSheet *sheet, SxPhase phase) {
    return widened(bare_court, sheet, phase);
}

SxCourtView sx_court_view(const SxSheet *sheet) {
    SxCourtView view = bare_court;
    for (int phase = 0; phase < SX_PHASES; phase++) {
        if ((phase == SX_RECEIVE && sheet->show == SX_SHOW_SERVE) ||
            (phase == SX_SERVE && sheet->show == SX_SHOW_RECEIVE)) {
            continue;
        }
        view = widened(view, sheet, phase);
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

static bool passes(const Court *court, int slot) {
    return sx_sheet_passes(court->studio->sheet, court->rotation, court->phase, slot);
}

static bool is_round(const Court *court, int slot) {
    return !court->style.tight && !passes(court, slot);
}

/* How far a ray from the middle of a mark goes until it leaves its box or circle. */
static double way_out(const Court *court, int slot, SxPoint to) {
    double dx = fabs(to.x - court->mark[slot].x), dy = fabs(to.y - court->mark[slot].y);
    if (is_round(court, slot)) {
        return court->half_w[slot];
    }
    double stretch = fmax(dx / court->half_w[slot], dy / court->half_h[slot]);
    return hypot(dx, dy) / fmax(stretch, 1e-9);
}

static SxPoint toward(SxPoint from, SxPoint to, double step) {
    double length = fmax(hypot(to.x - from.x, to.y - from.y), 1e-9);
    return (SxPoint){from.x + (to.x - from.x) * step / length,
                     from.y + (to.y - from.y) * step / length};
}

/* True if the point keeps `air` millimetres from every mark but that of `owner`. */
static bool is_clear(const Court *court, SxPoint point, int owner, double air) {
    for (int s = 0; s < SX_SLOTS; s++) {
        if (s != owner && fabs(point.x - court->mark[s].x) < court->half_w[s] + air &&
            fabs(point.y - court->mark[s].y) < court->half_h[s] + air) {
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

/* False if a head of this size does not come clear of the marks anywhere on the way. */
static bool try_arrow(const Court *court, int slot, SxRunKind kind, SxPoint from, SxPoint to,
                      double size) {
    static const char *const names[SX_RUN_KINDS] = {"run", "passed", "base"};
    char id[SX_ITEM_ID], name[24];
    double pen = court->style.pen, head = arrow_head * pen * size;
    double half_head = half_arrow_head * pen * size;
    to = clear_end(court, slot, from, to, head, half_head);
    double length = hypot(to.x - from.x, to.y - from.y);
    if (length < head + 0.3) {
        return false;
    }
    SxPoint neck = toward(to, from, head);
    double across_x = -(to.y - from.y) / length * half_head;
    double across_y = (to.x - from.x) / length * half_head;
    const SxPoint corners[3] = {
        to, {neck.x + across_x, neck.y + across_y}, {neck.x - across_x, neck.y - across_y}};
    if (!is_clear(court, corners[1], -1, 0) || !is_clear(court, corners[2], -1, 0)) {
        return false; /* too short to come clear of her own mark */
    }
    SxStyle style = sx_court_run_style[kind];
    style.width *= pen;
    sx_draw_line(court->page, slot_id(court, id, slot, names[kind]), from, neck, style);
    snprintf(name, sizeof name, "%s-head", names[kind]);
    style.dash = SX_SOLID;
    style.width = 0.3 * pen;
    sx_draw_polygon(court->page, slot_id(court, id, slot, name), corners, 3, style);
    return true;
}

static void draw_arrow(const Court *court, int slot, SxRunKind kind, SxPoint from, SxPoint to) {
    const double least = 0.3, smaller = 0.7;
    for (double size = 1; size > least && !try_arrow(court, slot, kind, from, to, size);) {
        size *= smaller;
    }
}

static bool is_focus(const Court *court, int slot) {
    return sx_on_court(court->studio->sheet->lineup, court->rotation, court->phase, slot) ==
           court->style.focus;
}

/* A run begins at the edge of the mark. */
static SxPoint run_start(const Court *court, int slot, SxPoint to) {
    return toward(court->mark[slot], to, way_out(court, slot, to));
}

static void draw_runs(const Court *court, int slot) {
    const SxSheet *sheet = court->studio->sheet;
    SxSpot spot = court->formation->spot[slot];
    SxSpot task = sx_sheet_task(sheet, court->rotation, court->phase, slot);
    SxSpot base = sx_sheet_base(sheet, court->rotation, slot);
    SxPoint task_at = at(court, task), base_at = at(court, base);
    bool runs = sx_distance(spot, task) > standing;
    if (runs) {
        draw_arrow(court, slot, passes(court, slot) ? SX_RUN_PASSED : SX_RUN_AT_HIT,
                   run_start(court, slot, task_at), task_at);
    }
    if (sx_distance(task, base) > standing && sx_distance(spot, base) > standing) {
        draw_arrow(court, slot, SX_RUN_BASE, runs ? task_at : run_start(court, slot, base_at),
                   base_at);
    }
}

static int shirt(const Court *court, int slot) {
    const SxSheet *sheet = court->studio->sheet;
    int player = sx_on_court(sheet->lineup, court->rotation, court->phase, slot);
    return sheet->problem->team->players[player].number;
}

/* The box of a number is as high as its figures. */
static void draw_number(const Court *court, int slot, int mark, bool white) {
    char id[SX_ITEM_ID], number[12];
    snprintf(number, sizeof number, "%d", shirt(court, slot));
    int text = sx_draw_text(court->studio->scene, court->page, slot_id(court, id, slot, "number"),
                            court->mark[slot].x, 0, number,
                            (SxFont){.size = court->style.number_size,
                                     .bold = true,
                                     .ink = white ? SX_INK_WHITE : SX_INK_DARK,
                                     .align = SX_ALIGN_CENTRE});
    SxItem *item = &court->page->items[text];
    item->inside = mark;
    item->box.y = court->mark[slot].y - court->figures / 2;
    item->box.h = item->ascent = court->figures;
}

static void draw_mark(Court *court, int slot) {
    char id[SX_ITEM_ID];
    SxPoint middle = court->mark[slot];
    bool filled = court->style.focus < 0 ? passes(court, slot) : is_focus(court, slot);
    SxStyle style = {
        .width = thick, .stroke = SX_INK_DARK, .fill = filled ? SX_INK_DARK : SX_INK_WHITE};
    if (court->style.focus >= 0 && !filled) {
        style.width = medium;
    }
    double w = court->half_w[slot], h = court->half_h[slot];
    slot_id(court, id, slot, "mark");
    int mark = is_round(court, slot)
                   ? sx_draw_circle(court->page, id, middle, w, style)
                   : sx_draw_rect(court->page, id,
                                  (SxBox){middle.x - w, middle.y - h, 2 * w, 2 * h}, style);
    draw_number(court, slot, mark, filled);
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
                 (SxStyle){.width = 0.25, .stroke = SX_INK_DARK});
}

static bool is_shown(const Court *court, int pair) {
    return court->style.focus < 0 ||
           is_focus(court, sx_slot_at(sx_order_pairs[pair].low, court->rotation)) ||
           is_focus(court, sx_slot_at(sx_order_pairs[pair].high, court->rotation));
}

/* Marks as large as their numbers need: all alike, but for blocks, which are as wide as theirs. */
static void size_marks(Court *court) {
    SxType *type = court->studio->scene->type;
    const SxCourtStyle *style = &court->style;
    court->figures = sx_type_figure_height(type, style->number_size, true);
    double widest = sx_type_measure(type, "88", style->number_size, true).width;
    for (int s = 0; s < SX_SLOTS; s++) {
        char number[12];
        snprintf(number, sizeof number, "%d", shirt(court, s));
        double own = sx_type_measure(type, number, style->number_size, true).width;
        double circle = hypot(fmax(own, widest), court->figures) / 2 + style->pad;
        court->half_w[s] = style->tight ? own / 2 + style->pad : circle;
        court->half_h[s] = style->tight ? court->figures / 2 + style->pad : circle;
    }
}

static void settle_marks(Court *court) {
    size_marks(court);
    SxSpread spread = {.air = mark_air,
                       .least = seen * court->scale,
                       .from = {court->room.x, court->room.y},
                       .to = {court->room.x + court->room.w, court->room.y + court->room.h},
                       .rotation = court->rotation};
    SxSpot settled[SX_SLOTS];
    for (int s = 0; s < SX_SLOTS; s++) {
        SxPoint spot = at(court, court->formation->spot[s]);
        spread.centre[s] = (SxSpot){spot.x, spot.y};
        spread.wide[s] = 2 * court->half_w[s];
        spread.high[s] = 2 * court->half_h[s];
    }
    sx_spread(&spread, settled);
    for (int s = 0; s < SX_SLOTS; s++) {
        court->mark[s] = (SxPoint){settled[s].x, settled[s].y};
    }
}

double sx_court_draw(const SxStudio *studio, SxPage *page, SxBox box, SxCourtView view,
                     double scale, SxCourtStyle style, int rotation, SxPhase phase) {
    double width = (view.right - view.left) * scale, height = (view.bottom - view.top) * scale;
    SxBox frame = {box.x + (box.w - width) / 2, box.y, width, height};
    Court court = {.studio = studio,
                   .page = page,
                   .style = style,
                   .room = {box.x, box.y, box.w, height},
                   .origin = {frame.x - view.left * scale, frame.y - view.top * scale},
                   .scale = scale,
                   .rotation = rotation,
                   .phase = phase,
                   .formation = sx_sheet_formation(studio->sheet, rotation, phase)};
    draw_floor(&court);
    if (!court.formation) {
        return box.y + height;
    }
    settle_marks(&court);
    for (int pair = 0; pair < SX_ORDER_PAIRS; pair++) {
        if (style.orders && sx_sheet_binds(studio->sheet, rotation, phase, pair) &&
            is_shown(&court, pair)) {
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
    return box.y + height;
}
