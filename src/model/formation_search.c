/* Branch and bound over the choices of a formation program.
 *
 * With every choice settled one way, x and y fall apart into two problems of spots.h. A node holds
 * the distances settled so far; its best spots bound everything below it. If they break no choice
 * they are the best of the node. Else the node branches on the broken choice that raises the bound
 * most: one child for each way to keep it, one for paying. */
#include "model/formation_program.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_CHILDREN = MOST_WAYS + 1 };

typedef struct {
    Distances distances[AXES];
    int spot[AXES][SX_POSITIONS];
    int64_t cost[AXES];
    int64_t paid;
    bool settled[MOST_CHOICES]; /* paid for: may be broken */
} Node;

typedef struct {
    int count;
    Node node[MOST_CHILDREN]; /* by rising bound */
} Children;

typedef struct {
    const Program *program;
    int64_t best; /* what is searched for costs less */
    int (*found)[SX_POSITIONS];
    bool any;
} Search;

static int64_t bound_of(const Node *node) {
    return node->cost[AXIS_X] + node->cost[AXIS_Y] + node->paid;
}

static int at(const Node *node, int axis, int place) {
    return place == SPOTS_ZERO ? 0 : node->spot[axis][place];
}

static bool way_holds(const Node *node, const Way *way) {
    for (int k = 0; k < way->count; k++) {
        const Need *need = &way->need[k];
        if (at(node, need->axis, need->high) - at(node, need->axis, need->low) < need->gap) {
            return false;
        }
    }
    return true;
}

static bool is_broken(const Search *search, const Node *node, int choice) {
    const Choice *c = &search->program->choice[choice];
    for (int k = 0; k < c->ways; k++) {
        if (way_holds(node, &c->way[k])) {
            return false;
        }
    }
    return !node->settled[choice];
}

/* Settles the node for a way; false if it leaves nothing that is cheap enough. */
static bool take_way(const Search *search, Node *node, const Way *way) {
    bool changed[AXES] = {false, false};
    for (int k = 0; k < way->count; k++) {
        const Need *need = &way->need[k];
        if (!sx_distances_add(&node->distances[need->axis], need->high, need->low, need->gap)) {
            return false;
        }
        changed[need->axis] = true;
    }
    for (int axis = 0; axis < AXES; axis++) {
        if (changed[axis]) {
            node->cost[axis] = sx_spots_best(&search->program->costs[axis], &node->distances[axis],
                                             node->spot[axis]);
        }
    }
    return bound_of(node) < search->best;
}

static void insert(Children *children, const Node *node) {
    int k = children->count++;
    while (k > 0 && bound_of(&children->node[k - 1]) > bound_of(node)) {
        children->node[k] = children->node[k - 1];
        k--;
    }
    children->node[k] = *node;
}

/* False, and the children not all made, if one of them costs no more than `most`. */
static bool make_children(const Search *search, const Node *node, int choice, int64_t most,
                          Children *children) {
    const Choice *c = &search->program->choice[choice];
    const bool pays = c->may_pay && bound_of(node) + c->price < search->best;
    children->count = 0;
    if (pays && bound_of(node) + c->price <= most) {
        return false;
    }
    for (int k = 0; k < c->ways; k++) {
        Node child = *node;
        if (!take_way(search, &child, &c->way[k])) {
            continue;
        }
        if (bound_of(&child) <= most) {
            return false;
        }
        insert(children, &child);
    }
    if (pays) {
        Node child = *node;
        child.paid += c->price;
        child.settled[choice] = true;
        insert(children, &child);
    }
    return true;
}

/* The children of the broken choice whose cheapest child costs most; false if none is broken. */
static bool branch(const Search *search, const Node *node, Children *chosen) {
    bool broken = false;
    int64_t most = -1;
    for (int choice = 0; choice < search->program->choices; choice++) {
        if (!is_broken(search, node, choice)) {
            continue;
        }
        broken = true;
        Children children;
        if (!make_children(search, node, choice, most, &children)) {
            continue;
        }
        *chosen = children;
        if (children.count == 0) {
            return true;
        }
        most = bound_of(&children.node[0]);
    }
    return broken;
}

static void explore(Search *search, const Node *node) {
    Children children;
    children.count = 0;
    if (bound_of(node) >= search->best) {
        return;
    }
    if (!branch(search, node, &children)) {
        search->best = bound_of(node);
        search->any = true;
        memcpy(search->found, node->spot, sizeof node->spot);
        return;
    }
    for (int k = 0; k < children.count; k++) {
        explore(search, &children.node[k]);
    }
}

static bool open_root(const Program *program, Node *root) {
    memset(root, 0, sizeof *root);
    for (int axis = 0; axis < AXES; axis++) {
        for (int i = 0; i < SX_POSITIONS; i++) {
            if (program->low[axis][i] > program->high[axis][i]) {
                return false;
            }
        }
        sx_distances_open(&root->distances[axis], program->low[axis], program->high[axis]);
    }
    for (int k = 0; k < program->bounds; k++) {
        const Need *need = &program->bound[k];
        if (!sx_distances_add(&root->distances[need->axis], need->high, need->low, need->gap)) {
            return false;
        }
    }
    for (int axis = 0; axis < AXES; axis++) {
        root->cost[axis] =
            sx_spots_best(&program->costs[axis], &root->distances[axis], root->spot[axis]);
    }
    return true;
}

bool sx_program_solve(const Program *program, int64_t cutoff, int spot[AXES][SX_POSITIONS],
                      int64_t *cost) {
    Search search = {program, cutoff, spot, false};
    Node root;
    if (!open_root(program, &root)) {
        return false;
    }
    explore(&search, &root);
    *cost = search.best;
    return search.any;
}
