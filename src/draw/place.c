/* Label placement by trying rings of places around the anchor and taking the cheapest.
 *
 * The prices are our own, tuned by eye: a text or mark underneath must never win over any distance
 * on the page, a line underneath is worth a walk of some centimetres. */
#include "draw/place.h"

#include <math.h>

enum { ANGLES = 24 };
static const double grid = 2; /* millimetres */
static const double pi = 3.14159265358979323846;
static const double distances[] = {0.5, 1.2, 2.2, 3.5, 5, 7, 9.5, 12.5, 16, 20, 26, 34};
enum { DISTANCES = sizeof distances / sizeof *distances };
static const double air = 0.35;             /* millimetres kept around a text */
static const double leader_from = 3;        /* distance from which a leader is drawn */
static const double price_solid = 10000;    /* on a text or a mark */
static const double price_line = 300;       /* on a line */
const double sx_place_crossing = 300;       /* the least price of a crossing */
static const double price_leader = 2;       /* for needing one */
static const double price_over_solid = 300; /* leader across a text or mark */
static const double price_over_line = 6;
static const double price_free = 25;    /* for standing far off without one */
static const double price_frame = 5000; /* out of the frame */

static bool is_solid(const SxItem *item) {
    return item->shape != SX_DRAW_LINE;
}

static bool meets(const SxItem *item, SxBox box) {
    return item->shape == SX_DRAW_LINE ? sx_segment_meets_box(item->point[0], item->point[1], box)
                                       : sx_boxes_overlap(item->box, box);
}

static double side(SxPoint a, SxPoint b, SxPoint c) {
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static bool segments_cross(SxPoint a, SxPoint b, SxPoint c, SxPoint d) {
    return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

static bool is_out(SxBox box, SxBox frame) {
    return box.x < frame.x || box.y < frame.y || box.x + box.w > frame.x + frame.w ||
           box.y + box.h > frame.y + frame.h;
}

static double clash(const SxPage *page, int first, SxBox frame, SxBox box) {
    double cost = is_out(box, frame) ? price_frame : 0;
    SxBox padded = sx_box_grown(box, air);
    for (int i = first; i < page->count; i++) {
        const SxItem *item = &page->items[i];
        if (!item->ground && meets(item, padded)) {
            cost += is_solid(item) ? price_solid : price_line;
        }
    }
    return cost;
}

static double leader_clash(const SxPage *page, int first, SxPoint from, SxPoint to) {
    double cost = price_leader;
    for (int i = first; i < page->count; i++) {
        const SxItem *item = &page->items[i];
        if (item->ground) {
            continue;
        }
        if (!is_solid(item)) {
            cost += segments_cross(from, to, item->point[0], item->point[1]) ? price_over_line : 0;
        } else if (sx_segment_meets_box(from, to, item->box)) {
            cost += price_over_solid;
        }
    }
    return cost;
}

static SxPoint nearest_in(SxBox box, SxPoint to) {
    return (SxPoint){fmin(fmax(to.x, box.x), box.x + box.w),
                     fmin(fmax(to.y, box.y), box.y + box.h)};
}

/* A leader starts just outside the anchor and ends just outside the label. */
static void connect(SxPlacing *placing, SxBox anchor) {
    SxPoint middle = {anchor.x + anchor.w / 2, anchor.y + anchor.h / 2};
    placing->to = nearest_in(sx_box_grown(placing->box, air / 2), middle);
    placing->from = nearest_in(sx_box_grown(anchor, air), placing->to);
}

/* The place in the direction of the angle where label and anchor are `distance` apart. */
static SxPlacing try_place(SxBox anchor, double width, double height, double angle,
                           double distance) {
    double right = cos(angle), down = sin(angle);
    double apart_x = anchor.w / 2 + distance + width / 2;
    double apart_y = anchor.h / 2 + distance + height / 2;
    double go = fmin(apart_x / fmax(fabs(right), 1e-9), apart_y / fmax(fabs(down), 1e-9));
    SxPoint middle = {anchor.x + anchor.w / 2, anchor.y + anchor.h / 2};
    SxPlacing placing = {.box = {middle.x + go * right - width / 2,
                                 middle.y + go * down - height / 2, width, height},
                         .leader = distance >= leader_from};
    connect(&placing, anchor);
    return placing;
}

static void consider(SxPlacing *best, SxPlacing tried, const SxPage *page, int first, SxBox frame) {
    tried.cost += clash(page, first, frame, tried.box);
    if (tried.leader && tried.cost < best->cost) {
        tried.cost += leader_clash(page, first, tried.from, tried.to);
    }
    if (tried.cost < best->cost) {
        *best = tried;
    }
}

/* Anywhere in the frame: for a crowd that leaves no room nearby. */
static void try_everywhere(SxPlacing *best, const SxPage *page, int first, SxBox frame,
                           SxBox anchor, double width, double height, bool free) {
    for (double y = frame.y; y + height <= frame.y + frame.h; y += grid) {
        for (double x = frame.x; x + width <= frame.x + frame.w; x += grid) {
            SxPlacing tried = {.box = {x, y, width, height}};
            connect(&tried, anchor);
            tried.cost = hypot(tried.to.x - tried.from.x, tried.to.y - tried.from.y);
            tried.leader = tried.cost >= leader_from;
            if (tried.cost < best->cost) {
                consider(best, tried, page, first, frame);
            }
            if (free && tried.leader && tried.cost + price_free < best->cost) {
                tried.leader = false;
                tried.cost += price_free;
                consider(best, tried, page, first, frame);
            }
        }
    }
}

SxPlacing sx_place_label(const SxPage *page, int first, SxBox frame, SxBox anchor, double width,
                         double height, bool free) {
    SxPlacing best = {.cost = INFINITY};
    for (int d = 0; d < DISTANCES && distances[d] < best.cost; d++) {
        for (int a = 0; a < ANGLES; a++) {
            /* From straight below, alternating sides, so that ties fall on familiar places. */
            int turn = a % 2 ? (a + 1) / 2 : -(a / 2);
            SxPlacing tried =
                try_place(anchor, width, height, pi / 2 + turn * 2 * pi / ANGLES, distances[d]);
            tried.cost = distances[d] - distances[0];
            consider(&best, tried, page, first, frame);
        }
    }
    if (best.cost >= sx_place_crossing) {
        try_everywhere(&best, page, first, frame, anchor, width, height, free);
    }
    return best;
}

static bool mark_is_free(const SxPage *page, int first, SxBox box, const SxPoint *others,
                         int other_count, double clear) {
    for (int i = first; i < page->count; i++) {
        const SxItem *item = &page->items[i];
        if (!item->ground && is_solid(item) && sx_boxes_overlap(item->box, box)) {
            return false;
        }
    }
    for (int i = 0; i < other_count; i++) {
        if (sx_boxes_overlap(
                box, (SxBox){others[i].x - clear, others[i].y - clear, 2 * clear, 2 * clear})) {
            return false;
        }
    }
    return true;
}

SxPoint sx_place_mark(const SxPage *page, int first, SxBox frame, SxPoint spot, double half,
                      const SxPoint *others, int other_count, double clear) {
    for (double distance = 0; distance < 10 * half; distance += half / 4) {
        for (int a = 0; a < (distance > 0 ? ANGLES : 1); a++) {
            SxPoint at = {spot.x + distance * cos(a * 2 * pi / ANGLES),
                          spot.y + distance * sin(a * 2 * pi / ANGLES)};
            SxBox box = {at.x - half - air, at.y - half - air, 2 * (half + air), 2 * (half + air)};
            /* At her own spot a mark may lean over the frame; elsewhere it shows the spot. */
            SxBox own = {spot.x - clear, spot.y - clear, 2 * clear, 2 * clear};
            if ((distance == 0 || (!is_out(box, frame) && !sx_boxes_overlap(box, own))) &&
                mark_is_free(page, first, box, others, other_count, clear)) {
                return at;
            }
        }
    }
    return spot;
}
